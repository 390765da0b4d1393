"""The readings of one channel, without the missing ones, and the degree they are in."""

from array import array
from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import compress
from operator import eq
from typing import NamedTuple

from traveler.chart.model import Channel, TemperatureUnit
from traveler.chart.series import Series


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
    series: Series

    def upto(self, at_s: float, within_s: float) -> float | None:
        """The last reading up to a time, None where there is none or it is older than ``within_s``."""
        position = bisect_right(self.times, at_s) - 1
        recent = position >= 0 and at_s - self.times[position] <= within_s
        return self.values[position] if recent else None

    def between(self, first_row: int, last_row: int) -> tuple[float, float] | None:
        """Least and greatest reading from one row to another, both included; None without readings."""
        first, last = bisect_left(self.rows, first_row), bisect_right(self.rows, last_row) - 1
        return None if last < first else self.series.between(first, last)

    def without(self, ranges: Sequence[tuple[int, int]]) -> "Readings":
        """The readings outside these ranges of rows, the first and last row of each included."""
        if not ranges:
            return self
        kept = bytearray(b"\x01") * len(self.rows)
        for first, last in ranges:
            start, stop = bisect_left(self.rows, first), bisect_right(self.rows, last)
            kept[start:stop] = bytes(stop - start)
        return _only(kept, self.rows, self.times, self.values)


def readings(times_s: "array[float]", channel: Channel) -> Readings:
    """The readings of a channel; its values hold NaN where there is none."""
    values, rows = channel.values, range(len(channel.values))
    if channel.series.whole:
        return Readings(rows, times_s, values, channel.series)
    return _only(bytearray(map(eq, values, values)), rows, times_s, values)


def _only(kept: bytearray, rows: Sequence[int], times_s: "array[float]", values: "array[float]") -> Readings:
    left = array("d", compress(values, kept))
    return Readings(list(compress(rows, kept)), array("d", compress(times_s, kept)), left, Series(left))
