"""What a hurried or a hostile hand types at ``chart``: a sentence, and nothing written."""

import os
import sys
from pathlib import Path

import pexpect
import pytest
from chart_files import PLAIN, elapsed, written
from cli_kit import Commands, refused

RULE = ("--profile", "UCS-56 P-1", "--thickness", "25 mm")


@pytest.mark.parametrize("target", ["-", "", " "])
def test_a_mapping_goes_to_a_file_with_a_name(
    traveler: Commands, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, target: str
) -> None:
    file = written(tmp_path, elapsed())
    monkeypatch.chdir(tmp_path)
    before = sorted(tmp_path.iterdir())
    answer = traveler("chart", file, *RULE, "--save-mapping", target)
    assert "is no name of a file" in refused(answer)
    assert sorted(tmp_path.iterdir()) == before


def test_names_without_end_are_not_offered_in_full(traveler: Commands, tmp_path: Path) -> None:
    file = written(tmp_path, elapsed(header=PLAIN.replace("TC1 (°C)", "N" * 20_000)))
    sentence = refused(traveler("chart", file, *RULE))
    assert "say it with --couples and their names with commas between" in sentence
    assert len(sentence) < 1000


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--window", ""), "window: nothing was typed"),
        (("--loaded", "noon"), 'loaded: "noon" is no time of this chart'),
        (("--loaded", "3 h", "--out", "2 h"), "out: the part came out at 2:00:00, not after it went in"),
        (("--couples", ""), "the name of a couple is empty"),
        (("--couples", "TC1\nTC2"), "cannot be read as names"),
        (("--couples", '"TC1'), "cannot be read as names"),
        (("--uncertainty", "K class 2, reader -1 C"), 'uncertainty: "-1 C" is below zero'),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, tuple) else "",
)
def test_an_option_that_cannot_be_used_is_named(
    traveler: Commands, tmp_path: Path, options: tuple[str, ...], said: str
) -> None:
    assert said in refused(traveler("chart", written(tmp_path, elapsed()), *RULE, *options))


def test_a_path_without_end_and_one_without_a_sign_are_sentences(traveler: Commands) -> None:
    assert "the name of the file is empty" in refused(traveler("chart", "", *RULE))
    assert len(refused(traveler("chart", "x" * 9000, *RULE))) < 400


@pytest.mark.terminal
def test_a_chart_typed_at_a_terminal_ends_with_one_end_of_input(traveler: Commands, tmp_path: Path) -> None:
    command = [sys.executable, "-m", "traveler", "chart", "-", *RULE]
    environment = {**traveler.outside(), "PYTHONIOENCODING": "utf-8", "TERM": "dumb"}
    child = pexpect.spawn(
        command[0], command[1:], env=environment, encoding="utf-8", timeout=30, dimensions=(50, 200)
    )
    child.delaybeforesend = None
    for line in elapsed().splitlines():
        child.sendline(line)
        child.expect_exact(line)
    child.sendeof()
    child.expect(pexpect.EOF)
    child.wait()
    assert child.exitstatus == 0
    assert "Chart: MET" in str(child.before)
    assert os.listdir(tmp_path) == ["sheet.toml"]
