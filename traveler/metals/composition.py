"""What a steel is made of, in mass percent, as the formulas of this room read it."""

from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import lru_cache

from traveler.metals.validity import Range, sentences

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
        if not 0 <= content <= 100:  # what is no number is not within them either
            raise ValueError(f"{symbol} must be from 0 to 100 mass percent, not {content}")


def percent(composition: Composition, symbol: str) -> Fraction:
    """Content of one element [mass %], exactly the decimal number that was reported.

    A missing element counts as zero. The caller guarantees that missing means "none there": where it only
    means "not reported", the caller first puts in the limit of the grade. Exact fractions keep a sum that
    lands on a validity limit on that limit, where floats would push it across.

    >>> percent({"C": 0.1}, "C"), percent({"C": 0.1}, "Ni")
    (Fraction(1, 10), Fraction(0, 1))
    """
    return _exactly(composition.get(symbol, 0))


@lru_cache(maxsize=4096)
def _exactly(content: float) -> Fraction:
    """The decimal number that a float was written as; a job asks for the same few contents thousands of times."""
    return Fraction(str(content))


def require_carbon(composition: Composition) -> None:
    """Refuse a composition that cannot be one, or that does not report carbon.

    Without carbon every hardness and every transformation temperature would look like that of pure iron.
    Raises ValueError.

    >>> require_carbon({"Mn": 0.50})
    Traceback (most recent call last):
    ...
    ValueError: C is missing: expected the carbon content in mass percent
    """
    check_composition(composition)
    if "C" not in composition:
        raise ValueError("C is missing: expected the carbon content in mass percent")


def contents_outside(composition: Composition, box: Iterable[Range]) -> tuple[str, ...]:
    """One sentence for each content of ``composition`` that lies outside its range in ``box``.

    A range is named by the symbol of its element, or by several with plus signs: then their sum counts.

    >>> limits = (Range("C", "%", high=0.5), Range("Mn + Cr", "%", high=2))
    >>> contents_outside({"C": 0.55, "Mn": 1.5, "Cr": 1.0}, limits)
    ('C 0.55 % is above 0.5 %', 'Mn + Cr 2.5 % is above 2 %')
    """
    return _outside(tuple(composition.items()), tuple(box))


@lru_cache(maxsize=1024)  # a job has few metals, and asks of each for every run of every joint
def _outside(contents: tuple[tuple[str, float], ...], box: tuple[Range, ...]) -> tuple[str, ...]:
    composition = dict(contents)
    return sentences(limit.outside(_content(composition, limit.name)) for limit in box)


def contents(composition: Composition, symbols: Iterable[str]) -> dict[str, float]:
    """The contents [mass %] of the named elements, 0 where one is missing.

    >>> contents({"C": 0.3}, ("C", "Ni"))
    {'C': 0.3, 'Ni': 0.0}
    """
    return {symbol: float(composition.get(symbol, 0.0)) for symbol in symbols}


def _content(composition: Composition, name: str) -> float:
    if " + " not in name:
        return float(composition.get(name, 0.0))
    return float(sum(percent(composition, symbol) for symbol in name.split(" + ")))
