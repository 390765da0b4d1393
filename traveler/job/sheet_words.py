"""The words of a fault: what was read, short and safe to print, and what would do."""

import re
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from traveler.quantity.units import Kind

LONGEST_QUOTE = 40
LONGEST_LIST = 16
LONGEST_COMPARED = 200
MOST_MEANT = 10**12

# What a bare number may have meant, in the shop's two systems.
_LIKELY_UNITS: Mapping[Kind, tuple[str, str]] = {
    Kind.LENGTH: ("in", "mm"),
    Kind.TEMPERATURE: ("F", "C"),
    Kind.ARC_ENERGY: ("kJ/mm", "kJ/in"),
    Kind.SPEED: ("mm/min", "in/min"),
    Kind.STRENGTH: ("MPa", "ksi"),
    Kind.HARDNESS: ("HV", "HRC"),
}

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]{1,40}")


def shown(value: Any) -> str:
    """A TOML value in a few words: text in quotes, cut at 40 characters, unprintable ones escaped."""
    if isinstance(value, str):
        return f'"{_escaped(value)}"'
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        # A longer integer is no number a sheet can need, and Python refuses to print a very long one.
        return f"the number {value}" if value.bit_length() <= 128 else "a number of more than 38 digits"
    if isinstance(value, Decimal):
        return f"the number {_escaped(str(value).lower())}"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    return f"the date or time {value}"


def place_name(key: str) -> str:
    """A key as part of a place; quoted where it is no bare key of TOML."""
    return key if _BARE_KEY.fullmatch(key) else shown(key)


def with_unit(value: Any, kind: Kind) -> str:
    """The number as the quantities it may have meant: 0.25 as "0.25 in" or "0.25 mm"."""
    number, units = plain_number(value), _LIKELY_UNITS.get(kind, ())
    return " with a unit: " + " or ".join(f'"{number} {unit}"' for unit in units) if number and units else ""


def plain_number(value: Any) -> str | None:
    """The digits of a number that a person could have meant."""
    # Compared, not by abs(): that rounds a Decimal, and overflows on 1e999999999.
    if isinstance(value, int) and not isinstance(value, bool):
        return str(value) if -MOST_MEANT < value < MOST_MEANT else None
    if isinstance(value, Decimal) and value.is_finite():
        return str(value) if -MOST_MEANT < value < MOST_MEANT else None
    return None


def one_of(what: str, names: Mapping[str, str], typed: str | None) -> str:
    """The names that would do: all where they are few, else their count, and those near ``typed``."""
    labels = list(dict.fromkeys(names.values()))
    if not labels:
        return f"one of the {what} of the sheet, which has none"
    known = f"one of {len(labels)} known {what}"
    if len(labels) <= LONGEST_LIST:
        known = f"one of {_listed(labels)}"
    if typed is None:
        return known
    from difflib import get_close_matches  # for a name that nobody knows

    folded = {name.casefold(): label for name, label in names.items()}
    near = get_close_matches(typed[:LONGEST_COMPARED].strip().casefold(), folded, n=3)
    if not near:
        return known
    return f"{known} (did you mean {_listed(dict.fromkeys(folded[name] for name in near), ' or ')}?)"


def _listed(labels: Iterable[str], between: str = ", ") -> str:
    return between.join(f'"{label}"' for label in labels)


def _escaped(text: str) -> str:
    head = "".join(_escaped_character(character) for character in text[: LONGEST_QUOTE + 1])
    return head if len(head) <= LONGEST_QUOTE else head[: LONGEST_QUOTE - 1] + "…"


def _escaped_character(character: str) -> str:
    return character if character.isprintable() else character.encode("unicode_escape").decode("ascii")
