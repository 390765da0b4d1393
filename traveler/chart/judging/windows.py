"""The steepest change of a couple over a sliding window of time.

The change over a window is a piecewise-linear function of where the window lies, so it is greatest where the window
begins or ends at a reading or at an end of the stretch. Floats find the place, exact fractions give the number.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise, repeat
from math import inf, nan
from operator import sub

from traveler.chart.judging.exact import exact, greatest_difference, segment_at
from traveler.chart.judging.rows import Trace

_NEAR = 1e-7
"""Changes this close together, in degrees, are compared as exact fractions."""


@dataclass(frozen=True, slots=True)
class Window:
    """The change from ``start_s`` to ``end_s``, positive in the direction that was asked for."""

    change: Fraction
    start_s: Fraction
    end_s: Fraction


class Clock:
    """One row of times and windows of one length on it; shared by the couples that have this row."""

    def __init__(self, times: list[float], window_s: Fraction) -> None:
        self.times, self.window_s, self.window = times, window_s, float(window_s)

    @cached_property
    def step(self) -> int | None:
        """Rows in a window, where every window that begins at a row ends at one; else None."""
        times = self.times
        rows = bisect_left(times, times[0] + self.window)
        apart = set(map(sub, times[rows:], times))
        return rows if rows and apart == {self.window} else None

    @cached_property
    def ahead(self) -> list[tuple[int, float]]:
        """Where a window from each row ends: the row after that, and the share of the step up to it."""
        return self._places([at + self.window for at in self.times])

    @cached_property
    def behind(self) -> list[tuple[int, float]]:
        """Where a window to each row begins, likewise."""
        return self._places([at - self.window for at in self.times])

    def _places(self, targets: list[float]) -> list[tuple[int, float]]:
        times, last = self.times, len(self.times) - 1
        rows = list(map(min, map(max, map(bisect_right, repeat(times), targets), repeat(1)), repeat(last)))
        return [
            (row, (at - times[row - 1]) / (times[row] - times[row - 1]))
            for row, at in zip(rows, targets, strict=True)
        ]


@dataclass(frozen=True, slots=True)
class Reach:
    """A stretch of a trace: its ends [s] and the rows from ``first`` to before ``stop`` that lie in it."""

    start_s: Fraction
    end_s: Fraction
    first: int
    stop: int


def steepest(trace: Trace, clock: Clock, reach: Reach, sign: int, limit: float, beat: float) -> Window | None:
    """The greatest change over a window within a stretch, up for ``sign`` 1 and down for -1.

    Only a change greater than ``beat`` is looked for; None where there is none, or no room for a window. A window
    that begins or ends where the trace knows nothing is left out. Near ``limit`` every change that a float cannot
    tell from the greatest is compared exactly.
    """
    if reach.end_s - reach.start_s < clock.window_s:
        return None
    return _Slide(trace, clock, reach, sign, limit).best(beat)


class _Slide:
    def __init__(self, trace: Trace, clock: Clock, reach: Reach, sign: int, limit: float) -> None:
        self.trace, self.clock, self.reach, self.sign, self.limit = trace, clock, reach, sign, limit
        times, window_s = trace.times, clock.window_s
        latest_s, earliest_s = reach.end_s - window_s, reach.start_s + window_s
        self.starts = bisect_right(times, float(latest_s), reach.first, reach.stop)
        while self.starts > reach.first and exact(times[self.starts - 1]) > latest_s:
            self.starts -= 1
        self.ends = bisect_left(times, float(earliest_s), reach.first, reach.stop)
        while self.ends < reach.stop and exact(times[self.ends]) < earliest_s:
            self.ends += 1
        self.best_yet: Window | None = None

    def best(self, beat: float) -> Window | None:
        self.beat = self._below(beat)
        for start_s in (self.reach.start_s, self.reach.end_s - self.clock.window_s):
            self._try(start_s)
        for bound, first, middle, stop in sorted(self._blocks(), reverse=True):
            if bound <= self.beat:
                break
            for start_s in (*self._from_rows(first, middle), *self._to_rows(middle, stop)):
                self._try(start_s)
        return self.best_yet

    def _below(self, change: float) -> float:
        return change - 2 * _NEAR if abs(change - self.limit) <= _NEAR else change

    def _try(self, start_s: Fraction) -> None:
        end_s = start_s + self.clock.window_s
        if self._unknown(start_s) or self._unknown(end_s):
            return
        change = self.sign * (self.trace.at(end_s) - self.trace.at(start_s))
        if change > self.beat and (self.best_yet is None or change > self.best_yet.change):
            self.best_yet, self.beat = Window(change, start_s, end_s), self._below(float(change))

    def _unknown(self, at_s: Fraction) -> bool:
        if not self.trace.gaps:
            return False
        times, step = self.trace.times, segment_at(self.trace.times, at_s)
        return step in self.trace.gaps and exact(times[step]) < at_s < exact(times[step + 1])

    def _blocks(self) -> Iterator[tuple[float, int, int, int]]:
        """Blocks of rows as long as a window, each with the greatest change that a window from it can show.

        A window that begins in one block ends in the next. The row beyond either end of a block belongs to a line
        between rows that reaches into it.
        """
        times, last = self.trace.times, len(self.trace.times) - 1
        edges = [self.reach.first, self.reach.first]
        while edges[-1] < self.reach.stop:
            edge = bisect_left(times, times[edges[-1]] + self.clock.window, edges[-1], self.reach.stop)
            edges.append(max(edge, edges[-1] + 1))
        edges.append(self.reach.stop)
        between = self.trace.series.between
        within = [between(max(first - 1, 0), min(stop, last)) for first, stop in pairwise(edges)]
        for at, (begin, end) in enumerate(pairwise(within)):
            bound = end[1] - begin[0] if self.sign > 0 else begin[1] - end[0]
            yield bound, edges[at], edges[at + 1], edges[at + 2]

    def _from_rows(self, first: int, middle: int) -> list[Fraction]:
        """Where the steepest windows begin that begin at a row."""
        values, step = self.trace.values, self.clock.step
        stop = min(middle, self.starts)
        if stop <= first:
            return []
        if step is not None:
            ends: Sequence[float] = values[first + step : stop + step]
        else:
            ends = self._between(self.clock.ahead[first:stop])
        return [exact(self.trace.times[row]) for row in self._greatest(first, ends, values[first:stop])]

    def _to_rows(self, middle: int, stop: int) -> list[Fraction]:
        """Where the steepest windows begin that end at a row; they are the same where rows are evenly spaced."""
        values = self.trace.values
        first = max(middle, self.ends)
        if stop <= first or self.clock.step is not None:
            return []
        starts = self._between(self.clock.behind[first:stop])
        rows = self._greatest(first, values[first:stop], starts)
        return [exact(self.trace.times[row]) - self.clock.window_s for row in rows]

    def _between(self, places: list[tuple[int, float]]) -> list[float]:
        values, gaps = self.trace.values, self.trace.gaps
        found = [values[row - 1] + share * (values[row] - values[row - 1]) for row, share in places]
        if gaps:
            for at, (row, share) in enumerate(places):
                if row - 1 in gaps and 0 < share < 1:
                    found[at] = nan
        return found

    def _greatest(self, first: int, ends: Sequence[float], starts: Sequence[float]) -> Sequence[int]:
        """Rows with the greatest change: one of them, but near the limit all that floats cannot tell apart."""
        changes = list(map(sub, ends, starts) if self.sign > 0 else map(sub, starts, ends))
        if self.trace.gaps:
            changes = [change if change == change else -inf for change in changes]
        greatest = max(changes)
        if greatest <= self.beat:
            return ()
        if abs(greatest - self.limit) > _NEAR:
            return (first + changes.index(greatest),)
        if self.clock.step is not None:
            # From row to row the decimals themselves can be subtracted.
            later, earlier = (ends, starts) if self.sign > 0 else (starts, ends)
            return (first + greatest_difference(later, earlier),)
        return [first + at for at, change in enumerate(changes) if change >= greatest - _NEAR]
