"""Stamps read as the reader reads them: the form from the first rows, then blocks of rows."""

from array import array
from collections.abc import Sequence
from dataclasses import dataclass

from traveler.chart.model import Told
from traveler.chart.times.stamps import Clock, TimeForm, settle_time

FIRST_LINE = 2


@dataclass(frozen=True, slots=True)
class Read:
    """What came of the stamps of one file."""

    form: TimeForm
    clock: Clock
    seconds: list[float]


def read(
    rows: Sequence[str | tuple[str, str]], told: Told | None = None, *names: str, block: int = 10_000
) -> Read:
    """Rows of one time column, or of two, from line 2 on; ``names``: of the columns, "Time" where none is given."""
    told = told or Told()
    columns = [
        list(column)
        for column in zip(*(row if isinstance(row, tuple) else (row,) for row in rows), strict=True)
    ]
    named = names or ("Time", "Clock")[: len(columns)]
    form = settle_time(list(zip(*columns, strict=True))[:300], named, told)
    clock = Clock(form)
    seconds = array("d")
    for start in range(0, len(rows), block):
        seconds += clock.seconds([column[start : start + block] for column in columns], start + FIRST_LINE)
    return Read(form, clock, list(seconds))
