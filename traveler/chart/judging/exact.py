"""Readings as the decimals that they were typed as, so that a tie at a limit is decided and not left to rounding."""

from bisect import bisect_right
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from math import inf, nextafter
from operator import sub


def exact(reading: float) -> Fraction:
    """The decimal that was written for a finite float: 0.1 is one tenth."""
    return Fraction(Decimal(repr(reading)))  # half the time of Fraction(repr(reading))


def least_float(level: Fraction) -> float:
    """The least float whose decimal is not below ``level``: a reading is at least ``level`` where it is at least this.

    The shortest decimals rise with their floats, so one comparison of floats stands for one of exact numbers.
    """
    found = float(level)
    while exact(found) < level:
        found = nextafter(found, inf)
    while exact(below := nextafter(found, -inf)) >= level:
        found = below
    return found


def greatest_float(level: Fraction) -> float:
    """The greatest float whose decimal is not above ``level``."""
    return -least_float(-level)


def crossing(times: Sequence[float], values: Sequence[float], segment: int, level: Fraction) -> Fraction:
    """When the straight line from row ``segment`` to the next one passes ``level`` [s]; the two readings differ."""
    start, end = exact(times[segment]), exact(times[segment + 1])
    first, second = exact(values[segment]), exact(values[segment + 1])
    return start + (end - start) * (level - first) / (second - first)


def value_at(times: Sequence[float], values: Sequence[float], segment: int, at_s: Fraction) -> Fraction:
    """The reading on the straight line from row ``segment`` to the next one, at ``at_s`` [s]."""
    start, end = exact(times[segment]), exact(times[segment + 1])
    first, second = exact(values[segment]), exact(values[segment + 1])
    return first + (second - first) * (at_s - start) / (end - start)


def segment_at(times: Sequence[float], at_s: Fraction) -> int:
    """The row that begins the step between rows in which ``at_s`` lies; at a row, either step beside it."""
    row = min(max(bisect_right(times, float(at_s)) - 1, 0), len(times) - 2)
    # The float of a fraction may lie on the other side of a row.
    if exact(times[row]) > at_s and row > 0:
        return row - 1
    if exact(times[row + 1]) < at_s and row < len(times) - 2:
        return row + 1
    return row


def greatest_difference(minuends: Sequence[float], subtrahends: Sequence[float]) -> int:
    """Place of the greatest difference between two rows of readings, of their decimals; the first of several."""
    differences = list(map(sub, map(Decimal, map(repr, minuends)), map(Decimal, map(repr, subtrahends))))
    return differences.index(max(differences))
