"""Reads what a person typed, "300 F" or "1-1/4 in", into an exact quantity, or says in a sentence why not."""

import re
from fractions import Fraction
from functools import lru_cache

from traveler.errors import BadInput
from traveler.quantity import beyond
from traveler.quantity.quantity import Quantity
from traveler.quantity.units import ABSOLUTE_ZERO_C, BY_SYMBOL, Kind, Unit, find


class QuantityError(BadInput):
    """What was typed is no quantity of the kind asked for; one sentence: what was read, what was expected."""


EXPECTED = {
    Kind.TEMPERATURE: "a temperature such as 300 F or 150 C",
    Kind.SPAN: "a temperature difference such as 50 F or 30 C",
    Kind.RATE: "a rate such as 400 F/h or 200 C/h",
    Kind.LENGTH: "a length such as 1/4 in or 6.4 mm",
    Kind.TIME: "a time such as 30 min or 2 h",
    Kind.ARC_ENERGY: "an arc energy such as 1.0 kJ/mm or 25 kJ/in",
    Kind.VOLTAGE: "a voltage such as 12 V",
    Kind.CURRENT: "a current such as 150 A",
    Kind.SPEED: "a travel speed such as 90 mm/min or 4 in/min",
    Kind.ENERGY: "an energy such as 12 kJ",
    Kind.POWER: "a power such as 2.1 kW",
    Kind.STRENGTH: "a strength such as 1100 MPa or 160 ksi",
    Kind.HARDNESS: "a hardness such as 350 HV or 22 HRC",
}

LONGEST = 40  # characters; far beyond any real entry, and short enough to be repeated in a message

# What keyboards, phones and copied tables put in the place of the plain character.
_ALIKE = str.maketrans(
    {"º": "°", "˚": "°", "℃": "°C", "℉": "°F", "″": '"', "“": '"', "”": '"'}
    | dict.fromkeys("\u00a0\u202f\u2009", " ")
)
_NUMBER = re.compile(
    r"""(?P<sign>[+\-\u2212]?)
    (?: (?:(?P<whole>\d+)(?:-|\ +))? (?P<top>\d+)/(?P<bottom>\d+)
      | (?P<decimal>\d+\.?\d*|\.\d+) )""",
    re.ASCII | re.VERBOSE,
)
_COMMA = re.compile(r"[+\-\u2212]?\d+,\d+", re.ASCII)
_GROUPED = re.compile(r"[+\-\u2212]?\d{1,3}(?:[ ,'_’]\d{3})+(?:\.\d*)?", re.ASCII)


def echo(text: str) -> str:
    """What was typed, safe to print: ``LONGEST`` characters at most, unprintable ones as question marks."""
    shown = "".join(ch if ch.isprintable() else "?" for ch in text[: LONGEST + 1])
    return shown if len(shown) <= LONGEST else f"{shown[: LONGEST - 3]}..."


def parse_quantity(text: str, kind: Kind) -> Quantity:
    """The quantity of that kind in ``text``: a number, then its unit ("1-1/4 in", ".25 in", "-20 °F").

    Any sign is read; whether a thickness may be zero is for the caller, who knows what the number is for.
    Raises QuantityError: not a plain number, no unit, a unit of something else, below absolute zero.
    """
    try:
        return _parse(text, kind)
    except _Refused as refused:
        raise _error(text, refused, EXPECTED[kind]) from None


@lru_cache(maxsize=1024)  # each act and each verification judges the same readings anew
def stored(text: str, symbol: str) -> Quantity:
    """The quantity kept as the text of its number and the symbol of its unit. Raises QuantityError."""
    kept = unit(symbol)
    try:
        return _quantity(text, kept)
    except _Refused as refused:
        raise _error(f"{text} {symbol}", refused, EXPECTED[kept.kind]) from None


def unit(symbol: str) -> Unit:
    """The unit stored under that symbol: "degF", "delta_degC/h", "in". Raises QuantityError."""
    found = BY_SYMBOL.get(symbol) or beyond.by_symbol(symbol)
    if found is None:
        raise QuantityError(f"{echo(symbol)}: no such unit is stored; expected one such as degF, mm or kJ/mm")
    return found


