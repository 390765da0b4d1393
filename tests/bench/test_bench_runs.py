"""The bench runs and says something of everything; what the clock says is for people to read."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

BENCH = Path(__file__).with_name("bench.py")
ROOT = BENCH.parents[2]


@pytest.mark.slow
@pytest.mark.terminal
def test_the_bench_prints_every_ratio() -> None:
    # As a module path, the source tree comes first, as it does for the tests.
    code = (
        f"import sys, runpy; sys.path.insert(0, {str(BENCH.parent)!r}); sys.argv = ['bench', '1', '60']; "
        + (f"runpy.run_path({str(BENCH)!r}, run_name='__main__')")
    )
    found = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=300,
        check=False,
    )  # fmt: skip
    assert found.returncode == 0, found.stderr
    lines = [line for line in found.stdout.splitlines() if re.search(r"\| [0-9.]+ ms \| [0-9.]+ ms \|", line)]
    assert [line.split("|")[1].split(",")[0].strip() for line in lines] == [
        "`traveler --version`", "`traveler plan`", "first paint of the board", "first paint with 60 jobs",
        "a key there (95th percentile)", "one event in the log", "one reading recorded", "chart of a million values",
    ]  # fmt: skip
