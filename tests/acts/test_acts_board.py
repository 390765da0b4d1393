"""The board is what ``list`` and the app's first screen print: where it was written over, ``verify`` says so."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from acts_kit import NUMBER, STREAM, Bench

from traveler.acts.verify import verify
from traveler.record.chain import canonical, next_hash, next_journal


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
