"""One reading made durable, against a commit of the same bytes by SQLite alone with the same settings."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from functools import partial
from pathlib import Path
from time import perf_counter, process_time

from files import Files
from measured import Figure, Measured, Took, typical
from sizes import Sizes

from traveler.acts.clock import SystemClock, written
from traveler.acts.readings import NewReading, record_reading
from traveler.job.state import Person
from traveler.record.connection import SETTINGS
from traveler.record.shop import Shop

ANA = Person("Ana")
WARMING = 3
"""Readings before those that count: the first one loads what it needs."""


def commit(sizes: Sizes, files: Files) -> Iterator[Measured]:
    """Readings one after another in a session, on jobs that had some before."""
    for before in sizes.readings_before:
        figure = Figure("commit", f"one reading, the job had {before:,}", "raw commit", "times", 1.3)
        act, log, raw = _times(files, before, sizes.readings + WARMING)
        beyond = [(a.wall_s - r.wall_s, a.busy_s - r.busy_s) for a, r in zip(act, raw, strict=True)]
        notes = {
            "one event in the log alone, ms": 1000 * typical([took.wall_s for took in log]),
            "beyond the floor, ms": 1000 * typical([wall_s for wall_s, _ in beyond]),
            "of which on a processor, ms": 1000 * typical([busy_s for _, busy_s in beyond]),
        }
        yield figure.of([(a.wall_s, r.wall_s) for a, r in zip(act, raw, strict=True)], notes=notes)


def _times(files: Files, before: int, rounds: int) -> tuple[list[Took], list[Took], list[Took]]:
    """Of each: a whole act of recording, an event appended to the log, a bare commit; the three alternate."""
    act, log, raw = [], [], []
    path, number = files.worked_job(before)
    with Shop.open(path) as shop, closing(_bare(files.folder / f"bare-{before}.sqlite")) as bare:
        for _ in range(rounds):
            act.append(_taken(partial(act_s, shop, number)))
            body = shop.events(f"job {number}")[-1].body
            raw.append(_taken(partial(_raw_s, bare, body)))
            log.append(_taken(partial(_log_s, shop)))
    return act[WARMING:], log[WARMING:], raw[WARMING:]


def _taken(timed_s: Callable[[], float]) -> Took:
    """What was timed by itself, with the seconds on a processor around it."""
    busy = process_time()
    wall_s = timed_s()
    return Took(wall_s, process_time() - busy)


def act_s(shop: Shop, number: str) -> float:
    """Seconds of one whole act: a reading of the preheat recorded."""
    entered = NewReading(30, "preheat temperature", "320 F", place="web", instrument="contact thermometer")
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
