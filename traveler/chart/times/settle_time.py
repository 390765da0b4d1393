"""Which form the times of a file have, from its first rows, the names of its columns and what a person told."""

import re
from collections.abc import Iterable, Sequence
from typing import Final

from traveler.chart.model import Question, Told
from traveler.chart.times.clock import stamps_of
from traveler.chart.times.dates import day_in, orders_of
from traveler.chart.times.number_form import looks_like_count, number_form
from traveler.chart.times.stamp_text import BLANKS, Seen, seen_in
from traveler.chart.times.time_form import (
    DATE_AND_TIME,
    ELAPSED_HM,
    ELAPSED_HMS,
    ELAPSED_MS,
    MEANINGS,
    NO_ZONE,
    ORDER_WORDS,
    TIME_OF_DAY,
    TimeForm,
)
from traveler.chart.times.time_names import says_clock, says_elapsed, unit_of_time, written_form
from traveler.chart.times.zones import find_zone
from traveler.chart.unclear import Unclear
from traveler.errors import BadInput
from traveler.quantity.parse import echo

_NUMBER: Final = re.compile(r"-?\d+(?:[.,]\d+)*", re.ASCII)
_OLDEST_LOG: Final = 2015
"""With two digits for the year, a file that seems older is rather one that begins with the year."""

_EXPECTED: Final = "a time such as 2026-03-01 08:00:00, 01.03.2026 08:00, 08:00:00, or a number of seconds"


def looks_like_time(text: str) -> bool:
    """Whether a cell can be taken for a time by itself: a date, a clock, both, or a count no temperature reaches.

    Elapsed seconds look like any other number; there the name of the column says it.
    """
    plain = text.translate(BLANKS).strip()
    return bool(orders_of(plain)) or _stamp(plain) is not None or looks_like_count(plain)


def settle_time(samples: Sequence[Sequence[str]], names: Sequence[str], told: Told) -> TimeForm:
    """The form of the times.

    ``samples``: of the first rows the texts of the time column, or of the column of dates and that of times;
    ``names``: of those columns. Raises Unclear where the file can be read in two ways (``date_order``, ``time_form``,
    ``decimal``) and BadInput where it cannot be read, or not as told.
    """
    _check_told(told)
    rows = [row for row in samples if any(text.strip() for text in row)]
    if not rows or not 1 <= len(names) <= 2:
        raise BadInput(
            f"expected one time column, or one of dates and one of times, with rows; read {len(names)} columns"
        )
    time_first = len(names) == 2 and not _dates_first(rows)
    texts = stamps_of(list(zip(*rows, strict=True)), time_first)
    name = " ".join(names)
    if _NUMBER.fullmatch(texts[0]):
        return number_form([text for text in texts if _NUMBER.fullmatch(text)], name, told)
    stamps = [(text, stamp) for text in texts if (stamp := _stamp(text)) is not None]
    if not stamps:
        why = "a date without a time" if orders_of(texts[0].translate(BLANKS)) else "no time"
        raise BadInput(
            f'the time column {echo(name)} begins with "{echo(texts[0])}", {why}; expected {_EXPECTED}'
        )
    if stamps[0][1].date is None:
        return _without_date(stamps, name, told)
    _only(told, (DATE_AND_TIME,), stamps[0][0])
    seen = [stamp for _, stamp in stamps]
    return TimeForm(
        DATE_AND_TIME,
        _date_order([stamp.date for stamp in seen if stamp.date is not None], told),
        told.zone,
        half_day=_most(stamp.half_day for stamp in seen),
        offset=_most(stamp.offset for stamp in seen),
        seconds=len(seen[0].numbers) == 3,
        time_first=time_first,
    )


def _check_told(told: Told) -> None:
    if told.zone is not None and told.zone not in NO_ZONE:
        find_zone(told.zone)
    if told.time_form is not None and told.time_form not in MEANINGS:
        raise BadInput(f'"{echo(told.time_form)}" is no form of time: expected one of {", ".join(MEANINGS)}')
    if told.date_order is not None and told.date_order not in ORDER_WORDS:
        raise BadInput(
            f'"{echo(told.date_order)}" is no order of a date: expected one of {", ".join(ORDER_WORDS)}'
        )


def _only(told: Told, forms: Iterable[str], text: str) -> None:
    """Raises BadInput where another form was told than the text can have."""
    if told.time_form is not None and told.time_form not in forms:
        raise BadInput(
            f'"{echo(text)}" is not {MEANINGS[told.time_form]}, as was told: expected one of {", ".join(forms)}'
        )


def _dates_first(rows: Sequence[Sequence[str]]) -> bool:
    return any(orders_of(row[0].translate(BLANKS).strip()) for row in rows)