class _Refused(Exception):
    """Why a text is refused, as the middle of the sentence that the person reads."""


def _error(text: str, why: _Refused, expected: str) -> QuantityError:
    return QuantityError(f"{echo(text)}: {why}; expected {expected}")


def plain(text: str) -> str:
    """``text`` without blanks around it, and with the plain character for each that only looks like it."""
    return text.translate(_ALIKE).strip(" ")


def _parse(text: str, kind: Kind) -> Quantity:
    if len(text) > LONGEST:
        raise _Refused(f"longer than {LONGEST} characters")
    typed = plain(text)
    if not typed:
        raise QuantityError(f"nothing was typed; expected {EXPECTED[kind]}")
    if not typed.isprintable():
        raise _Refused("there is a control character in it")
    number_text, unit_text = split(typed)
    if not number_text:
        raise _Refused("the number is missing")
    if re.match(r"[eE][+-]?\d", unit_text):
        raise _Refused("write the number in full, without an exponent")
    _number(number_text)  # a bad number is said before a bad unit
    return _quantity(number_text, _named_unit(unit_text, kind))


def split(text: str) -> tuple[str, str]:
    """The number and the unit of a text, both unread; the unit begins at the first letter, ° or inch sign."""
    start = next((at for at, ch in enumerate(text) if ch.isalpha() or ch in '°"%'), len(text))
    return text[:start].rstrip(" "), re.sub(r" *(?:/| per ) *", "/", re.sub(" +", " ", text[start:]))


def _quantity(number_text: str, of: Unit) -> Quantity:
    quantity = Quantity(number_text, _number(number_text), of)
    if of.kind is Kind.TEMPERATURE and quantity.canonical < ABSOLUTE_ZERO_C:
        raise _Refused("this is below absolute zero")
    return quantity


def _number(text: str) -> Fraction:
    read = _NUMBER.fullmatch(text) if len(text) <= LONGEST else None
    if read is None:
        raise _Refused(_not_a_number(text))
    sign, whole, top, bottom, decimal = read.group("sign", "whole", "top", "bottom", "decimal")
    size = Fraction(decimal) if decimal else _mixed(whole, top, bottom)
    return size if sign in ("", "+") else -size


def _mixed(whole: str | None, top: str, bottom: str) -> Fraction:
    if int(bottom) == 0:
        raise _Refused("a fraction cannot be divided by zero")
    fraction = Fraction(int(top), int(bottom))
    if whole is None:
        return fraction
    if fraction >= 1:
        raise _Refused("the fraction behind a whole number must be less than one")
    return int(whole) + fraction


def _not_a_number(text: str) -> str:
    if len(text) <= LONGEST and _GROUPED.fullmatch(text):
        joined = re.sub("[ ,'_’]", "", text)
        if _COMMA.fullmatch(text):
            return f"a comma can be read two ways, so write {text.replace(',', '.')} or {joined}"
        return f"write {joined}, without separators between the thousands"
    if len(text) <= LONGEST and _COMMA.fullmatch(text):
        return f"a decimal comma is not read, so write {text.replace(',', '.')}"
    if "_" in text:
        return "write the number without separators"
    return f"{echo(text)} is not a plain number such as 300, 6.4 or 1-1/4"


def _named_unit(name: str, kind: Kind) -> Unit:
    if not name:
        raise _Refused("the unit is missing")
    if "Mm" in name:
        raise _Refused("Mm is a thousand kilometres, so write mm")
    found = find(name, kind)
    if found is not None:
        return found
    # A name of the table never goes to pint, where "C" is a coulomb and "h" may follow anything.
    elsewhere = any(find(name, other) for other in Kind)
    if not elsewhere:
        found = beyond.beyond_table(name, kind)
        if found is not None:
            return found
        elsewhere = beyond.known(name)
    raise _Refused(f"{name} is not a unit of {kind}" if elsewhere else f"{name} is not a known unit")
