"""General tolerances for dimensions without one of their own: the class and the size give the number.

The tables are handed in; they lie in the library. Exact fractions, so a dimension is judged at the limit.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from traveler.metals.outcome import Outcome, Source


@dataclass(frozen=True, slots=True)
class SizeRow:
    """Deviation by class [mm], plus and minus, for nominal sizes over one size up to another [mm].

    ``includes_over``: the lower end belongs to the row, as in the first row of a table. ``up_to_mm`` None: no
    end. A class that is missing has no value there.
    """

    over_mm: Fraction
    up_to_mm: Fraction | None
    includes_over: bool
    deviation_mm: Mapping[str, Fraction]
    source: Source

    def covers(self, nominal_mm: Fraction) -> bool:
        """Whether that nominal size lies in the row.

        >>> row = SizeRow(Fraction(30), Fraction(120), False, {}, Source("ISO 13920", "secondary"))
        >>> [row.covers(Fraction(size)) for size in (30, 31, 120, 121)]
        [False, True, True, False]
        """
        begins = nominal_mm >= self.over_mm if self.includes_over else nominal_mm > self.over_mm
        return begins and (self.up_to_mm is None or nominal_mm <= self.up_to_mm)


@dataclass(frozen=True, slots=True)
class ToleranceTable:
    """One standard's table of linear dimensions: its classes from fine to coarse, its rows from small to large."""

    name: str
    classes: tuple[str, ...]
    rows: tuple[SizeRow, ...]
    source: Source


def linear_tolerance(table: ToleranceTable, tolerance_class: str, nominal_mm: Fraction) -> Outcome:
    """General tolerance of a linear dimension, plus and minus [mm].

    Inputs: ``table`` from the library; ``tolerance_class``, A to D of ISO 13920 or f, m, c, v of ISO 2768-1;
    ``nominal_mm`` [mm] of the dimension.
    Validity: dimensions without a tolerance of their own. A size outside the rows, or without a value in that
    class, is ``not tabulated``: the drawing has to give one.
    Raises ValueError for another class and a size that is not above zero. Source: that of the row.

    ISO 2768-m on 100 mm is 0.3 mm either way; ISO 13920-C on 1500 mm is 8 mm:

    >>> from traveler.library.tolerances import load_tolerances
    >>> tables = load_tolerances()
    >>> linear_tolerance(tables["ISO 2768-1"], "m", Fraction(100)).value
    0.3
    >>> linear_tolerance(tables["ISO 13920"], "C", Fraction(1500)).value
    8.0
    """
    if tolerance_class not in table.classes:
        raise ValueError(f"{table.name} has the classes {', '.join(table.classes)}, not {tolerance_class!r}")
    if nominal_mm <= 0:
        raise ValueError(f"nominal_mm must be greater than zero, not {nominal_mm}")
    row = next((row for row in table.rows if row.covers(nominal_mm)), None)
    deviation = None if row is None else row.deviation_mm.get(tolerance_class)
    missing = f"{table.name} class {tolerance_class} gives nothing for {float(nominal_mm):g} mm"
    return Outcome(
        method=f"{table.name}-{tolerance_class}",
        value=None if deviation is None else float(deviation),
        unit="mm",
        status="not tabulated" if deviation is None else "ok",
        source=table.source if row is None else row.source,
        reasons=(missing,) if deviation is None else (),
        inputs={"nominal_mm": float(nominal_mm)},
    )
