"""The columns of a file with their first cells, found by the names that a person may give them."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from traveler.chart.reading.dialect import Kind, kind
from traveler.chart.reading.names import Header, folded
from traveler.errors import BadInput
from traveler.quantity.parse import echo


@dataclass(frozen=True, eq=False)
class Column:
    """One column: its place in the row counted from 0, its header, its name among the others, its first cells."""

    index: int
    header: Header
    name: str
    cells: tuple[str, ...]

    @cached_property
    def kinds(self) -> Counter[Kind]:
        """How many of the first cells are of each kind."""
        return Counter(map(kind, self.cells))

    def is_mostly(self, wanted: Kind) -> bool:
        """Whether more than half of the first cells that say something are of that kind."""
        saying = self.kinds.total() - self.kinds["empty"] - self.kinds["no reading"]
        return 2 * self.kinds[wanted] > saying

    @property
    def first_cell(self) -> str:
        """The first cell with something in it."""
        return next((text.strip() for text in self.cells if text.strip()), "")

    @property
    def place(self) -> str:
        """For sentences: "column 3 (TC2)"."""
        return f"column {self.index + 1} ({echo(self.name)})"

    @cached_property
    def rises(self) -> bool:
        """Whether the first cells are plain numbers, two at least, each greater than the one before."""
        numbers = self._numbers()
        return len(numbers) > 1 and all(after > before for before, after in pairwise(numbers))

    @cached_property
    def counts_rows(self) -> bool:
        """Whether the first cells are whole numbers that rise by one from row to row."""
        numbers = self._numbers()
        return len(numbers) > 1 and all(after - before == 1 for before, after in pairwise(numbers))

    def _numbers(self) -> list[float]:
        try:
            return [float(text.replace(",", ".")) for text in self.cells if text.strip()]
        except ValueError:
            return []


def lookup(columns: Sequence[Column], wanted: str, told_as: str) -> Column:
    """The column of that name; the whole text of its header names it too. Raises BadInput with the names there are."""
    name = folded(wanted)
    for found in (
        [column for column in columns if folded(column.name) == name],
        [column for column in columns if folded(column.header.text) == name],
    ):
        if len(found) == 1:
            return found[0]
    raise BadInput(f'{told_as}: no column is named "{echo(wanted)}"; the file has {listed(columns)}')


def listed(columns: Sequence[Column]) -> str:
    """The names of columns for a sentence, the first two dozen of them."""
    names = ", ".join(echo(column.name) for column in columns[:24])
    return f"{names} and {len(columns) - 24} more" if len(columns) > 24 else names
