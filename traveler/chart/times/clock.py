"""The clock of a file: stamps in blocks of rows to seconds from the first row, and the instant at which it starts."""

from array import array
from collections.abc import Sequence
from datetime import UTC, datetime, time, timedelta, timezone

from traveler.chart.times.course import Block, Course, DayCourse, FixedCourse, UnknownCourse
from traveler.chart.times.dates import Unread
from traveler.chart.times.stamp_text import ColonReader, reader_of
from traveler.chart.times.time_form import DATE_AND_TIME, NO_ZONE, SECOND_US, TIME_OF_DAY, TimeForm
from traveler.chart.times.zone_course import ZoneCourse
from traveler.chart.times.zones import StampedOffsets, find_zone, instant, wall_at
from traveler.errors import BadInput
from traveler.quantity.parse import echo


class Clock:
    """Reads the stamps of one file, handed over in blocks of rows in the order of the file.

    Raises BadInput for a zone that is not known.
    """

    def __init__(self, form: TimeForm) -> None:
        self._form = form
        self._zone = find_zone(form.zone) if form.shows_clock and form.zone is not None else None
        self._reader = reader_of(form)
        self._course = self._course_of(form)

    def _course_of(self, form: TimeForm) -> Course:
        if form.form == TIME_OF_DAY:
            return DayCourse()
        if not form.local:
            return Course()
        if self._zone is not None:
            return ZoneCourse(self._zone, form.zone or "")
        return FixedCourse() if form.zone in NO_ZONE else UnknownCourse()

    def seconds(self, columns: Sequence[Sequence[str]], first_line: int) -> "array[float]":
        """Seconds of each row from the first row of the file, exact to the microsecond.

        ``columns``: the texts of the time column, or of the two, one text a row; ``first_line``: the line of the first.
        The times rise or stay; rows of one stamp are for ``strictly_rising``. Raises BadInput with the line for a stamp
        that cannot be read, that its zone skips, and for times that run backward; Unclear for a jump by 60 min at night
        on a clock whose zone nobody told.
        """
        texts = stamps_of(columns, self._form.time_first)
        lines = range(first_line, first_line + len(texts))
        try:
            walls = self._reader.all_of(texts)
        except Unread:
            walls = [self._read(text, line) for text, line in zip(texts, lines, strict=True)]
        elapsed = self._course.follow(Block(walls, texts, lines))
        return array("d", [micros / SECOND_US for micros in elapsed])

    def _read(self, text: str, line: int) -> int:
        try:
            return self._reader.one(text)
        except Unread as why:
            read = f'the time "{echo(text)}" cannot be read: {why}' if text else "there is no time"
            raise BadInput(f"line {line}: {read}; expected {self._form.example}") from None

    @property
    def started_at(self) -> datetime | None:
        """The instant of the first row, in the zone told or with the offset of its stamp.

        None before there is a row, for elapsed time, and for a wall clock whose zone nobody told: such a clock shows
        no instant. Its offset may change on the way, so add times to it in UTC.
        """
        if isinstance(self._course, ZoneCourse):
            return self._course.started_at
        first = self._course.first
        if first is None or not self._form.shows_clock or self._form.local:
            return None
        return instant(first, self._zone or self._offsets())

    def _offsets(self) -> StampedOffsets | timezone:
        offsets = self._reader.offsets if isinstance(self._reader, ColonReader) else []
        if len(offsets) > 1:
            return StampedOffsets(offsets)
        return timezone(timedelta(microseconds=offsets[0][1])) if offsets else UTC

    @property
    def clock_start(self) -> datetime | time | None:
        """What the clock showed at the first row where that is no instant: without an offset, or a time of day only."""
        first = self._course.first
        if first is None or self.started_at is not None:
            return None
        if self._form.form == TIME_OF_DAY:
            return wall_at(first).time()
        return wall_at(first) if self._form.local else None

    @property
    def notes(self) -> tuple[str, ...]:
        """What was met: changes of the clock, midnight, a start that is no instant."""
        notes = list(self._course.all_notes if isinstance(self._course, ZoneCourse) else self._course.notes)
        start = self.clock_start
        if isinstance(start, datetime):
            stated = "which is not changed" if self._form.zone in NO_ZONE else "zone not stated"
            notes.insert(0, f"the clock of the logger starts at {start}, {stated}")
        elif start is not None:
            notes.insert(0, f"the clock of the logger starts at {start}, date not stated")
        elif not self._form.shows_clock and self._course.first:
            notes.insert(
                0,
                f"the file counts from {self._course.first / SECOND_US:g} s; times here count from its first row",
            )
        if (
            self._form.form == DATE_AND_TIME
            and isinstance(self._reader, ColonReader)
            and len(self._reader.offsets) > 1
        ):
            notes.append("the offset of the stamps changes on the way; times are subtracted in UTC")
        return tuple(notes)


def stamps_of(columns: Sequence[Sequence[str]], time_first: bool) -> list[str]:
    """One text a row from the time column, or from a column of dates and one of times."""
    if len(columns) == 1:
        return [text.strip() for text in columns[0]]
    times, dates = columns if time_first else (columns[1], columns[0])
    return [
        f"{day} {clock}".strip()
        for day, clock in zip(map(str.strip, dates), map(str.strip, times), strict=True)
    ]
