"""What one cell says: a temperature, "no reading", or neither. A text is read once and remembered."""

import re
from collections.abc import Iterable
from math import nan
from typing import Literal

from traveler.chart.model import TemperatureUnit
from traveler.quantity.parse import echo

Mark = Literal[".", ","]

READABLE: dict[TemperatureUnit, tuple[float, float]] = {"degC": (-100.0, 1300.0), "degF": (-148.0, 2372.0)}
"""What a couple on steel can read in a heat treatment; anything outside is an instrument's way to say "nothing".

The ends of the scale of the usual couples (1372 °C, -200 °C, -270 °C) and the numbers that stand for an open input
(9999, 32767, 6553.5) lie outside. Common practice, no published source.
"""

UNIT_NAMES: dict[TemperatureUnit, str] = {"degC": "°C", "degF": "°F"}

_HIGHEST = 2372
_OPEN_INPUT = (9999, 32767, 32768, 65535)
"""Numbers that stand for an open input; 32.767 may be one of them or a temperature with three decimals."""

_LONGEST = 40
_MOST_REMEMBERED = 50_000

_SPACES = " \u00a0\u2007\u2009\u202f"
_PARTS = re.compile(
    rf"""(?P<sign>[+\-\u2212]?) [{_SPACES}]?
    (?P<body> \d (?: [\d.,'’{_SPACES}]* [\d.] )? | [.,]\d+ )
    (?P<exponent> [eE][+\-\u2212]?\d{{1,3}} )?
    [{_SPACES}]* (?P<unit> (?:°|º|˚|[dD]eg\.?)? [{_SPACES}]? [CF] | ℃ | ℉ | ° )?""",
    re.ASCII | re.VERBOSE,
)


def _body(mark: str, other: str) -> re.Pattern[str]:
    """Digits, perhaps in groups of three between one kind of gap, then perhaps the mark and decimals."""
    gap = rf"(?P<gap>[{other}'’{_SPACES}])"
    grouped = rf"[1-9]\d{{0,2}}{gap}\d{{3}}(?:(?P=gap)\d{{3}})*"
    return re.compile(rf"(?:{grouped}|\d+)(?:[{mark}]\d*)?|[{mark}]\d+", re.ASCII)


_BODIES: dict[Mark, re.Pattern[str]] = {".": _body(".", ","), ",": _body(",", ".")}

# What instruments, spreadsheets and programs write in the place of a number. An infinite reading is one of them:
# it says that the input was over its range, as OVER does.
_WORDS = """
n/a na n.a. n.a #n/a #na #nv null none nil void blank missing nodata no_data noreading invalid inv ?
nan #nan -nan 1.#qnan -1.#ind 1.#ind 1.#inf -1.#inf inf +inf -inf infinity +infinity -infinity ∞ +∞ -∞
#num! #value! #div/0! #ref! #name? #null! #wert! #zahl! #bezug!
open opn opentc tcopen o.c. over ovr over-range over_range overrange overflow ovflw ol o.l o.l. +ol -ol 0l ofl
under udr under-range under_range underrange underflow ufl err err. error #err #error e bad fail failed fault
burnout burn-out burn b.out bo break broken disconnected disc unplugged
"""
_NO_READING = frozenset(_WORDS.split())
_ONLY_MARKS = re.compile(r"[-–—\u2212_.*?#<>=/+~]*")


def is_no_reading(text: str) -> bool:
    """Whether the cell is empty or one of the words and signs that stand for "no reading"."""
    folded = "".join(text.casefold().split())
    return folded in _NO_READING or _ONLY_MARKS.fullmatch(folded) is not None


def is_number(text: str) -> bool:
    """Whether the text is a number under one decimal mark or the other, a unit of temperature behind it or not."""
    parts = _parts(text)
    return parts is not None and any(body.fullmatch(parts["body"]) for body in _BODIES.values())


def mark_shown(text: str) -> Mark | Literal["either"] | None:
    """The decimal mark that the text of a temperature forces; None where it forces none.

    "either": one mark with three digits behind it that may as well part the thousands, as in 1,100. Where that
    would be a temperature above any that steel is treated at (20.125), the mark is the decimal one.
    """
    parts = _parts(text)
    if parts is None or not any(mark in parts["body"] for mark in _BODIES):
        return None
    fitting = [mark for mark, body in _BODIES.items() if body.fullmatch(parts["body"])]
    if len(fitting) < 2:
        return fitting[0] if fitting else None
    decimal: Mark = "." if "." in parts["body"] else ","
    as_thousands = int(parts["body"].replace(decimal, ""))
    if parts["exponent"] or (as_thousands > _HIGHEST and as_thousands not in _OPEN_INPUT):
        return decimal
    return "either"


