"""Zones of the tz database: a zone by its name, and the moments at which its clock is changed."""

import re
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo

from traveler.chart.times.time_form import NO_ZONE, SECOND_US
from traveler.errors import BadInput
from traveler.quantity.parse import echo

_OFFSET = re.compile(r"([+\-\u2212])(\d\d):?(\d\d)", re.ASCII)
_EPOCH = datetime(1970, 1, 1)
_MICROSECOND = timedelta(microseconds=1)
_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Change:
    """One change of a clock [us]: what it shows just before and just after, its offset until then and from then on."""

    before: int
    after: int
    offset_before: int
    offset: int

    @property
    def forward(self) -> int:
        """How far the clock jumps [us], negative where it is set back."""
        return self.after - self.before


def find_zone(name: str) -> tzinfo | None:
    """The zone of that name, or with that offset all the year; None for a clock that is never changed ("none").

    Raises BadInput for a name that the tz database of this machine does not have.
    """
    if name in NO_ZONE:
        return None
    if offset := _OFFSET.fullmatch(name):
        sign, hours, minutes = offset.groups()
        size = timedelta(hours=int(hours), minutes=int(minutes))
        if size < _DAY and int(minutes) < 60:
            return timezone(size if sign == "+" else -size)
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        raise BadInput(
            f'"{echo(name)}" is no time zone that this machine knows: expected a name such as Europe/Berlin or '
            'America/New_York, an offset such as +01:00, or "none" for a clock that is not changed'
        ) from None


def microseconds(wall: datetime) -> int:
    """Microseconds from 1970-01-01 to what a clock shows, offsets left aside."""
    return (wall.replace(tzinfo=None) - _EPOCH) // _MICROSECOND


def wall_at(micros: int) -> datetime:
    """What a clock shows, without an offset, that many microseconds after 1970-01-01."""
    return _EPOCH + timedelta(microseconds=micros)


def instant(micros: int, zone: tzinfo) -> datetime:
    """The instant that many microseconds after 1970-01-01 UTC, on the clock of a zone."""
    return wall_at(micros).replace(tzinfo=UTC).astimezone(zone)


def offset_us(zone: tzinfo, micros: int) -> int:
    """Offset of a zone from UTC at an instant [us]."""
    return (instant(micros, zone).utcoffset() or timedelta()) // _MICROSECOND


def changes_between(zone: tzinfo, start: int, end: int) -> list[Change]:
    """The changes of a zone's clock after one instant and up to another [us of UTC], in order.

    Looked for from day to day: since 1970 no zone has changed its clock twice within a day.
    """
    found = []
    step = _DAY // _MICROSECOND
    while start < end:
        following = min(start + step, end)
        before, after = offset_us(zone, start), offset_us(zone, following)
        if before != after:
            at = _moment_of_change(zone, start, following, after)
            found.append(Change(at + before, at + after, before, after))
        start = following
    return found


def _moment_of_change(zone: tzinfo, start: int, end: int, after: int) -> int:
    """The first whole second with the new offset, between an instant before it and one behind it."""
    low, high = start // SECOND_US, -(-end // SECOND_US)
    while high - low > 1:
        middle = (low + high) // 2
        if offset_us(zone, middle * SECOND_US) == after:
            high = middle
        else:
            low = middle
    return high * SECOND_US


class StampedOffsets(tzinfo):
    """The clock of a file that writes an offset on each row and changes it on the way."""

    def __init__(self, offsets: Sequence[tuple[int, int]]) -> None:
        """``offsets``: each offset [us] behind the instant of the row where it begins [us of UTC]."""
        self._starts = [start for start, _ in offsets]
        self._offsets = [timedelta(microseconds=offset) for _, offset in offsets]

    def utcoffset(self, moment: datetime | None) -> timedelta:
        """The offset that belongs to what the clock shows; the later one for ``fold`` 1 where there are two."""
        if moment is None:
            return self._offsets[0]
        wall = moment.replace(tzinfo=None)
        fitting = [offset for offset in self._offsets if self._at(wall - offset) == offset]
        return fitting[-1 if moment.fold else 0] if fitting else self._at(wall - self._offsets[0])

    def dst(self, moment: datetime | None) -> None:
        """Not known: the file says only the sum."""

    def tzname(self, moment: datetime | None) -> None:
        """Not known."""

    def fromutc(self, moment: datetime) -> datetime:
        """What the clock shows at an instant."""
        offset = self._at(moment.replace(tzinfo=None))
        shown = moment + offset
        return shown if shown.utcoffset() == offset else shown.replace(fold=1)

    def _at(self, utc: datetime) -> timedelta:
        return self._offsets[max(bisect_right(self._starts, microseconds(utc)) - 1, 0)]
