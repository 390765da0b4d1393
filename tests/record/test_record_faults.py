"""Every fault that can be put on a file: nothing is there by half, nothing acknowledged is lost, no edit unnoticed."""

import json
import sys

import pytest
from record_kit import run

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="forks, signals and limits of POSIX"),
]

if sys.platform != "win32":
    from faults_table import faults

    NAMES = list(faults())
else:
    NAMES = []


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_lost(name: str) -> None:
    script = (
        "import dataclasses, json, sys, faults_table\n"
        "print(json.dumps(dataclasses.asdict(faults_table.one(sys.argv[1], stride=29))))"
    )
    tally = json.loads(run(script, name, seconds=300))
    print(tally)
    assert tally["lost"] == 0
    assert tally["whole"] + tally["absent"] == tally["tried"]
    assert tally["tried"] >= 5
    if name.startswith(("statement", "step", "call", "limit", "disk")):
        # The act was both prevented and done: else the fault was not where the act is.
        assert tally["whole"] > 0
        assert tally["absent"] > 0
