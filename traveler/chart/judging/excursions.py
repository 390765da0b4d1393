"""Each time a couple was above the threshold: its heating, its hot zone and its cooling.

Heating runs from the last time at or below the threshold to the first at the soak temperature, cooling from the last
at the soak temperature to the first at or below the threshold. A heating that never gets to the soak temperature
rises to its peak and falls from there. Common practice, no published source.
"""

from dataclasses import dataclass
from fractions import Fraction
from itertools import compress, count
from math import inf
from typing import Literal

from traveler.chart.judging.exact import crossing, exact, greatest_float, least_float
from traveler.chart.judging.rows import Rows, Trace

Direction = Literal["heating", "cooling"]
SIGN: dict[Direction, int] = {"heating": 1, "cooling": -1}


@dataclass(frozen=True, slots=True)
class Excursion:
    """One stay above the threshold, rows ``first`` to ``last`` of the trace.

    ``begun``, ``ended``: whether the couple is seen to cross the threshold. ``start_s``, ``end_s``: when it does, or
    the end of what is known. Where nothing is known about the crossing itself it is put as far out as it may have
    been, so that a rate over it is never too great. ``reached``: whether it gets to the soak temperature.
    ``top_s``, ``down_s``: end of the heating and beginning of the cooling. ``start``, ``top``, ``down``, ``end``:
    the temperatures there.
    """

    first: int
    last: int
    begun: bool
    ended: bool
    reached: bool
    start_s: Fraction
    top_s: Fraction
    down_s: Fraction
    end_s: Fraction
    start: Fraction
    top: Fraction
    down: Fraction
    end: Fraction


class Above:
    """Which rows of a trace lie above the threshold.

    Where all couples are above it, or none, the coldest and the hottest place tell that for every one of them.
    """

    def __init__(self, rows: Rows, threshold: Fraction) -> None:
        self.warm = greatest_float(threshold)
        self.rows = rows
        self.some = bytes(map(self.warm.__lt__, rows.hottest))
        self.all = bytes(map(self.warm.__lt__, rows.coldest))
        mixed = int.from_bytes(self.some, "big") & ~int.from_bytes(self.all, "big")
        self.mixed = mixed.to_bytes(len(self.some), "big")

    def flags(self, trace: Trace) -> bytes | bytearray:
        """1 at each row of the trace above the threshold."""
        if trace.times is not self.rows.times:
            return bytes(map(self.warm.__lt__, trace.values))
        flags = bytearray(self.all)
        stop = 0
        while (start := self.mixed.find(1, stop)) >= 0:
            stop = self.mixed.find(0, start)
            stop = len(flags) if stop < 0 else stop
            flags[start:stop] = bytes(map(self.warm.__lt__, trace.values[start:stop]))
        return flags


def spans_above(trace: Trace, above: Above | None) -> list[tuple[int, int]]:
    """First and last row of each stay above the threshold; the whole trace where there is no threshold."""
    if not trace.times:
        return []
    if above is None:
        return [(0, len(trace.times) - 1)]
    flags = above.flags(trace)
    found, stop = [], 0
    while (start := flags.find(1, stop)) >= 0:
        stop = flags.find(0, start)
        stop = len(flags) if stop < 0 else stop
        found.append((start, stop - 1))
    return found


def read_excursion(
    trace: Trace, span: tuple[int, int], threshold: Fraction | None, soak_min: Fraction | None
) -> Excursion:
    """The phases of one stay above the threshold. A soak temperature that is not above the threshold has no say."""
    if threshold is not None and soak_min is not None and soak_min <= threshold:
        soak_min = None
    return _Reader(trace, threshold, soak_min).read(*span)


class _Reader:
    def __init__(self, trace: Trace, threshold: Fraction | None, soak_min: Fraction | None) -> None:
        self.trace, self.threshold, self.soak_min = trace, threshold, soak_min
        self.low = inf if soak_min is None else least_float(soak_min)

    def read(self, first: int, last: int) -> Excursion:
        """The excursion over these rows."""
        times, values = self.trace.times, self.trace.values
        begun, ended = first > 0, last < len(times) - 1
        if self.threshold is None:
            begun, ended = values[first] < self.low, values[last] < self.low
        start_s, start, end_s, end = (
            exact(times[first]),
            exact(values[first]),
            exact(times[last]),
            exact(values[last]),
        )
        if self.threshold is not None and begun:
            start_s, start = self._crossed(first - 1, self.threshold, outward=first - 1), self.threshold
        if self.threshold is not None and ended:
            end_s, end = self._crossed(last, self.threshold, outward=last + 1), self.threshold
        hot = self._hot_rows(first, last)
        if hot is None:
            peak = max(values[first : last + 1])
            rows = range(first, last + 1)
            up = next(row for row in rows if values[row] == peak)
            down = next(row for row in reversed(rows) if values[row] == peak)
            top_s, down_s, top, fall = exact(times[up]), exact(times[down]), exact(peak), exact(peak)
        else:
            top_s, top = self._in_zone(hot[0], hot[0] - 1, first)
            down_s, fall = self._in_zone(hot[1], hot[1] + 1, last)
        return Excursion(
            first,
            last,
            begun,
            ended,
            hot is not None,
            start_s,
            top_s,
            down_s,
            end_s,
            start,
            top,
            fall,
            end,
        )

    def _hot_rows(self, first: int, last: int) -> tuple[int, int] | None:
        """First and last row at the soak temperature or above."""
        rows = self.trace.values[first : last + 1]
        hot = self.low.__le__
        up = next(compress(count(first), map(hot, rows)), None)
        if up is None:
            return None
        return up, last - next(compress(count(), map(hot, reversed(rows))))

    def _in_zone(self, row: int, outside: int, edge: int) -> tuple[Fraction, Fraction]:
        """When the line between ``outside`` and the hot row ``row`` is at the soak temperature, and what it reads.

        At the first or last row of the trace it is that row itself.
        """
        if not 0 <= outside < len(self.trace.times):
            return exact(self.trace.times[edge]), exact(self.trace.values[edge])
        assert self.soak_min is not None
        return self._crossed(min(row, outside), self.soak_min, outward=row), self.soak_min

    def _crossed(self, step: int, level: Fraction, outward: int) -> Fraction:
        if step in self.trace.gaps:
            return exact(self.trace.times[outward])
        return crossing(self.trace.times, self.trace.values, step, level)