def unit_shown(text: str) -> TemperatureUnit | None:
    """The unit behind the number of a cell."""
    parts = _parts(text)
    if parts is None or parts["unit"] in (None, "°"):
        return None
    return "degC" if parts["unit"][-1] in "C℃" else "degF"


def _parts(text: str) -> re.Match[str] | None:
    return _PARTS.fullmatch(text.strip()) if len(text) <= _LONGEST else None


class Refused(Exception):
    """A text that is no cell of temperatures. The message is the end of a sentence that begins with its place."""

    def __init__(self, text: str, why: str) -> None:
        super().__init__(why)
        self.text = text


class UnclearMark(Refused):
    """A text that is two different temperatures under the two decimal marks."""


class Cells(dict[str, float]):
    """Temperatures of one chart by the text of their cell: NaN for "no reading".

    One unit and one decimal mark hold for the whole file; a mark that nothing has shown yet (None) is settled by
    the first cell that forces one. ``missing``: further texts, or numbers, that mean "no reading".
    Looking up a text that is neither raises Refused.
    """

    def __init__(self, unit: TemperatureUnit, mark: Mark | None, missing: Iterable[str]) -> None:
        self.unit: TemperatureUnit = unit
        self.mark = mark
        self.low, self.high = READABLE[unit]
        self._missing = {text.strip().casefold() for text in missing}
        self.missing_numbers = frozenset(number for text in missing for number in _either_way(text))

    def __missing__(self, text: str) -> float:
        value = self._read(text)
        if len(self) >= _MOST_REMEMBERED:
            self.clear()
        self[text] = value
        return value

    def _read(self, text: str) -> float:
        if is_no_reading(text) or text.strip().casefold() in self._missing:
            return nan
        parts = _parts(text)
        if parts is None:
            raise Refused(text, self._not_a_temperature(text))
        if self.mark is None:
            self._settle_mark(text)
        mark = self.mark or "."
        if not _BODIES[mark].fullmatch(parts["body"]):
            raise Refused(text, self._not_a_temperature(text))
        shown = unit_shown(text)
        if shown is not None and shown != self.unit:
            raise Refused(
                text,
                f'read "{echo(text)}" in a chart of {UNIT_NAMES[self.unit]}; expected one unit throughout',
            )
        value = _plain(parts, mark)
        readable = self.low <= value <= self.high and value not in self.missing_numbers
        return value if readable else nan

    def _settle_mark(self, text: str) -> None:
        shown = mark_shown(text)
        if shown == "either":
            raise UnclearMark(text, either_way(text))
        self.mark = shown

    def _not_a_temperature(self, text: str) -> str:
        if self.mark and mark_shown(text) not in (self.mark, None):
            name = {".": "point", ",": "comma"}[self.mark]
            return f'read "{echo(text)}"; expected the decimal {name} that the file has elsewhere'
        return (
            f'read "{echo(text)}"; expected a temperature such as 595.4 or a word for no reading such as OPEN '
            "(others can be named: missing)"
        )


def either_way(text: str) -> str:
    """What a cell such as 1,100 says under one decimal mark and under the other."""
    parts = _parts(text)
    if parts is None:
        return f'read "{echo(text)}"'
    point, comma = (f"{_plain(parts, mark):g}" for mark in _BODIES)
    return f'"{echo(text)}" is {point} with a decimal point and {comma} with a decimal comma'


def _plain(parts: re.Match[str], mark: Mark) -> float:
    """The number whose body fits the mark."""
    whole, _, decimals = parts["body"].partition(mark)
    digits = "".join(character for character in whole if character.isdigit())
    sign, exponent = (part.replace("\u2212", "-") for part in (parts["sign"], parts["exponent"] or ""))
    return float(f"{sign}{digits}.{decimals}0{exponent}")


def _either_way(text: str) -> list[float]:
    parts = _parts(text)
    return (
        [_plain(parts, mark) for mark, body in _BODIES.items() if body.fullmatch(parts["body"])]
        if parts
        else []
    )
