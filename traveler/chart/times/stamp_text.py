"""From the text of a stamp to microseconds, fast for many rows and strict for each.

A stamp is cut at its last colon: what stands before it changes once a minute or once an hour, what stands behind takes
few values. Each piece is read once, strictly, and kept.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import repeat
from typing import Final

from traveler.chart.times.dates import Unread, day_in
from traveler.chart.times.time_form import (
    DATE_AND_TIME,
    DAY_US,
    ELAPSED_MS,
    HOUR_US,
    MICROSECONDS,
    SECOND_US,
    SERIAL_DAYS,
    TIME_OF_DAY,
    TimeForm,
)

BLANKS: Final = str.maketrans(dict.fromkeys("\u00a0\u202f\u2009", " "))
"""Blanks that programs put before AM and between date and time."""

_UNIX_DAY: Final = 719_163  # the ordinal of 1970-01-01
_UNIX_SERIAL: Final = 25_569  # 1970-01-01 in days from 1899-12-30
_MOST_KEPT: Final = 65_536  # pieces kept in memory; fractions of a second could be as many as the rows
_MILLISECOND_US: Final = 1000
_NO_TIME: Final = "it is no time of that form"

_OFFSET = r"(?:[Zz]| ?UTC| ?GMT| ?[+\-\u2212]\d\d(?::?\d\d)?)"
_HALF = r"[AaPp]\.? ?[Mm]\.?"
_BEHIND = re.compile(rf"{_OFFSET}\Z", re.ASCII)
_TWO_DIGITS = re.compile(r"\d\d", re.ASCII)
_HEAD = re.compile(r"(?:(?P<date>.*?\d)(?:[Tt_]|,? +))?(?P<first>\d{1,5})", re.ASCII)
_REST = re.compile(rf"(?:[.,](\d{{1,9}}))? ?({_HALF})?", re.ASCII)
_WHOLE = re.compile(
    r"(?:(?P<date>.*?\d)(?:[Tt_]|,? +))?(?P<first>\d{1,5}):(?P<second>\d\d)(?P<third>:\d\d)?"
    rf"(?P<part>[.,]\d{{1,9}})? ?(?P<half>{_HALF})?(?P<offset>{_OFFSET})?",
    re.ASCII,
)


@dataclass(frozen=True, slots=True)
class Seen:
    """What a stamp with a colon is made of, before anybody settled what it means."""

    date: str | None
    numbers: tuple[int, ...]
    fraction: bool
    half_day: bool
    offset: bool


def seen_in(text: str) -> Seen | None:
    """The parts of a stamp that has a colon in it, None where it is none."""
    found = _WHOLE.fullmatch(text.translate(BLANKS))
    if found is None:
        return None
    numbers = [found["first"], found["second"], *([found["third"][1:]] if found["third"] else [])]
    return Seen(
        found["date"],
        tuple(map(int, numbers)),
        found["part"] is not None,
        found["half"] is not None,
        found["offset"] is not None,
    )


class _Pieces(dict[str, int]):
    """Pieces of stamps with what each is worth [us]; an unknown one is read and kept."""

    def __init__(self, read: Callable[[str], int]) -> None:
        super().__init__()
        self._read = read

    def __missing__(self, piece: str) -> int:
        worth = self._read(piece)
        if len(self) >= _MOST_KEPT:
            self.clear()
        self[piece] = worth
        return worth


@dataclass
class ColonReader:
    """Reads stamps with a colon in them: dates with times, times of day, elapsed hours and minutes."""

    form: TimeForm
    offsets: list[tuple[int, int]] = field(default_factory=list)
    """Each offset of the file in turn [us], behind the instant of the row where it begins [us of UTC]."""

    def __post_init__(self) -> None:
        two_colons = self.form.seconds and self.form.form != ELAPSED_MS
        self._heads = _Pieces(self._head_and_minutes if two_colons else self._head)
        self._hours = _Pieces(self._head)
        self._tails = _Pieces(self._tail)
        self._wholes = _Pieces(self._whole)
        self._rests = _Pieces(self._rest)
        self._behind = _Pieces(_offset_us)

    def all_of(self, texts: Sequence[str]) -> list[int]:
        """Microseconds of each text: of the wall clock since 1970, of UTC where there is an offset, of the day, or
        elapsed. Raises Unread for the first that cannot be read.
        """
        return self._with_offsets(texts) if self.form.offset and texts else self._walls(texts)

    def one(self, text: str) -> int:
        """Microseconds of one text. Raises Unread."""
        return self.all_of([text])[0]

    def _walls(self, texts: Sequence[str]) -> list[int]:
        heads, tails = self._heads, self._tails
        parts = map(str.rpartition, texts, repeat(":"))
        if texts and len(texts[0].rpartition(":")[-1]) > 2:
            wholes, rests = self._wholes, self._rests
            return [heads[head] + wholes[tail[:2]] + rests[tail[2:]] for head, _, tail in parts]
        return [heads[head] + tails[tail] for head, _, tail in parts]

    def _with_offsets(self, texts: Sequence[str]) -> list[int]:
        offsets = self._behind
        width = len(_offset_behind(texts[0]))
        behind = [text[-width:] for text in texts]
        if all(map(_BEHIND.fullmatch, set(behind))):
            walls = self._walls([text[:-width] for text in texts])
        else:
            behind = [_offset_behind(text) for text in texts]
            walls = self._walls([text[: -len(end)] for text, end in zip(texts, behind, strict=True)])
        instants = [wall - offsets[end] for wall, end in zip(walls, behind, strict=True)]
        self._follow_offsets(instants, behind)
        return instants

    def _follow_offsets(self, instants: list[int], behind: list[str]) -> None:
        known = {self.offsets[-1][1]} if self.offsets else set()
        if {self._behind[end] for end in set(behind)} == known:
            return
        for instant, end in zip(instants, behind, strict=True):
            offset = self._behind[end]
            if not self.offsets or self.offsets[-1][1] != offset:
                self.offsets.append((instant, offset))

    def _head_and_minutes(self, text: str) -> int:
        head, colon, minutes = text.rpartition(":")
        if not colon:
            raise Unread("it has fewer numbers than other rows")
        return self._hours[head] + _below_60(minutes, "minutes") * 60 * SECOND_US

    def _head(self, text: str) -> int:
        found = _HEAD.fullmatch(text.translate(BLANKS))
        if found is None:
            raise Unread("it has three numbers, other rows have two" if ":" in text else _NO_TIME)
        if (found["date"] is not None) != (self.form.form == DATE_AND_TIME):
            raise Unread("it has no date" if found["date"] is None else "it has a date")
        day = 0
        if found["date"] is not None and self.form.date_order is not None:
            day = day_in(found["date"], self.form.date_order).toordinal() - _UNIX_DAY
        return day * DAY_US + self._first_number(int(found["first"]))

    def _first_number(self, number: int) -> int:
        if self.form.form == ELAPSED_MS:
            return number * 60 * SECOND_US
        if self.form.half_day:
            if not 1 <= number <= 12:
                raise Unread(f"a clock with AM and PM has no hour {number}")
            return number % 12 * HOUR_US
        if number > 23 and self.form.form in (DATE_AND_TIME, TIME_OF_DAY):
            raise Unread(f"a day has no hour {number}")
        return number * HOUR_US

    def _tail(self, text: str) -> int:
        return self._wholes[text[:2]] + self._rests[text[2:]]

    def _whole(self, text: str) -> int:
        if self.form.seconds:
            return _below_60(text, "seconds") * SECOND_US
        return _below_60(text, "minutes") * 60 * SECOND_US

    def _rest(self, text: str) -> int:
        """What stands behind the last whole number: a fraction of a second, AM or PM."""
        found = _REST.fullmatch(text if text.isascii() else text.translate(BLANKS))
        if found is None:
            raise Unread(_NO_TIME)
        part, half = found.groups()
        if (half is not None) != self.form.half_day:
            raise Unread(
                "AM or PM is missing" if half is None else "AM or PM stands here, and not on other rows"
            )
        if part is not None and not self.form.seconds:
            raise Unread("a fraction of a minute stands there")
        fraction = int(part[:6].ljust(6, "0")) if part else 0
        return fraction + (12 * HOUR_US if half is not None and half[0] in "Pp" else 0)


@dataclass
class NumberReader:
    """Reads stamps that are plain numbers: elapsed time, serial days, Unix time."""

    form: TimeForm

    def all_of(self, texts: Sequence[str]) -> list[int]:
        """Microseconds of each text, rounded: serial days to the millisecond, since a day in a spreadsheet is a
        binary fraction. Raises Unread for the first that cannot be read.
        """
        scale = MICROSECONDS[self.form.form]
        mark = self.form.decimal
        if not set("".join(texts)) <= {*"0123456789-", mark}:
            raise Unread("it is no plain number")
        plain = texts if mark == "." else [text.replace(mark, ".") for text in texts]
        try:
            if self.form.form == SERIAL_DAYS:
                per_ms, origin_ms = scale // _MILLISECOND_US, _UNIX_SERIAL * scale // _MILLISECOND_US
                return [(round(float(text) * per_ms) - origin_ms) * _MILLISECOND_US for text in plain]
            return [round(float(text) * scale) for text in plain]
        except (ValueError, OverflowError):
            raise Unread("it is no plain number") from None

    def one(self, text: str) -> int:
        """Microseconds of one text. Raises Unread."""
        return self.all_of([text])[0]


def reader_of(form: TimeForm) -> ColonReader | NumberReader:
    """What reads stamps of that form."""
    return NumberReader(form) if form.form in MICROSECONDS else ColonReader(form)


def _offset_behind(text: str) -> str:
    found = _BEHIND.search(text)
    if found is None:
        raise Unread("the offset is missing")
    return found.group()


def _offset_us(text: str) -> int:
    digits = re.sub(r"[^\d]", "", text)
    if not digits:
        return 0
    hours, minutes = int(digits[:2]), _below_60(digits[2:] or "00", "minutes of the offset")
    if hours > 23:
        raise Unread(f"there is no offset of {hours} hours")
    size = hours * HOUR_US + minutes * 60 * SECOND_US
    return size if "+" in text else -size


def _below_60(digits: str, what: str) -> int:
    if not _TWO_DIGITS.fullmatch(digits):
        raise Unread(_NO_TIME)
    if digits > "59":
        raise Unread(f"{digits} {what} are more than 59")
    return int(digits)
