"""How long things take beyond what they cannot do without, measured in the same run.

    python tests/bench/bench.py [ROUNDS [JOBS]]

Each line is a median, its floor (a bare Python, a bare Textual app, a bare commit of the same bytes) and what lies
between them. The runs of a thing and of its floor alternate, so that a busy machine slows both. Nothing is asserted:
a clock on somebody else's machine proves little.
"""

import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

from board import board_paint_s, handled
from charts import csv_s, judged_s, peak_kib, redraw_s, write_chart
from commit import commit_times
from many_jobs import write_shop
from paint import BARE_APP, BOARD, paint_s
from processes import PLAN, PYTHON, VERSION, run_s

from traveler.acts.clock import SystemClock
from traveler.demo.build import build_demo

SHEET = Path(__file__).parents[2] / "fixtures" / "sheets" / "bracket.toml"
ROUNDS = 15
JOBS = 10_000
READINGS = 60
"""More than most jobs have; each act folds all that went before."""


def main(rounds: int, jobs: int) -> None:
    """Measure everything and print one table."""
    print(f"| {'what':<34} | median | floor | beyond it | times the floor |")
    print(f"|{'-' * 36}|--------|-------|-----------|-----------------|")
    with tempfile.TemporaryDirectory(prefix="traveler-bench-") as name:
        folder = Path(name)
        os.environ["TRAVELER_SHOP"], _ = map(str, build_demo(folder, SystemClock()))
        report(
            "`traveler --version`, bare Python",
            *alternate(rounds, lambda: run_s(VERSION), lambda: run_s(PYTHON)),
        )
        plan = [*PLAN, str(SHEET)]
        report("`traveler plan`, bare Python", *alternate(rounds, lambda: run_s(plan), lambda: run_s(PYTHON)))
        report(
            "first paint of the board, bare app",
            *alternate(rounds, lambda: paint_s(BOARD), lambda: paint_s(BARE_APP)),
        )
        report_board(folder, rounds, jobs)
        log, act, raw = commit_times(folder, READINGS)
        report("one event in the log, raw commit", log, raw)
        report("one reading recorded, raw commit", act, raw)
        report_charts(folder, min(rounds, 7))


def report_board(folder: Path, rounds: int, jobs: int) -> None:
    """The board of a file with many jobs against that of one with ten: time, keys, memory."""
    few, many = folder / "few.traveler", folder / "many.traveler"
    write_shop(few, 10, SystemClock().now())
    write_shop(many, jobs, SystemClock().now())
    pair = alternate(rounds, lambda: board_paint_s(many), lambda: board_paint_s(few))
    report(f"first paint with {jobs:,} jobs".replace(",", " ") + ", with 10", *pair)
    with_many, with_few = handled(many), handled(few)
    report("a key there (95th percentile), with 10", with_many.slow_key_s, with_few.slow_key_s)
    peak = f"{with_many.peak_kib / 1024:.0f} MiB, with 10 jobs {with_few.peak_kib / 1024:.0f} MiB"
    print(f"\npeak memory of the app with {jobs} jobs: {peak}\n")


def report_charts(folder: Path, rounds: int) -> None:
    """A chart of a million values: time, memory, and one drawing of it."""
    path = folder / "chart.csv"
    write_chart(path)
    pair = alternate(rounds, lambda: judged_s(path), lambda: csv_s(path))
    report("chart of a million values, csv reader", *pair)
    bare, judged = peak_kib(path, bare=True), peak_kib(path, bare=False)
    print(f"\npeak memory of that chart: {(judged - bare) / 1024:.0f} MiB over a bare Python")
    print(f"one drawing of it, 80 by 24: {1000 * redraw_s(path):.1f} ms")


def alternate(rounds: int, thing: Callable[[], float], floor: Callable[[], float]) -> tuple[float, float]:
    """Medians of both, seconds, after one round that warms the caches of the disk."""
    thing(), floor()
    pairs = [(thing(), floor()) for _ in range(rounds)]
    return median(first for first, _ in pairs), median(second for _, second in pairs)


def report(what: str, measured_s: float, floor_s: float) -> None:
    """One line of the table."""
    beyond_ms = 1000 * (measured_s - floor_s)
    times = f"{measured_s / floor_s:.1f}"
    print(
        f"| {what:<34} | {1000 * measured_s:.1f} ms | {1000 * floor_s:.1f} ms | {beyond_ms:.1f} ms | {times} |",
        flush=True,
    )


if __name__ == "__main__":
    started = perf_counter()
    given = [int(text) for text in sys.argv[1:]]
    main(*given, *(ROUNDS, JOBS)[len(given) :])
    print(f"\n{perf_counter() - started:.0f} s in all, Python {sys.version.split()[0]}")
