"""The clock that acts are handed, and the times that people type."""

import re
from datetime import UTC, date, datetime, timezone
from typing import Protocol

from traveler.errors import BadInput
from traveler.quantity.parse import echo

_FRACTION_BEFORE_SECONDS = re.compile(r"[^0-9:-][0-9]{2}(:?[0-9]{2})?[.,]")


class Clock(Protocol):
    """Tells the present instant, aware of its offset."""

    def now(self) -> datetime:
        """The present instant."""
        ...


class SystemClock:
    """The machine's clock in the machine's zone."""

    def now(self) -> datetime:
        """The present instant with the local offset."""
        return datetime.now().astimezone()


def written(instant: datetime) -> str:
    """ISO 8601 to the second with offset, the form that events hold."""
    return instant.isoformat(timespec="seconds")


def in_zone(instant: datetime, zone: str | None) -> datetime:
    """The same instant with the offset that ``zone`` has then; as it is where no zone is set or this machine lacks it.

    A fixed offset: two times of one zone would be subtracted and compared by what its clocks show.
    """
    if zone is None:
        return instant
    from zoneinfo import ZoneInfo  # looks at the system as it is loaded; few shops set a zone

    try:
        there = instant.astimezone(ZoneInfo(zone))
    except (KeyError, ValueError, OSError, OverflowError):
        return instant
    return there.astimezone(timezone(there.utcoffset() or UTC.utcoffset(None)))


def when(text: str | None, now: datetime, zone: str | None = None) -> datetime:
    """The instant that a person typed; ``now`` where nothing was typed.

    ISO 8601, with an offset or in local time: that of ``zone``, of the machine where there is none. A day alone is
    refused, and so is a decimal fraction of an hour or of a minute, which Python reads as one of a second. A local time
    that the clocks of the zone show twice or skip on the night they change is refused, as is anything that is no time.
    Raises BadInput.
    """
    if text is None or not text.strip():
        return now
    expected = "expected a time such as 2026-11-25T14:30 or 2026-11-25T14:30+01:00"
    try:
        typed = datetime.fromisoformat(text.strip())
        if _is_a_day(text.strip()) or _FRACTION_BEFORE_SECONDS.search(text):
            raise ValueError
    except ValueError:
        raise BadInput(f'"{echo(text)}" is no time: {expected}') from None
    if typed.tzinfo is not None:
        return typed
    try:
        first, second = (_local(typed.replace(fold=fold), zone) for fold in (0, 1))
    except KeyError:
        raise BadInput(
            f'"{echo(text)}" is local time of {zone}, a zone that this machine lacks; add the offset, such as +01:00'
        ) from None
    except (OverflowError, OSError, ValueError):
        raise BadInput(f'"{echo(text)}" is outside the years that this machine knows: {expected}') from None
    if first.utcoffset() != second.utcoffset():
        raise BadInput(
            f'"{echo(text)}" is ambiguous or skipped: the clocks change that night; '
            f"add the offset, for instance {written(first)} or {written(second)}"
        )
    return first


def _local(typed: datetime, zone: str | None) -> datetime:
    """What a clock of the zone shows, with its offset then. Raises KeyError for a zone that this machine lacks."""
    if zone is None:
        return typed.astimezone()
    from zoneinfo import ZoneInfo

    offset = typed.replace(tzinfo=ZoneInfo(zone)).utcoffset()
    assert offset is not None
    return typed.replace(tzinfo=timezone(offset))


def _is_a_day(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True
