"""The preheats and interpass maxima that a joint can be welded with, each with the hardness it leaves."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from traveler.job.analysis import analyse, lean_composition
from traveler.job.candidate import TEMPERATURE_SYMBOL, safe_temperature
from traveler.job.interpass import Maximum
from traveler.job.preheat import Minimum, floor_of
from traveler.job.route_hardness import Hardness, as_welded
from traveler.job.sheet import Joint, Material, materials_of
from traveler.job.two_routes import MARTENSITE_SPAN_C
from traveler.library.model import Library, Units
from traveler.library.routes import HoldAboveMs, RouteChoices
from traveler.metals.bainite import bainite_time_range
from traveler.metals.martensite import martensite_temperature
from traveler.metals.martensite_start import andrews_ms
from traveler.metals.measuring import waiting_time_iso_13916_s
from traveler.quantity.parse import stored, unit
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show, show_both

BELOW_M90, BETWEEN, ABOVE_MS = "below M90", "between M90 and Ms", "above Ms"
MOST_STEPS = 4
"""Preheats that are weighed above the minimum."""
COARSE = {"inch": 25, "metric": 10}
"""Whole degrees to which an interpass maximum from M90 is rounded down: it is known no better."""


@dataclass(frozen=True, slots=True)
class Martensite:
    """Where martensite of a metal begins (Ms, lean side of what is known) and is nearly complete (M90, rich side)."""

    material: str
    ms_c: float
    m90_c: float


@dataclass(frozen=True, slots=True)
class PreheatChoice:
    """One preheat with its interpass maximum, and the hardness of each metal beside a run from that preheat.

    ``way``: where it lies to the martensite range; None for metal that does not harden. ``fails``: limits of the job
    that it breaks whatever follows. ``even_h``: time for the heat to even out before the arc; ``hold_h``: least and
    most hours above Ms after the last run. The welding itself is not in them.
    """

    preheat: Quantity
    interpass_max: Quantity | None
    way: str | None
    hardness: tuple[Hardness, ...]
    fails: tuple[str, ...]
    says: tuple[str, ...]
    even_h: float
    hold_h: tuple[float, float]


def preheat_choices(
    joint: Joint, minimum: Minimum, maximum: Maximum, library: Library, units: Units, choices: RouteChoices
) -> tuple[PreheatChoice, ...]:
    """The minimum and steps above it up to the maximum; where M90 lies below the interpass maximum, also up to M90."""
    ranges = martensite_ranges(joint)
    return tuple(
        _choice(joint, preheat, interpass, minimum, ranges, library, units, choices)
        for preheat in _preheats(joint, minimum, maximum, library, units, choices)
        for interpass in _interpass_maxima(preheat, maximum.interpass, ranges, units)
    )


def martensite_ranges(joint: Joint) -> tuple[Martensite, ...]:
    """Ms and M90 of each hardenable metal of which enough is known."""
    found = []
    for material in materials_of((joint,)):
        analysis, lean = analyse(material, (joint,)), lean_composition(material)
        if not material.steel.hardenable or lean is None:
            continue
        if "C" not in analysis.composition or analysis.missing_for(("C", "Mn")):
            continue
        start, end = andrews_ms(lean).value, martensite_temperature(analysis.composition).value
        if start is not None and end is not None:
            found.append(Martensite(material.id, start, end))
    return tuple(found)


def hardness_from(joint: Joint, start_c: float) -> tuple[Hardness, ...]:
    """Hardness of each metal beside a run from ``start_c``."""
    return tuple(as_welded(joint, material, start_c) for material in materials_of((joint,)))


def way_of(preheat_c: float, interpass_c: float | None, ranges: tuple[Martensite, ...]) -> str | None:
    """Where runs between the two temperatures lie to the martensite ranges of all metals.

    A maximum within the uncertainty of M90 counts as below it; a preheat within that of Ms does not count as above it.
    """
    if not ranges:
        return None
    if preheat_c > max(found.ms_c for found in ranges) + MARTENSITE_SPAN_C:
        return ABOVE_MS
    if interpass_c is not None and interpass_c <= min(found.m90_c for found in ranges) + MARTENSITE_SPAN_C:
        return BELOW_M90
    return BETWEEN


def _preheats(
    joint: Joint, minimum: Minimum, maximum: Maximum, library: Library, units: Units, choices: RouteChoices
) -> Iterator[Quantity]:
    """A minimum above the maximum stands beside the maximum: both break a limit, and each is named."""
    start = minimum.limit or floor_of(joint, library, units).limit
    top = min(
        (limit for limit in (maximum.hard, maximum.interpass) if limit is not None),
        key=lambda limit: limit.canonical,
        default=None,
    )
    if start is None:
        return
    if top is not None and top.canonical < start.canonical:
        yield top
        yield start
        return
    yield start
    step_c = choices.preheat_step.for_units(units).canonical
    room_c = step_c * MOST_STEPS if top is None else top.canonical - start.canonical
    step_c *= max(1, ceil(room_c / step_c / MOST_STEPS))
    for times in range(1, MOST_STEPS + 1):
        if times * step_c <= room_c:
            yield safe_temperature(start.canonical + times * step_c, "at_least", units)


def _interpass_maxima(
    preheat: Quantity, planned: Quantity | None, ranges: tuple[Martensite, ...], units: Units
) -> tuple[Quantity | None, ...]:
    """The plan's, and one below M90 where the plan's lies beyond it and the preheat does not."""
    if (
        way_of(float(preheat.canonical), None if planned is None else float(planned.canonical), ranges)
        != BETWEEN
    ):
        return (planned,)
    m90_c = Fraction(str(round(min(found.m90_c for found in ranges), 6)))
    coarse = COARSE[units]
    degrees = floor(unit(TEMPERATURE_SYMBOL[units]).from_canonical(m90_c) / coarse) * coarse
    below = stored(str(degrees), TEMPERATURE_SYMBOL[units])
    return (planned,) if below.canonical <= preheat.canonical else (planned, below)


def _choice(
    joint: Joint,
    preheat: Quantity,
    interpass: Quantity | None,
    minimum: Minimum,
    ranges: tuple[Martensite, ...],
    library: Library,
    units: Units,
    choices: RouteChoices,
) -> PreheatChoice:
    preheat_c = float(preheat.canonical)
    way = way_of(preheat_c, None if interpass is None else float(interpass.canonical), ranges)
    hold = hold_above_ms(joint, preheat_c, ranges, choices) if way == ABOVE_MS else None
    least_h, most_h, hold_words = hold or (0.0, 0.0, ())
    return PreheatChoice(
        preheat=preheat,
        interpass_max=interpass,
        way=way,
        hardness=hardness_from(joint, preheat_c),
        fails=tuple(_fails(joint, preheat, interpass, minimum)),
        says=(
            *_window_words(preheat, interpass, library, units),
            *_way_words(way),
            *hold_words,
            *_tube_words(joint),
        ),
        even_h=waiting_time_iso_13916_s(float(joint.thickest.thickness.canonical)) / 3600,
        hold_h=(least_h, most_h),
    )


def _fails(joint: Joint, preheat: Quantity, interpass: Quantity | None, minimum: Minimum) -> Iterator[str]:
    if minimum.limit is not None and preheat.canonical < minimum.limit.canonical:
        yield (
            f"preheat minimum: {show(preheat)} is below {show_both(minimum.limit)}, which "
            f"{minimum.governed_by} asks for"
        )
    if interpass is not None and preheat.canonical > interpass.canonical:
        yield f"window: preheat of {show_both(preheat)}, and no run of {joint.id} above {show_both(interpass)}"


def _window_words(
    preheat: Quantity, interpass: Quantity | None, library: Library, units: Units
) -> Iterator[str]:
    if interpass is None:
        yield "no interpass maximum is set: the engineer sets one"
        return
    width_c = interpass.canonical - preheat.canonical
    warning = library.printed["window warning"].for_units(units)
    if 0 <= width_c < warning.canonical:
        number = unit(f"delta_{TEMPERATURE_SYMBOL[units]}").from_canonical(width_c)
        letter = TEMPERATURE_SYMBOL[units][-1]
        yield f"the window is {float(number):.0f} {letter}° wide: less than {show(warning)} is hard to keep"


def _way_words(way: str | None) -> Iterator[str]:
    if way == BETWEEN:
        yield (
            "runs that start between M90 and Ms leave austenite, which keeps its hydrogen and turns to martensite "
            "after the welding: the engineer confirms the way through the martensite range"
        )


def _tube_words(joint: Joint) -> Iterator[str]:
    if any(member.form == "tube" for member in joint.members):
        yield "a tube end cools slower than the plate that the formulas assume, and comes out softer"


def hold_above_ms(
    joint: Joint, hold_c: float, ranges: tuple[Martensite, ...], choices: RouteChoices
) -> tuple[float, float, tuple[str, ...]]:
    """Least and most hours of the hold after the last run, and where they come from.

    The greater of the trade's hold for the grade and twice the time to full bainite in coarse grain, over all metals.
    """
    held = {found.material for found in ranges}
    least_h = most_h = 0.0
    words = []
    for material in materials_of((joint,)):
        if material.id not in held:
            continue
        bainite_h = _twice_to_bainite_h(joint, material, hold_c)
        practice = next((h for h in choices.holds if material.steel.name in h.grades), None)
        low_h, high_h = (0.0, 0.0) if practice is None else _hours(practice)
        least_h, most_h = max(least_h, low_h, bainite_h), max(most_h, high_h, bainite_h)
        words.append(_hold_words(material, practice, bainite_h))
    return least_h, most_h, tuple(words)


def _twice_to_bainite_h(joint: Joint, material: Material, hold_c: float) -> float:
    _, longest = bainite_time_range(analyse(material, (joint,)).composition, hold_c)
    return 0.0 if longest.value is None else 2 * longest.value / 3600


def _hours(practice: HoldAboveMs) -> tuple[float, float]:
    return float(practice.hours_least), float(practice.hours_most)


def _hold_words(material: Material, practice: HoldAboveMs | None, bainite_h: float) -> str:
    computed = f"twice the time to full bainite is about {bainite_h * 60:.0f} min by Li 1998, an estimate"
    if practice is None:
        return (
            f"hold of {material.id} after the last run: no trade figure for {material.steel.name}; {computed}"
        )
    low_h, high_h = _hours(practice)
    span = f"{low_h:g} h" if low_h == high_h else f"{low_h:g} to {high_h:g} h (the longer for a rich heat)"
    return f"hold of {material.id} above Ms after the last run: {span} [{practice.source.mark}]; {computed}"
