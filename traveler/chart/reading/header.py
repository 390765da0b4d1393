"""Where the names stand and where the readings begin: preamble, names, units line, first row of readings."""

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from traveler.chart.model import Question
from traveler.chart.reading.dialect import MOST_COLUMNS, Kind, Row, kind, likeness, too_many_columns
from traveler.chart.reading.names import Header, folded, read_headers, unit_measures
from traveler.chart.unclear import Unclear
from traveler.errors import BadInput
from traveler.quantity.parse import echo

_UNITS_LABEL = re.compile(r"(?:units?|einheit(?:en)?|unité|unidad)\W*", re.IGNORECASE)
_ABOVE = 5
"""Rows above the readings among which the names are looked for."""


@dataclass(frozen=True, slots=True)
class Head:
    """What stands above the readings.

    ``header_line``: line of the names, 0 where there are none. ``headers``: one a column. ``data_line``: line of the
    first row of readings; ``readings``: those among the first lines of the file. ``again``: rows that may come again
    among the readings, as pages do. ``above``: the rows before the names.
    """

    header_line: int
    headers: tuple[Header, ...]
    data_line: int
    readings: tuple[Row, ...]
    again: tuple[tuple[str, ...], ...]
    above: tuple[Row, ...]
    notes: tuple[str, ...]


def find_head(rows: Sequence[Row], told_line: int | None) -> Head:
    """Names, units and the first row of readings among the first rows of a file.

    Raises Unclear where two rows may be the names, BadInput where there is no row of readings or it is wider than
    the row of names.
    """
    filled = [row for row in rows if not row.blank]
    shape = _Shape(filled)
    first = _first_reading(filled, shape, told_line or 0)
    above = filled[:first]
    names, units = _names_and_units(above, shape, told_line)
    lowest = names.line if names is not None else 0
    readings = [row for row in filled[first:] if shape.fits(row)]
    width = max(shape.width, *(_width(row) for row in readings), _width(names) if names else 0)
    if names is not None and (wide := next((row for row in readings if _width(row) > _width(names)), None)):
        raise BadInput(
            f"line {wide.line} has {_width(wide)} cells, but line {names.line} names {_width(names)} columns; "
            "expected a name for each column"
        )
    texts = [*names.cells, *[""] * width][:width] if names else [""] * width
    below = [*units.cells, *[""] * width][:width] if units else [""] * width
    named = [text if text.strip() else f"column {index}" for index, text in enumerate(texts, start=1)]
    unused = [row for row in above if row.line > lowest and row is not units] if names else []
    return Head(
        header_line=lowest,
        headers=tuple(read_headers(named, below)),
        data_line=filled[first].line,
        readings=tuple(readings),
        again=tuple(stripped(row.cells) for row in (names, units, *unused) if row is not None),
        above=tuple(row for row in above if row.line < lowest or names is None),
        notes=_notes(names, unused),
    )


def _notes(names: Row | None, unused: Sequence[Row]) -> tuple[str, ...]:
    if names is None:
        return ("no line of names was found; the columns are named by their numbers",)
    return tuple(
        f"line {row.line}, between the names and the readings, was not read: {_quoted(row)}" for row in unused
    )


def stripped(cells: Sequence[str]) -> tuple[str, ...]:
    """The cells as rows are compared: case, blanks and empty cells at the end do not count."""
    texts = [folded(cell) for cell in cells]
    while texts and not texts[-1]:
        texts.pop()
    return tuple(texts)


class _Shape:
    """What a row of readings looks like in this file: its width, and the columns by which it is known."""

    def __init__(self, rows: Sequence[Row]) -> None:
        likely = [row for row in rows if likeness(row)]
        if not likely:
            for row in rows:
                if len(row.cells) > MOST_COLUMNS:
                    raise too_many_columns(row.line, len(row.cells))
            raise BadInput(
                "no row of readings was found; expected rows of a time and temperatures below a row of names"
            )
        widths = Counter(_width(row) for row in likely)
        self.width = max(widths, key=lambda width: (widths[width], width))
        alike = [row for row in likely if _width(row) == self.width]
        kinds = [Counter(_kind(row, index) for row in alike) for index in range(self.width)]
        self.times = [index for index, counts in enumerate(kinds) if _prevails("time", counts)]
        self.numbers = [index for index, counts in enumerate(kinds) if _prevails("number", counts)]

    def fits(self, row: Row) -> bool:
        """Whether it has a time where all have one; without such a column, numbers where they have numbers."""
        if self.times:
            return all(_kind(row, index) == "time" for index in self.times)
        found = [_kind(row, index) in ("number", "no reading") for index in self.numbers]
        return bool(found) and _kind(row, self.numbers[0]) == "number" and sum(found) * 2 >= len(found)


