"""Where things lie, and Python in a process of its own."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "traveler"
SHEETS = ROOT / "fixtures" / "sheets"


def python(code: str, *arguments: str, cwd: Path = ROOT) -> subprocess.CompletedProcess[str]:
    """Run ``code`` in a fresh interpreter that finds the package in the source tree."""
    return run(sys.executable, "-c", code, *arguments, cwd=cwd)


def run(*command: str, cwd: Path = ROOT) -> subprocess.CompletedProcess[str]:
    """Run a command without a terminal and hand back what it said."""
    return subprocess.run(
        command, cwd=cwd, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=120, check=False
    )
