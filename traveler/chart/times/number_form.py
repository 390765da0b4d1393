"""Times that are plain numbers: what they count, from their size and the name of their column."""

import re
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from traveler.chart.model import Question, Told
from traveler.chart.times.time_form import MEANINGS, MICROSECONDS, SERIAL_DAYS, UNIX_MS, UNIX_S, TimeForm
from traveler.chart.times.time_names import unit_of_time
from traveler.chart.unclear import Unclear
from traveler.errors import BadInput
from traveler.quantity.parse import echo

UNIX_SECONDS: Final = (1.0e9, 4.1e9)
"""Unix seconds of 2001 to 2099. Nobody logs elapsed time for thirty years."""

SERIALS: Final = (25_569.0, 73_051.0)
"""Serial days of 1970 to 2099."""

_GROUPED = re.compile(r"-?[1-9]\d{0,2}(?:[.,]\d{3})+", re.ASCII)
_COUNT = re.compile(r"\d{10}(?:[.,]\d+)?|\d{13}|\d{5}[.,]\d{3,}", re.ASCII)
_FINE = re.compile(r"\d+[.,]\d{3,}", re.ASCII)


def looks_like_count(text: str) -> bool:
    """Whether a number can be Unix time or the serial day of a moment, which no temperature reaches."""
    if not _COUNT.fullmatch(text):
        return False
    number = _number(text)
    return _within(number, UNIX_SECONDS) or _within(number / 1000, UNIX_SECONDS) or _within(number, SERIALS)


def number_form(texts: Sequence[str], name: str, told: Told) -> TimeForm:
    """The form of times that are all plain numbers. Raises Unclear for ``time_form`` and ``decimal``, BadInput."""
    decimal = _decimal(texts, told)
    form = _told_form(texts[0], told) or _counted([_number(text) for text in texts], texts[0], name)
    return TimeForm(form, zone=told.zone, decimal=decimal)


def _told_form(text: str, told: Told) -> str | None:
    if told.time_form is not None and told.time_form not in MICROSECONDS:
        raise BadInput(
            f'"{echo(text)}" is not {MEANINGS[told.time_form]}, as was told: expected one of {", ".join(MICROSECONDS)}'
        )
    return told.time_form


def _counted(numbers: Sequence[float], first: str, name: str) -> str:
    unit = unit_of_time(name)
    if unit in (None, "s") and _within(numbers[0], UNIX_SECONDS):
        return UNIX_S
    if unit in (None, "ms") and _within(numbers[0] / 1000, UNIX_SECONDS):
        return UNIX_MS
    may_be_serial = unit in (None, "d") and all(_within(number, SERIALS) for number in numbers)
    if (
        may_be_serial
        and _FINE.fullmatch(first)
        and all(after - before < 1 for before, after in pairwise(numbers))
    ):
        return SERIAL_DAYS
    if unit is not None:
        return f"elapsed {unit}"
    forms = ["elapsed s", "elapsed min", "elapsed h", *([SERIAL_DAYS] if may_be_serial else [])]
    raise Unclear(
        Question(
            "time_form",
            f"the time column {echo(name)} holds numbers from {echo(first)} on and names no unit: what do they count?",
            tuple((form, MEANINGS[form]) for form in forms),
        )
    )


def _decimal(texts: Sequence[str], told: Told) -> str:
    """The decimal mark of the times; as told for the file where anybody said so."""
    marks = {mark for text in texts for mark in ".," if mark in text}
    if told.decimal is not None:
        marks.discard(told.decimal)
    elif len(marks) < 2:
        marked = [text for text in texts if any(mark in text for mark in marks)]
        if marked and all(_GROUPED.fullmatch(text) for text in marked):
            raise Unclear(_decimal_question(marked[0]))
        return marks.pop() if marks else "."
    if marks:
        text = next(text for text in texts if any(mark in text for mark in marks))
        mark = told.decimal or "."
        raise BadInput(
            f'the time "{echo(text)}" has a mark that is no decimal mark: expected a number such as 1234{mark}5'
        )
    return told.decimal or "."


def _decimal_question(text: str) -> Question:
    as_decimal, as_grouped = text.replace(",", "."), re.sub(r"[.,]", "", text)
    here, other = (",", ".") if "," in text else (".", ",")
    return Question(
        "decimal",
        f"the time {echo(text)} can be read as {as_decimal} or as {as_grouped}: which mark stands before the decimals?",
        ((here, f"{echo(text)} is {as_decimal}"), (other, f"{echo(text)} is {as_grouped}")),
    )


def _number(text: str) -> float:
    """The size of a number, whatever its decimal mark."""
    whole, *rest = re.split("[.,]", text)
    return float(f"{whole}.{''.join(rest) or '0'}")


def _within(number: float, limits: tuple[float, float]) -> bool:
    return limits[0] <= number < limits[1]