def _prevails(wanted: Kind, counts: Counter[Kind]) -> bool:
    """Whether the cells are mostly of a kind, the labels of summaries and such apart, which few readings may follow."""
    saying = counts.total() - counts["text"] - counts["empty"] - counts["no reading"]
    return 2 * counts[wanted] > saying and 4 * counts[wanted] >= counts.total()


def _first_reading(rows: Sequence[Row], shape: _Shape, below_line: int) -> int:
    first = next(
        (at for at, row in enumerate(rows) if row.line > below_line and shape.fits(row) and likeness(row)),
        None,
    )
    if first is None:
        raise BadInput(
            f"no row of readings was found below line {below_line}; expected a time and temperatures"
        )
    # A row of readings none of which can be read is one still: whoever reads its cells says what is wrong.
    while first and rows[first - 1].line > below_line and shape.fits(rows[first - 1]):
        first -= 1
    return first


def _names_and_units(
    above: Sequence[Row], shape: _Shape, told_line: int | None
) -> tuple[Row | None, Row | None]:
    if told_line == 0:
        return None, None
    if told_line is not None:
        names = next((row for row in above if row.line == told_line), None)
        if names is None:
            raise BadInput(
                f"header line: read {told_line}; expected the number of a line with names above the readings"
            )
    else:
        wide = [row for row in above[-_ABOVE:] if _filled(row) >= 2 and 2 * _filled(row) >= shape.width]
        candidates = [row for row in wide if _share_of_units(row) < 1 and not _is_rule(row)]
        if len(candidates) > 1 and _is_below(candidates[-1], candidates[-2]):
            candidates.pop()
        names = _the_names(candidates) if candidates else None
    lowest = names.line if names is not None else above[-1].line - 1 if above else 0
    return names, next((row for row in above if row.line > lowest and 2 * _share_of_units(row) >= 1), None)


def _is_below(row: Row, names: Row) -> bool:
    """Whether a row that is not all units, for it has "Time" or "No." as well, belongs to the names right above."""
    touches = row.line == names.line + 1 and _width(row) <= _width(names)
    return touches and 2 * _share_of_units(row) >= 1 > 2 * _share_of_units(names)


def _the_names(candidates: Sequence[Row]) -> Row:
    """The row next to the readings, unless one of the rows that touch it from above names the time in its place."""
    nearest = candidates[-1]
    rivals = []
    for above, below in zip(reversed(candidates[:-1]), reversed(candidates), strict=False):
        if below.line - above.line > 1:
            break
        rivals.append(above)
    if _names_time(nearest) or not any(map(_names_time, rivals)):
        return nearest
    rows = [row for row in (*reversed(rivals), nearest) if _names_time(row) or row is nearest]
    raise Unclear(
        Question(
            "header_line",
            f"the names of the columns may stand on line {' or '.join(str(row.line) for row in rows)}: on which?",
            tuple((str(row.line), _quoted(row)) for row in rows),
        )
    )


def _names_time(row: Row) -> bool:
    return any(header.is_of_time for header in read_headers(row.cells, [""] * len(row.cells)))


def _is_rule(row: Row) -> bool:
    """Whether it is a line of dashes under the names."""
    return all(kind(text) in ("empty", "no reading") for text in row.cells)


def _share_of_units(row: Row) -> float:
    texts = [text.strip() for text in row.cells if text.strip() not in ("", "-")]
    meanings = [unit_measures(text) for text in texts if not _UNITS_LABEL.fullmatch(text)]
    return sum(meaning is not None for meaning in meanings) / len(meanings) if meanings else 0.0


def _kind(row: Row, index: int) -> Kind:
    return kind(row.cells[index]) if index < len(row.cells) else "empty"


def _filled(row: Row) -> int:
    return sum(bool(text.strip()) for text in row.cells)


def _width(row: Row) -> int:
    """Number of cells, empty ones at the end left out."""
    width = len(row.cells)
    while width and not row.cells[width - 1].strip():
        width -= 1
    return width


def _quoted(row: Row) -> str:
    return f'"{echo(" ".join(text.strip() for text in row.cells if text.strip()))}"'
