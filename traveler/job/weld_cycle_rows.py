"""Indicative rows on cooling time and on hardness beside a weld run, each as a band with its working."""

from collections.abc import Sequence
from dataclasses import replace

from traveler.job.analysis import Analysis, analyse
from traveler.job.arc import joint_heat_input_kj_mm
from traveler.job.interpass import Maximum
from traveler.job.preheat import Minimum
from traveler.job.requirement import Basis
from traveler.job.rough import about_percent, hv_down, hv_up, seconds, seconds_down, seconds_up, span
from traveler.job.sheet import Joint, Material, materials_of
from traveler.job.weld_cycle import (
    Prediction,
    Start,
    cooling_times_s,
    form_of,
    predictions,
    starts,
    thinnest_of,
    weakest,
)
from traveler.library.model import Library, Units
from traveler.metals.cooling_time import (
    COOLING_SCATTER_PERCENT,
    COOLING_SOURCE,
    SHAPE_FACTORS,
    cooling_time_range,
    transition_thickness,
)
from traveler.metals.haz_band import SCATTER_HV, SCATTER_SOURCE
from traveler.metals.outcome import Mark, Outcome, Source

COOLING = "cooling time t8/5"
AS_WELDED = "hardness beside the weld, as welded"
BAND_SOURCE = Source(
    "the softer and the harder of Maynier, Dollet and Bastien 1978 (secondary) and Yurioka et al. 1987",
    "memory",
)
SCATTER = (
    f"of one run, which a later one tempers; such methods scatter by about {SCATTER_HV:.0f} HV either way "
    f"(two standard deviations, TWI {SCATTER_SOURCE.edition} [{SCATTER_SOURCE.mark}])"
)
MARKS_WEAKEST_FIRST: Sequence[Mark] = ("common practice, no published source", "memory", "secondary", "seen")
AUSTENITIC = "austenitic stainless"


def weld_cycle_rows(
    joint: Joint, minimum: Minimum, maximum: Maximum, library: Library, units: Units
) -> tuple[Basis, ...]:
    """Indicative rows for the arc energy of a joint: cooling time, then the hardness beside it of each metal."""
    begin = starts(joint, minimum, maximum, library, units)
    metals = [m for m in materials_of((joint,)) if m.steel.family != AUSTENITIC]
    return (
        *([_cooling_row(joint, begin)] if metals else []),
        *(hardness_row(joint, material, begin) for material in metals),
    )


def _cooling_row(joint: Joint, begin: list[Start]) -> Basis:
    form, heat_input = form_of(joint), float(joint_heat_input_kj_mm(joint))
    thickest_mm, thinnest_mm = float(joint.thickest.thickness.canonical), thinnest_of(joint)
    factors = SHAPE_FACTORS[form]
    cold = begin[0]
    shortest, _ = cooling_time_range(heat_input, thickest_mm, cold.temperature_c, form)
    _, longest = cooling_time_range(heat_input, thinnest_mm, cold.temperature_c, form)
    times = [
        cooling_times_s(heat_input, thickest_mm, thinnest_mm, start.temperature_c, form) for start in begin
    ]
    f2, f3 = span(factors.f2_min, factors.f2_max), span(factors.f3_min, factors.f3_max)
    working = [
        ("start", cold.text()),
        ("heat input", f"{heat_input:.2f} kJ/mm"),
        ("thickness", span(thinnest_mm, thickest_mm, "mm")),
        ("form", f"{form}: F2 {f2}, F3 {f3} [{factors.mark}]"),
        ("flow of heat", _flows(shortest, longest)),
    ]
    transition = transition_thickness(heat_input, cold.temperature_c, factors.f2_max, factors.f3_max).value
    if transition is not None:
        working.append(("two-dimensional below", f"about {transition:.0f} mm"))
    working += [
        (f"from {start.text()}", seconds(hotter)) for start, hotter in zip(begin[1:], times[1:], strict=True)
    ]
    scatter = f"{COOLING_SCATTER_PERCENT:g} % of scatter either way are in it"
    return Basis(
        method=COOLING,
        bound=None,
        role="indicative",
        status=weakest((shortest.status, longest.status)),
        value=None if times[0] is None else seconds_down(times[0][0]),
        value_to=None if times[0] is None else seconds_up(times[0][1]),
        unit="s",
        source=replace(COOLING_SOURCE, mark=_weaker(COOLING_SOURCE.mark, factors.mark)),
        reasons=((scatter,) if times[0] else shortest.reasons) + _edge_reason(joint),
        working=tuple(working),
    )


