"""Hardness beside the weld of each metal of a joint: predicted as welded, and after stress relief."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from traveler.job.analysis import HARDENING, Analysis, analyse
from traveler.job.arc import joint_heat_input_kj_mm
from traveler.job.heat_input_window import FORMS
from traveler.job.sheet import Joint, Material
from traveler.metals.composition import Composition
from traveler.metals.cooling_time import COOLING_SCATTER_PERCENT, cooling_time_range
from traveler.metals.hardness_scales import ScaleRow, hrc_from_hv, hv_from_hrc
from traveler.metals.haz_band import haz_band
from traveler.metals.outcome import Outcome
from traveler.metals.tempering import (
    CARBON_RANGE,
    SCATTER_RMS_HRC,
    grange_baughman_parameter,
    tempered_hardness,
)

AUSTENITIC = "austenitic stainless"
STANDARD_DEVIATIONS = 2
"""Of a method's scatter that go on each side of a value."""


@dataclass(frozen=True, slots=True)
class Hardness:
    """Predicted hardness beside the weld in one metal [HV]; both ends None where nothing can be said.

    ``scatter_hv`` goes on both sides and is not in the band. ``extrapolated``: a method behind it is outside its
    validity; ``reasons`` say which, or why there is no value. ``softens``: a metal that does not harden at all.
    """

    material: str
    low_hv: float | None
    high_hv: float | None
    scatter_hv: float = 0.0
    extrapolated: bool = False
    reasons: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    soft: bool = False


def cooling_times_s(joint: Joint, start_c: float) -> tuple[float, float] | None:
    """Shortest and longest t8/5 of a run that starts at ``start_c``: range of the shape factors and the scatter.

    By the thickest member, which takes the heat away fastest; None where the formula has no answer.
    """
    form = FORMS.get(joint.type, joint.type)
    heat_input, thickness = float(joint_heat_input_kj_mm(joint)), float(joint.thickest.thickness.canonical)
    shortest, longest = cooling_time_range(heat_input, thickness, start_c, form)
    if shortest.value is None or longest.value is None:
        return None
    scatter = COOLING_SCATTER_PERCENT / 100
    return shortest.value * (1 - scatter), longest.value * (1 + scatter)


def as_welded(joint: Joint, material: Material, start_c: float) -> Hardness:
    """Band beside a run that starts at ``start_c`` and cools through without a stop.

    From the softer method at the longest cooling time to the harder one at the shortest.
    """
    analysis = analyse(material, (joint,))
    unknown = _unknown(material, analysis)
    times = cooling_times_s(joint, start_c)
    if unknown is not None:
        return unknown
    if times is None:
        reason = f"no cooling time for a run that starts at {start_c:.0f} °C"
        return Hardness(material.id, None, None, reasons=(reason,))
    fast, slow = (haz_band(analysis.composition, time) for time in times)
    reasons = tuple(dict.fromkeys((*fast.reasons, *slow.reasons)))
    if fast.high_hv is None or slow.low_hv is None:
        return Hardness(material.id, None, None, reasons=reasons)
    extrapolated = "extrapolated" in (fast.status, slow.status)
    return Hardness(
        material=material.id,
        low_hv=slow.low_hv,
        high_hv=fast.high_hv,
        scatter_hv=fast.scatter_hv,
        extrapolated=extrapolated,
        reasons=reasons if extrapolated else (),
        assumed=_assumed(analysis),
    )


def relieved(
    joint: Joint,
    material: Material,
    before: Hardness,
    soak_c: tuple[float, float],
    hours: float,
    rows: Sequence[ScaleRow],
) -> Hardness:
    """Band after ``hours`` between the two soak temperatures, and never harder than ``before``.

    The method is for metal that was all martensite, so its value is an upper bound; where the zone was softer than
    that as welded, it stays so.
    """
    if before.soft:
        return before
    cold, hot = (tempered(joint, material, temperature_c, hours) for temperature_c in soak_c)
    if isinstance(cold, Hardness) or isinstance(hot, Hardness):
        return _kept(before, cold if isinstance(cold, Hardness) else None)
    if cold.value is None or hot.value is None:
        reasons = tuple(dict.fromkeys((*_cautions(cold), *_cautions(hot))))
        return _kept(before, Hardness(material.id, None, None, reasons=reasons))
    extrapolated = "extrapolated" in (cold.status, hot.status)
    found = Hardness(
        material=material.id,
        low_hv=hot.value,
        high_hv=cold.value,
        scatter_hv=tempering_scatter_hv(cold.value, rows),
        extrapolated=extrapolated,
        reasons=tuple(dict.fromkeys((*_cautions(cold), *_cautions(hot)))) if extrapolated else (),
        assumed=_assumed(analyse(material, (joint,))),
    )
    return _softer(before, found)


