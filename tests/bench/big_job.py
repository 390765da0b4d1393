"""A job of 200 steps and 5,000 readings, by seed: what its dossier takes in time and memory.

The job is issued by the act. Its readings are appended by the record layer, as the act writes them: the act would work
the whole job out 5,000 times. Invented data.
"""

import random
import subprocess
import sys
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from traveler.acts.change import state_of, stream_of
from traveler.acts.clock import Clock, SystemClock
from traveler.acts.issue import issue
from traveler.job.board import as_recorded
from traveler.job.person import Person
from traveler.record.shop import Shop

NUMBER, STEPS, READINGS = "BIG-1", 200, 5_000
JOINTS, RUNS = 66, 20
_BEGUN = datetime.fromisoformat("2026-03-02T07:30:00+01:00")
_PEOPLE = ("Ana Lund (invented)", "Bram Ortega (invented)", "Cleo Vance (invented)")
_SIDES = (
    "front side, beside the root",
    "rear side, 50 mm from the edge",
    "left of the gusset",
    "heel of the tab",
)
_HEAD = """\
# Invented data.
[job]
number = "BIG-1"
title = "Frame of many joints, invented"
part = "invented part"
units = "inch"
decides = "welding engineer"

[[material]]
id = "tube"
grade = "4130"
condition = "normalized"
heat_number = "H4410"
certificate = "3.1"

[[filler]]
id = "rod"
classification = "ER70S-2"
hydrogen = "H5"
"""
_JOINT = """
[[joint]]
id = "J{0}"
type = "T fillet"
process = "141"
filler = "rod"
arc_energy = "1.0 kJ/mm"
restraint = "medium"
member = [{{ material = "tube", form = "tube", thickness = "1/4 in" }},
          {{ material = "tube", form = "plate", thickness = "3/16 in" }}]
"""
_STEP = '\n[[step]]\nnumber = {}\nkind = "{}"\n'


def sheet() -> bytes:
    """One step to fit, three a joint, one to inspect: 200 of them."""
    steps = [_STEP.format(10, "fit")]
    for joint in range(1, JOINTS + 1):
        for at, kind in enumerate(("preheat", "weld", "hydrogen release")):
            number = 10 * (3 * joint + at - 1)
            steps.append(_STEP.format(number, kind) + f'joint = "J{joint}"\n')
    steps.append(_STEP.format(10 * STEPS, "inspect"))
    joints = [_JOINT.format(joint) for joint in range(1, JOINTS + 1)]
    return "".join([_HEAD, *joints, *steps]).encode()


def write_shop(path: Path, clock: Clock, seed: int = 4130) -> None:
    """A new shop file with the one job."""
    chance = random.Random(seed)
    with Shop.create(path) as shop:
        issue(shop, clock, Person(_PEOPLE[0]), sheet())
        with shop.write() as writing:
            for number, act in enumerate(_acts(chance), 1):
                at = (_BEGUN + timedelta(minutes=3 * number)).isoformat()
                by = {"how": "stated", "name": chance.choice(_PEOPLE)}
                act |= {"reading": number, "attempt": 1}
                writing.append(stream_of(NUMBER), "reading recorded", by, at, at, act)
            writing.put_board_row(as_recorded(state_of(writing.events(stream_of(NUMBER)))))


def _acts(chance: random.Random) -> Iterator[dict[str, Any]]:
    left = READINGS
    for joint in range(1, JOINTS + 1):
        preheat = 10 * (3 * joint - 1)
        share = left // (JOINTS + 1 - joint)
        left -= share
        warm = share - 2 - 2 * RUNS
        for _ in range(warm):
            yield _reading(
                preheat, joint, "preheat temperature", f"{chance.randrange(3020, 3600) / 10} F", chance
            )
        yield _reading(preheat + 10, joint, "welder", chance.choice(_PEOPLE), None)
        yield _reading(preheat + 10, joint, "filler lot", f"L{chance.randrange(40, 44)}", None)
        for run in range(1, RUNS + 1):
            heat = f"{chance.randrange(3100, 4700) / 10} F"
            yield _reading(preheat + 10, joint, "interpass temperature", heat, chance, run)
            energy = f"{chance.randrange(800, 1100) / 1000} kJ/mm"
            yield _reading(preheat + 10, joint, "arc energy", energy, None, run)


def _reading(
    step: int, joint: int, quantity: str, typed: str, chance: random.Random | None, run: int | None = None
) -> dict[str, Any]:
    value, _, unit = typed.partition(" ")
    units = {"F": "degF", "kJ/mm": "kJ/mm"}
    measured = unit in units
    return {
        "step": step,
        "quantity": quantity,
        "joint": f"J{joint}",
        "value": value if measured else typed,
        "unit": units.get(unit),
        "typed": typed,
        "place": None if chance is None else f"{chance.choice(_SIDES)}, {chance.randrange(1, 90)} mm",
        "instrument": None if chance is None else f"contact thermometer CT-{chance.randrange(1, 5)}",
        "run": run,
    }


_TAKEN = """
import os, sys
from pathlib import Path
from traveler.acts.look import export
from traveler.record.shop import Shop
with Shop.open(Path(sys.argv[1]), read_only=True) as shop:
    made = export(shop, sys.argv[2], "pdf", "a4")
Path(sys.argv[3]).write_bytes(made)
times = os.times()
peak = next(line.split()[1] for line in open("/proc/self/status") if line.startswith("VmHWM"))
print(times.user + times.system, peak)
"""


def dossier_taken(shop: Path, number: str, made: Path) -> tuple[float, float]:
    """Processor seconds with its start and greatest memory [MB of 1e6 bytes] of exporting a job's PDF."""
    done = subprocess.run(
        [sys.executable, "-c", _TAKEN, shop, number, made], capture_output=True, text=True, check=True
    )
    seconds, peak_kib = done.stdout.split()
    return float(seconds), int(peak_kib) * 1024 / 1e6


if __name__ == "__main__":
    folder = Path(sys.argv[1])
    write_shop(folder / "big.traveler", SystemClock())
    for _ in range(3):
        seconds, megabytes = dossier_taken(folder / "big.traveler", NUMBER, folder / "big.pdf")
        print(f"dossier of {STEPS} steps and {READINGS:,} readings: {seconds:.1f} s, {megabytes:.0f} MB")
