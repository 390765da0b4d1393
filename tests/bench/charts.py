"""A chart of a million values: read and judged against Python's own csv reader over the same file; memory; a redraw."""

import csv
import math
import random
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

from files import Files
from kernel import memory_mib
from measured import Figure, Measured, Took, alternate, rounded, timed
from sizes import Sizes

COUPLES = 12
"""By 83,334 rows they are a million values: a day at one row a second."""
A_DAY_S = 83_334
_RAMP, _SOAK_TO, _DOWN_TO = 12_000, 62_000, 76_000
_JUDGED = """
import sys
from traveler.acts.charts import judge_file
from traveler.acts.chart_asked import Asked
def blocks():
    with open(sys.argv[1], "rb") as content:
        while block := content.read(1 << 20):
            yield block
judge_file(blocks, "B31.3-2016 P-1", "25 mm", Asked())
"""


def chart(sizes: Sizes, files: Files) -> Iterator[Measured]:
    """In one process, since a start is measured elsewhere; its memory in processes of their own."""
    for rows in sizes.chart_rows:
        path = files.folder / f"chart-{rows}.csv"
        write_chart(path, rows)
        figure = Figure(
            "chart",
            f"chart of {rows * COUPLES:,} values read and judged",
            "csv.reader over the same file",
            "times",
            8.0,
        )
        pairs = alternate(sizes.long_rounds, partial(_judged_s, path), partial(_csv_s, path))
        notes = {
            "peak memory over a bare Python, MiB": rounded(memory_mib(_JUDGED, path)),
            "one drawing at 80 by 24, ms": rounded(1000 * _redraw_s(path)),
        }
        yield figure.of_times(pairs, notes=notes)


def write_chart(path: Path, rows: int, seed: int = 4130) -> None:
    """A day of twelve couples, heated, held and cooled, with a tenth of a degree of scatter, by seed."""
    scatter, every_s = random.Random(seed), A_DAY_S // rows
    with path.open("w", encoding="utf-8", newline="") as file:
        file.write("Time," + ",".join(f"TC{number} (C)" for number in range(1, COUPLES + 1)) + "\n")
        for second in range(0, rows * every_s, every_s):
            hour, rest = divmod(second, 3600)
            day, hour = divmod(hour, 24)
            cells = [
                f"{_course(second - 60 * couple) + scatter.gauss(0, 0.1):.1f}" for couple in range(COUPLES)
            ]
            stamp = f"2026-03-{day + 1:02d} {hour:02d}:{rest // 60:02d}:{rest % 60:02d}"
            file.write(f"{stamp},{','.join(cells)}\n")


def _course(second: float) -> float:
    if second < _RAMP:
        return 20 + 595 * max(second, 0) / _RAMP
    if second < _SOAK_TO:
        return 615 + 3 * math.sin(second / 900)
    return max(615 - 500 * (second - _SOAK_TO) / (_DOWN_TO - _SOAK_TO), 90)


def _csv_s(path: Path) -> Took:
    return timed(lambda: _iterate(path))


def _iterate(path: Path) -> None:
    """Python's own reader goes over the file, and nothing is done with it."""
    with path.open(encoding="utf-8", newline="") as file:
        for _ in csv.reader(file):
            pass


def _judged_s(path: Path) -> Took:
    return timed(lambda: judge(path))


def judge(path: Path) -> dict[str, Any]:
    """The chart read and judged, as the command ``chart`` does it."""
    from traveler.acts.chart_asked import Asked
    from traveler.acts.charts import judge_file

    found = judge_file(lambda: _blocks(path), "B31.3-2016 P-1", "25 mm", Asked())
    if found["verdict"] not in ("met", "not shown"):
        raise RuntimeError(found["verdict"])
    return found


def _blocks(path: Path) -> Iterator[bytes]:
    """The bytes of the file, a mebibyte at a time."""
    with path.open("rb") as content:
        while block := content.read(1 << 20):
            yield block


def _redraw_s(path: Path) -> float:
    """Seconds for one drawing of the whole chart at 80 by 24."""
    from traveler.report.relief_chart_text import plot_lines

    found = judge(path)
    return timed(lambda: plot_lines(found, False, 80, 16)).wall_s