def _stamp(text: str) -> Seen | None:
    """The parts of a stamp with a colon whose date, where it has one, is a day in some order."""
    seen = seen_in(text)
    if seen is None:
        return None
    fits = not seen.offset if seen.date is None else bool(orders_of(seen.date))
    return seen if fits else None


def _without_date(stamps: Sequence[tuple[str, Seen]], name: str, told: Told) -> TimeForm:
    first, seen = stamps[0]
    two = len(seen.numbers) == 2
    half_day = _most(stamp.half_day for _, stamp in stamps)
    elapsed = (ELAPSED_HM, ELAPSED_MS) if two else (ELAPSED_HMS,)
    _only(told, (TIME_OF_DAY,) if half_day else (TIME_OF_DAY, *elapsed), first)
    form = told.time_form or (TIME_OF_DAY if half_day or says_clock(name) else None)
    if form is None and two:
        form = _two_numbers(stamps, name)
    elif form is None:
        form = ELAPSED_HMS if _from_a_start(stamps, name) else TIME_OF_DAY
    return TimeForm(form, half_day=half_day, seconds=not two or form == ELAPSED_MS)


def _from_a_start(stamps: Sequence[tuple[str, Seen]], name: str) -> bool:
    """Whether hours and minutes count from a start: the name says so, they begin at nothing, or exceed a day."""
    begins_at_nothing = stamps[0][1].numbers[:2] == (0, 0)
    return begins_at_nothing or says_elapsed(name) or any(stamp.numbers[0] > 23 for _, stamp in stamps)


def _two_numbers(stamps: Sequence[tuple[str, Seen]], name: str) -> str:
    """8:30 may be hours and minutes or minutes and seconds, sixty times less; only a clock is plain by itself."""
    written, unit = written_form(name), unit_of_time(name)
    if written == "mm:ss" or unit == "min" or any(stamp.fraction for _, stamp in stamps):
        return ELAPSED_MS
    if written == "h:mm" or unit == "h":
        return ELAPSED_HM if _from_a_start(stamps, name) else TIME_OF_DAY
    first, second = (
        60 * stamp.numbers[0] + stamp.numbers[1] for _, stamp in (stamps[0], stamps[min(1, len(stamps) - 1)])
    )
    begins_late = first >= 60 and first > second - first
    if begins_late and not _from_a_start(stamps, name):
        return TIME_OF_DAY
    raise Unclear(
        Question(
            "time_form",
            f"the time column {echo(name)} begins with {echo(stamps[0][0])}, which can be hours and minutes or minutes "
            "and seconds: which is it?",
            tuple((form, MEANINGS[form]) for form in (ELAPSED_HM, ELAPSED_MS, TIME_OF_DAY)),
        )
    )


def _most(answers: Iterable[bool]) -> bool:
    """Whether the first row or half of all say yes; the others are then for the clock to refuse, with their line."""
    found = list(answers)
    return found[0] or 2 * sum(found) >= len(found)


def _date_order(dates: Sequence[str], told: Told) -> str:
    """The order of day, month and year, which the dates show or a person told."""
    first = dates[0]
    left = orders_of(first)
    if left == ("ymd",):
        return "ymd"
    if told.date_order is not None:
        if wrong := [date for date in dates if told.date_order not in orders_of(date)]:
            raise BadInput(f'"{echo(wrong[0])}" is no date with {ORDER_WORDS[told.date_order]}, as was told')
        return told.date_order
    for date in dict.fromkeys(dates):
        # A date that none of these orders fits is for the clock to refuse, with its line.
        left = tuple(order for order in left if order in orders_of(date)) or left
    day_or_month = [order for order in left if order != "ymd"]
    if "." in first and "dmy" in day_or_month:
        return "dmy"  # no country writes the month before the day with points between
    if len(day_or_month) == 1 and not ("ymd" in left and _year_may_be_first(dates, day_or_month[0])):
        return day_or_month[0]
    if len(left) == 1:
        return left[0]
    asked = day_or_month if len(day_or_month) > 1 else left
    days = {order: day_in(first, order).isoformat() for order in asked}
    raise Unclear(
        Question(
            "date_order",
            f"a date such as {echo(first)} can be read as {' or as '.join(days.values())}: in which order do day, "
            "month and year stand?",
            tuple((order, f"{ORDER_WORDS[order]}: {day}") for order, day in days.items()),
        )
    )


def _year_may_be_first(dates: Sequence[str], order: str) -> bool:
    """Whether 26/03/01 is rather a day of 2026 than one of 2001: with the year last it is long ago, or years pass."""
    years = {day_in(date, order).year for date in dates if order in orders_of(date)}
    return len(years) > 1 or years.pop() < _OLDEST_LOG
