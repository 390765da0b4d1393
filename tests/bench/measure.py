"""How long things take beyond what they cannot do without, measured in the same run.

    python -m tests.bench                        the table, twelve minutes on a quiet machine
    python -m tests.bench --only paint commit    some of the figures
    python -m tests.bench --full                 files of a million events and of five
    python -m tests.bench --growth               what has a size, at several
    python -m tests.bench --short                a few of everything: shows that it runs, and no more
    python -m tests.bench --profile              where the time goes, instead of times
    python -m tests.bench --json, --markdown     to be read by a program, or put into docs/performance.md

A thing and its floor (a bare Python, a bare Textual app, a bare commit of the same bytes ...) run in turn, so that a
busy machine slows both. Nothing is asserted: a clock on somebody else's machine proves little. It needs Linux, which
tells of a process what it takes.
"""

import argparse
import json
import os
import platform
import sqlite3
import sys
import tempfile
from pathlib import Path
from time import perf_counter
from typing import Any

from figures import FIGURES, GROWING
from files import Files
from measured import Measured
from profiles import profiles
from sizes import FULL, GROWTH, SHORT, USUAL, Sizes
from table import as_json, markdown, plain

ROOT = Path(__file__).parents[2]
OURS = ("TRAVELER_", "TEXTUAL", "XDG_")
TERMINAL = (
    "NO_COLOR",
    "FORCE_COLOR",
    "COLORTERM",
    "COLUMNS",
    "LINES",
    "SSH_CONNECTION",
    "PYTHONDONTWRITEBYTECODE",
)
MODES = {"short": SHORT, "full": FULL, "growth": GROWTH}


def main() -> None:
    """Measure what was asked for, tell each figure as soon as it is there, and print all of them at the end."""
    asked = _asked()
    mode = next((name for name in MODES if getattr(asked, name)), "usual")
    names = asked.only or (GROWING if mode == "growth" else list(FIGURES))
    began = perf_counter()
    with tempfile.TemporaryDirectory(prefix="traveler-bench-") as folder:
        _alone(Path(folder))
        files = Files(Path(folder), lambda what: _say(f"  {what}", began))
        sizes = MODES.get(mode, USUAL)
        if asked.profile:
            print("\n".join(profiles(names, sizes, files)))
            return
        found = measured(names, sizes, files, began)
    around = {**_machine(), "mode": mode, "took_s": round(perf_counter() - began)}
    if asked.json:
        print(json.dumps(as_json(found, around), indent=1))
    elif asked.markdown:
        print(markdown(found))
    else:
        print("\n".join(plain(figure) for figure in found))
    _say(", ".join(f"{name} {value}" for name, value in around.items()), began)


def measured(names: list[str], sizes: Sizes, files: Files, began: float) -> list[Measured]:
    """The figures of these names, one after the other."""
    found = []
    for name in names:
        _say(name, began)
        for figure in FIGURES[name](sizes, files):
            _say(plain(figure), began)
            found.append(figure)
    return found


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python -m tests.bench", description="Measure the traveler beside its floors."
    )
    size = parser.add_mutually_exclusive_group()
    size.add_argument("--short", action="store_true", help="a few of everything, to see that it runs")
    size.add_argument("--full", action="store_true", help="with files of a million events and of five")
    size.add_argument("--growth", action="store_true", help="what has a size, at several")
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="print JSON")
    form.add_argument("--markdown", action="store_true", help="print the table of docs/performance.md")
    form.add_argument("--profile", action="store_true", help="instead of times, where they go")
    parser.add_argument(
        "--only", nargs="+", metavar="NAME", choices=FIGURES, help=f"some of: {', '.join(FIGURES)}"
    )
    return parser.parse_args()


def _alone(folder: Path) -> None:
    """Nothing of the tester's own settings, and nothing left in their folders."""
    for name in [name for name in os.environ if name.startswith(OURS) or name in TERMINAL]:
        del os.environ[name]
    home = folder / "home"
    home.mkdir()
    os.environ |= {"HOME": str(home), "TERM": "xterm-256color", "PYTHONPATH": str(ROOT)}
    os.chdir(ROOT)


def _machine() -> dict[str, Any]:
    return {
        "python": platform.python_version(),
        "sqlite": sqlite3.sqlite_version,
        "system": f"{platform.system()} {platform.machine()}",
        "cores": os.cpu_count(),
    }


def _say(what: str, began: float) -> None:
    print(f"{perf_counter() - began:5.0f} s  {what}", file=sys.stderr, flush=True)
