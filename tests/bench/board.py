"""The board with few jobs and with many: first paint, memory, and what a key costs of the program's own time."""

import os
import time
from dataclasses import dataclass
from pathlib import Path
from statistics import quantiles

import pexpect
from paint import BOARD, LONGEST_S

NUMBER = b"N-0"
QUIET_S = 0.08
KEYS = (
    ["\x1b[B"] * 40  # down, beyond the first page
    + ["\x1b[6~"] * 20  # pages down
    + ["\x1b[A"] * 20
    + ["\x1b[F", "\x1b[H"] * 5  # to the end and back
    + ["v"] * 10
    + ["/", *"wing stay", "\x1b"] * 2
)
"""What somebody does who looks through the jobs."""


@dataclass(frozen=True)
class Handled:
    """Time of the program's own [s] for each key of ``KEYS``, and its peak memory [KiB]."""

    key_s: list[float]
    peak_kib: int

    @property
    def slow_key_s(self) -> float:
        """The 95th percentile."""
        return quantiles(self.key_s, n=20)[-1]


def board_paint_s(shop: Path) -> float:
    """Seconds from the start of the process until the number of a job reaches the terminal."""
    began = time.perf_counter()
    child = _started(shop)
    try:
        child.expect_exact(NUMBER)
        took = time.perf_counter() - began
        child.sendcontrol("q")
        child.expect(pexpect.EOF)
    finally:
        child.close(force=True)
    return took


def handled(shop: Path) -> Handled:
    """Press every key, each once the program is quiet again; its own time is what the kernel counts for it."""
    child = _started(shop)
    try:
        child.expect_exact(NUMBER)
        _quiet(child)
        times = [_key_s(child, key) for key in KEYS]
        status = Path(f"/proc/{child.pid}/status").read_text()
        peak = next(line.split()[1] for line in status.splitlines() if line.startswith("VmHWM"))
        child.sendcontrol("q")
        child.expect(pexpect.EOF)
    finally:
        child.close(force=True)
    return Handled(times, int(peak))


def _key_s(child: "pexpect.spawn[bytes]", key: str) -> float:
    before = _on_processor_s(child.pid)
    child.send(key)
    _quiet(child)
    return _on_processor_s(child.pid) - before


def _on_processor_s(pid: int) -> float:
    tasks = Path(f"/proc/{pid}/task").iterdir()
    return sum(int((task / "schedstat").read_text().split()[0]) for task in tasks) / 1e9


def _quiet(child: "pexpect.spawn[bytes]") -> None:
    """Read until nothing comes for a while."""
    until = time.monotonic() + QUIET_S
    while time.monotonic() < until:
        try:
            child.read_nonblocking(65536, timeout=QUIET_S / 4)
            until = time.monotonic() + QUIET_S
        except pexpect.TIMEOUT:
            pass


def _started(shop: Path) -> "pexpect.spawn[bytes]":
    environment = {**os.environ, "TRAVELER_SHOP": str(shop), "TERM": "xterm-256color"}
    return pexpect.spawn(BOARD[0], BOARD[1:], dimensions=(24, 80), timeout=LONGEST_S, env=environment)
