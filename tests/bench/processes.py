"""Whole processes, from start to end."""

import subprocess
import sys
from collections.abc import Iterator
from functools import partial
from resource import RUSAGE_CHILDREN, getrusage
from time import perf_counter

from files import Files
from measured import Figure, Measured, Took, alternate
from sizes import Sizes

_MAIN = "from traveler.cli.main import main; main()"

PYTHON = [sys.executable, "-c", "pass"]
TRAVELER = [sys.executable, "-c", _MAIN]

VERSION_FIGURE = Figure("version", "`traveler --version`", "bare Python", "beyond", 0.040)

_GRADES = (("4130", "normalized"), ("4130", "annealed"), ("4140", "annealed"), ("S355J2", "as rolled"))
_FORMS = ("plate", "tube", "sheet", "bar")


def version(sizes: Sizes, _: Files) -> Iterator[Measured]:
    """The least that a command can do."""
    yield VERSION_FIGURE.of_times(
        alternate(sizes.rounds, partial(run_s, [*TRAVELER, "--version"]), partial(run_s, PYTHON))
    )


def plan(sizes: Sizes, files: Files) -> Iterator[Measured]:
    """A sheet of many joints, planned and printed."""
    for joints in sizes.joints:
        path = files.folder / f"{joints}-joints.toml"
        path.write_text(sheet(joints), encoding="utf-8")
        figure = Figure("plan", f"`traveler plan` of {joints} joints", "bare Python", "beyond", 0.250)
        command = [*TRAVELER, "plan", str(path)]
        yield figure.of_times(alternate(sizes.rounds, partial(run_s, command), partial(run_s, PYTHON)))


def run_s(command: list[str]) -> Took:
    """From the start of a process to its end; status 1 is an answer, too."""
    began, before = perf_counter(), getrusage(RUSAGE_CHILDREN)
    done = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, check=False)
    took, after = perf_counter() - began, getrusage(RUSAGE_CHILDREN)
    busy = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    if done.returncode not in (0, 1):
        raise RuntimeError(done.stderr.decode(errors="replace"))
    return Took(took, busy)


def sheet(joints: int) -> str:
    """A sheet of so many joints, no two alike in thickness: four grades, two fillers, arc energy and restraint vary."""
    lines = [
        "# Invented data.", "[job]", 'number = "J-40"', 'title = "Invented frame"', 'units = "metric"',
        'decides = "welding engineer"',
    ]  # fmt: skip
    for at, (grade, condition) in enumerate(_GRADES):
        lines += ["[[material]]", f'id = "m{at}"', f'grade = "{grade}"', f'condition = "{condition}"']
    for at, hydrogen in enumerate(("H5", "H10")):
        lines += ["[[filler]]", f'id = "f{at}"', 'classification = "ER70S-2"', f'hydrogen = "{hydrogen}"']
    for at in range(joints):
        members = ", ".join(
            f'{{ material = "m{(at + side) % len(_GRADES)}", form = "{_FORMS[(at // 4 + side) % len(_FORMS)]}", '
            f'thickness = "{2 + at / 2 + side} mm" }}'
            for side in (0, 1)
        )
        lines += [
            "[[joint]]", f'id = "J{at + 1}"', 'type = "T fillet"', 'process = "141"', f'filler = "f{at % 2}"',
            f'arc_energy = "{0.8 + at % 5 / 10:.1f} kJ/mm"', f'restraint = "{("low", "medium", "high")[at % 3]}"',
            f"member = [{members}]",
        ]  # fmt: skip
    return "\n".join([*lines, ""])
