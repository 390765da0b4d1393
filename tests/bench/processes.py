"""Whole processes, from start to end."""

import subprocess
import sys
from collections.abc import Sequence
from time import perf_counter

_MAIN = "from traveler.cli.main import main; main()"

PYTHON = [sys.executable, "-c", "pass"]
VERSION = [sys.executable, "-c", _MAIN, "--version"]
PLAN = [sys.executable, "-c", _MAIN, "plan"]


def run_s(command: Sequence[str]) -> float:
    """Seconds from the start of a process to its end; status 1 is an answer, too."""
    began = perf_counter()
    done = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, check=False)
    took = perf_counter() - began
    if done.returncode not in (0, 1):
        raise RuntimeError(done.stderr.decode(errors="replace"))
    return took
