"""The README's two commands are what the check runs, and no document points at nothing."""

import re
import tomllib
from pathlib import Path

import pytest
from house_kit import ROOT, run

DOCUMENTS = sorted([ROOT / "README.md", ROOT / "DEVELOPERS.md", *(ROOT / "docs").glob("*.md")])
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
LINK = re.compile(r"\]\((?!https?:|mailto:|#)([^)#]+)(?:#[^)]*)?\)")


def test_the_readme_has_two_commands_of_one_line_each() -> None:
    blocks = [text for kind, text in BLOCK.findall((ROOT / "README.md").read_text()) if kind == "sh"]
    first, second = (block.splitlines() for block in blocks)
    assert len(first) == len(second) == 1
    assert first[0].startswith("python3 -m venv ")
    assert first[0].endswith("/traveler demo")
    assert " -m pytest" in second[0]


def test_the_check_runs_exactly_these() -> None:
    blocks = [text for kind, text in BLOCK.findall((ROOT / "README.md").read_text()) if kind == "sh"]
    assert run(str(ROOT / ".ci" / "run"), "--commands").stdout == "".join(blocks)


def test_the_commands_install_what_the_tests_need() -> None:
    command = run(str(ROOT / ".ci" / "run"), "--commands").stdout
    extras = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["optional-dependencies"]
    assert all(f"[{extra}]" in command for extra in extras)


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: path.name)
def test_every_link_leads_somewhere(document: Path) -> None:
    missing = [link for link in LINK.findall(document.read_text()) if not (document.parent / link).exists()]
    assert missing == []


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: path.name)
def test_every_folder_and_file_of_ours_that_is_named_exists(document: Path) -> None:
    """In backquotes, with a slash and beginning at the top of this folder; ``x.traveler`` is a shop's file."""
    text = document.read_text()
    named = set(re.findall(r"`((?:traveler|tests|fixtures|docs|\.ci)/[\w./-]*)`", text))
    missing = [name for name in sorted(named) if not (ROOT / name).exists()]
    assert [name for name in missing if not name.endswith(".traveler")] == []
