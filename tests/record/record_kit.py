"""Small tools of these tests: an act to append, a child process, a plain connection past our own code."""

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

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


def start(script: str, *arguments: object) -> subprocess.Popen[str]:
    """A child Python that sees the same packages and this folder."""
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([str(Path(__file__).parent), *sys.path])}
    return subprocess.Popen(
        [sys.executable, "-W", "error", "-c", script, *map(str, arguments)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=environment,
    )


def finish(child: subprocess.Popen[str], seconds: float = 60) -> str:
    """The child's output, once it has ended well."""
    output, errors = child.communicate(timeout=seconds)
    assert child.returncode == 0, errors
    return output


def run(script: str, *arguments: object, seconds: float = 60) -> str:
    return finish(start(script, *arguments), seconds)
