"""The app in a pseudo-terminal of 80 by 24, from the start of its process to the first word of its screen."""

import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

import pexpect
from files import Files
from kernel import seen
from measured import Figure, Measured, Took, alternate
from processes import TRAVELER
from sizes import Sizes

Child = pexpect.spawn
WORD = b"N-0"
"""The number of a job begins with it, and the bare app shows it."""
LONGEST_S = 60
QUIET_S = 0.08

_BARE = """
from textual.app import App
from textual.widgets import Input, Static
class Bare(App):
    def compose(self):
        yield Static("N-0")
        {field}
Bare().run(mouse=False)
"""
BARE_APP = [sys.executable, "-c", _BARE.format(field="")]
BARE_FIELD = [sys.executable, "-c", _BARE.format(field="yield Input()")]


def first_paint(sizes: Sizes, files: Files) -> Iterator[Measured]:
    """The board of a few jobs."""
    shop = files.with_jobs(sizes.few_jobs)
    figure = Figure("paint", f"board first paint, {sizes.few_jobs} jobs", "bare Textual app", "times", 1.3)
    yield figure.of_times(
        alternate(sizes.rounds, partial(paint_s, TRAVELER, shop), partial(paint_s, BARE_APP, shop))
    )


def paint_of_many(sizes: Sizes, files: Files) -> Iterator[Measured]:
    """The board of very many."""
    few = files.with_jobs(sizes.few_jobs)
    for jobs in sizes.many_jobs:
        many = files.with_jobs(jobs)
        figure = Figure(
            "paint-many",
            f"board first paint, {jobs:,} jobs",
            f"the same, {sizes.few_jobs} jobs",
            "times",
            1.2,
        )
        yield figure.of_times(
            alternate(sizes.rounds, partial(paint_s, TRAVELER, many), partial(paint_s, TRAVELER, few))
        )


def paint_s(command: list[str], shop: Path) -> Took:
    """Until the terminal is sent the number of a job; the app is then told to leave."""
    began = time.perf_counter()
    with started(command, shop) as child:
        took = time.perf_counter() - began
        return Took(took, seen(child.pid).busy_s)


@contextmanager
def started(command: list[str], shop: Path) -> "Iterator[Child[bytes]]":
    """An app that shows its first screen; afterwards it has ended."""
    environment = {**os.environ, "TRAVELER_SHOP": str(shop)}
    child = pexpect.spawn(command[0], command[1:], dimensions=(24, 80), timeout=LONGEST_S, env=environment)
    try:
        child.expect_exact(WORD)
        yield child
        child.sendcontrol("q")
        child.expect(pexpect.EOF)
    finally:
        child.close(force=True)


def quiet(child: "Child[bytes]", seconds: float = QUIET_S) -> None:
    """Read until nothing comes for so long."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        if read(child, seconds / 4):
            until = time.monotonic() + seconds


def read(child: "Child[bytes]", seconds: float) -> bytes:
    """What comes next; nothing where nothing comes within so many seconds."""
    try:
        return bytes(child.read_nonblocking(65536, timeout=seconds))
    except pexpect.TIMEOUT:
        return b""
