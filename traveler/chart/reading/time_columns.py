"""Which column, or which two, hold the time."""

import re
from collections.abc import Sequence

from traveler.chart.model import Question
from traveler.chart.reading.columns import Column, listed, lookup
from traveler.chart.times.stamps import looks_like_time
from traveler.chart.unclear import Unclear
from traveler.errors import BadInput, TravelerError
from traveler.quantity.parse import echo

_CLOCK = re.compile(r"\d:\d\d")
_DATE = re.compile(r"\d{1,4}[-/.]\s?\d{1,2}[-/.]|\d[-/. ]*[^\W\d_]{3,}[-/. ]*\d|\b\d{8}", re.ASCII)
_NUMBERING = re.compile(
    r"(?:(?:sample|scan|record|rec|row|line|data|reading|point|seq(?:uence)?|lfd|index|idx|count(?:er)?|id)\W*)?"
    r"(?:no|nr|num|number|index|idx|count(?:er)?|id|#)?[.:]?",
    re.IGNORECASE,
)


def numbers_the_rows(column: Column) -> bool:
    """Whether the column is a sample number: it says so, or is the first and has no name, and it rises by one a row."""
    nameless = column.index == 0 and column.name == "column 1"
    return column.counts_rows and (nameless or _NUMBERING.fullmatch(column.name) is not None)


def find_time(
    columns: Sequence[Column], told: Sequence[str]
) -> tuple[tuple[Column, ...], tuple[Column, ...]]:
    """The column of times, or the two of dates and times, and the other columns that hold times as well.

    Raises Unclear where several would do, BadInput where there is none or one that was told is not there.
    """
    stamps, dates, clocks = _by_content(columns)
    counts = [column for column in columns if column.is_mostly("number") and column.header.is_of_time]
    every = (*stamps, *dates, *clocks, *counts)
    if told:
        found = tuple(lookup(columns, name, "time") for name in told)
    elif stamps:
        found = (_only(stamps),)
    elif dates and clocks:
        found = tuple(sorted((_only(dates), _only(clocks)), key=lambda column: column.index))
    elif clocks or counts or dates:
        found = (_only(clocks or counts or dates),)
    else:
        raise _no_time(columns)
    return found, tuple(column for column in every if column not in found)


def _by_content(columns: Sequence[Column]) -> tuple[list[Column], list[Column], list[Column]]:
    stamps, dates, clocks = [], [], []
    for column in columns:
        if (
            column.is_mostly("number")
            and column.rises
            and all(map(looks_like_time, filter(str.strip, column.cells)))
        ):
            stamps.append(column)
        if not column.is_mostly("time"):
            continue
        text = column.first_cell
        if not _CLOCK.search(text):
            dates.append(column)
        elif _DATE.search(text):
            stamps.append(column)
        else:
            clocks.append(column)
    return stamps, dates, clocks


def _only(found: Sequence[Column]) -> Column:
    if len(found) > 1:
        raise _which(found)
    return found[0]


def _which(columns: Sequence[Column]) -> Unclear:
    options = tuple((column.name, f'begins with "{echo(column.first_cell)}"') for column in columns)
    sentence = f"the time may stand in {listed(columns)}: which column is it?"
    return Unclear(Question("time", sentence, options))


def _no_time(columns: Sequence[Column]) -> TravelerError:
    rising = [
        column
        for column in columns
        if column.header.measures is None and column.rises and not numbers_the_rows(column)
    ]
    if rising:
        return _which(rising)
    return BadInput(
        "no column of times was found; expected stamps such as 2026-03-01 10:00:00, or elapsed time under a name "
        f"such as Time (s); the file has {listed(columns)}"
    )
