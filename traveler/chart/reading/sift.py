"""From lines to runs of rows of readings: what comes again, titles a page or sums up is passed over and counted."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from traveler.chart.reading.cells import is_no_reading, is_number
from traveler.chart.reading.columns import Column
from traveler.chart.reading.dialect import LONGEST_KIND, Delimiter
from traveler.chart.reading.header import Head, stripped
from traveler.chart.times.stamps import looks_like_time
from traveler.errors import BadInput
from traveler.quantity.parse import echo

_DIGITS = frozenset("0123456789")
_DIGITS_ALIKE = str.maketrans("123456789", "000000000")
_MOST_SHAPES = 1000
_SUMMARY = re.compile(
    r"\b(?:max|min|avg|average|mean|std|sum|total|range|count|median|mittel|limit)", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Run:
    """Rows of readings on lines without a break, column by column."""

    first_line: int
    columns: Sequence[Sequence[str]]


class Sift:
    """Parts the lines of one file into cells and keeps the rows of readings.

    A row is one where its time is a time. Any other may be passed over only if no number of a temperature is lost by
    it, or if it is labelled in letters where the time should be, as a summary is.
    """

    def __init__(
        self, delimiter: Delimiter, head: Head, time: Sequence[Column], temperatures: Sequence[Column]
    ) -> None:
        self._delimiter = delimiter
        self._head = head
        self._width = len(head.headers)
        self._time = time
        self._temperatures = temperatures
        self._counted = all(column.is_mostly("number") for column in time)
        self._example = " ".join(column.first_cell for column in time)
        self._names = set(head.again[0]) - {""} if head.again else set()
        self._shapes: set[str] = set()
        self._passed: dict[str, tuple[int, int]] = {}

    def runs(self, lines: Sequence[str], first_line: int, broken_off: bool) -> Iterator[Run]:
        """Runs of rows among the lines. ``broken_off``: the last of them has no end.

        Raises BadInput for a row with too many cells and one whose time cannot be made out.
        """
        columns = None if broken_off else self._all_at_once(lines, first_line)
        if columns is not None:
            yield Run(first_line, columns)
            return
        kept: list[list[str]] = []
        last = first_line + len(lines) - 1
        for line, row in enumerate(self._delimiter.rows(lines, first_line), start=first_line):
            if self._is_reading(row, line) and (
                cells := self._evened(row, line, broken_off and line == last)
            ):
                kept.append(cells)
            elif kept:
                yield Run(line - len(kept), list(zip(*kept, strict=True)))
                kept = []
        if kept:
            yield Run(last + 1 - len(kept), list(zip(*kept, strict=True)))

    def _all_at_once(self, lines: Sequence[str], first_line: int) -> list[Sequence[str]] | None:
        """The columns where all lines are plain rows of readings of one width, else None."""
        columns = self._equally_wide(lines, first_line)
        if columns is None:
            return None
        if len(columns) < self._width or any(map("".join, columns[self._width :])):
            return None
        # Whatever begins with a digit is for the clock to read or to refuse.
        if not all({text[:1] for text in columns[column.index]} <= _DIGITS for column in self._time):
            return None
        return columns[: self._width]

    def _equally_wide(self, lines: Sequence[str], first_line: int) -> list[Sequence[str]] | None:
        """All columns of the lines, None where some line has more or fewer cells than another."""
        mark = self._delimiter.mark
        # No line holds a line end: put between the lines as a cell, it shows whether they are equally wide. Counting
        # the marks of each line takes longer.
        joined = f"{mark}\n{mark}".join(lines)
        if '"' in joined or self._delimiter.is_spaces:
            rows = self._delimiter.rows(lines, first_line)
            return list(zip(*rows, strict=True)) if len(set(map(len, rows))) == 1 else None
        width = lines[0].count(mark) + 1
        cells = joined.split(mark)
        between = cells[width :: width + 1]
        if len(cells) != len(lines) * (width + 1) - 1 or between.count("\n") != len(lines) - 1:
            return None
        return [cells[index :: width + 1] for index in range(width)]

    def _is_reading(self, row: Sequence[str], line: int) -> bool:
        times = [_cell(row, column) for column in self._time]
        if all(map(self._is_time, times)):
            return True
        if not "".join(row).strip():
            return False
        if stripped(row) in self._head.again:
            self._pass("names of the columns that come again", line)
            return False
        self._refuse_other_names(row, line)
        if not any(is_number(_cell(row, column)) for column in self._temperatures):
            self._pass("rows without a time and a temperature", line)
            return False
        if not self._sums_up(row, "".join(times)):
            raise BadInput(
                f'line {line}, {self._time[0].place}: read "{echo(" ".join(times).strip())}"; expected a time such as '
                f"{echo(self._example)}"
            )
        self._pass("rows that sum up, labelled where the time would be", line)
        return False

    def _refuse_other_names(self, row: Sequence[str], line: int) -> None:
        """A row of names that differs from the first may mean that the columns have changed places."""
        if self._head.header_line and len(self._names.intersection(stripped(row))) > 1:
            raise BadInput(
                f"line {line} names the columns in another way than line {self._head.header_line}; "
                "expected one table a file"
            )

    def _sums_up(self, row: Sequence[str], time: str) -> bool:
        """Whether a row with temperatures has a label in letters in place of its time, or beside the temperatures."""
        if time and is_no_reading(time):
            return False
        if any(map(str.isdigit, time)):
            return _SUMMARY.search(time) is not None
        temperatures = {column.index for column in self._temperatures}
        label = time or "".join(text for index, text in enumerate(row) if index not in temperatures)
        return any(map(str.isalpha, label))

    def _is_time(self, text: str) -> bool:
        """Whether a cell is a time, or differs from one in nothing but its digits, which the clock reads or refuses."""
        if self._counted:
            return is_number(text)
        if len(text) > LONGEST_KIND:
            return False
        shape = text.translate(_DIGITS_ALIKE)
        if shape in self._shapes:
            return True
        found = looks_like_time(text)
        if found and len(self._shapes) < _MOST_SHAPES:
            self._shapes.add(shape)
        return found

    def _evened(self, row: list[str], line: int, broken_off: bool) -> list[str] | None:
        """The cells of a row of readings, one a column."""
        if len(row) > self._width and "".join(row[self._width :]).strip():
            raise BadInput(
                f"line {line} has {len(row)} cells; expected {self._width}, as many as there are columns"
            )
        if len(row) >= self._width:
            return row[: self._width]
        if broken_off:
            self._pass("last line, which breaks off", line)
            return None
        if self._delimiter.is_spaces:
            raise BadInput(
                f"line {line} has {len(row)} cells; expected {self._width}, for an empty cell between "
                "spaces cannot be seen"
            )
        self._pass("short rows, whose missing cells are taken as no reading", line)
        return [*row, *[""] * (self._width - len(row))]

    def _pass(self, what: str, line: int) -> None:
        count, first_line = self._passed.get(what, (0, line))
        self._passed[what] = count + 1, first_line

    @property
    def notes(self) -> tuple[str, ...]:
        """What was passed over, with the first line of each kind."""
        return tuple(
            f"{what}: {count}, {'' if count == 1 else 'the first '}on line {first_line}"
            for what, (count, first_line) in self._passed.items()
        )


def _cell(row: Sequence[str], column: Column) -> str:
    return row[column.index].strip() if column.index < len(row) else ""