def hardness_row(joint: Joint, material: Material, begin: list[Start]) -> Basis:
    """The band of one metal of a joint for a run that starts at the first of ``begin``, the others beside it."""
    analysis = analyse(material, (joint,))
    found = predictions(joint, material, analysis, begin)
    if isinstance(found, str):
        return _nothing(material, (found,))
    cold = found[0]
    if cold.low_hv is None or cold.high_hv is None:
        return _nothing(material, cold.reasons)
    working = [
        ("start", begin[0].text()),
        (COOLING, seconds(_times(cold))),
    ]
    if cold.martensite:
        working.append(("martensite by Maynier", about_percent(cold.martensite)))
    working += [(fast.method, _cross_check(fast, slow)) for fast, slow in cold.cross_checks]
    for start, hotter in zip(begin[1:], found[1:], strict=True):
        working.append((f"from {start.text()}", band_words(hotter)))
    return Basis(
        method=AS_WELDED,
        bound=None,
        role="indicative",
        status=cold.status,
        value=str(hv_down(cold.low_hv)),
        value_to=str(hv_up(cold.high_hv)),
        unit="HV",
        source=BAND_SOURCE,
        reasons=(*cold.reasons, *_remarks(analysis)),
        member=material.id,
        working=tuple(working),
    )


def short_band(prediction: Prediction) -> str:
    """ "300 to 420 HV", and the status where it is not ok."""
    if prediction.low_hv is None or prediction.high_hv is None:
        return prediction.status
    words = f"{hv_down(prediction.low_hv)} to {hv_up(prediction.high_hv)} HV"
    return words if prediction.status == "ok" else f"{words} ({prediction.status})"


def band_words(prediction: Prediction) -> str:
    """As ``short_band``, and why where it is not ok."""
    if prediction.status == "ok":
        return short_band(prediction)
    return f"{short_band(prediction)}: {'; '.join(prediction.reasons)}"


def _nothing(material: Material, reasons: tuple[str, ...]) -> Basis:
    return Basis(
        AS_WELDED, None, "indicative", "not applicable", None, "HV", BAND_SOURCE, reasons, material.id
    )


def _remarks(analysis: Analysis) -> tuple[str, ...]:
    assumed = f"{', '.join(analysis.assumed)} at the grade's maximum" if analysis.assumed else ""
    silent = "Si not limited by the grade, taken as 0" if "Si" not in analysis.composition else ""
    return tuple(words for words in (SCATTER, assumed, silent) if words)


def _edge_reason(joint: Joint) -> tuple[str, ...]:
    if any(member.form == "tube" for member in joint.members):
        return ("a tube end cools slower than a plate",)
    return ()


def _times(prediction: Prediction) -> tuple[float, float] | None:
    if prediction.shortest_s is None or prediction.longest_s is None:
        return None
    return prediction.shortest_s, prediction.longest_s


def _flows(shortest: Outcome, longest: Outcome) -> str:
    flows = dict.fromkeys(outcome.method.removeprefix("t8/5 ") for outcome in (shortest, longest))
    return ", ".join(flows)


def _cross_check(fast: Outcome, slow: Outcome) -> str:
    mark = f"[{fast.source.mark}]"
    status = weakest((fast.status, slow.status))
    reasons = "".join((*fast.reasons, *slow.reasons)[:1])
    if fast.value is None or slow.value is None:
        return f"{status} ({reasons}) {mark}"
    low, high = sorted((fast.value, slow.value))
    words = f"{hv_down(low)} to {hv_up(high)} HV"
    return f"{words} {mark}" if status == "ok" else f"{words}, {status} ({reasons}) {mark}"


def _weaker(first: Mark, second: Mark) -> Mark:
    return min((first, second), key=MARKS_WEAKEST_FIRST.index)
