"""One column of temperatures, filled block by block: as fast as float() where the cells allow, else cell by cell."""

from array import array
from collections.abc import Sequence

from traveler.chart.model import Question
from traveler.chart.reading.cells import Cells, Refused, UnclearMark
from traveler.chart.reading.columns import Column
from traveler.chart.unclear import Unclear
from traveler.errors import BadInput, TravelerError
from traveler.quantity.parse import echo

_MOST_WORDS = 5


class ChannelReader:
    """Reads the cells of one column into ``values``, NaN for "no reading"; counts the rows without one."""

    def __init__(self, column: Column, cells: Cells) -> None:
        self.column = column
        self.values = array("d")
        self._cells = cells
        self._missing = 0
        self._first_missing = 0
        self._words: dict[str, None] = {}

    def add(self, texts: Sequence[str], first_line: int) -> None:
        """Takes one cell a line, the lines without a break from ``first_line`` on.

        Raises BadInput with line and column for a text that is neither a temperature nor "no reading", Unclear for
        one that is two temperatures under the two decimal marks.
        """
        values = self._plain(texts)
        self.values.fromlist(self._with_care(texts, first_line) if values is None else values)

    def _plain(self, texts: Sequence[str]) -> list[float] | None:
        """The values of a block of nothing but plain numbers in range, None for any other.

        float() itself would take digits of other scripts, 1_000, nan and inf.
        """
        cells = self._cells
        joined = "\n".join(texts)
        if cells.missing_numbers or not joined.isascii() or any(sign in joined for sign in "_nN"):
            return None
        if cells.mark != "." and ("." in joined or (cells.mark is None and "," in joined)):
            return None
        plain = joined.replace(",", ".").split("\n") if cells.mark == "," else texts
        try:
            values = list(map(float, plain))
        except ValueError:
            return None
        if max(values) > cells.high or ("-" in joined and min(values) < cells.low):
            return None
        return values

    def _with_care(self, texts: Sequence[str], first_line: int) -> list[float]:
        try:
            values = list(map(self._cells.__getitem__, texts))
        except Refused as refused:
            place = f"line {first_line + texts.index(refused.text)}, {self.column.place}"
            raise self._refusal(refused, place) from None
        # Only NaN differs from itself; asking isnan() takes longer.
        missing = [index for index, value in enumerate(values) if value != value]
        if missing and not self._missing:
            self._first_missing = first_line + missing[0]
        self._missing += len(missing)
        if len(self._words) < _MOST_WORDS:
            for text in dict.fromkeys(texts[index] for index in missing):
                self._words[echo(text.strip()) or "empty cells"] = None
        return values

    def _refusal(self, refused: Refused, place: str) -> TravelerError:
        if isinstance(refused, UnclearMark):
            return which_mark(f"{place}: {refused}")
        return BadInput(f"{place}: {refused}")

    @property
    def notes(self) -> tuple[str, ...]:
        """A sentence on the rows without a reading, where there are any."""
        if not self._missing:
            return ()
        rows = "1 row" if self._missing == 1 else f"{self._missing} rows"
        words = ", ".join(list(self._words)[:_MOST_WORDS])
        first = "on" if self._missing == 1 else "the first on"
        return (
            f"{echo(self.column.name)} has no reading on {rows}, {first} line {self._first_missing} ({words})",
        )


def which_mark(sentence: str) -> Unclear:
    """The question for the decimal mark, after what could be read in two ways."""
    options = ((".", "decimal point"), (",", "decimal comma"))
    return Unclear(Question("decimal", f"{sentence}: which is the decimal mark of the file?", options))
