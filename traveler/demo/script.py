"""What happened in the demo shop, read from the sheets and the stints of work beside this module.

A file of work is a list of stints: who, at which step, from when on, and the entries in order. ``begins`` is
"8 d 09:40" (eight days ago at that time on the wall) or "27 min" (so long before now). Each entry comes
``wait_min`` minutes after the one before it, ``PACE_MIN`` where it does not say; ``by`` of an entry goes
before the stint's.
"""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any

PACE_MIN = 4

PLACE = files("traveler.demo")


@dataclass(frozen=True, slots=True)
class Happening:
    """One thing that one person did to one job, and when. ``entry`` names the act and what it needs."""

    at: datetime
    job: str
    by: str
    step: int
    entry: Mapping[str, Any]


def sheets() -> dict[str, bytes]:
    """The job sheets of the demo shop by job number."""
    return {_number(sheet): sheet for sheet in (item.read_bytes() for item in _toml_files("sheets"))}


def kept_file(name: str) -> bytes:
    """A file that somebody of the demo shop attached to a step."""
    return PLACE.joinpath("files", name).read_bytes()


def happenings(now: datetime) -> list[Happening]:
    """Everything that happened, of all jobs, in the order of time; the last a few minutes before ``now``."""
    found: list[Happening] = []
    for work in _toml_files("work"):
        number = _number(PLACE.joinpath("sheets", work.name).read_bytes())
        for stint in tomllib.loads(work.read_text(encoding="utf-8"))["stint"]:
            found += _happenings_of(stint, number, now)
    return sorted(found, key=lambda happening: happening.at)


def _number(sheet: bytes) -> str:
    number: str = tomllib.loads(sheet.decode())["job"]["number"]
    return number


def _happenings_of(stint: Mapping[str, Any], number: str, now: datetime) -> Iterator[Happening]:
    at = _begins(stint["begins"], now)
    for place, entry in enumerate(stint["entries"]):
        at += timedelta(minutes=entry.get("wait_min", PACE_MIN if place else 0))
        by, step = entry.get("by", stint["by"]), stint.get("step", 0)
        yield Happening(at, number, by, step, entry)


def _begins(text: str, now: datetime) -> datetime:
    count, unit, *on_the_wall = text.split()
    if unit == "min":
        return now - timedelta(minutes=int(count))
    day = now.date() - timedelta(days=int(count))
    return datetime.combine(day, time.fromisoformat(*on_the_wall), now.tzinfo)


def _toml_files(folder: str) -> list[Traversable]:
    items = PLACE.joinpath(folder).iterdir()
    return sorted((item for item in items if item.name.endswith(".toml")), key=lambda item: item.name)
