"""Shapes of the table of outside checks, and how its numbers are written."""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from traveler.metals.outcome import Outcome

PUBLISHED = Path(__file__).parents[2] / "fixtures" / "published"
AGREES, DIFFERS = "agrees", "DIFFERS"
SMALL_DECIMALS = 3
"""Digits after the point of what is found for a value under 1, at least."""
Number = float | Fraction | Outcome | None

# How a column's name in the files reads: its last part is the unit.
_UNITS = {
    "_kj_mm": "kJ/mm",
    "_ml_100g": "ml/100 g",
    "_c_per_h": "°C/h",
    "_f_per_s": "°F/s",
    "_mm_s": "mm/s",
    "_mm": "mm",
    "_c": "°C",
    "_f": "°F",
    "_s": "s",
}
_SYMBOLS = {"cet": "CET", "ce_iiw": "CE(IIW)", "t85_s": "t8/5", "f2": "F2"}


@dataclass(frozen=True)
class Row:
    """One row: what went in, what the source says, what the program finds, and by how much they differ."""

    inputs: str
    expected: str
    found: str
    errors: tuple[str, ...]
    sizes: tuple[float, ...] = ()
    """The differences without their sign; none where the answer is a word."""


@dataclass(frozen=True)
class Block:
    """The rows of one ``[[check]]``, with its source and what is allowed."""

    topic: str
    method: str
    unit: str
    origin: str
    source: str
    mark: str
    rows: tuple[Row, ...]
    note: str = ""

    @property
    def largest(self) -> str:
        """The greatest difference over the rows, for each column; their own words where the answers are words."""
        found = [row for row in self.rows if row.sizes]
        if not found:
            return " and ".join(dict.fromkeys(error for row in self.rows for error in row.errors))
        if len({len(row.sizes) for row in found}) > 1:
            return f"{max(size for row in found for size in row.sizes):.2g}"
        return " / ".join(self._largest_of(column) for column in range(len(found[0].sizes)))

    def _largest_of(self, column: int) -> str:
        worst = max((row for row in self.rows if row.sizes), key=lambda row: row.sizes[column])
        return worst.errors[column].lstrip("+−")


def checks(topic: str) -> list[dict[str, Any]]:
    """The ``[[check]]`` tables of one file."""
    found: list[dict[str, Any]] = load(topic)["check"]
    return found


def load(topic: str) -> dict[str, Any]:
    """A whole file of published check values."""
    return tomllib.loads((PUBLISHED / f"{topic}.toml").read_text(encoding="utf-8"))


def dicts(check: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The rows of a check by the names of its columns."""
    return [dict(zip(check["columns"], values, strict=True)) for values in check["table"]]


def block(topic: str, check: Mapping[str, Any], method: str, unit: str, rows: Sequence[Row]) -> Block:
    """A block with the source of its check."""
    return Block(
        topic,
        method,
        unit,
        check["origin"],
        check["source"],
        check["mark"],
        tuple(rows),
        check.get("note", ""),
    )


def numbers(inputs: str, expected: Sequence[str], found: Sequence[Number]) -> Row:
    """A row of one or several numbers; a blank among ``expected`` is left out."""
    pairs = [(text, number(value)) for text, value in zip(expected, found, strict=True) if text]
    off = [value - float(Fraction(text)) for text, value in pairs]
    return Row(
        inputs=inputs,
        expected=" / ".join(_minus(text) for text, _ in pairs),
        found=" / ".join(_like(text, value) for text, value in pairs),
        errors=tuple(_difference(text, error) for (text, _), error in zip(pairs, off, strict=True)),
        sizes=tuple(abs(error) for error in off),
    )


def words(inputs: str, expected: str, found: str) -> Row:
    """A row whose answer is a word."""
    return Row(inputs, expected, found, (AGREES if expected == found else DIFFERS,))


def number(value: Number) -> float:
    """The bare number of an answer."""
    bare = value.value if isinstance(value, Outcome) else value
    assert bare is not None
    return float(bare)


def said(row: Mapping[str, Any], *names: str) -> str:
    """Inputs in words: "thickness 25 mm, heat input 1.0 kJ/mm"."""
    return ", ".join(_named(name, str(row[name])) for name in names)


def steel(composition: Mapping[str, float]) -> str:
    """ "C 0.3, Mn 0.5"."""
    return ", ".join(f"{symbol} {content:g}" for symbol, content in composition.items())


def _named(name: str, text: str) -> str:
    suffix = next((suffix for suffix in _UNITS if name.endswith(suffix)), "")
    plain = _SYMBOLS.get(name) or name.removesuffix(suffix).replace("_", " ")
    return f"{plain} {text} {_UNITS[suffix]}" if suffix else f"{plain} {text}"


def _decimals(text: str) -> int:
    if "e" in text or "/" in text:
        return -1
    decimals = len(text.partition(".")[2]) + 1
    return max(decimals, SMALL_DECIMALS) if 0 < float(text) < 1 else decimals


def _like(text: str, value: float) -> str:
    """``value`` with one digit more than the source gives."""
    decimals = _decimals(text)
    return f"{value:.3g}" if decimals < 0 else _minus(f"{value:.{decimals}f}")


def _minus(text: str) -> str:
    return f"−{text[1:]}" if text.startswith("-") else text


def _difference(text: str, error: float) -> str:
    decimals = _decimals(text)
    written = f"{error:+.2g}" if decimals < 0 else f"{error:+.{decimals}f}"
    return "0" if float(written) == 0 else _minus(written)
