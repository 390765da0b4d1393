"""Reading ``condition_hardness.toml``: how hard one published bar of a grade was in its condition."""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from traveler.library.reading import Table, read_data
from traveler.metals.outcome import Source


@dataclass(frozen=True, slots=True)
class ConditionHardness:
    """Brinell hardness of one bar of these grades in this condition: to compare with, no limit."""

    grades: tuple[str, ...]
    condition: str
    hb: Fraction
    source: Source


@cache
def load_condition_hardness() -> tuple[ConditionHardness, ...]:
    """The rows; read where a sheet asks for hardness at receiving, and not before.

    Raises TravelerError naming the data file and the key where one of them is wrong.
    """
    return read_condition_hardness(read_data("condition_hardness.toml"))


def read_condition_hardness(data: Table) -> tuple[ConditionHardness, ...]:
    """The rows of a data file."""
    rows = tuple(_row(table) for table in data.tables("row"))
    data.done()
    return rows


def _row(table: Table) -> ConditionHardness:
    row = ConditionHardness(
        table.texts("grades"), table.text("condition"), table.number("hb"), table.source()
    )
    table.done()
    return row
