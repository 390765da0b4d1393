"""What parts the cells of a line, settled once for the whole file, and the rows that come of it."""

import csv
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain
from typing import Literal

from traveler.chart.model import Question
from traveler.chart.reading.cells import is_no_reading, is_number
from traveler.chart.times.stamps import looks_like_time
from traveler.chart.unclear import Unclear
from traveler.errors import BadInput
from traveler.quantity.parse import echo

MOST_COLUMNS = 512
LONGEST_KIND = 64
"""Characters of a cell that may be a time or a number; a longer one is a text."""

_WORDS = {
    "comma": ",",
    "semicolon": ";",
    "tab": "\t",
    "bar": "|",
    "pipe": "|",
    "spaces": "spaces",
    "space": "spaces",
    " ": "spaces",
    "two spaces": "two spaces",
}
_NAMES = {",": ",", ";": ";", "\t": "tab", "|": "|", "spaces": "spaces", "two spaces": "two spaces"}
_TWO_SPACES = re.compile(" {2,}")
_MOST_LINES_OF_A_CELL = 3
_END = "end"
_ENOUGH_LINES = 120
"""To see what parts the cells, where the readings have begun by then."""


@dataclass(frozen=True, slots=True)
class Row:
    """The cells of one line, and its number; a cell of the header that holds a line end spreads over the next."""

    line: int
    cells: tuple[str, ...]

    @property
    def blank(self) -> bool:
        """Whether no cell has anything in it."""
        return not "".join(self.cells).strip()


@dataclass(frozen=True, slots=True)
class Delimiter:
    """What parts the cells: one character, any run of spaces, or runs of two and more."""

    mark: str

    @property
    def name(self) -> str:
        """As a mapping names it: the character itself, or a word for one that cannot be seen."""
        return _NAMES[self.mark]

    @property
    def is_spaces(self) -> bool:
        """Whether an empty cell cannot be seen."""
        return len(self.mark) > 1

    def rows(self, lines: Sequence[str], first_line: int) -> list[list[str]]:
        """One row a line, for lines among the readings. Raises BadInput where a quoted cell runs over a line end."""
        if self.is_spaces:
            return [self._by_spaces(line) for line in lines]
        try:
            # Behind a quoted cell that does not end, the last line would be part of it.
            rows = list(csv.reader(chain(lines, [_END]), delimiter=self.mark))
        except csv.Error as error:
            raise BadInput(f"line {first_line} or after: the cells cannot be told apart ({error})") from None
        if len(rows) != len(lines) + 1 or rows.pop() != [_END]:
            index = next((i for i, line in enumerate(lines) if line.count('"') % 2), 0)
            raise _endless_quote(first_line + index)
        return rows

    def head_rows(self, lines: Sequence[str]) -> list[Row]:
        """The rows of the first lines of a file, in which a quoted name may hold a line end."""
        if self.is_spaces:
            return [Row(number, tuple(self._by_spaces(line))) for number, line in enumerate(lines, start=1)]
        return list(self._quoted_rows(lines))

    def _by_spaces(self, line: str) -> list[str]:
        if self.mark == "spaces":
            # The quick way would split at tabs and at other blanks as well.
            quick = line.isascii() and "\t" not in line
            return line.split() if quick else [cell for cell in line.split(" ") if cell]
        return _TWO_SPACES.split(line.strip(" "))

    def _quoted_rows(self, lines: Sequence[str]) -> Iterator[Row]:
        reader = csv.reader((f"{line}\n" for line in lines), delimiter=self.mark)
        before = 0
        try:
            for cells in reader:
                if reader.line_num - before > _MOST_LINES_OF_A_CELL:
                    raise _endless_quote(before + 1)
                yield Row(before + 1, tuple(cells))
                before = reader.line_num
        except csv.Error as error:
            raise BadInput(f"line {before + 1}: the cells cannot be told apart ({error})") from None


def _endless_quote(line: int) -> BadInput:
    return BadInput(
        f"line {line}: a quotation mark opens a cell that does not end; expected one row of readings a line"
    )


Kind = Literal["number", "time", "no reading", "empty", "text"]


