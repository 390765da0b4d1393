"""What a steel is made of, in mass percent, as the formulas of this room read it."""

from collections.abc import Mapping
from fractions import Fraction
from math import isfinite

Composition = Mapping[str, float]
"""Mass percent by element symbol, such as ``{"C": 0.30, "Mn": 0.50}``."""

STEEL_ELEMENTS = frozenset({
    "Ag", "Al", "As", "B", "Bi", "C", "Ca", "Ce", "Co", "Cr", "Cu", "Fe", "H", "La", "Mg", "Mn", "Mo", "N",
    "Nb", "Ni", "O", "P", "Pb", "S", "Sb", "Se", "Si", "Sn", "Ta", "Te", "Ti", "V", "W", "Zn", "Zr",
})  # fmt: skip
"""Symbols that a steel certificate may report. Any other key is a slip, and would count as zero unseen."""


def check_composition(composition: Composition) -> None:
    """Refuse a composition that cannot be one.

    Raises ValueError for a key outside ``STEEL_ELEMENTS`` and for a content that is not within 0 to 100 %.

    >>> check_composition({"C": 0.30, "Mn": 0.50})
    >>> check_composition({"C": -0.30})
    Traceback (most recent call last):
    ...
    ValueError: C must be from 0 to 100 mass percent, not -0.3
    """
    for symbol, content in composition.items():
        if symbol not in STEEL_ELEMENTS:
            raise ValueError(f"{symbol!r} is not the symbol of an element that a steel certificate reports")
        if not (isfinite(content) and 0 <= content <= 100):
            raise ValueError(f"{symbol} must be from 0 to 100 mass percent, not {content}")


def percent(composition: Composition, symbol: str) -> Fraction:
    """Content of one element [mass %], exactly the decimal number that was reported.

    A missing element counts as zero. The caller guarantees that missing means "none there": where it only
    means "not reported", the caller first puts in the limit of the grade. Exact fractions keep a sum that
    lands on a validity limit on that limit, where floats would push it across.

    >>> percent({"C": 0.1}, "C"), percent({"C": 0.1}, "Ni")
    (Fraction(1, 10), Fraction(0, 1))
    """
    return Fraction(str(composition.get(symbol, 0)))
