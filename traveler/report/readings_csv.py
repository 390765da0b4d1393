"""Every reading of a job as a table for a spreadsheet: CSV after RFC 4180, in UTF-8, one reading a row."""

import csv
import io
import re
from collections.abc import Iterator
from fractions import Fraction

from traveler.quantity.parse import QuantityError, stored
from traveler.report.requirement_words import limit_words
from traveler.report.words import Object, person, visible

COLUMNS = (
    "job",
    "revision",
    "step",
    "kind",
    "joint",
    "quantity",
    "limit",
    "reading",
    "value",
    "unit",
    "entered",
    "place",
    "run",
    "instrument",
    "happened at",
    "recorded at",
    "by",
    "attempt",
    "verdict",
    "superseded by",
    "reason",
)
DECIMALS = 6
"""Of a value without a finite decimal form; what was entered stands beside it in full."""
_PLAIN_NUMBER = re.compile(r"-?\d+(\.\d+)?", re.ASCII)
_BEGINS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def readings_csv(obj: Object) -> bytes:
    """The readings of a stored job, superseded ones too, in the order of the steps.

    A cell that a spreadsheet would run as a formula begins with an apostrophe (OWASP, CSV Injection); numbers are left
    as they are. ``value`` is a decimal number in ``unit``: exact where it has an end, else rounded to six decimals.
    Begins with the byte order mark by which spreadsheets know UTF-8.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    writer.writerows([_harmless(cell) for cell in row] for row in _rows(obj))
    return text.getvalue().encode("utf-8-sig")


def _taken_with(reading: Object) -> str:
    """The words that were typed, and the vendor who reported the value where it was not read here."""
    vendor = reading.get("reported_by")
    return "; ".join(filter(None, [reading["instrument"], f"reported by {vendor}" if vendor else ""]))


def _rows(obj: Object) -> Iterator[list[str]]:
    for step in obj["steps"]:
        for requirement in step["requirements"]:
            for reading in requirement["readings"]:
                yield [
                    obj["job"],
                    str(obj["revision"]),
                    str(step["number"]),
                    step["kind"],
                    requirement["joint"] or "",
                    requirement["quantity"],
                    limit_words(requirement),
                    str(reading["reading"]),
                    _value(reading),
                    reading["unit"] or "",
                    reading["typed"],
                    reading["place"] or "",
                    _or_empty(reading["run"]),
                    _taken_with(reading),
                    reading["happened_at"],
                    reading["recorded_at"],
                    person(reading["by"]),
                    str(reading["attempt"]),
                    reading["verdict"],
                    _superseded(reading),
                    reading["reason"] or "",
                ]


def _or_empty(value: object) -> str:
    return "" if value is None else str(value)


def _superseded(reading: Object) -> str:
    if not reading["superseded"]:
        return ""
    return _or_empty(reading["superseded_by"]) or "retracted"


def _value(reading: Object) -> str:
    if not reading["unit"]:
        return str(reading["value"])
    try:
        return _decimal(stored(reading["value"], reading["unit"]).number)
    except QuantityError:  # words beside a unit, as of a crayon; they stand as they are
        return str(reading["value"])


def _decimal(size: Fraction) -> str:
    """The number without an exponent; with all its decimals where they end."""
    bottom = size.denominator
    for prime in (2, 5):
        while bottom % prime == 0:
            bottom //= prime
    if bottom != 1:
        return f"{float(size):.{DECIMALS}f}"
    decimals = 0
    while (size * 10**decimals).denominator != 1:
        decimals += 1
    digits = f"{abs(int(size * 10**decimals)):0{decimals + 1}d}"
    sign = "-" if size < 0 else ""
    return f"{sign}{digits[:-decimals]}.{digits[-decimals:]}" if decimals else f"{sign}{digits}"


def _harmless(cell: str) -> str:
    shown = visible(cell)
    if shown.startswith(_BEGINS_A_FORMULA) and not _PLAIN_NUMBER.fullmatch(shown):
        return f"'{shown}"
    return shown
