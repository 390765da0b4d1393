"""All couples side by side: the coldest and the hottest place at every row, and where something is not known."""

from array import array
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import inf, isnan, nan
from typing import NamedTuple

from traveler.chart.couples import Couple
from traveler.chart.judging.exact import exact, greatest_float, segment_at, value_at
from traveler.chart.series import Series

DARK_S = 3600.0
"""Longest time without any reading in which a part that is cold before and after is taken to have stayed so.

From 425 to 595 degC and back at 222 C°/h takes an hour and a half. Common practice, no published source.
"""


@dataclass(frozen=True, slots=True)
class Trace:
    """One couple by itself: its known readings only, straight lines between them.

    ``gaps``: rows after which nothing is known until the next row of the trace. ``series``: of the values.
    """

    name: str
    times: list[float]
    values: list[float]
    gaps: frozenset[int]
    series: Series

    def at(self, at_s: Fraction) -> Fraction:
        """The reading at a time within the trace [s], exact."""
        return value_at(self.times, self.values, segment_at(self.times, at_s), at_s)


class Hidden(NamedTuple):
    """An unknown stretch of one couple: its index, and the first and last row."""

    couple: int
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Rows:
    """The couples on the chart's row of times.

    ``columns``: readings by couple, NaN where unknown. ``coldest`` and ``hottest`` are over the couples known at
    that row: inf and -inf where none is. ``unseen``: 1 at the rows at which a couple is not known. ``broken``: 1 at
    the rows after which a couple is not known until the next row. ``hidden``: the unknown stretches that may hide heat
    above the threshold, in the order of the couples.
    """

    times: list[float]
    couples: tuple[Couple, ...]
    columns: list[list[float]]
    coldest: list[float]
    hottest: list[float]
    unseen: bytearray
    broken: bytearray
    hidden: list[Hidden]

    def trace(self, index: int) -> Trace:
        """The known readings of one couple."""
        couple, column = self.couples[index], self.columns[index]
        if not couple.unknown:
            return Trace(couple.name, self.times, column, frozenset(), couple.series)
        known = [row for row, value in enumerate(column) if value == value]
        if len(known) == len(column):
            # Nothing but gaps between rows: what is worked out of the times is shared with the other couples.
            gaps = frozenset(first for first, _ in couple.unknown)
            return Trace(couple.name, self.times, column, gaps, couple.series)
        place = {row: at for at, row in enumerate(known)}
        gaps = frozenset(place[first] for first, last in couple.unknown if first in place and last in place)
        times, values = [self.times[row] for row in known], [column[row] for row in known]
        return Trace(couple.name, times, values, gaps, Series(array("d", values)))

    def coldest_couple(self, row: int) -> str:
        """The first couple that reads the least of all at a row."""
        return self._couple_reading(self.coldest[row], row)

    def hottest_couple(self, row: int) -> str:
        """The first couple that reads the most of all at a row."""
        return self._couple_reading(self.hottest[row], row)

    def _couple_reading(self, value: float, row: int) -> str:
        return next(
            c.name for c, column in zip(self.couples, self.columns, strict=True) if column[row] == value
        )

    def readings_at(self, at_s: Fraction) -> dict[str, Fraction]:
        """What the couples read at a time on the chart's clock, exact; those that are unknown then are left out."""
        if not exact(self.times[0]) <= at_s <= exact(self.times[-1]):
            return {}
        row = segment_at(self.times, at_s)
        at_row = next((near for near in (row, row + 1) if exact(self.times[near]) == at_s), None)
        found = {}
        for couple, column in zip(self.couples, self.columns, strict=True):
            if at_row is not None:
                if column[at_row] == column[at_row]:
                    found[couple.name] = exact(column[at_row])
            elif not any(first <= row < last for first, last in couple.unknown):
                found[couple.name] = value_at(self.times, column, row, at_s)
        return found


def rows_of(times_s: "array[float]", couples: Sequence[Couple], threshold: Fraction | None) -> Rows:
    """Sets the couples side by side; ``threshold`` in the chart's unit, None where any heat counts.

    Raises ValueError for a missing reading that is not said to be unknown.
    """
    times = times_s.tolist()
    unseen, broken = bytearray(len(times)), bytearray(len(times))
    columns, lows, highs = [], [], []
    for couple in couples:
        low = high = column = couple.values.tolist() if couple.unknown else couple.series.values
        if couple.unknown:
            _mark_unknown(couple, column, unseen, broken)
        elif not couple.series.whole:
            raise ValueError(f"{couple.name} misses a reading outside its unknown stretches")
        if couple.unknown and isnan(sum(column)):
            low = [value if value == value else inf for value in column]
            high = [value if value == value else -inf for value in column]
        columns.append(column)
        lows.append(low)
        highs.append(high)
    coldest, hottest = _coldest_and_hottest(lows, highs)
    warm = -inf if threshold is None else greatest_float(threshold)
    hidden = [
        Hidden(index, first, last)
        for index, couple in enumerate(couples)
        for first, last in couple.unknown
        if max(hottest[first : last + 1]) > warm or _is_dark(times, hottest, first, last)
    ]
    return Rows(times, tuple(couples), columns, coldest, hottest, unseen, broken, hidden)


def _coldest_and_hottest(
    lows: Sequence[list[float]], highs: Sequence[list[float]]
) -> tuple[list[float], list[float]]:
    """The least of ``lows`` and the greatest of ``highs`` at each row: the same lists but for couples with unknown rows."""
    if len(lows) == 1:
        return lows[0], highs[0]
    if any(low is not high for low, high in zip(lows, highs, strict=True)):
        return list(map(min, *lows)), list(map(max, *highs))
    coldest, hottest = [], []
    # To sort the few readings of a row takes half the time of looking for its least and for its greatest.
    for readings in map(sorted, zip(*lows, strict=True)):
        coldest.append(readings[0])
        hottest.append(readings[-1])
    return coldest, hottest


def _is_dark(times: list[float], hottest: list[float], first: int, last: int) -> bool:
    """Whether a cold stretch is so long without any reading that heat may have come and gone."""
    if times[last] - times[first] <= DARK_S:
        return False
    seen = [row for row in range(first, last + 1) if hottest[row] != -inf]
    return any(times[after] - times[before] > DARK_S for before, after in pairwise((first, *seen, last)))


def _mark_unknown(couple: Couple, column: list[float], unseen: bytearray, broken: bytearray) -> None:
    """Writes NaN over what is not to be used, and marks the rows and the steps between rows."""
    for first, last in couple.unknown:
        inside = last - first - 1
        column[first + 1 : last] = [nan] * inside
        broken[first:last] = b"\1" * (last - first)
        unseen[first + 1 : last] = b"\1" * inside
        for row in (first, last):
            if isnan(column[row]):
                unseen[row] = 1
