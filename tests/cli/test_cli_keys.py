"""``traveler keys``: a file to begin with, and one sentence about a file that is wrong."""

import os
from pathlib import Path

import pytest
from cli_kit import Commands

from traveler.record.place import key_file


@pytest.fixture
def path(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    found = key_file(os.environ)
    found.parent.mkdir()
    return found


def test_what_is_printed_may_be_the_file_and_shows_what_the_file_says(traveler: Commands, path: Path) -> None:
    answer = traveler("keys")
    assert (answer.status, answer.err) == (0, "")
    assert answer.out.startswith(f"# {path}\n")
    path.write_text(answer.out.replace('# step.record = "r"', 'step.record = "F5"'), "utf-8")
    again = traveler("keys")
    assert again.status == 0
    assert '\nstep.record = "F5"  # Record a reading' in again.out
    assert '\n# step.perform = "p"' in again.out


def test_a_wrong_file_is_one_sentence_and_status_2(traveler: Commands, path: Path) -> None:
    path.write_text('step.record = "p"\n', "utf-8")
    answer = traveler("keys")
    assert answer.status == 2
    assert answer.out == ""
    assert "keys.toml: step.record: p is the key of step.perform on the same screen" in answer.err
    assert len(answer.err.splitlines()) == 1
