"""From the bytes of a job sheet to TOML tables with exact numbers, or one sentence where reading stopped."""

import re
import tomllib
import unicodedata
from decimal import Decimal, InvalidOperation
from typing import Any

from traveler.errors import BadInput, BadSheet
from traveler.job.sheet_words import LONGEST_QUOTE, shown

LARGEST_SHEET_BYTES = 1024 * 1024

_PLACE = re.compile(r"(?P<what>.*) \(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)")
_PART = r"""(?:[A-Za-z0-9_-]++|"[^"\n]*"|'[^'\n]*')[ \t]*"""
_ENDLESS_KEY = re.compile(rf"(?<![\w-]){_PART}(?:\.[ \t]*{_PART}){{200}}")
"""More parts than a text of a sheet has room for; tomllib takes time with the square of their number."""
_DECIMAL_COMMA = re.compile(r"=\s*[-+]?[0-9]+,[0-9]")


def decode_sheet(raw: bytes) -> str:
    """The text of a sheet file: UTF-8, a byte order mark tolerated, put into NFC as the record stores text.

    Raises `BadInput` for a file over 1 MiB and for one that is not UTF-8.
    """
    if len(raw) > LARGEST_SHEET_BYTES:
        raise BadInput(f"job sheet: read {len(raw)} bytes; expected a sheet of at most 1 MiB")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadInput(
            f"job sheet: read byte 0x{raw[error.start]:02X} at position {error.start}, which is not UTF-8; "
            "expected a text file saved as UTF-8"
        ) from error
    return unicodedata.normalize("NFC", text)


def parse_toml(text: str) -> dict[str, Any]:
    """The tables of ``text``. Numbers with a point or an exponent become `Decimal`, never a float.

    Raises `BadSheet` with one sentence for text that is too long, not encodable, or not TOML.
    """
    _check_encodable(text)
    if _ENDLESS_KEY.search(text):
        raise BadSheet(("job sheet: read a key of hundreds of parts; expected a few, such as job.number",))
    try:
        return tomllib.loads(text, parse_float=_exact)
    except tomllib.TOMLDecodeError as error:
        raise BadSheet((_syntax_fault(text, str(error)),)) from error
    except RecursionError as error:
        fault = "job sheet: read tables or lists nested without end; expected a few levels"
        raise BadSheet((fault,)) from error
    except ValueError as error:
        # int() refuses text of several thousand digits, and tomllib lets that pass as a bare ValueError.
        fault = "job sheet: read a number of thousands of digits; expected plain numbers"
        raise BadSheet((fault,)) from error


def _check_encodable(text: str) -> None:
    try:
        size = len(text.encode("utf-8"))
    except UnicodeEncodeError as error:
        read = shown(text[error.start])
        fault = f"job sheet: read {read} at character {error.start}; expected Unicode text"
        raise BadSheet((fault,)) from error
    if size > LARGEST_SHEET_BYTES:
        raise BadSheet((f"job sheet: read {size} bytes; expected a sheet of at most 1 MiB",))


def _exact(text: str) -> Decimal:
    try:
        return Decimal(text)
    except InvalidOperation:
        # An exponent beyond what Decimal holds: as an infinity it is refused at the place where it stands.
        return Decimal("Infinity")


def _syntax_fault(text: str, message: str) -> str:
    """tomllib's message as one sentence with line, column and the line itself."""
    lines = text.replace("\r\n", "\n").split("\n")
    found = _PLACE.fullmatch(message)
    what = found["what"] if found else message
    if found and found["line"]:
        line, column = int(found["line"]), int(found["column"])
    else:
        line, column = len(lines), len(lines[-1]) + 1
    typed = lines[line - 1]
    expected = "TOML, with text and quantities in quotes"
    if _DECIMAL_COMMA.search(typed):
        expected = "TOML, with a decimal point instead of the decimal comma"
    if "overwrite" in what or "twice" in what:
        expected = "each key and each table once"
    what = what[:1].lower() + what[1:]
    return f"line {line}, column {column}: read {shown(_around(typed, column))}; expected {expected} ({what})"


def _around(line: str, column: int) -> str:
    """The line; of a long one, the part that holds the column."""
    before = max(0, column - LONGEST_QUOTE // 2) if len(line) > LONGEST_QUOTE else 0
    return "…" + line[before:] if before else line.strip()
