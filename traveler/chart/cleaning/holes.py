"""Where nothing is known of a couple: readings that are missing or not trusted, rows that lie too far apart."""

from array import array
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import isnan, nan
from operator import sub

from traveler.chart.cleaning.distrust import Distrusted
from traveler.chart.cleaning.readings import Readings
from traveler.chart.model import Channel, Chart

Hole = tuple[int, int]
"""Rows between which nothing is known; the readings at both are good, but for one at an end of the chart."""


@dataclass(slots=True)
class Column:
    """A couple on its way to be judged.

    ``values`` hold NaN where nothing is known; ``holes`` are those stretches, ``filled`` the short ones that were
    filled. ``told_by``: the couple that made the readings, in words.
    """

    told_by: str
    values: "array[float]"
    distrusted: Sequence[Distrusted]
    holes: list[Hole] = field(default_factory=list)
    filled: list[Hole] = field(default_factory=list)

    def good_at(self, row: int) -> bool:
        """Whether there is a reading, trusted or filled in."""
        return not isnan(self.values[row])


@dataclass(frozen=True, slots=True)
class Unknown:
    """A stretch of which nothing is known, of one couple or, where ``couple`` is None, of all; and why."""

    first: int
    last: int
    couple: str | None
    words: str


def column(
    channel: Channel, found: Readings, distrust: Sequence[Distrusted], chart: Chart, longest_s: float
) -> Column:
    """The channel without what is not trusted, short holes of missing readings filled along a straight line.

    ``found``: its readings. A hole is short where the good readings beside it are no further apart than
    ``longest_s``; one at an end of the chart has none on one side and stays, as does one of readings not trusted.
    """
    trusted = found.without([each.span for each in distrust])
    result = Column(channel.name, channel.values, distrust)
    if len(trusted.rows) == len(chart.times_s):
        return result
    untrusted = bytearray(len(chart.times_s))
    result.values = array("d", channel.values)
    for first, last, _ in distrust:
        untrusted[first : last + 1] = b"\x01" * (last + 1 - first)
        result.values[first : last + 1] = array("d", [nan]) * (last + 1 - first)
    rows, last_row = trusted.rows, len(chart.times_s) - 1
    if not rows:
        result.holes = [(0, last_row)] if last_row else []
        return result
    inside = [(before, after) for before, after in pairwise(rows) if after - before > 1]
    result.filled = [hole for hole in inside if _is_short(hole, chart.times_s, longest_s, untrusted)]
    _fill(result.values, chart.times_s, result.filled)
    short = set(result.filled)
    result.holes = [hole for hole in inside if hole not in short]
    if rows[0] > 0:
        result.holes.insert(0, (0, rows[0]))
    if rows[-1] < last_row:
        result.holes.append((rows[-1], last_row))
    return result


def _is_short(hole: Hole, times: "array[float]", longest_s: float, untrusted: bytearray) -> bool:
    first, last = hole
    return times[last] - times[first] <= longest_s and untrusted.find(1, first, last) < 0


def _fill(values: "array[float]", times: "array[float]", holes: Sequence[Hole]) -> None:
    """Set the values between the ends of each hole on the straight line from one to the other, over time."""
    for first, last in holes:
        low, high = values[first], values[last]
        start, length = times[first], times[last] - times[first]
        for row in range(first + 1, last):
            on_the_line = low + (high - low) * ((times[row] - start) / length)
            # The last digit of a float must not carry it beyond the good reading.
            values[row] = (
                min(max(on_the_line, low), high) if low <= high else max(min(on_the_line, low), high)
            )


def row_gaps(times: "array[float]", longest_s: float) -> list[int]:
    """Rows after which the next one is further away than ``longest_s``."""
    if max(map(sub, times[1:], times), default=0.0) <= longest_s:
        return []
    return [row for row, apart_s in enumerate(map(sub, times[1:], times)) if apart_s > longest_s]


def unknown_rows(holes: Sequence[Hole], gaps: Sequence[int]) -> tuple[Hole, ...]:
    """Holes, and rows too far apart outside of them, in order."""
    firsts = [first for first, _ in holes]

    def in_a_hole(row: int) -> bool:
        before = bisect_right(firsts, row) - 1
        return before >= 0 and row < holes[before][1]

    return tuple(sorted([*holes, *((row, row + 1) for row in gaps if not in_a_hole(row))]))


def reasons(name: str, of: Column, chart: Chart) -> Iterator[Unknown]:
    """Each hole of a couple in words: what was not trusted there, or that there is no reading."""
    for first, last in of.holes:
        start = bisect_left(of.distrusted, first, key=lambda each: each.first)
        stop = bisect_right(of.distrusted, last, key=lambda each: each.first)
        why = " and ".join(each.words for each in of.distrusted[start:stop])
        when = _when(of, first, last, chart)
        words = f"{of.told_by} {why}: unknown {when}" if why else f"{of.told_by} has no reading {when}"
        yield Unknown(first, last, name, words)


def _when(of: Column, first: int, last: int, chart: Chart) -> str:
    start = chart.stamp(chart.times_s[first]) if of.good_at(first) else None
    end = chart.stamp(chart.times_s[last]) if of.good_at(last) else None
    if start is None and end is None:
        return "in the whole chart"
    return f"from {start or 'the start of the chart'} to {end or 'the end of the chart'}"


def gap_reasons(gaps: Sequence[int], chart: Chart, longest_s: float) -> Iterator[Unknown]:
    """Rows too far apart, in words."""
    for row in gaps:
        start, end = chart.times_s[row], chart.times_s[row + 1]
        words = (
            f"no row from {chart.stamp(start)} to {chart.stamp(end)}, {duration(end - start)}: "
            f"more than {duration(longest_s)} between two rows shows nothing"
        )
        yield Unknown(row, row + 1, None, words)


def duration(seconds: float) -> str:
    """In seconds up to two minutes, in minutes beyond."""
    return f"{seconds:.4g} s" if seconds < 120 else f"{seconds / 60:.4g} min"
