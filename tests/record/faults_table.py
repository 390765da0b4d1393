"""All faults one after the other, and what became of the work: prints the table of ``docs/record.md``.

    python tests/record/faults_table.py

Takes some minutes; as root on Linux with strace it tries everything, else what it can.
"""

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from functools import partial
from pathlib import Path

from faults_around_kit import (
    disk_full,
    ended_by_signal,
    file_too_large,
    four_programs,
    killed_at_random,
    not_ours_to_write,
    stopped_in_a_write,
    stopped_outside_a_write,
    verified_meanwhile,
)
from faults_edits_kit import one_byte, one_character, rows_moved
from faults_kit import ACTS, CALLS, Tally, at_call, at_statement, at_step, killed_everywhere, tries_won

Fault = Callable[[Path], Tally]


def can_mount() -> bool:
    if sys.platform != "linux" or os.geteuid() != 0:
        return False
    return subprocess.run(["unshare", "-m", "true"], capture_output=True, check=False).returncode == 0


def all_may_enter(folder: Path) -> bool:
    """Whether another account can reach what lies in a folder."""
    return all(place.stat().st_mode & 0o001 for place in (folder.resolve(), *folder.resolve().parents))


def faults(stride: int = 7) -> dict[str, Fault]:
    """Each fault by a short name; those that this machine cannot put on a file are left out."""
    found: dict[str, Fault] = {}
    for number, act in enumerate(ACTS):
        found[f"statement {number}"] = partial(
            killed_everywhere, act=act, kills=[at_statement], fault="kill -9 before each SQL statement"
        )
        found[f"step {number}"] = partial(
            killed_everywhere,
            act=act,
            kills=[at_step],
            fault=f"kill -9 before every {stride}th step of SQLite",
            stride=stride,
        )
        if shutil.which("strace"):
            found[f"call {number}"] = partial(
                killed_everywhere,
                act=act,
                kills=[partial(at_call, call=call) for call in CALLS],
                fault="kill -9 at each call that changes the disk",
            )
    found |= {
        "tries": tries_won,
        "random": killed_at_random,
        "four": four_programs,
        "meanwhile": verified_meanwhile,
        "signals": ended_by_signal,
        "stopped": stopped_outside_a_write,
        "stopped writing": stopped_in_a_write,
    }
    for number, act in enumerate(ACTS[:4]):
        found[f"limit {number}"] = partial(file_too_large, act=act)
        if can_mount():
            found[f"disk {number}"] = partial(disk_full, act=act)
    if os.geteuid() == 0 and all_may_enter(Path(tempfile.gettempdir())):
        found["read-only"] = not_ours_to_write
    return found | {"character": one_character, "bit": one_byte, "rows": rows_moved}


def one(name: str, stride: int = 7) -> Tally:
    """One fault in a folder of its own, which other accounts can reach too."""
    with tempfile.TemporaryDirectory(prefix="traveler-faults-", dir=os.environ.get("FAULTS_IN")) as folder:
        os.environ["XDG_STATE_HOME"] = str(Path(folder) / "state")
        return faults(stride)[name](Path(folder))


def main() -> None:
    """One row a fault, over all acts that it was put on."""
    rows: dict[str, Tally] = {}
    for name in faults():
        tally = one(name)
        print(tally, file=sys.stderr, flush=True)
        row = rows.setdefault(tally.fault.partition(": ")[0], Tally(tally.fault.partition(": ")[0]))
        row.tried += tally.tried
        row.whole += tally.whole
        row.absent += tally.absent
        row.lost += tally.lost
    print("| what was done | tried | all there, or found | nothing of it, or no harm | lost |")
    print("|---|---|---|---|---|")
    for row in rows.values():
        print(f"| {row.fault} | {row.tried} | {row.whole} | {row.absent} | {row.lost} |")


if __name__ == "__main__":
    main()
