"""What the part couples of a logger read at one moment: before the preheat is left, between two runs of weld."""

from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction
from math import isnan

from traveler.chart.couples import Couple
from traveler.chart.model import Chart
from traveler.errors import BadInput


def temperatures_at(chart: Chart, couples: Sequence[Couple], at_s: float) -> list[tuple[str, Fraction]]:
    """Each couple and its temperature at a moment, straight between its rows, in the chart's unit, exact.

    Raises BadInput where the moment lies outside the chart or a couple shows nothing then: what is missing is not met.
    """
    times = chart.times_s
    if not times[0] <= at_s <= times[-1]:
        raise BadInput(f"{chart.stamp(at_s)} lies outside the chart, which runs to {chart.stamp(times[-1])}")
    after = min(bisect_right(times, at_s), len(times) - 1)
    found = []
    for couple in couples:
        hidden = any(first < after <= last for first, last in couple.unknown)
        low, high = couple.values[after - 1], couple.values[after]
        if hidden or isnan(low) or isnan(high):
            raise BadInput(
                f"{couple.name} shows nothing at {chart.stamp(at_s)}; name the couples that count (--couples)"
            )
        found.append((couple.name, _between(times[after - 1], times[after], low, high, at_s)))
    return found


def _between(start_s: float, end_s: float, low: float, high: float, at_s: float) -> Fraction:
    start, end, first, second, at = (Fraction(repr(number)) for number in (start_s, end_s, low, high, at_s))
    return first + (second - first) * (at - start) / (end - start)
