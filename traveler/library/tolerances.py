"""Reading ``tolerances.toml``: general tolerances of linear dimensions."""

from collections.abc import Mapping
from functools import cache
from itertools import pairwise
from types import MappingProxyType

from traveler.library.reading import Table, read_data
from traveler.metals.tolerances import SizeRow, ToleranceTable


@cache
def load_tolerances() -> Mapping[str, ToleranceTable]:
    """The tables by name, every row with its source.

    Raises TravelerError naming the data file and the key where one of them is wrong.
    """
    return MappingProxyType(read_tolerances(read_data("tolerances.toml")))


def read_tolerances(data: Table) -> dict[str, ToleranceTable]:
    """Every table by its name."""
    tables = {}
    for table in data.tables("table"):
        entry = _read_table(table)
        tables[entry.name] = entry
    data.done()
    return tables


def _read_table(table: Table) -> ToleranceTable:
    classes = table.texts("classes")
    rows = tuple(_read_row(row, classes) for row in table.tables("rows"))
    for before, after in pairwise(rows):
        if before.up_to_mm != after.over_mm:
            raise table.fault("rows", str(after.over_mm), "rows that each begin where the one before ends")
    entry = ToleranceTable(table.text("name"), classes, rows, table.source())
    table.done()
    return entry


def _read_row(row: Table, classes: tuple[str, ...]) -> SizeRow:
    entry = SizeRow(
        over_mm=row.number("over_mm"),
        up_to_mm=row.number_or_none("up_to_mm"),
        includes_over=row.flag("includes_over", False),
        deviation_mm={name: row.number(name) for name in classes if row.has(name)},
        source=row.source(),
    )
    row.done()
    return entry
