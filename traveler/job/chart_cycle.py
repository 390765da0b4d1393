"""What a recorded cycle did to the metal, for information: tempering parameter, hardness, hydrogen left."""

from collections.abc import Callable, Mapping, Sequence
from math import nan

from traveler.chart.cleaning.readings import DEGREES
from traveler.chart.couples import Couple
from traveler.chart.cycle import cycle_parameters, hydrogen_left_along
from traveler.chart.merged_holds import Times, times_of
from traveler.chart.model import Chart, TemperatureUnit
from traveler.job.analysis import analyse
from traveler.job.rough import hv_down, hv_up, percent_down, percent_up
from traveler.job.sheet import Material, Sheet, materials_of
from traveler.job.tempered import NEEDED
from traveler.metals.hollomon_jaffe import CODE_CONSTANT, GRANGE_BAUGHMAN_CONSTANT
from traveler.metals.tempering import GRANGE_BAUGHMAN_SOURCE, tempered_hardness

Pair = tuple[str, str]
PARAMETER = f"Hollomon-Jaffe parameter of the whole cycle, constant {CODE_CONSTANT:g}"
SCATTER = "heats of 4140 scatter about it by 2.3 HRC (root mean square)"
RANKINE = 1.8
"""Grange and Baughman write the same parameter with degrees Rankine."""


def relief_cycle(chart: Chart, couples: Sequence[Couple], sheet: Sheet | None) -> tuple[Pair, ...]:
    """The tempering parameter by the least and the most heated couple, and the hardness that it leaves.

    Ramps, repeated cycles and dips count as recorded. Of a couple that is not seen throughout nobody knows the whole
    cycle, so it is left out and named; where all are such, what they show is a lower end. Without a sheet there is no
    metal to predict a hardness of.
    """
    whole = [couple for couple in couples if not couple.unknown]
    counted = whole or couples
    times = times_of(chart.times_s)
    by_code = {couple.name: _parameter(times, couple, chart.unit, CODE_CONSTANT) for couple in counted}
    if not by_code or max(by_code.values()) == 0:
        was = "was" if whole else "is seen that was"
        return ((PARAMETER, f"none: nothing {was} heated enough to be tempered"),)
    left_out = _left_out(couples, whole)
    words = f"{'' if whole else 'at least '}{_ends_in_words(by_code)}{left_out}"
    metals = [m for m in materials_of(sheet.joints) if m.steel.hardenable] if sheet else []
    if sheet is None or not metals:
        return ((PARAMETER, words),)
    of_hardness = [_parameter(times, couple, chart.unit, GRANGE_BAUGHMAN_CONSTANT) for couple in counted]
    ends = min(of_hardness), max(of_hardness)
    of_metals = (_hardness(material, sheet, ends) for material in metals)
    return ((PARAMETER, words), *((label, f"{text}{left_out}") for label, text in of_metals))


def _ends_in_words(by_couple: Mapping[str, float]) -> str:
    """The least and the greatest with their couples; one number where two decimals do not tell them apart."""
    least, most = min(by_couple, key=by_couple.__getitem__), max(by_couple, key=by_couple.__getitem__)
    first, last = f"{by_couple[least]:.2f}", f"{by_couple[most]:.2f}"
    if least == most:
        return f"{first} ({least})"
    if first == last:
        return f"{first} in each of {len(by_couple)} couples"
    return f"{first} ({least}) to {last} ({most})"


def _left_out(couples: Sequence[Couple], whole: Sequence[Couple]) -> str:
    """What is to be added where not every couple is seen throughout."""
    partly = ", ".join(couple.name for couple in couples if couple.unknown)
    if not partly:
        return ""
    return f"; not seen throughout, so left out: {partly}" if whole else "; no couple is seen throughout"


def _parameter(times: Times, couple: Couple, unit: TemperatureUnit, constant: float) -> float:
    return cycle_parameters(times, couple, unit, (constant,))[0]


def _hardness(material: Material, sheet: Sheet, ends: tuple[float, float]) -> Pair:
    label = f"hardness beside the weld after this cycle, {material.id}"
    analysis = analyse(material, sheet.joints)
    unknown = analysis.missing_for(NEEDED)
    if unknown or "C" not in analysis.composition:
        return label, f"not predicted: {', '.join(unknown or ('C',))} unknown"
    if ends[0] == 0:
        return label, "not predicted: a couple shows no tempering at all"
    hard, soft = (tempered_hardness(RANKINE * end, analysis.composition) for end in ends)
    if hard.value is None or soft.value is None:
        return label, f"not predicted: {'; '.join(hard.reasons[:1] or soft.reasons[:1])}"
    values = f"{hv_down(soft.value)} to {hv_up(hard.value)} HV"
    outside = ", extrapolated" if "extrapolated" in (hard.status, soft.status) else ""
    assumed = f"; {', '.join(analysis.assumed)} at the grade's maximum" if analysis.assumed else ""
    source = GRANGE_BAUGHMAN_SOURCE
    return label, (
        f"{values}{outside}, an upper end where the zone was martensite{assumed}; {SCATTER} "
        f"({', '.join(part for part in (source.title, source.edition) if part)} [{source.mark}])"
    )


def bake_cycle(chart: Chart, couples: Sequence[Couple], thickness_mm: float) -> tuple[Pair, ...]:
    """The share of the hydrogen that the recorded course leaves in the thickest member, by the coldest couple."""
    degrees = DEGREES[chart.unit]
    hours = [seconds / 3600 for seconds in chart.times_s]
    bands = [hydrogen_left_along(thickness_mm, hours, _known(couple, degrees.celsius)) for couple in couples]
    least = [band.least.value for band in bands if band.least.value is not None]
    most = [band.most.value for band in bands if band.most.value is not None]
    if not least or not most:
        return ()
    reasons = dict.fromkeys(reason for band in bands for reason in band.most.reasons)
    low = percent_down(min(least)) or "under 5"
    words = f"{low} to {percent_up(max(most))} %, by published diffusivities"
    return ((f"hydrogen left in {thickness_mm:.3g} mm by this course", "; ".join((words, *reasons))),)


def _known(couple: Couple, celsius: Callable[[float], float]) -> list[float]:
    """The couple's values in degC; NaN strictly inside each stretch of which nothing is known."""
    values = [celsius(value) for value in couple.values]
    for first, last in couple.unknown:
        values[first + 1 : last] = [nan] * (last - first - 1)
    return values
