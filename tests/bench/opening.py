"""A job of many events opened: everything that its screen asks of the session, against reading and parsing the rows."""

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from functools import partial
from pathlib import Path

from files import Files
from measured import Figure, Measured, Took, alternate, timed
from sizes import Sizes

from traveler.acts.clock import SystemClock
from traveler.job.gate import JobAct
from traveler.job.state import Person
from traveler.record.shop import Shop
from traveler.tui.pieces_wording import pieces_brief
from traveler.tui.screens.job import current_step
from traveler.tui.session import Session
from traveler.tui.wording import first_of, step_detail, step_name


def opening(sizes: Sizes, files: Files) -> Iterator[Measured]:
    """Each time in a session that has not seen the job before, and on a connection of its own."""
    for events in sizes.job_events:
        path, number = files.one_job(events)
        figure = Figure(
            "open",
            f"a job with {events:,} events opened",
            "the same rows read and json.loads of each",
            "times",
            1.5,
        )
        yield figure.of_times(
            alternate(sizes.rounds, partial(_opened_s, path, number), partial(_parsed_s, path, number))
        )


def _opened_s(path: Path, number: str) -> Took:
    with Shop.open(path) as shop:
        session = Session(shop, SystemClock(), Person("Ana Lund"))
        return timed(lambda: opened(session, number))


def opened(session: Session, number: str) -> None:
    """What the screen of a job asks as it opens, in its words: each step of the list with what blocks it, all of the
    one under the cursor, and what stands against closing.

    ``tests/tui/test_tui_opening.py`` holds the screen to asking for no more.
    """
    traveler = session.job(number)
    session.why_not(number, [JobAct("close")])
    for step in traveler["steps"]:
        step_name(step), step["state"], first_of(step["blocked_by"])
    current = current_step(traveler)
    step_detail(next(step for step in traveler["steps"] if step["number"] == current))
    pieces_brief(traveler)


def _parsed_s(path: Path, number: str) -> Took:
    with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as connection:
        connection.execute("SELECT count(*) FROM shop").fetchone()
        return timed(lambda: _parse(connection, number))


def _parse(connection: sqlite3.Connection, number: str) -> None:
    rows = connection.execute("SELECT body FROM event WHERE stream = ? ORDER BY seq", (f"job {number}",))
    for (body,) in rows:
        json.loads(body)
