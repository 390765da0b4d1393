"""Limits of visual inspection by the quality levels of ISO 5817, as numbers that a measured size is held against.

The rows are handed in; they lie in the library. Sizes are exact fractions, so a reading is judged at the
limit and not beside it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from traveler.metals.outcome import Outcome, Source

Level = Literal["B", "C", "D"]
Size = Literal["t", "b", "s", "a"]
"""What a limit grows with: thickness t, width b of the reinforcement or root, butt weld s, throat a."""


@dataclass(frozen=True, slots=True)
class GrowingLimit:
    """A limit that grows with a size: min(``offset_mm`` + ``factor`` size, ``cap_mm``), the cap None for none."""

    offset_mm: Fraction
    factor: Fraction
    cap_mm: Fraction | None

    def at(self, size_mm: Fraction) -> Fraction:
        """The limit for that size [mm].

        Excess weld metal in level C, 1 + 0.15 b up to 7 mm, on a width of 12 mm and of 60 mm:

        >>> limit = GrowingLimit(Fraction(1), Fraction("0.15"), Fraction(7))
        >>> limit.at(Fraction(12)), limit.at(Fraction(60))
        (Fraction(14, 5), Fraction(7, 1))
        """
        grown = self.offset_mm + self.factor * size_mm
        return grown if self.cap_mm is None else min(grown, self.cap_mm)


@dataclass(frozen=True, slots=True)
class Imperfection:
    """One row of ISO 5817.

    ``numbers``: of ISO 6520-1. It holds for thickness over ``over_mm`` [mm] up to ``up_to_mm`` [mm] (None: no
    end). ``short_only``: where a limit is given, only short imperfections are permitted at all. ``limits`` by
    level; None where the level permits none.
    """

    name: str
    numbers: str
    size: Size
    over_mm: Fraction
    up_to_mm: Fraction | None
    short_only: bool
    limits: Mapping[Level, GrowingLimit | None]
    source: Source

    def covers(self, thickness_mm: Fraction) -> bool:
        """Whether the row is for that thickness.

        >>> row = Imperfection("undercut", "5011", "t", Fraction(3), None, False, {}, Source("ISO 5817", "seen"))
        >>> row.covers(Fraction(3)), row.covers(Fraction("3.2"))
        (False, True)
        """
        return self.over_mm < thickness_mm and (self.up_to_mm is None or thickness_mm <= self.up_to_mm)


def imperfection_limit(
    row: Imperfection, level: Level, thickness_mm: Fraction, size_mm: Fraction | None = None
) -> Outcome:
    """Greatest size of an imperfection that a quality level of ISO 5817 permits [mm].

    Inputs: ``row`` from the library; ``level``: B is the strictest; ``thickness_mm`` t [mm]; ``size_mm``
    [mm], what the row's limit grows with (``row.size``), left out where that is the thickness.
    Validity: a thickness that the row is not for: ``not tabulated``, no value. A level that permits none has
    the value 0 and a reason. ``short_only`` is said as a reason; what is short (25 mm in each 100 mm of
    weld, or less [memory]) is for the inspector to judge.
    Raises ValueError for a size that is not above zero or that is missing.
    Source: that of the row.

    Undercut in level C, 0.1 t up to 0.5 mm, on 10 mm:

    >>> level_c = GrowingLimit(Fraction(0), Fraction("0.1"), Fraction("0.5"))
    >>> undercut = Imperfection("undercut", "5011", "t", Fraction(3), None, False, {"C": level_c},
    ...                         Source("ISO 5817", "seen"))
    >>> imperfection_limit(undercut, "C", Fraction(10)).value
    0.5
    """
    if thickness_mm <= 0:
        raise ValueError(f"thickness_mm must be greater than zero, not {thickness_mm}")
    method = f"ISO 5817 level {level}, {row.name}"
    inputs = {"thickness_mm": float(thickness_mm)}
    if not row.covers(thickness_mm):
        reason = f"{row.name}: no row for a thickness of {float(thickness_mm):g} mm"
        return Outcome(method, None, "mm", "not tabulated", row.source, (reason,), inputs)
    limit = row.limits[level]
    if limit is None:
        reason = f"{row.name} is not permitted in level {level}"
        return Outcome(method, 0.0, "mm", "ok", row.source, (reason,), inputs)
    size = _size(row, thickness_mm, size_mm)
    reasons = (f"only short {row.name} is permitted",) if row.short_only else ()
    inputs[f"{row.size}_mm"] = float(size)
    return Outcome(method, float(limit.at(size)), "mm", "ok", row.source, reasons, inputs)


def imperfection_permitted(
    row: Imperfection,
    level: Level,
    measured_mm: Fraction,
    thickness_mm: Fraction,
    size_mm: Fraction | None = None,
) -> bool | None:
    """Whether a measured imperfection is within the limit of its level; None where the row does not tell.

    Inputs: ``measured_mm`` [mm], 0 for none seen; the rest, errors and source as ``imperfection_limit``. That
    an imperfection is short, where only short ones are permitted, is not checked here.

    >>> level_b = GrowingLimit(Fraction(0), Fraction("0.05"), Fraction("0.5"))
    >>> undercut = Imperfection("undercut", "5011", "t", Fraction(3), None, False, {"B": level_b},
    ...                         Source("ISO 5817", "seen"))
    >>> [imperfection_permitted(undercut, "B", Fraction(depth), Fraction(6)) for depth in ("0.3", "0.31")]
    [True, False]
    """
    if measured_mm < 0:
        raise ValueError(f"measured_mm must not be negative, and not {measured_mm}")
    if not row.covers(thickness_mm):
        return None
    limit = row.limits[level]
    return measured_mm <= (0 if limit is None else limit.at(_size(row, thickness_mm, size_mm)))


def _size(row: Imperfection, thickness_mm: Fraction, size_mm: Fraction | None) -> Fraction:
    size = thickness_mm if row.size == "t" else size_mm
    if size is None or size <= 0:
        raise ValueError(f"size_mm must be the {row.size} of {row.name}, greater than zero, not {size}")
    return size
