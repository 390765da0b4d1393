"""One reading made durable, against a commit of the same bytes by SQLite alone with the same settings."""

import sqlite3
from contextlib import closing
from pathlib import Path
from statistics import median
from time import perf_counter

from traveler.acts.clock import SystemClock, written
from traveler.acts.issue import issue
from traveler.acts.readings import NewReading, record_reading
from traveler.job.state import Person
from traveler.record.connection import SETTINGS
from traveler.record.shop import Shop

SHEET = Path(__file__).parents[2] / "fixtures" / "sheets" / "structural.toml"
ANA = Person("Ana")


def commit_times(folder: Path, rounds: int) -> tuple[float, float, float]:
    """Medians, seconds: an event appended to the log, a whole act of recording, a bare commit.

    The three alternate. The job begins with no reading and ends with ``rounds`` of them.
    """
    log, act, raw = [], [], []
    with (
        Shop.create(folder / "bench.traveler") as shop,
        closing(_bare(folder / "bare.sqlite")) as bare,
    ):
        issue(shop, SystemClock(), ANA, SHEET.read_bytes())
        (number,) = shop.job_numbers()
        for _ in range(rounds):
            act.append(_act_s(shop, number))
            body = shop.events(f"job {number}")[-1].body
            log.append(_log_s(shop))
            raw.append(_raw_s(bare, body))
    return median(log), median(act), median(raw)


def _act_s(shop: Shop, number: str) -> float:
    entered = NewReading(20, "metal temperature", "68 F", place="plate", instrument="contact thermometer")
    began = perf_counter()
    record_reading(shop, SystemClock(), ANA, number, entered)
    return perf_counter() - began


def _log_s(shop: Shop) -> float:
    now = written(SystemClock().now())
    began = perf_counter()
    with shop.write() as writing:
        writing.append(
            "job BENCH", "reading recorded", {"name": "Ana", "how": "stated"}, now, now, {"value": "68"}
        )
    return perf_counter() - began


def _bare(path: Path) -> sqlite3.Connection:
    """A file with one table, and the settings of a shop's file."""
    connection = sqlite3.connect(path, isolation_level=None)
    for setting in SETTINGS:
        connection.execute(setting)
    connection.execute("CREATE TABLE event (position INTEGER PRIMARY KEY, body TEXT NOT NULL) STRICT")
    return connection


def _raw_s(connection: sqlite3.Connection, body: str) -> float:
    began = perf_counter()
    connection.execute("BEGIN IMMEDIATE")
    connection.execute("INSERT INTO event (body) VALUES (?)", (body,))
    connection.execute("COMMIT")
    return perf_counter() - began
