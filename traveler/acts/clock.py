"""The clock that acts are handed, and the times that people type."""

import re
from datetime import date, datetime
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


def when(text: str | None, now: datetime) -> datetime:
    """The instant that a person typed; ``now`` where nothing was typed.

    ISO 8601, with an offset or in local time. A day alone is refused, and so is a decimal fraction of an hour or of a
    minute, which Python reads as one of a second. A local time that the clocks of this zone show twice or skip on the
    night they change is refused, as is anything that is no time. Raises BadInput.
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
        first, second = (typed.replace(fold=fold).astimezone() for fold in (0, 1))
    except (OverflowError, OSError, ValueError):
        raise BadInput(f'"{echo(text)}" is outside the years that this machine knows: {expected}') from None
    if first.utcoffset() != second.utcoffset():
        raise BadInput(
            f'"{echo(text)}" is ambiguous or skipped: the clocks change that night; '
            f"add the offset, for instance {written(first)} or {written(second)}"
        )
    return first


def _is_a_day(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True
