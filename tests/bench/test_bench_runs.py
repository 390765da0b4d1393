"""The bench runs and says something of every figure; what the clock says is for people to read."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from figures import FIGURES

ROOT = Path(__file__).parents[2]
SPREAD = {"median", "low", "high"}


def bench(*arguments: str) -> str:
    """What the command prints, as it is typed at the top of the project."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench", *arguments],
        cwd=ROOT, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=300, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.mark.slow
@pytest.mark.terminal
def test_the_short_run_measures_every_figure_beside_its_floor() -> None:
    found = json.loads(bench("--short", "--json"))
    assert found["mode"] == "short"
    figures = {figure["name"]: figure for figure in found["figures"]}
    assert list(figures) == list(FIGURES)
    assert len(figures) == 13
    for figure in figures.values():
        for measured in (figure["thing"], figure["floor"], figure["result"]):
            assert measured.keys() == SPREAD
            assert measured["low"] <= measured["median"] <= measured["high"]
        assert figure["thing"]["median"] > 0
        assert figure["floor"]["median"] > 0
        if figure["relation"] == "times":
            assert figure["result"]["median"] > 0
        assert figure["reached"] in (True, False)
    assert figures["sessions"]["also"]["nothing lost, file verified"]
    assert figures["sessions"]["notes"]["lost"] == 0
    assert figures["dossier"]["notes"]["sheets"] >= 1


@pytest.mark.slow
def test_the_table_of_the_document_has_a_line_for_each_figure_asked_for() -> None:
    lines = bench("--short", "--markdown", "--only", "version", "open").splitlines()
    table = [line for line in lines if line.startswith("|")]
    assert len(table) == 4
    assert len({line.count("|") for line in table}) == 1
    assert "`traveler --version`" in table[2]
    assert "60 events opened" in table[3]


def test_a_figure_that_is_not_there_is_refused_with_the_names_of_those_that_are() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench", "--only", "lathe"],
        cwd=ROOT, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert done.returncode == 2
    assert "lathe" in done.stderr
    assert "paint-many" in done.stderr


@pytest.mark.slow
def test_a_profile_names_the_functions_that_take_the_time() -> None:
    lines = bench("--short", "--profile", "--only", "chain", "commit").splitlines()
    assert [line.split(",")[0] for line in lines if not line.startswith(" ")] == ["chain", "commit"]
    assert any("sha256" in line for line in lines)
    assert any("PatientConnection.execute" in line for line in lines)
