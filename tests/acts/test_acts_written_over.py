"""A file that was written over by other means: what is printed of it, signed on it, and said by ``verify``.

The board is what ``list`` and the app's first screen print.
"""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from acts_kit import NUMBER, STREAM, Bench

from traveler.acts import register
from traveler.acts.look import export, look
from traveler.acts.people import NewPerson, register_person
from traveler.acts.sign import accept
from traveler.acts.verify import verify
from traveler.errors import TravelerError
from traveler.job.person import Person
from traveler.record.chain import canonical, next_hash, next_journal
from traveler.record.shop import Shop


def edited(path: Path, statement: str, *values: object) -> tuple[str, ...]:
    """What is found after a statement from another program."""
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute(statement, values)
    return verify(path).faults


@pytest.mark.parametrize(
    ("column", "forged", "printed"),
    [
        ("state", "closed", 'state "closed"; its events say "in process"'),
        ("title", "Another tab", 'title "Another tab"; its events say "Link tab, invented"'),
        ("step", "", 'step ""; its events say "10 Preheat J1"'),
        ("last_event_at", "2027-01-01T00:00:00+01:00", "last event at"),
    ],
)
def test_a_board_that_was_written_over_is_named(bench: Bench, column: str, forged: str, printed: str) -> None:
    bench.preheated()
    assert verify(bench.shop.path).faults == ()
    (fault,) = edited(bench.shop.path, f"UPDATE board SET {column} = ?", forged)
    assert fault.startswith(f"the board shows job {NUMBER} with ")
    assert printed in fault
    # The next entry writes the line anew, from the events.
    bench.record(10, "preheat temperature", "330 F", place="web")
    assert verify(bench.shop.path).faults == ()


def test_a_job_that_the_board_leaves_out_is_named(bench: Bench) -> None:
    faults = edited(bench.shop.path, "DELETE FROM board")
    assert faults == (f"the board leaves out job {NUMBER}",)


def test_an_event_that_makes_no_sense_is_named_although_its_links_fit(bench: Bench) -> None:
    """Whoever can compute links can append anything; what cannot be followed must not pass for unaltered."""
    bench.shop.close()
    with closing(sqlite3.connect(bench.shop.path)) as connection, connection:
        position, seq, link, journal = connection.execute(
            "SELECT position, seq, hash, journal_hash FROM event ORDER BY position DESC LIMIT 1"
        ).fetchone()
        at = "2026-03-02T07:00:00+01:00"
        body = canonical(
            {
                "stream": STREAM,
                "seq": seq + 1,
                "id": "0" * 32,
                "kind": "step painted",
                "happened_at": at,
                "recorded_at": at,
                "by": {"name": "Nobody", "how": "stated"},
                "act": {},
            }
        )
        link = next_hash(link, body)
        connection.execute(
            "INSERT INTO event (position, stream, seq, id, kind, recorded_at, body, hash, journal_hash)"
            " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (
                position + 1, STREAM, seq + 1, "0" * 32, "step painted", at, body, link,
                next_journal(journal, link),
            ),
        )  # fmt: skip
    (fault,) = verify(bench.shop.path).faults
    assert f"event {seq + 1} of {STREAM}" in fault
    assert "cannot be followed" in fault


TAKING = {
    "show": lambda bench: look(bench.shop, bench.clock, NUMBER),
    "export": lambda bench: export(bench.shop, NUMBER, "text"),
    "record": lambda bench: bench.record(10, "preheat temperature", "330 F", place="rim"),
    "sign": lambda bench: bench.perform(10),
}


@pytest.mark.parametrize("act", TAKING)
def test_nothing_is_shown_or_signed_on_an_event_that_was_altered(bench: Bench, act: str) -> None:
    """The code beside it would be the genuine one, which is on the last event and not on the altered one."""
    bench.preheated()
    with closing(sqlite3.connect(bench.shop.path)) as connection, connection:
        triggers = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in triggers:
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute("UPDATE event SET body = replace(body, '320 F', '310 F') WHERE seq = 2")
        for _, text in triggers:
            connection.execute(text)
    with pytest.raises(TravelerError, match=rf"event 2 of {STREAM} was altered"):
        TAKING[act](bench)


def test_roles_that_were_altered_in_the_file_let_nobody_sign(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    register_person(bench.shop, bench.clock, None, NewPerson("Olga Vance"))
    register_person(bench.shop, bench.clock, Person("Olga Vance"), NewPerson("Wim Two", ["welder"]))
    register_person(bench.shop, bench.clock, Person("Olga Vance"), NewPerson("Carl Kunde", ["customer"]))
    path = bench.shop.path
    bench.shop.close()
    with closing(sqlite3.connect(path)) as connection, connection:
        triggers = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in triggers:
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute("UPDATE event SET body = replace(body, '[\"welder\"]', '[\"inspector\"]')")
        for _, text in triggers:
            connection.execute(text)
    # As another program finds it: this one has what it read before.
    monkeypatch.setattr(register, "_kept", None)
    with Shop.open(path) as shop, pytest.raises(TravelerError, match=r"event \d of shop was altered"):
        accept(shop, bench.clock, Person("Wim Two"), NUMBER, 10)
