"""Temperatures of a constructed course: minutes and temperatures, straight between them."""

from bisect import bisect_right
from itertools import pairwise

Course = tuple[tuple[int, float], ...]
SLOW: Course = ((0, 70), (420, 1120), (570, 1120), (810, 520))
STEEP: Course = ((0, 70), (292, 800), (334, 1115), (484, 1115), (724, 515))
"""Stress reliefs in °F: SLOW up and down by 150 F° an hour, STEEP by 450 from 800 to 1115."""


def at(course: Course, minute: float) -> float:
    """The temperature at a minute; before the first point and behind the last one it is theirs."""
    index = bisect_right([point[0] for point in course], minute)
    if index in (0, len(course)):
        return course[0 if index == 0 else -1][1]
    (first, low), (last, high) = list(pairwise(course))[index - 1]
    return low + (high - low) * (minute - first) / (last - first)
