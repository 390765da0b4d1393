"""A chart of a million values: read and judged against Python's own csv reader over the same file; memory; a redraw."""

import csv
import math
import random
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from time import perf_counter

COUPLES = 12
ROWS = 83_334
"""Twelve couples by so many rows are a million values: a day at one row a second."""
_RAMP, _SOAK_TO, _DOWN_TO = 12_000, 62_000, 76_000
_PEAK = """
import sys
{work}
# Not getrusage: that of a young process also counts the memory of the one that started it.
print(next(line.split()[1] for line in open("/proc/self/status") if line.startswith("VmHWM")))
"""
_JUDGED = """
from traveler.acts.charts import judge_file
from traveler.acts.chart_asked import Asked
def blocks():
    with open(sys.argv[1], "rb") as content:
        while block := content.read(1 << 20):
            yield block
judge_file(blocks, "B31.3-2016 P-1", "25 mm", Asked())
"""


def write_chart(path: Path, seed: int = 4130) -> None:
    """Heating, soak and cooling of twelve couples with a tenth of a degree of scatter, by seed."""
    scatter = random.Random(seed)
    with path.open("w", encoding="utf-8", newline="") as file:
        file.write("Time," + ",".join(f"TC{number} (C)" for number in range(1, COUPLES + 1)) + "\n")
        for row in range(ROWS):
            hour, rest = divmod(row, 3600)
            day, hour = divmod(hour, 24)
            cells = [f"{_course(row - 60 * couple) + scatter.gauss(0, 0.1):.1f}" for couple in range(COUPLES)]
            stamp = f"2026-03-{day + 1:02d} {hour:02d}:{rest // 60:02d}:{rest % 60:02d}"
            file.write(f"{stamp},{','.join(cells)}\n")


def _course(second: float) -> float:
    if second < _RAMP:
        return 20 + 595 * max(second, 0) / _RAMP
    if second < _SOAK_TO:
        return 615 + 3 * math.sin(second / 900)
    return max(615 - 500 * (second - _SOAK_TO) / (_DOWN_TO - _SOAK_TO), 90)


def csv_s(path: Path) -> float:
    """Seconds in which Python's own reader goes over the file and does nothing with it."""
    began = perf_counter()
    with path.open(encoding="utf-8", newline="") as file:
        for _ in csv.reader(file):
            pass
    return perf_counter() - began


def judged_s(path: Path) -> float:
    """Seconds in which the chart is read and judged."""
    from traveler.acts.chart_asked import Asked
    from traveler.acts.charts import judge_file

    began = perf_counter()
    found = judge_file(lambda: blocks(path), "B31.3-2016 P-1", "25 mm", Asked())
    took = perf_counter() - began
    if found["verdict"] not in ("met", "not shown"):
        raise RuntimeError(found["verdict"])
    return took


def blocks(path: Path) -> Iterator[bytes]:
    """The bytes of the file, a mebibyte at a time."""
    with path.open("rb") as content:
        while block := content.read(1 << 20):
            yield block


def peak_kib(path: Path, *, bare: bool) -> int:
    """Peak memory of a process [KiB]: a bare interpreter, or one that reads and judges the chart."""
    code = _PEAK.format(work="" if bare else _JUDGED)
    done = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True)
    return int(done.stdout)


def redraw_s(path: Path) -> float:
    """Seconds for one drawing of the whole chart at 80 by 24."""
    from traveler.acts.chart_asked import Asked
    from traveler.acts.charts import judge_file
    from traveler.report.relief_chart_text import plot_lines

    found = judge_file(lambda: blocks(path), "B31.3-2016 P-1", "25 mm", Asked())
    began = perf_counter()
    plot_lines(found, False, 80, 16)
    return perf_counter() - began