def kind(text: str) -> Kind:
    """What a cell looks like before anything is settled; a bare number is a number, not a time."""
    return "text" if len(text) > LONGEST_KIND else _kind(text)


@lru_cache(maxsize=4096)
def _kind(text: str) -> Kind:
    if not text.strip():
        return "empty"
    if is_number(text):
        return "number"
    if is_no_reading(text):
        return "no reading"
    return "time" if looks_like_time(text) else "text"


def likeness(row: Row) -> float:
    """How much of a row of readings a row has: the share of its cells that are no text, 0 where it cannot be one.

    A row of readings has two cells at least that are a number, a time or "no reading", and they are neither all times
    nor all "no reading".
    """
    if not 2 <= len(row.cells) <= MOST_COLUMNS:
        return 0.0
    kinds = [kind(text) for text in row.cells]
    texts = kinds.count("text")
    telling = len(kinds) - texts - kinds.count("empty")
    several = telling >= 2 and telling > max(kinds.count("no reading"), kinds.count("time"))
    return 1 - texts / len(kinds) if several else 0.0


def find_delimiter(lines: Sequence[str], told: str | None) -> Delimiter:
    """The delimiter under which the lines are rows of readings; ``told`` settles it unseen.

    Raises Unclear where two fit as well, BadInput where none does or there are too many columns.
    """
    if told is not None:
        return _named(told)
    start, separator = lines[0][:4].casefold(), lines[0][4:5]
    if start == "sep=" and separator in _NAMES:
        return Delimiter(separator)
    return _fitting(lines)


def _named(told: str) -> Delimiter:
    mark = _WORDS.get(told.strip().casefold() or told, told)
    if mark not in _NAMES:
        raise BadInput(f'delimiter: read "{echo(told)}"; expected one of , ; | tab, spaces, two spaces')
    return Delimiter(mark)


def _fitting(lines: Sequence[str]) -> Delimiter:
    fits = {mark: _fit(Delimiter(mark), lines[:_ENOUGH_LINES]) for mark in _NAMES}
    if not any(fits.values()):
        fits = {mark: _fit(Delimiter(mark), lines) for mark in _NAMES}
    best = max(fits.values())
    if best == 0:
        raise _no_rows(lines)
    marks = [mark for mark, fit in fits.items() if fit == best]
    if set(marks) <= {"spaces", "two spaces"}:
        marks = [_run_of_spaces(lines, [mark for mark in ("spaces", "two spaces") if fits[mark]])]
    if len(marks) > 1:
        names = tuple(
            (Delimiter(mark).name, f"the cells are parted by {Delimiter(mark).name}") for mark in marks
        )
        words = " or by ".join(name for name, _ in names)
        raise Unclear(Question("delimiter", f"the cells may be parted by {words}: by which?", names))
    return Delimiter(marks[0])


def _fit(delimiter: Delimiter, lines: Sequence[str]) -> float:
    try:
        return sum(likeness(row) for row in delimiter.head_rows(lines))
    except BadInput:
        return 0.0


def _run_of_spaces(lines: Sequence[str], fitting: Sequence[str]) -> str:
    """Single spaces part the cells too, unless more lines have one number of cells where only wider runs do."""
    return max(fitting, key=lambda mark: _alike(Delimiter(mark), lines))


def _alike(delimiter: Delimiter, lines: Sequence[str]) -> int:
    widths = Counter(len(row.cells) for row in delimiter.head_rows(lines) if len(row.cells) > 1)
    return max(widths.values(), default=0)


def _no_rows(lines: Sequence[str]) -> BadInput:
    for delimiter in (Delimiter(mark) for mark in (";", "\t", ",", "|")):
        for number, line in enumerate(lines, start=1):
            if line.count(delimiter.mark) >= MOST_COLUMNS:
                return too_many_columns(number, line.count(delimiter.mark) + 1)
    return BadInput(
        "no row of readings was found; expected rows of a time and temperatures, two columns at least,"
        " parted by a comma, a semicolon, a tab, a bar or spaces"
    )


def too_many_columns(line: int, columns: int) -> BadInput:
    """More columns than any logger has."""
    return BadInput(f"line {line} has {columns} cells; expected at most {MOST_COLUMNS} columns")