def tempered(joint: Joint, material: Material, temperature_c: float, hours: float) -> Outcome | Hardness:
    """Hardness of martensite of this metal after a hold; a ``Hardness`` without a value where it is unknown.

    Carbon below the method's range is taken at its lower end: harder, so still an upper bound, and extrapolated.
    """
    analysis = analyse(material, (joint,))
    unknown = _unknown(material, analysis)
    if unknown is not None:
        return unknown
    composition: Composition = analysis.composition
    least = CARBON_RANGE.low or 0.0
    below = CARBON_RANGE.below(composition["C"])
    parameter = grange_baughman_parameter(temperature_c, hours)
    if below is None:
        return tempered_hardness(parameter, composition)
    outcome = tempered_hardness(parameter, {**composition, "C": least})
    if outcome.value is None:
        return outcome
    reason = f"{below}: worked out at {least:g} %, which is harder"
    return replace(outcome, status="extrapolated", reasons=(reason, *outcome.reasons))


def tempering_scatter_hv(value_hv: float, rows: Sequence[ScaleRow]) -> float:
    """The scatter of the tempering method at a hardness [HV]; below 20 HRC that of 20 HRC, above the table none.

    In HRC it is the same everywhere; ASTM E140 turns it into HV.
    """
    softest = min(rows, key=lambda row: row.hv)
    start_hv = max(value_hv, softest.hv)
    start = hrc_from_hv(rows, start_hv).value
    if start is None:
        return 0.0
    end = hv_from_hrc(rows, start + STANDARD_DEVIATIONS * SCATTER_RMS_HRC).value
    return 0.0 if end is None else end - start_hv


def hardest(predictions: Iterable[Hardness]) -> Hardness | None:
    """The one with the highest upper end; None where none has a value."""
    known = [prediction for prediction in predictions if prediction.high_hv is not None]
    return max(known, key=lambda prediction: prediction.high_hv or 0.0) if known else None


def _unknown(material: Material, analysis: Analysis) -> Hardness | None:
    """What stands for a metal that the methods cannot be asked about."""
    if material.steel.family == AUSTENITIC:
        reason = "austenitic: it does not turn hard beside a weld"
        return Hardness(material.id, None, None, reasons=(reason,), soft=True)
    missing = [element for element in HARDENING if element in analysis.unknown]
    if missing or "C" not in analysis.composition:
        reason = f"{', '.join(missing) or 'C'} unknown: no certificate, and the specification is silent"
        return Hardness(material.id, None, None, reasons=(reason,))
    return None


def _assumed(analysis: Analysis) -> tuple[str, ...]:
    if not analysis.assumed:
        return ()
    elements = ", ".join(f"{element} {content:g}" for element, content in analysis.assumed.items())
    return (f"worst case, {elements} at the grade's maximum: metal with its own certificate may be softer",)


def _kept(before: Hardness, tempering: Hardness | None) -> Hardness:
    """No answer from the tempering method: relief does not harden, so what was before is the bound, and said."""
    why = tempering.reasons if tempering else ()
    if before.high_hv is None:
        return replace(before, reasons=tuple(dict.fromkeys((*before.reasons, *why))))
    said = f"not worked out after relief ({'; '.join(why)}): taken as no softer than as welded"
    return replace(before, extrapolated=True, reasons=(*before.reasons, said))


def _softer(before: Hardness, after: Hardness) -> Hardness:
    if before.high_hv is None or before.low_hv is None or after.high_hv is None or after.low_hv is None:
        return after
    if before.high_hv < after.high_hv:
        return replace(before, low_hv=min(before.low_hv, after.low_hv))
    return replace(after, low_hv=min(before.low_hv, after.low_hv))


def _cautions(outcome: Outcome) -> tuple[str, ...]:
    """Why a value is extrapolated or missing, without what was assumed for every value."""
    return tuple(reason for reason in outcome.reasons if " our fit" not in reason and "mixed" not in reason)
