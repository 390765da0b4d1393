"""A shop with people for the commands: their secrets go in by a descriptor. All names are invented."""

import os
import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, timedelta
from pathlib import Path

from cheap_secrets import CHEAP
from cli_kit import Answer, Commands

LATELY, LONG_AGO = (date.today() - timedelta(days=days) for days in (20, 400))
OLGA, WIM, INES = "beam 40x40", "welder 4711", "looks twice 9"


@contextmanager
def lines(*texts: str) -> Iterator[int]:
    """A descriptor with a line for each text."""
    reader, writer = os.pipe()
    os.write(writer, "".join(f"{text}\n" for text in texts).encode())
    os.close(writer)
    yield reader
    os.close(reader)


def with_secrets(traveler: Commands, *arguments: object, given: tuple[str, ...]) -> Answer:
    """A command with ``--secret-fd``."""
    with lines(*given) as descriptor:
        return traveler(*arguments, "--secret-fd", descriptor)


def people(traveler: Commands) -> str:
    """Olga (P1, owner and inspector), Wim (P2, welder), Ines (P3, inspector); returns Olga's recovery code."""
    added = with_secrets(
        traveler, "person", "add", "Olga Vance", "--role", "inspector", "--process", f"141={LONG_AGO}", given=(OLGA,)
    )  # fmt: skip
    assert added.status == 0, added
    by = ("--by", "P1")
    for name, role, secret in (("Wim Two", "welder", WIM), ("Ines Okafor", "inspector", INES)):
        answer = with_secrets(
            traveler, "person", "add", name, "--role", role, "--process", f"141={LATELY}", *by,
            given=(OLGA, secret),
        )  # fmt: skip
        assert answer.status == 0, answer
    return code_in(added.out)


def code_in(text: str) -> str:
    found = re.search(r"^  ([A-Z2-7]{4}(?:-[A-Z2-7]{4}){3})$", text, re.MULTILINE)
    assert found, text
    return found[1]


def issued_by_olga(traveler: Commands, sheet: Path) -> None:
    assert with_secrets(traveler, "new", sheet, "--by", "P1", given=(OLGA,)).status == 0


def content_of(traveler: Commands, step: int) -> str:
    steps = traveler("show", "B-101", "--json").json["steps"]
    found: str = next(entry["content"] for entry in steps if entry["number"] == step)
    return found


__all__ = ["CHEAP"]
