"""The points of a joint's two charts: hardness against preheat, and tempered hardness against relief temperature."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, floor

from traveler.job.arc import joint_heat_input_kj_mm
from traveler.job.candidate import TEMPERATURE_SYMBOL
from traveler.job.preheat import floor_of
from traveler.job.route_hardness import Hardness, known_composition, tempered
from traveler.job.route_preheat import hardness_from
from traveler.job.routes import JointRoutes
from traveler.job.sheet import Joint, materials_of
from traveler.job.weld_cycle import cooling_times_s, form_of, thinnest_of
from traveler.library.model import Library, Units
from traveler.quantity.parse import stored, unit
from traveler.quantity.quantity import Quantity

STEP = {"inch": 50, "metric": 25}
"""Degrees from one point of a chart to the next."""
BELOW_THE_SOAK = {"inch": 200, "metric": 100}
HOLDS_H = (1, 2, 4)


@dataclass(frozen=True, slots=True)
class PreheatPoint:
    """One preheat with the range of t8/5 [s] and the hardness of each metal as welded."""

    preheat: Quantity
    t85_s: tuple[float, float] | None
    hardness: tuple[Hardness, ...]


@dataclass(frozen=True, slots=True)
class ReliefPoint:
    """One relief temperature with the hardness of one metal after each of ``HOLDS_H`` [HV].

    The upper bound: the zone taken as martensite through and through before. None where the method has no answer.
    """

    soak: Quantity
    hv: tuple[float | None, ...]
    material: str | None
    extrapolated: bool


def preheat_points(found: JointRoutes, library: Library, units: Units) -> tuple[PreheatPoint, ...]:
    """From the floor for dry metal to the greatest temperature of the joint's window, and every preheat weighed."""
    start = floor_of(found.joint, library, units).limit
    weighed = {route.preheat.preheat for route in found.routes}
    tops = (found.maximum.interpass or found.maximum.hard, *weighed)
    known = [limit for limit in tops if limit is not None]
    if start is None or not known:
        return ()
    top = max(known, key=lambda limit: limit.canonical)
    steps = _steps(axis_number(start, units), axis_number(top, units), units)
    first = [start, *weighed]
    near = [point for point in steps if all(_apart(point, other, units) for other in first)]
    everything = {point.canonical: point for point in (*near, *first)}
    return tuple(
        PreheatPoint(
            preheat=preheat,
            t85_s=_cooling_times_s(found.joint, float(canonical)),
            hardness=hardness_from(found.joint, float(canonical)),
        )
        for canonical, preheat in sorted(everything.items())
    )


def _apart(point: Quantity, other: Quantity, units: Units) -> bool:
    """Far enough for a row of its own in the table."""
    return abs(axis_number(point, units) - axis_number(other, units)) > STEP[units] / 5


def _cooling_times_s(joint: Joint, start_c: float) -> tuple[float, float] | None:
    """As the plan gives them: by the thickest member at one end and by the thinnest at the other."""
    heat_input, thickest = float(joint_heat_input_kj_mm(joint)), float(joint.thickest.thickness.canonical)
    return cooling_times_s(heat_input, thickest, thinnest_of(joint), start_c, form_of(joint))


def relief_points(found: JointRoutes, units: Units) -> tuple[ReliefPoint, ...]:
    """From well below the soak range to the highest of its ceilings; empty where no soak range is settled."""
    soak = next((route.relief.soak for route in found.routes if route.relief.soak), None)
    if soak is None or found.soak is None:
        return ()
    ends = [row.limit for row in found.soak.rows if row.limit is not None and row.basis.bound == "at_most"]
    top = max((*ends, soak[1]), key=lambda limit: limit.canonical)
    low = axis_number(soak[0], units) - BELOW_THE_SOAK[units]
    steps = _steps(low - STEP[units], axis_number(top, units) + STEP[units], units)
    points = {point.canonical: point for point in (*steps, *soak)}
    return tuple(_relief_point(found.joint, point) for _, point in sorted(points.items()))


def _relief_point(joint: Joint, soak: Quantity) -> ReliefPoint:
    """The hardest after the first of the holds stands for the joint, among the metals that harden if there are such."""
    found = []
    every = materials_of((joint,))
    for material in [metal for metal in every if metal.steel.hardenable] or every:
        composition = known_composition(joint, material)
        if composition is None:
            continue
        outcomes = [tempered(composition, float(soak.canonical), hours) for hours in HOLDS_H]
        extrapolated = any(outcome.status == "extrapolated" for outcome in outcomes)
        values = tuple(outcome.value for outcome in outcomes)
        found.append(ReliefPoint(soak, values, material.id, extrapolated))
    nothing = ReliefPoint(soak, (None,) * len(HOLDS_H), None, False)
    return max(found, key=lambda point: point.hv[0] or 0.0, default=nothing)


def _steps(low: float, high: float, units: Units) -> Iterator[Quantity]:
    step = STEP[units]
    for index in range(floor(low / step) + 1, ceil(high / step)):
        yield stored(str(index * step), TEMPERATURE_SYMBOL[units])


def axis_number(temperature: Quantity, units: Units) -> float:
    """A temperature in the degrees of the job's charts."""
    return float(unit(TEMPERATURE_SYMBOL[units]).from_canonical(temperature.canonical))
