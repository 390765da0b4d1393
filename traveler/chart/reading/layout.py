"""Everything that the first lines of a file settle: what parts its cells, names, times, couples, unit, decimal mark."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from traveler.chart.model import TemperatureUnit, Told
from traveler.chart.reading.cells import UNIT_NAMES, Mark, either_way, mark_shown
from traveler.chart.reading.channel import which_mark
from traveler.chart.reading.chart_unit import settle_unit
from traveler.chart.reading.columns import Column
from traveler.chart.reading.dialect import Delimiter, Row, find_delimiter
from traveler.chart.reading.header import Head, find_head
from traveler.chart.reading.names import unique
from traveler.chart.reading.temperature_columns import Assigned, assign
from traveler.chart.reading.time_columns import find_time
from traveler.chart.times.stamps import TimeForm, settle_time
from traveler.errors import BadInput
from traveler.quantity.parse import echo


@dataclass(frozen=True, slots=True)
class Layout:
    """How all rows of a file are read. ``unit_from``: what says the unit: as ``settle_unit`` has it.

    ``mark``: the decimal mark, None where the first rows show none.
    """

    delimiter: Delimiter
    head: Head
    time: tuple[Column, ...]
    form: TimeForm
    temperatures: tuple[Assigned, ...]
    unit: TemperatureUnit
    unit_from: str
    mark: Mark | None
    notes: tuple[str, ...]


def settle_layout(lines: Sequence[str], told: Told) -> Layout:
    """The layout of a file from its first lines and from what was told, which goes before what the lines suggest.

    Raises Unclear for what they leave open, BadInput for what cannot be read.
    """
    delimiter = find_delimiter(lines, told.delimiter)
    rows = [
        row
        for row in delimiter.head_rows(lines)
        if row.line > 1 or not lines[0].casefold().startswith("sep=")
    ]
    head = find_head(rows, told.header_line)
    names = unique([header.name for header in head.headers])
    columns = [
        Column(index, header, name, tuple(_cell(row, index) for row in head.readings))
        for index, (header, name) in enumerate(zip(head.headers, names, strict=True))
    ]
    time, also_time = find_time(columns, told.time)
    assigned, notes = assign([column for column in columns if column not in time], also_time, told)
    unit, unit_from = settle_unit(assigned, head.above, told.unit)
    temperatures = _readable(assigned)
    mark = _settle_mark(temperatures, head.readings, told.decimal)
    form = settle_time(
        list(zip(*(column.cells for column in time), strict=True)),
        [column.header.text for column in time],
        replace(told, decimal=mark),
    )
    if unit_from == "told against the header":
        notes = (f"the header says another unit; read in {UNIT_NAMES[unit]} as told", *notes)
    return Layout(delimiter, head, time, form, temperatures, unit, unit_from, mark, (*head.notes, *notes))


def _cell(row: Row, index: int) -> str:
    return row.cells[index] if index < len(row.cells) else ""


def _readable(assigned: Sequence[Assigned]) -> tuple[Assigned, ...]:
    """Without the columns to be ignored that are in another unit than the rest."""
    units = {each.column.header.measures for each in assigned if each.role != "ignored"}
    return tuple(
        each for each in assigned if each.role != "ignored" or each.column.header.measures in {*units, None}
    )


def _settle_mark(temperatures: Sequence[Assigned], readings: Sequence[Row], told: str | None) -> Mark | None:
    """The decimal mark that the first cells of temperatures force. Raises Unclear where only doubtful ones show one."""
    if told is not None:
        marks: dict[str, Mark] = {".": ".", ",": ","}
        if told in marks:
            return marks[told]
        raise BadInput(f'decimal mark: read "{echo(told)}"; expected . or ,')
    doubtful = None
    for each in temperatures:
        for row, text in zip(readings, each.column.cells, strict=True):
            shown = mark_shown(text)
            if shown is not None and shown != "either":
                return shown  # a cell with the other one is refused with its line when it comes
            if shown is not None and doubtful is None:
                doubtful = f"line {row.line}, {each.column.place}: {either_way(text)}"
    if doubtful is not None:
        raise which_mark(doubtful)
    return None
