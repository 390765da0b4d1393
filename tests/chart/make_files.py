"""Makes the files of loggers that the reader is tried on: every form that a table of temperatures comes in."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from traveler.chart.model import Channel, Chart, Told
from traveler.chart.reading.reader import read_chart

START = datetime(2026, 3, 1, 8, 0)


def stamps(count: int, every_s: int = 60) -> list[str]:
    """Stamps with seconds from 2026-03-01 08:00 on."""
    return [f"{START + timedelta(seconds=every_s * row):%Y-%m-%d %H:%M:%S}" for row in range(count)]


def made(
    names: Sequence[str],
    rows: Sequence[Sequence[str]],
    delimiter: str = ",",
    above: Sequence[str] = (),
    units: Sequence[str] = (),
    below: Sequence[str] = (),
    encoding: str = "utf-8",
    end: str = "\n",
) -> bytes:
    """A file: the lines above, the names, the units where there are any, the rows, the lines below."""
    table = [delimiter.join(cells) for cells in (names, units, *rows) if cells]
    return "".join(line + end for line in (*above, *table, *below)).encode(encoding)


def timed(columns: Sequence[Sequence[str]]) -> list[list[str]]:
    """Rows of a stamp and the cells of each column."""
    return [
        [stamp, *cells]
        for stamp, cells in zip(stamps(len(columns[0])), zip(*columns, strict=True), strict=True)
    ]


def column(*cells: str, name: str = "TC1 (°C)", delimiter: str = ";") -> bytes:
    """A file of one couple with those cells."""
    return made(["Time", name], timed([cells]), delimiter)


def read(content: bytes, told: Told | None = None, block: int = 1 << 16) -> Chart:
    """The chart in those bytes, handed over in blocks of that size."""
    blocks = (content[at : at + block] for at in range(0, len(content), block))
    return read_chart(blocks, told or Told())


def values(chart: Chart, name: str = "TC1") -> list[float]:
    """The values of the channel of that name."""
    return list(named(chart, name).values)


def named(chart: Chart, name: str) -> Channel:
    """The channel of that name."""
    return next(channel for channel in chart.channels if channel.name == name)
