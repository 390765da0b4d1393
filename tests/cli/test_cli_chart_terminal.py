"""The questions of ``chart`` and ``attach`` in a real pseudo-terminal: asked on standard error, answered, left."""

import json
import os
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pexpect
import pytest
from chart_files import clocked, written
from cli_kit import Commands

pytestmark = pytest.mark.terminal

RULE = ("--profile", "UCS-56 P-1", "--thickness", "25 mm")
NO_UNIT = "Time,TC1,TC2,TC3,TC4"
TYPED_HERE = "\nanswer: "
Spawn = Callable[..., "pexpect.spawn[str]"]


@pytest.fixture
def spawn(traveler: Commands) -> Iterator[Spawn]:
    """Starts a command in a terminal of its own; ended in the end."""
    children = []

    def start(*arguments: object, shell: str = "") -> "pexpect.spawn[str]":
        command = [sys.executable, "-m", "traveler", *map(str, arguments)]
        if shell:
            command = ["/bin/sh", "-c", f'"$@" {shell}', "sh", *command]
        environment = {**traveler.outside(), "PYTHONIOENCODING": "utf-8", "TERM": "dumb"}
        child = pexpect.spawn(
            command[0], command[1:], env=environment, encoding="utf-8", timeout=30, dimensions=(50, 200)
        )
        children.append(child)
        return child

    yield start
    for child in children:
        child.close(force=True)


def ended(child: "pexpect.spawn[str]") -> tuple[int | None, str]:
    """Exit status and what was printed last."""
    child.expect(pexpect.EOF)
    child.wait()
    return child.exitstatus, str(child.before).replace("\r\n", "\n")


def asked(child: "pexpect.spawn[str]") -> str:
    child.expect_exact(TYPED_HERE)
    return str(child.before)


def test_what_is_open_is_asked_until_nothing_is(spawn: Spawn, tmp_path: Path) -> None:
    child = spawn("chart", written(tmp_path, clocked(header=NO_UNIT)), *RULE)
    question = asked(child)
    assert "C: degrees Celsius" in question
    assert "F: degrees Fahrenheit" in question
    child.sendline("kelvin")
    assert '"kelvin" is none of these; expected C or F' in asked(child)
    child.sendline("c")
    question = asked(child)
    assert "03/04/2026" in question
    assert "dmy: " in question
    child.sendline("dmy")
    status, text = ended(child)
    assert status == 0
    assert "Chart: relief.csv: MET" in text


def test_several_couples_are_named_in_one_answer(spawn: Spawn, tmp_path: Path) -> None:
    header = "Time,TC1 (°C),TC2 (°C),TC3 (°C),Damper"
    file = written(tmp_path, clocked(header=header, form="%Y-%m-%d %H:%M"))
    child = spawn("chart", file, *RULE)
    assert "Damper" in asked(child)
    child.sendline("")
    asked(child)
    child.sendline("TC1, TC9")
    assert "TC9" in asked(child)
    child.sendline("TC1, TC2, TC3")
    status, text = ended(child)
    assert status == 0
    assert "couples: TC1, TC2, TC3" in " ".join(text.split())


def test_questions_stay_out_of_the_answer(spawn: Spawn, tmp_path: Path) -> None:
    out = tmp_path / "found.json"
    child = spawn("chart", written(tmp_path, clocked()), *RULE, "--json", shell=f"> {out}")
    asked(child)
    child.sendline("mdy")
    assert ended(child)[0] == 0
    found = json.loads(out.read_text(encoding="utf-8"))
    assert found["mapping"]["date_order"] == "mdy"
    assert out.read_bytes().startswith(b"{")


def test_an_interruption_at_a_question_is_130(spawn: Spawn, tmp_path: Path) -> None:
    child = spawn("chart", written(tmp_path, clocked()), *RULE)
    asked(child)
    child.sendintr()
    status, text = ended(child)
    assert status == 130
    assert "Traceback" not in text


def test_an_end_of_input_at_a_question_is_2_and_says_the_option(spawn: Spawn, tmp_path: Path) -> None:
    child = spawn("chart", written(tmp_path, clocked()), *RULE)
    asked(child)
    child.sendeof()
    status, text = ended(child)
    assert status == 2
    assert "say it with --date-order dmy or mdy" in text


def test_nobody_is_asked_where_the_input_is_no_terminal(spawn: Spawn, tmp_path: Path) -> None:
    file = written(tmp_path, clocked())
    child = spawn("chart", file, *RULE, shell=f"< {os.devnull}")
    status, text = ended(child)
    assert status == 2
    assert "say it with --date-order dmy or mdy" in text


def test_attach_asks_too_and_stores_once(
    traveler: Commands, sheet: Path, spawn: Spawn, tmp_path: Path
) -> None:
    assert traveler("new", sheet).status == 0
    child = spawn("attach", "B-101", 60, written(tmp_path, clocked()), "--as", "chart")
    asked(child)
    child.sendline("dmy")
    status, text = ended(child)
    assert status == 0
    assert "chart 1 (relief.csv) recorded with step 60: met" in text
    (relief,) = [each for each in traveler("show", "B-101", "--json").json["steps"] if each["number"] == 60]
    assert [each["mapping"]["date_order"] for each in relief["charts"]] == ["dmy"]
