"""What the heat of a whole chart is worth: how far it tempers the steel, how much hydrogen it leaves."""

from array import array
from collections.abc import Callable, Iterator, Sequence
from itertools import chain, compress, count, pairwise
from math import isnan, log10
from operator import sub

from traveler.chart.cleaning.readings import DEGREES
from traveler.chart.couples import Couple
from traveler.chart.merged_holds import Times, holds, times_of
from traveler.chart.model import TemperatureUnit
from traveler.chart.series import Series
from traveler.metals.hollomon_jaffe import CODE_CONSTANT, GRANGE_BAUGHMAN_CONSTANT
from traveler.metals.hydrogen import (
    COE_MORETON_SOURCE,
    SAKAMOTO_TABARU_SOURCE,
    Band,
    diffusivity_coe_moreton,
    diffusivity_sakamoto_tabaru,
    fraction_left,
)
from traveler.metals.outcome import Outcome, Source
from traveler.metals.validity import require_positive

_ZERO_C_IN_K = 273.15
_IDLE_BELOW_K = 400.0
# Where the two diffusivities hold [degC]; between 62 and 650 that of Sakamoto and Tabaru is carried on.
_TABARU_FROM_C, _TABARU_TO_C = 6.0, 62.0
_MORETON_FROM_C, _TRAPS_TO_C, _MORETON_TO_C = 44.0, 155.0, 650.0


def cycle_parameters(
    chart_times_s: Sequence[float] | Times,
    couple: Couple,
    unit: TemperatureUnit,
    constants: Sequence[float] = (CODE_CONSTANT, GRANGE_BAUGHMAN_CONSTANT),
) -> tuple[float, ...]:
    """Hollomon-Jaffe parameter of what one couple recorded, for each constant [1000 K].

    The trace is marched as by ``metals.hollomon_jaffe.accumulated``, from which the answer differs by less than
    0.002: readings within 4 C deg of one another are one hold at their mean over time.

    Inputs: ``chart_times_s`` [s], one a row, prepared by ``times_of`` where several couples share them; ``couple``, its
    values in ``unit``.
    Validity: that of ``accumulated``; below 400 K (127 degC) nothing is counted, and a trace that never exceeds it
    gives 0. It covers the known stretches only: with anything unknown the metal may have been tempered more.
    Source: as ``accumulated``.
    """
    degree = DEGREES[unit]
    idle = degree.from_celsius(_IDLE_BELOW_K - _ZERO_C_IN_K)
    times = chart_times_s if isinstance(chart_times_s, Times) else times_of(chart_times_s)
    course = [
        (seconds / 3600, degree.celsius(value) + _ZERO_C_IN_K)
        for rows in known_stretches(couple)
        for seconds, value in holds(times, couple.series, rows, idle, degree.size)
    ]
    return tuple(_marched(course, constant) for constant in constants)


def _marched(course: Sequence[tuple[float, float]], constant: float) -> float:
    """The parameter [1000 K] after holds of so many hours and kelvins."""
    parameter = 0.0
    for hours, temperature_k in course:
        parameter = _held(parameter, temperature_k, hours, constant)
    return parameter


def known_stretches(couple: Couple) -> Iterator[tuple[int, int]]:
    """First and last row of each stretch over which a couple is known, with more than one row in it."""
    start = 0
    for first, last in couple.unknown:
        if first > start:
            yield start, first
        start = last
    if start < len(couple.values) - 1:
        yield start, len(couple.values) - 1


def _held(parameter: float, temperature_k: float, hours: float, constant: float) -> float:
    """The parameter after a further hold: what was reached counts as the hold there that is worth as much."""
    worth_h = 10 ** (1000 * parameter / temperature_k - constant) if parameter else 0.0
    return max(parameter, temperature_k * (constant + log10(worth_h + hours)) / 1000)


