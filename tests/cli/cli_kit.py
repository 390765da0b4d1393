"""Run commands as a test needs them: inside this process, or as a person's shell would."""

import json
import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from click.testing import CliRunner
from sheet_parts import ROD_AND_TEE

from traveler.cli.main import run

ROOT = Path(__file__).parents[2]

# Invented: a bracket of 1/4 in annealed 4130 on plain structural plate, no part of a real car.
SHEET = (
    """
[job]
number = "B-101"
title = "Wishbone pickup [A36] [/]"
units = "inch"
decides = "welding engineer"
stress_relief = "shop 4130"

[[material]]
id = "bracket"
grade = "4130"
condition = "annealed"
heat_number = "K-2210"
certificate = "3.1"
composition = { C = 0.30, Si = 0.25, Mn = 0.50, Cr = 0.95, Mo = 0.20 }

[[material]]
id = "plate"
grade = "S355J2"
condition = "as rolled"

"""
    + ROD_AND_TEE
    + """\
restraint = "medium"
member = [ { material = "bracket", form = "plate", thickness = "1/4 in" },
           { material = "plate", form = "plate", thickness = "1/4 in" } ]
"""
)


@dataclass(frozen=True)
class Answer:
    """What a command left behind."""

    status: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


class Commands:
    """Commands on one shop's file, as one person."""

    def __init__(self, shop: Path) -> None:
        self.shop = shop
        self.environment = {"TRAVELER_SHOP": str(shop), "TRAVELER_BY": "Ines Marwood"}  # invented

    def __call__(self, *arguments: object, stdin: bytes = b"") -> Answer:
        """Run it inside this process."""
        with CliRunner().isolation(stdin, env=self.environment) as (out, err, _):
            status = run([str(argument) for argument in arguments])
        return Answer(status, out.getvalue().decode(), err.getvalue().decode())

    def process(
        self, *arguments: object, stdin: bytes = b"", environment: Mapping[str, str] | None = None
    ) -> Answer:
        """Run it in a process of its own."""
        ended = subprocess.run(
            [sys.executable, "-m", "traveler", *map(str, arguments)],
            input=stdin,
            capture_output=True,
            env=self.outside(environment),
            timeout=60,
        )
        return Answer(ended.returncode, ended.stdout.decode(), ended.stderr.decode())

    def outside(self, environment: Mapping[str, str] | None = None) -> dict[str, str]:
        """The environment of a process that finds this package."""
        found = os.pathsep.join([str(ROOT), os.environ.get("PYTHONPATH", "")])
        return {**os.environ, **self.environment, "PYTHONPATH": found, **(environment or {})}


def refused(answer: Answer) -> str:
    """The sentence of a command that could not be done: one line, status 2, no traceback, nothing printed."""
    assert answer.status == 2, answer
    assert answer.out == ""
    lines = answer.err.splitlines()
    assert len(lines) == 1, answer.err
    assert lines[0].startswith("traveler: ")
    return lines[0].removeprefix("traveler: ")
