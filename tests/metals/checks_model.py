"""Shapes of the table of outside checks, and how its numbers are written."""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from traveler.metals.outcome import Outcome

PUBLISHED = Path(__file__).parents[2] / "fixtures" / "published"
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


@dataclass(frozen=True)
class Row:
    """One row: what went in, what the source says, what the program finds, and by how much they differ."""

    inputs: str
    expected: str
    found: str
    error: str
    size: float | None = None
    """The greatest difference of the row; None where the answer is a word."""


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
        """The greatest difference over the rows; "agree" where the answers are words."""
        sizes = [row for row in self.rows if row.size is not None]
        if not sizes:
            return "agree" if all(row.error == "agrees" for row in self.rows) else "DIFFER"
        worst = max(sizes, key=lambda row: row.size or 0.0)
        return worst.error.lstrip("+−") if "/" not in worst.error else _short(worst.size or 0.0)


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
        topic, method, unit, check["origin"], check["source"], check["mark"], tuple(rows), check.get("note", "")
    )


def numbers(inputs: str, expected: Sequence[str], found: Sequence[Number]) -> Row:
    """A row of one or several numbers; a blank among ``expected`` is left out."""
    pairs = [(text, number(value)) for text, value in zip(expected, found, strict=True) if text]
    off = [value - float(Fraction(text)) for text, value in pairs]
    return Row(
        inputs=inputs,
        expected=" / ".join(text for text, _ in pairs),
        found=" / ".join(_like(text, value) for text, value in pairs),
        error=" / ".join(_difference(text, error) for (text, _), error in zip(pairs, off, strict=True)),
        size=max(abs(error) for error in off),
    )


def words(inputs: str, expected: str, found: str) -> Row:
    """A row whose answer is a word."""
    return Row(inputs, expected, found, "agrees" if expected == found else "DIFFERS")


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
    plain = name.removesuffix(suffix).replace("_", " ")
    return f"{plain} {text} {_UNITS[suffix]}" if suffix else f"{plain} {text}"


def _decimals(text: str) -> int:
    if "e" in text or "/" in text:
        return -1
    return len(text.partition(".")[2]) + 1


def _like(text: str, value: float) -> str:
    """``value`` with one digit more than the source gives."""
    decimals = _decimals(text)
    return f"{value:.3g}" if decimals < 0 else f"{value:.{decimals}f}"


def _difference(text: str, error: float) -> str:
    decimals = _decimals(text)
    written = f"{error:+.2g}" if decimals < 0 else f"{error:+.{decimals}f}"
    return "0" if float(written) == 0 else written.replace("-", "−")


def _short(value: float) -> str:
    return f"{value:.2g}"