def hydrogen_left_along(
    thickness_mm: float, times_h: Sequence[float], temperatures_c: Sequence[float]
) -> Band:
    """Share of the hydrogen that a recorded course of temperature leaves in a plate, as a band [1].

    The Fourier number of the whole course is the sum of D dt/L^2; ``least`` takes the faster of the two diffusivities
    at each moment, ``most`` the slower.

    Inputs: ``thickness_mm`` L [mm], the full thickness between two open faces; ``times_h`` [h], rising;
    ``temperatures_c`` [degC] of the metal, as many, NaN where nothing is known.
    Validity: ``metals.hydrogen.fraction_left`` and the two diffusivities. Below 44 degC, where the table of Coe and
    Moreton ends, nothing is counted for ``most``, and for ``least`` the diffusivity by Sakamoto and Tabaru down to
    6 degC. Above 650 degC that of 650 degC counts. Beside a NaN nothing is counted for either.
    Raises ValueError for a thickness that is not above zero, for fewer than two points or not as many times as
    temperatures, and for times that do not rise.
    Source: as ``metals.hydrogen.hydrogen_left``.
    """
    require_positive("thickness_mm", thickness_mm)
    if len(times_h) != len(temperatures_c) or len(times_h) < 2:
        raise ValueError(f"{len(times_h)} times and {len(temperatures_c)} temperatures make no course")
    if min(map(sub, times_h[1:], times_h)) <= 0:
        raise ValueError("the times of a course must rise")
    times, series = times_of(times_h), Series(array("d", temperatures_c))
    course = [
        hold for rows in _without_nan(temperatures_c) for hold in holds(times, series, rows, _TABARU_FROM_C)
    ]
    shared, traps, slow = _reasons(temperatures_c)
    least = _left("faster", thickness_mm, course, _fast_cm2_s, COE_MORETON_SOURCE, (*shared, *traps))
    most = _left("slower", thickness_mm, course, _slow_cm2_s, SAKAMOTO_TABARU_SOURCE, (*shared, *slow))
    return Band(least, most)


def _left(
    which: str,
    thickness_mm: float,
    course: Sequence[tuple[float, float]],
    diffusivity_cm2_s: Callable[[float], float],
    source: Source,
    reasons: tuple[str, ...],
) -> Outcome:
    through_cm2 = sum(3600 * hours * diffusivity_cm2_s(temperature_c) for hours, temperature_c in course)
    return Outcome(
        method=f"hydrogen left along the chart, the {which} diffusivity",
        value=fraction_left(through_cm2 * 100 / thickness_mm**2),
        unit="1",
        status="extrapolated" if reasons else "ok",
        source=source,
        reasons=reasons,
        inputs={"thickness_mm": thickness_mm},
    )


def _fast_cm2_s(temperature_c: float) -> float:
    if temperature_c < _TABARU_FROM_C:
        return 0.0
    if temperature_c < _MORETON_FROM_C:
        return _both_cm2_s(temperature_c)[0]
    return max(_both_cm2_s(temperature_c))


def _slow_cm2_s(temperature_c: float) -> float:
    return min(_both_cm2_s(temperature_c)) if temperature_c >= _MORETON_FROM_C else 0.0


def _both_cm2_s(temperature_c: float) -> tuple[float, float]:
    """By Sakamoto and Tabaru, by Coe and Moreton; the latter 0 where it is not tabulated."""
    at_c = min(temperature_c, _MORETON_TO_C)
    tabaru, moreton = diffusivity_sakamoto_tabaru(at_c).value, diffusivity_coe_moreton(at_c).value
    assert tabaru is not None
    return tabaru, moreton or 0.0


def _without_nan(values: Sequence[float]) -> Iterator[tuple[int, int]]:
    """First and last index of each stretch of more than one value without a NaN among them."""
    missing = compress(count(), map(isnan, values))
    for before, after in pairwise(chain((-1,), missing, (len(values),))):
        if after - before > 2:
            yield before + 1, after - 1


def _reasons(temperatures_c: Sequence[float]) -> tuple[list[str], list[str], list[str]]:
    """What both answers rest on, and each of them alone: the faster one, the slower one."""
    known = [temperature_c for temperature_c in temperatures_c if not isnan(temperature_c)]
    coldest, hottest = min(known, default=0.0), max(known, default=0.0)
    shared, traps, slow = [], [], []
    if len(known) < len(temperatures_c):
        shared.append("nothing is counted where the temperature is not known")
    if hottest > _MORETON_TO_C:
        shared.append(f"above {_MORETON_TO_C:g} degC the diffusivities of {_MORETON_TO_C:g} degC are taken")
    if coldest < _TRAPS_TO_C:
        traps.append(
            f"below {_TRAPS_TO_C:g} degC traps rule and measured diffusivities differ up to a thousandfold"
        )
    if coldest < _MORETON_FROM_C:
        slow.append(f"below {_MORETON_FROM_C:g} degC nothing is counted")
    if hottest > _TABARU_TO_C:
        slow.append(f"above {_TABARU_TO_C:g} degC Sakamoto and Tabaru are extrapolated, to the slow side")
    return shared, traps, slow
