"""How a file writes its times: one form for all rows, in words and in texts that can be stored and told again."""

from dataclasses import dataclass
from typing import Final

DATE_AND_TIME: Final = "date and time"
TIME_OF_DAY: Final = "time of day"
ELAPSED_HMS: Final = "elapsed h:mm:ss"
ELAPSED_HM: Final = "elapsed h:mm"
ELAPSED_MS: Final = "elapsed mm:ss"
SERIAL_DAYS: Final = "serial days"
UNIX_S: Final = "unix s"
UNIX_MS: Final = "unix ms"

SECOND_US: Final = 1_000_000
HOUR_US: Final = 3600 * SECOND_US
DAY_US: Final = 24 * HOUR_US

MICROSECONDS: Final = {
    "elapsed s": SECOND_US,
    "elapsed min": 60 * SECOND_US,
    "elapsed h": HOUR_US,
    "elapsed ms": 1000,
    "elapsed d": DAY_US,
    SERIAL_DAYS: DAY_US,
    UNIX_S: SECOND_US,
    UNIX_MS: 1000,
}
"""What one unit of a form that is a plain number is worth [us]."""

MEANINGS: Final = {
    DATE_AND_TIME: "date and time",
    TIME_OF_DAY: "time of day without a date",
    ELAPSED_HMS: "elapsed hours:minutes:seconds",
    ELAPSED_HM: "elapsed hours:minutes",
    ELAPSED_MS: "elapsed minutes:seconds",
    "elapsed s": "elapsed seconds",
    "elapsed min": "elapsed minutes",
    "elapsed h": "elapsed hours",
    "elapsed ms": "elapsed milliseconds",
    "elapsed d": "elapsed days",
    SERIAL_DAYS: "serial days of a spreadsheet, counted from 1899-12-30",
    UNIX_S: "Unix seconds, counted from 1970-01-01 UTC",
    UNIX_MS: "Unix milliseconds, counted from 1970-01-01 UTC",
}
"""Every form by the text that is stored and told, with its meaning in words."""

ORDER_WORDS: Final = {
    "ymd": "year before month before day",
    "dmy": "day before month",
    "mdy": "month before day",
}

NO_ZONE: Final = ("none", "fixed")
"""What is told as the zone of a logger whose clock is never changed."""

_EXAMPLE_DAYS: Final = {"ymd": "2026-12-31", "dmy": "31.12.2026", "mdy": "12/31/2026"}


@dataclass(frozen=True, slots=True)
class TimeForm:
    """How every row writes its time.

    ``form``: a key of ``MEANINGS``. ``date_order``: a key of ``ORDER_WORDS``, None without a date. ``zone``: as told, a
    name of the tz database, an offset such as "+01:00" or one of ``NO_ZONE``. ``half_day``: AM or PM on each row.
    ``offset``: an offset from UTC on each row. ``seconds``: whether seconds are written, not minutes only.
    ``decimal``: the mark in numbers. ``time_first``: of two columns the first is the time and the second the date.
    """

    form: str
    date_order: str | None = None
    zone: str | None = None
    half_day: bool = False
    offset: bool = False
    seconds: bool = True
    decimal: str = "."
    time_first: bool = False

    @property
    def shows_clock(self) -> bool:
        """Whether a row is a moment of some calendar, and not a count from the start."""
        return self.form in (DATE_AND_TIME, SERIAL_DAYS, UNIX_S, UNIX_MS)

    @property
    def local(self) -> bool:
        """Whether a row shows a wall clock: a calendar without an offset."""
        return self.form == SERIAL_DAYS or (self.form == DATE_AND_TIME and not self.offset)

    @property
    def words(self) -> str:
        """For the person who checks the reading: "date and time, day before month, Europe/Berlin"."""
        parts = [MEANINGS[self.form]]
        if self.date_order is not None:
            parts.append(ORDER_WORDS[self.date_order])
        if self.half_day:
            parts.append("AM and PM")
        if self.offset:
            parts.append("with offset")
        if self.shows_clock and self.zone is not None:
            parts.append("a clock that is not changed" if self.zone in NO_ZONE else self.zone)
        elif self.local:
            parts.append("zone not stated")
        return ", ".join(parts)

    @property
    def example(self) -> str:
        """What a row of this form looks like, for the sentence about one that does not."""
        if self.form in MICROSECONDS:
            number = {SERIAL_DAYS: "44500.118", UNIX_S: "1772352000", UNIX_MS: "1772352000000"}.get(
                self.form, "12.5"
            )
            return f"{MEANINGS[self.form]} such as {number.replace('.', self.decimal)}"
        day = "" if self.date_order is None else f"{_EXAMPLE_DAYS[self.date_order]} "
        clock = "08:30" + (":00" if self.seconds and self.form != ELAPSED_MS else "")
        behind = (" AM" if self.half_day else "") + ("+01:00" if self.offset else "")
        return f"{self.words} such as {day}{clock}{behind}"

    def stored(self) -> dict[str, str]:
        """What to tell the reader for the same form again: the fields of ``Told`` by name, only those that matter."""
        told = {"time_form": self.form, "date_order": self.date_order}
        if self.shows_clock:
            told["zone"] = self.zone
        return {name: text for name, text in told.items() if text is not None}
