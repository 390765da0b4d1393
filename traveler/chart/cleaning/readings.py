"""The readings of one channel, without the missing ones, and the degree they are in."""

from array import array
from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import compress
from math import isnan
from operator import eq
from typing import NamedTuple

from traveler.chart.model import TemperatureUnit

BLOCK = 64


class Degree(NamedTuple):
    """A chart's degree: how many make one C deg, where 0 degC lies, labels of a temperature and of a difference."""

    size: float
    zero: float
    label: str
    span_label: str

    def celsius(self, value: float) -> float:
        """A reading in degC."""
        return (value - self.zero) / self.size

    def from_celsius(self, value_c: float) -> float:
        """A temperature in degC as the chart would have it."""
        return value_c * self.size + self.zero


DEGREES: Mapping[TemperatureUnit, Degree] = {
    "degC": Degree(1.0, 0.0, "°C", "C°"),
    "degF": Degree(1.8, 32.0, "°F", "F°"),
}


@dataclass(frozen=True)
class Readings:
    """The readings of one channel without its missing ones: row in the chart, seconds, value."""

    rows: Sequence[int]
    times: "array[float]"
    values: "array[float]"

    @cached_property
    def extremes(self) -> tuple[list[float], list[float]]:
        """Least and greatest value of each block of ``BLOCK`` steps; a block begins with the last of the one before."""
        starts = range(0, len(self.values) - 1, BLOCK)
        blocks = [self.values[start : start + BLOCK + 1] for start in starts]
        return list(map(min, blocks)), list(map(max, blocks))

    def upto(self, at_s: float, within_s: float) -> float | None:
        """The last reading up to a time, None where there is none or it is older than ``within_s``."""
        position = bisect_right(self.times, at_s) - 1
        recent = position >= 0 and at_s - self.times[position] <= within_s
        return self.values[position] if recent else None

    def between(self, first_row: int, last_row: int) -> tuple[float, float] | None:
        """Least and greatest reading from one row to another, both included; None without readings."""
        first, last = bisect_left(self.rows, first_row), bisect_right(self.rows, last_row) - 1
        if last < first:
            return None
        start, stop = -(-first // BLOCK), last // BLOCK
        if start >= stop:
            part = self.values[first : last + 1]
            return min(part), max(part)
        least, greatest = self.extremes
        edges = self.values[first : start * BLOCK + 1] + self.values[stop * BLOCK : last + 1]
        return min(*least[start:stop], *edges), max(*greatest[start:stop], *edges)

    def without(self, ranges: Sequence[tuple[int, int]]) -> "Readings":
        """The readings outside these ranges of rows, the first and last row of each included."""
        if not ranges:
            return self
        kept = bytearray(b"\x01") * len(self.rows)
        for first, last in ranges:
            start, stop = bisect_left(self.rows, first), bisect_right(self.rows, last)
            kept[start:stop] = bytes(stop - start)
        rows = list(compress(self.rows, kept))
        return Readings(rows, array("d", compress(self.times, kept)), array("d", compress(self.values, kept)))


def readings(times_s: "array[float]", values: "array[float]") -> Readings:
    """The readings of a channel; ``values`` hold NaN where there is none."""
    # One sum tells whether a reading is missing anywhere; most channels have all of theirs.
    if not isnan(sum(values)):
        return Readings(range(len(values)), times_s, values)
    there = bytearray(map(eq, values, values))
    return Readings(
        list(compress(range(len(values)), there)),
        array("d", compress(times_s, there)),
        array("d", compress(values, there)),
    )
