"""Many sessions that write to one file at once, against one that writes as much: time, waits, and nothing lost."""

import shutil
import subprocess
import sys
from collections.abc import Iterator, Sequence
from datetime import timedelta
from pathlib import Path
from time import perf_counter
from typing import NamedTuple

from files import NOW, Files
from many_jobs import PEOPLE, SHEET, GoingOn
from measured import Figure, Measured, rounded
from sizes import Sizes

from traveler.acts.issue import issue
from traveler.acts.verify import verify
from traveler.record.shop import Shop

_SESSION = """
import sys
from pathlib import Path
from time import perf_counter
from traveler.acts.clock import SystemClock
from traveler.acts.readings import NewReading, record_reading
from traveler.errors import TravelerError
from traveler.job.person import Person
from traveler.record.shop import Shop
path, readings, *numbers = sys.argv[1:]
ana, clock = Person("Ana Lund"), SystemClock()
entered = NewReading(10, "preheat temperature", "320 F", place="web", instrument="contact thermometer")
longest, refused = 0.0, 0
with Shop.open(Path(path)) as shop:
    print("ready", flush=True)
    sys.stdin.readline()
    for _ in range(int(readings)):
        for number in numbers:
            began = perf_counter()
            try:
                record_reading(shop, clock, ana, number, entered)
            except TravelerError:
                refused += 1
            longest = max(longest, perf_counter() - began)
    print(longest, refused, flush=True)
"""
LONGEST_WAIT_S = 3.0


class Run(NamedTuple):
    """Seconds until all have written, the longest wait for one reading, and how many were refused and how many lost.

    Refused is what a session was told is not written, since the file stayed held; lost what is missing besides.
    """

    took_s: float
    longest_s: float
    refused: int
    lost: int


def sessions(sizes: Sizes, files: Files) -> Iterator[Measured]:
    """Each session a process with a job of its own; the one beside them writes to the same jobs in turn."""
    for count in sizes.sessions:
        numbers = [f"S-{at}" for at in range(1, count + 1)]
        fresh = files.folder / f"{count}-sessions.traveler"
        _write_jobs(fresh, numbers)
        together, alone = list[Run](), list[Run]()
        for at in range(sizes.session_rounds):
            alone.append(_written(fresh, f"alone-{at}", [numbers], sizes.readings_each))
            together.append(
                _written(fresh, f"together-{at}", [[number] for number in numbers], sizes.readings_each)
            )
        longest = max(run.longest_s for run in together)
        refused = sum(run.refused for run in (*together, *alone))
        lost = sum(run.lost for run in (*together, *alone))
        total = count * sizes.readings_each
        figure = Figure(
            "sessions", f"{count} sessions writing, {sizes.readings_each} readings each",
            f"one session writing {total:,}", "times", 2.0,
        )  # fmt: skip
        yield figure.of(
            [(many.took_s, one.took_s) for many, one in zip(together, alone, strict=True)],
            {
                f"longest wait at most {LONGEST_WAIT_S:g} s": longest <= LONGEST_WAIT_S,
                "nothing refused": not refused,
                "nothing lost, file verified": not lost,
            },
            {"longest wait, s": rounded(longest), "refused": refused, "lost": lost},
        )  # fmt: skip


def _write_jobs(path: Path, numbers: Sequence[str]) -> None:
    with Shop.create(path) as shop:
        for number in numbers:
            text = SHEET.format(number=number, heat="H4130", title=f"Link tab {number}", part="LT-1")
            issue(shop, GoingOn(NOW - timedelta(hours=1)), PEOPLE[1], text.encode())


def _written(fresh: Path, name: str, shares: Sequence[Sequence[str]], readings: int) -> Run:
    """Every share written by a process of its own, all of them begun at one word."""
    path = fresh.with_name(f"{fresh.stem}-{name}.traveler")
    shutil.copyfile(fresh, path)
    children = [
        subprocess.Popen(
            [sys.executable, "-c", _SESSION, str(path), str(readings), *numbers],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )
        for numbers in shares
    ]  # fmt: skip
    try:
        for child in children:
            _line(child)
        began = perf_counter()
        for child in children:
            _go(child)
        told = [_line(child).split() for child in children]
        took = perf_counter() - began
    finally:
        for child in children:
            child.kill()
            child.communicate()
    refused = sum(int(count) for _, count in told)
    expected = sum(map(len, shares)) * readings - refused
    return Run(took, max(float(wait) for wait, _ in told), refused, _lost(path, expected))


def _line(child: "subprocess.Popen[str]") -> str:
    found = child.stdout.readline() if child.stdout else ""
    if not found:
        raise RuntimeError(f"a session ended early: {child.communicate()[1]}")
    return found


def _go(child: "subprocess.Popen[str]") -> None:
    if child.stdin:
        child.stdin.write("go\n")
        child.stdin.flush()


def _lost(path: Path, expected: int) -> int:
    """Readings that are not there; a file with a fault counts as having lost all of them."""
    with Shop.open(path, read_only=True) as shop:
        written = sum(len(shop.events(f"job {number}")) - 1 for number in shop.job_numbers())
    return expected if verify(path).faults else expected - written
