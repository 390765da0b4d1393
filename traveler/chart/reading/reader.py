"""Reads the file of a logger, handed over in blocks of bytes, into a chart; asks what the file leaves open."""

from array import array
from collections.abc import Iterable, Iterator
from itertools import chain, islice
from math import isnan
from operator import sub
from statistics import median

from traveler.chart.model import Channel, Chart, Told
from traveler.chart.reading.cells import Cells
from traveler.chart.reading.channel import ChannelReader
from traveler.chart.reading.chart_unit import which_unit
from traveler.chart.reading.decode import ENCODINGS, Lines
from traveler.chart.reading.dialect import MOST_COLUMNS, too_many_columns
from traveler.chart.reading.layout import Layout, settle_layout
from traveler.chart.reading.sift import Sift
from traveler.chart.times.stamps import Clock, strictly_rising
from traveler.errors import BadInput
from traveler.quantity.parse import echo

MOST_VALUES = 20_000_000
"""Temperatures of one file; a day of 12 couples read once a second has one million."""

_SAMPLE_LINES = 360
_SAMPLE_CHARACTERS = 1_000_000
_MOST_INTERVALS = 100_000

_ROOM_AS_F = (60.0, 100.0)
_SOAK_AS_F = 1000.0
"""A start and a maximum that are a room and a soak in °F; in °C no steel starts there and is relieved there."""


def read_chart(blocks: Iterable[bytes], told: Told) -> Chart:
    """The chart in a logger's file, given in blocks of bytes of any size; only its numbers are kept in memory.

    ``told`` goes before what the file suggests. Raises Unclear with a question for whatever neither of them settles,
    BadInput with line and column for what cannot be read.
    """
    lines = Lines(blocks)
    batches = lines.batches()
    start = _first_lines(batches)
    if not start:
        raise BadInput("the file is empty; expected the text file of a logger (CSV or the like)")
    layout = settle_layout(start[:_SAMPLE_LINES], told)
    if len(layout.head.headers) > MOST_COLUMNS:
        raise too_many_columns(layout.head.header_line, len(layout.head.headers))
    filled = _Filled(layout, told)
    first_line = layout.head.data_line
    for batch in chain([start[first_line - 1 :]], batches):
        filled.take(batch, first_line, lines.broken_off)
        first_line += len(batch)
    return filled.chart(lines)


def _first_lines(batches: Iterator[list[str]]) -> list[str]:
    """Enough lines to settle how the file is read; all of them where it is short."""
    start: list[str] = []
    for batch in batches:
        start += batch
        if len(start) >= _SAMPLE_LINES or sum(map(len, start)) >= _SAMPLE_CHARACTERS:
            break
    return start


class _Filled:
    """The numbers of one file as they come in."""

    def __init__(self, layout: Layout, told: Told) -> None:
        self._layout = layout
        self._told = told
        columns = [each.column for each in layout.temperatures]
        self._sift = Sift(layout.delimiter, layout.head, layout.time, columns)
        self._clock = Clock(layout.form)
        self._times = array("d")
        self._cells = Cells(layout.unit, layout.mark, told.missing)
        self._channels = [ChannelReader(column, self._cells) for column in columns]

    def take(self, lines: list[str], first_line: int, broken_off: bool) -> None:
        """Takes the next lines. ``broken_off``: they are the last, and the last of them has no end."""
        for run in self._sift.runs(lines, first_line, broken_off):
            stamps = [run.columns[column.index] for column in self._layout.time]
            self._times.extend(self._clock.seconds(stamps, run.first_line))
            for channel in self._channels:
                channel.add(run.columns[channel.column.index], run.first_line)
            if len(self._times) * len(self._channels) > MOST_VALUES:
                raise BadInput(
                    f"line {run.first_line} or after: more than {MOST_VALUES} temperatures; expected a file of one "
                    "heat treatment"
                )

    def chart(self, lines: Lines) -> Chart:
        """The chart, once all lines are in."""
        self._check_rows(len(self._times))
        evened = strictly_rising(self._times, self._same_row)
        self._check_rows(len(evened.times_s))
        values = [channel.values for channel in self._channels]
        if evened.keep is not None:
            values = [array("d", map(each.__getitem__, evened.keep)) for each in values]
        channels = tuple(
            Channel(assigned.column.name, assigned.role, each, assigned.spare_for)
            for assigned, each in zip(self._layout.temperatures, values, strict=True)
        )
        self._check_unit(channels)
        notes = (*self._layout.notes, *self._clock.notes, *evened.notes, *self._sift.notes)
        return Chart(
            times_s=evened.times_s,
            started_at=self._clock.started_at,
            unit=self._layout.unit,
            channels=channels,
            interval_s=_usual_interval(evened.times_s),
            sha256=lines.sha256,
            mapping=self._mapping(lines.encoding),
            notes=(*notes, *(note for channel in self._channels for note in channel.notes)),
            method=self._told.method,
            clock_start=self._clock.clock_start,
        )

    def _check_rows(self, count: int) -> None:
        if count < 2:
            raise BadInput(
                f"read {count} row of readings; expected two at least, for a chart shows a course of time"
            )

    def _same_row(self, one: int, other: int) -> bool:
        pairs = ((channel.values[one], channel.values[other]) for channel in self._channels)
        return all(before == after or (isnan(before) and isnan(after)) for before, after in pairs)

    def _check_unit(self, channels: tuple[Channel, ...]) -> None:
        """Asks where °C is stated, nobody confirmed it, and the numbers are a room and a soak in °F."""
        if self._layout.unit != "degC" or self._layout.unit_from.startswith("told"):
            return
        for channel in channels:
            first = next((value for value in channel.values if not isnan(value)), 0.0)
            low, high = _ROOM_AS_F
            if low <= first <= high and (
                highest := max(filter(_SOAK_AS_F.__le__, channel.values), default=0.0)
            ):
                raise which_unit(
                    f"the file says °C, but {echo(channel.name)} goes from {first:g} to {highest:g}, as from room to "
                    "soak in °F: in which unit are the temperatures?"
                )

    def _mapping(self, encoding: str) -> dict[str, object]:
        """How the file was read; what the reader was not told and did not need is left out."""
        layout = self._layout
        named = {
            role: [each.column.name for each in layout.temperatures if each.role == role]
            for role in ("part", "furnace", "spare", "ignored")
        }
        texts: dict[str, object] = {
            "encoding": ENCODINGS[encoding],
            "delimiter": layout.delimiter.name,
            "decimal": self._cells.mark or "",
            "header_line": str(layout.head.header_line),
            "time": [column.name for column in layout.time],
            "times": layout.form.words,
            **layout.form.stored(),
            "unit": layout.unit,
            "missing": list(self._told.missing),
            "couples": named["part"],
            "furnace": named["furnace"],
            "spares": named["spare"],
            "spare_for": [each.spare_for for each in layout.temperatures if each.spare_for is not None],
            "ignored": named["ignored"],
            "method": self._told.method,
        }
        return {key: text for key, text in texts.items() if text}


def _usual_interval(times_s: "array[float]") -> float:
    """The median time between rows; of a very long file that of every so many rows."""
    step = 1 + (len(times_s) - 1) // _MOST_INTERVALS
    after = islice(times_s, 1, None, step)
    return float(median(map(sub, after, islice(times_s, 0, None, step))))
