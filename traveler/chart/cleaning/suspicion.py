"""Couples that look wrongly connected: crossed leads, an offset from the start on, a wire of another type.

Hints for whoever can look at the leads. They stand beside the result and change no verdict. The limits are our own
choice (common practice, no published source).
"""

from collections.abc import Iterator, Sequence
from itertools import permutations
from statistics import median
from typing import NamedTuple, get_args

from traveler.chart.cleaning.readings import DEGREES, Degree
from traveler.chart.couples import Couple
from traveler.chart.model import Chart
from traveler.metals.thermocouple import CoupleKind, reads_as

COLD_START_C = 60.0
STARTS_OFF_C = 15.0
OTHERS_RISE_C = 50.0
FALLS_C = 10.0
WRONG_TYPE_WITHIN_C = 15.0
WELL_APART_C = 150.0
TERMINALS_C = 25.0
_LOOKS = 60
"""Rows at which the couples are held against each other, evenly over the chart: enough for a hint."""
_WARM_LOOKS = 4


class _Look(NamedTuple):
    """One moment: the couple's own reading and the median of the others' [degC]."""

    own_c: float
    others_c: float

    @property
    def off_c(self) -> float:
        return self.own_c - self.others_c


def suspicions(chart: Chart, couples: Sequence[Couple]) -> Iterator[str]:
    """A sentence for each couple that reads as if it were wrongly connected. Nothing is said of a single couple."""
    degree = DEGREES[chart.unit]
    columns = [_seen(couple, _rows(chart)) for couple in couples]
    for index, couple in enumerate(couples):
        looks = list(_looks(index, columns, degree))
        if looks:
            yield from _of_one(couple.name, looks, degree)


def _rows(chart: Chart) -> list[int]:
    last = len(chart.times_s) - 1
    return sorted({round(last * look / _LOOKS) for look in range(_LOOKS + 1)})


def _seen(couple: Couple, rows: Sequence[int]) -> list[float | None]:
    """The readings of those rows, None where the couple shows nothing."""
    unknown = iter(couple.unknown)
    stretch = next(unknown, None)
    found: list[float | None] = []
    for row in rows:
        while stretch is not None and stretch[1] <= row:
            stretch = next(unknown, None)
        hidden = stretch is not None and stretch[0] < row
        value = couple.values[row]
        found.append(None if hidden or value != value else value)
    return found


def _looks(own: int, columns: Sequence[Sequence[float | None]], degree: Degree) -> Iterator[_Look]:
    for readings in zip(*columns, strict=True):
        reading = readings[own]
        others = [value for at, value in enumerate(readings) if at != own and value is not None]
        if reading is not None and others:
            yield _Look(degree.celsius(reading), degree.celsius(median(others)))


def _of_one(name: str, looks: Sequence[_Look], degree: Degree) -> Iterator[str]:
    hottest = max(look.others_c for look in looks)
    start = looks[0]
    risen = next((look for look in looks if look.others_c >= start.others_c + OTHERS_RISE_C), None)
    if risen is not None and risen.own_c <= start.own_c - FALLS_C:
        yield (
            f"{name} falls from {_temperature(start.own_c, degree)} to {_temperature(risen.own_c, degree)} while the "
            f"others rise to {_temperature(risen.others_c, degree)}: its leads may be crossed"
        )
        return
    wrong = _wrong_type(looks, hottest)
    if wrong is not None:
        wire, input_kind, look = wrong
        yield (
            f"{name} reads as a type {wire} couple on a type {input_kind} input would: "
            f"{_temperature(look.own_c, degree)} where the others read {_temperature(look.others_c, degree)}"
        )
    if start.others_c <= COLD_START_C and abs(start.off_c) > STARTS_OFF_C:
        side = "above" if start.off_c > 0 else "below"
        yield (
            f"{name} starts at {_temperature(start.own_c, degree)}, {abs(start.off_c) * degree.size:.0f} "
            f"{degree.span_label} {side} the others: the cold junction may be off, or the couple elsewhere"
        )


def _wrong_type(looks: Sequence[_Look], hottest_c: float) -> tuple[CoupleKind, CoupleKind, _Look] | None:
    """Wire and input that explain a couple at two temperatures well apart, and the hotter look; None without any.

    The others are taken to read right, the terminals to be at 25 degC. The lower temperature is the middle of a few,
    as a rule while all are heated and while they cool, so that a couple that lags its neighbours does so both ways.
    """
    hot = _middle([look for look in looks if look.others_c >= hottest_c - WRONG_TYPE_WITHIN_C])
    if hot is None:
        return None
    apart = [look for look in looks if hot.others_c - look.others_c >= WELL_APART_C]
    warm = _middle(sorted(apart, key=lambda look: look.others_c)[-_WARM_LOOKS:])
    if warm is None or not _far_off(hot) or not _far_off(warm):
        return None
    pairs = permutations(get_args(CoupleKind), 2)
    best = min((max(_apart(look, *pair) for look in (hot, warm)), *pair) for pair in pairs)
    return (best[1], best[2], hot) if best[0] <= WRONG_TYPE_WITHIN_C else None


def _middle(looks: Sequence[_Look]) -> _Look | None:
    if not looks:
        return None
    return _Look(median(look.own_c for look in looks), median(look.others_c for look in looks))


def _far_off(look: _Look) -> bool:
    return abs(look.off_c) > WRONG_TYPE_WITHIN_C


def _apart(look: _Look, wire: CoupleKind, input_kind: CoupleKind) -> float:
    """How far the couple is from what that wire on that input would show; infinite where these reach no further."""
    try:
        return abs(reads_as(wire, input_kind, look.others_c, TERMINALS_C) - look.own_c)
    except ValueError:
        return float("inf")


def _temperature(value_c: float, degree: Degree) -> str:
    return f"{degree.from_celsius(value_c):.0f} {degree.label}"
