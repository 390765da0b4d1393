"""The date in a stamp: in which orders it can be read, and its day in one of them."""

import re
from datetime import date

FIRST_YEAR, LAST_YEAR = 1970, 2099
"""Years that a logger can show; one whose clock was never set begins at 1970 or 2000."""

_NUMBERS = re.compile(r"(\d{1,4})([-/.])(\d{1,2})\2(\d{1,4})", re.ASCII)
_COMPACT = re.compile(r"(\d{4})(\d\d)(\d\d)", re.ASCII)
_NAMED = re.compile(r"(\d{1,2})(?:[-/ ]|\. ?)([^\W\d_]{3,9})\.?[-/ ]?(\d{4}|\d\d)")
_PLACES = {"ymd": (0, 1, 2), "dmy": (2, 1, 0), "mdy": (2, 0, 1)}
_MONTHS = {
    name: month
    for month, names in enumerate(
        (
            "jan january januar",
            "feb february februar",
            "mar march mär märz mrz",
            "apr april",
            "may mai",
            "jun june juni",
            "jul july juli",
            "aug august",
            "sep sept september",
            "oct october okt oktober",
            "nov november",
            "dec december dez dezember",
        ),
        start=1,
    )
    for name in names.split()
}


class Unread(Exception):
    """Why a stamp cannot be read, as the middle of the sentence that the person reads."""


def day_in(text: str, order: str) -> date:
    """The day that ``text`` names where numbers stand in that order. Raises Unread.

    A month by its name (English or German) leaves nothing to order. Two digits of a year: 70 to 99 are 1970 to 1999.
    """
    year, month, day = _pieces(text, order)
    try:
        return date(_full_year(year), month, day)
    except ValueError:
        raise Unread(f"there is no day {day} of month {month} in {year}") from None


def orders_of(text: str) -> tuple[str, ...]:
    """The orders in which ``text`` is a day; empty where it is none. With the name of a month nothing is open."""
    fitting = [order for order in _PLACES if _is_day(text, order)]
    return ("dmy",) if fitting and _NAMED.fullmatch(text) else tuple(fitting)


def _is_day(text: str, order: str) -> bool:
    try:
        day_in(text, order)
    except Unread:
        return False
    return True


def _pieces(text: str, order: str) -> tuple[str, int, int]:
    if named := _NAMED.fullmatch(text):
        day, name, year = named.groups()
        month = _MONTHS.get(name.casefold())
        if month is None:
            raise Unread(f"{name} is not the name of a month")
        return year, month, int(day)
    if compact := _COMPACT.fullmatch(text):
        found = compact.groups()
    elif numbers := _NUMBERS.fullmatch(text):
        found = numbers.group(1, 3, 4)
    else:
        raise Unread("it has no date of that form")
    year, month_text, day_text = (found[place] for place in _PLACES[order])
    if len(year) not in (2, 4) or len(month_text) > 2 or len(day_text) > 2:
        raise Unread("its date is in another order")
    return year, int(month_text), int(day_text)


def _full_year(text: str) -> int:
    year = int(text)
    if len(text) == 2:
        return year + (1900 if year >= FIRST_YEAR % 100 else 2000)
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise Unread(f"the year {text} is not one from {FIRST_YEAR} to {LAST_YEAR}")
    return year
