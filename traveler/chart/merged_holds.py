"""A recorded trace as holds: readings that lie close together count as one, so that a long chart is soon worked out."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil
from operator import mul, sub

from traveler.chart.series import Series

ONE_HOLD_SPAN_C = 4.0
"""Readings within so much make one hold at their mean. What is worked out of them bends little over so small a span:

of a Hollomon-Jaffe parameter noise of 1 C deg costs 0.0003, a ramp of a few hours less than 0.0001.
"""
STEP_SPAN_C = 0.5
"""A step between two readings further apart is cut into holds of this."""

_FIRST_STEPS, _MOST_STEPS = 64, 1024


@dataclass(frozen=True, slots=True)
class Times:
    """A row of times, for all traces that have it; ``beside``: the two steps beside each but the first and the last."""

    row: list[float]
    beside: list[float]


def times_of(row: Sequence[float]) -> Times:
    """Prepares a row of times."""
    times = list(row)
    return Times(times, list(map(sub, times[2:], times)))


def holds(
    times: Times, series: Series, rows: tuple[int, int], idle: float, degree: float = 1.0
) -> Iterator[tuple[float, float]]:
    """Length and mean value of each hold from the first to the last of ``rows``, in order of time.

    Lengths in the unit of ``times``, values in that of ``series``, of which ``degree`` make one C deg. What is under
    ``idle`` makes none, to the moment. The metal is taken to go straight from reading to reading.
    """
    span, cut = ONE_HOLD_SPAN_C * degree, STEP_SPAN_C * degree
    at, values = times.row, series.values
    (row, last), steps = rows, _FIRST_STEPS
    while row < last:
        end = min(row + steps, last)
        least, greatest = series.between(row, end)
        apart = greatest - least
        if greatest < idle:
            row, steps = end, min(2 * steps, _MOST_STEPS)
        elif apart <= span and least >= idle:
            yield at[end] - at[row], _mean(times, values, row, end)
            row = end
            if 2 * apart <= span:
                steps = min(2 * steps, _MOST_STEPS)
        elif end - row > 1:
            steps = (end - row) // 2
        else:
            yield from _slope(at[end] - at[row], values[row], values[end], idle, cut)
            row = end


def _slope(length: float, start: float, end: float, idle: float, cut: float) -> Iterator[tuple[float, float]]:
    """The part of a straight line that is not under ``idle``, in holds no further apart than ``cut``."""
    least, greatest = min(start, end), max(start, end)
    if least < idle:
        length *= (greatest - idle) / (greatest - least)
        start, end = max(start, idle), max(end, idle)
    if length <= 0:
        return
    count = max(1, ceil(abs(end - start) / cut))
    for index in range(count):
        yield length / count, start + (end - start) * (index + 0.5) / count


def _mean(times: Times, values: list[float], row: int, end: int) -> float:
    """Mean over time of the straight lines through the values from one row to another."""
    # Twice the area: each value inside counts over the two steps beside it, each at an end over its one.
    at = times.row
    inside: float = sum(map(mul, values[row + 1 : end], times.beside[row : end - 1]))
    ends = values[row] * (at[row + 1] - at[row]) + values[end] * (at[end] - at[end - 1])
    return (inside + ends) / 2 / (at[end] - at[row])
