"""Small tools of these tests: an act to append, a child process, a plain connection past our own code."""

import sqlite3
from pathlib import Path

from children import finish, start

from traveler.record.rows import StoredEvent
from traveler.record.shop import Shop

BY = {"name": "Ines Okafor-Lindqvist", "how": "stated"}  # invented
NOON = "2026-03-02T12:00:00+01:00"
JOB = "job H-014"


def append(shop: Shop, value: str, stream: str = JOB) -> StoredEvent:
    with shop.write() as writing:
        return writing.append(stream, "reading recorded", BY, NOON, NOON, {"value": value, "unit": "degF"})


def fill(shop: Shop, count: int, stream: str = JOB) -> None:
    for number in range(count):
        append(shop, str(300 + number), stream)


def plain(path: Path) -> sqlite3.Connection:
    """What somebody with a database shell has: SQLite's defaults, each statement committed at once."""
    return sqlite3.connect(path, isolation_level=None)


def run(script: str, *arguments: object, seconds: float = 60) -> str:
    return finish(start(script, *arguments), seconds)


__all__ = ["finish", "start"]
