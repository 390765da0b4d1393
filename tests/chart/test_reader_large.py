"""A day of a dozen couples, a million values and more: streamed, and only the numbers stay in memory."""

import tracemalloc
from array import array
from collections.abc import Iterator

import pytest

from traveler.chart.model import Told
from traveler.chart.reading.reader import read_chart

COUPLES = 12


def blocks(rows: int, mark: str = ".", delimiter: str = ",") -> Iterator[bytes]:
    """The file in blocks of about 90 kB, each made when it is asked for."""
    yield delimiter.join(["Time", *(f"TC{index} (°C)" for index in range(COUPLES))]).encode() + b"\n"
    block = []
    for row in range(rows):
        cells = (f"{20 + (row + couple) % 6000 / 10:.1f}".replace(".", mark) for couple in range(COUPLES))
        clock = f"2026-03-{1 + row // 86400:02d} {row // 3600 % 24:02d}:{row // 60 % 60:02d}:{row % 60:02d}"
        block.append(delimiter.join([clock, *cells]))
        if len(block) == 1000:
            yield "\n".join([*block, ""]).encode()
            block = []
    yield "\n".join([*block, ""]).encode()


@pytest.mark.slow
@pytest.mark.parametrize(("delimiter", "mark"), [(",", "."), (";", ",")])
def test_a_million_values(delimiter: str, mark: str) -> None:
    chart = read_chart(blocks(83_334, mark, delimiter), Told())
    assert chart.times_s == array("d", range(83_334))
    assert chart.interval_s == 1.0
    for couple, channel in enumerate(chart.channels):
        assert channel.values == array("d", (20 + (row + couple) % 6000 / 10 for row in range(83_334)))


def peak_bytes(rows: int) -> int:
    tracemalloc.start()
    try:
        read_chart(blocks(rows), Told())
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


@pytest.mark.slow
def test_only_the_numbers_grow_with_the_file() -> None:
    """13 numbers of 8 bytes a row, and as much again while an array makes room: constructed."""
    few, many = peak_bytes(5_000), peak_bytes(25_000)
    assert many - few < 2 * 20_000 * (COUPLES + 1) * 8
    assert few < 10_000_000
