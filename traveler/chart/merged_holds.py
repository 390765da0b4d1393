"""A recorded trace as holds: readings that lie close together count as one, so that a long chart is soon worked out."""

from collections.abc import Iterator
from math import ceil
from operator import mul, sub

ONE_HOLD_SPAN_C = 4.0
"""Readings within so much make one hold at their mean. What is worked out of them bends little over so small a span:

of a Hollomon-Jaffe parameter noise of 1 C deg costs 0.0003, a ramp of a few hours less than 0.0001.
"""
STEP_SPAN_C = 0.5
"""A step between two readings further apart is cut into holds of this."""

_FIRST_STEPS, _MOST_STEPS = 64, 1024


def holds(
    times: list[float], values: list[float], rows: tuple[int, int], idle: float, degree: float = 1.0
) -> Iterator[tuple[float, float]]:
    """Length and mean value of each hold from the first to the last of ``rows``, in order of time.

    Lengths in the unit of ``times``, values as ``values``, of whose unit ``degree`` make one C deg. Where all is under
    ``idle`` there are none. The metal is taken to go straight from reading to reading.
    """
    span, cut = ONE_HOLD_SPAN_C * degree, STEP_SPAN_C * degree
    (row, last), steps = rows, _FIRST_STEPS
    while row < last:
        end = min(row + steps, last)
        part = values[row : end + 1]
        greatest = max(part)
        apart = greatest - min(part)
        if greatest < idle:
            row, steps = end, min(2 * steps, _MOST_STEPS)
        elif apart <= span:
            yield times[end] - times[row], _mean(times[row : end + 1], part)
            row = end
            if 2 * apart <= span:
                steps = min(2 * steps, _MOST_STEPS)
        elif end - row > 1:
            steps = (end - row) // 2
        else:
            count = ceil(apart / cut)
            for index in range(count):
                share = (index + 0.5) / count
                yield (times[end] - times[row]) / count, part[0] + (part[1] - part[0]) * share
            row = end


def _mean(times: list[float], values: list[float]) -> float:
    """Mean over time of the straight lines through the points."""
    # Twice the area: each value inside counts over the two steps beside it, each at an end over its one.
    inside: float = sum(map(mul, values[1:-1], map(sub, times[2:], times)))
    ends = values[0] * (times[1] - times[0]) + values[-1] * (times[-1] - times[-2])
    return (inside + ends) / 2 / (times[-1] - times[0])
