"""Alterations behind the program's back: each is found, or it changed nothing that the record says."""

import random
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from faults_kit import Tally, founded
from record_kit import JOB, fill
from secret_kit import make_cheap, set_secret

from traveler.errors import TravelerError
from traveler.record.schema import SCHEMA
from traveler.record.secrets import Secret, hashed
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop

LAST = 26  # events of the file that is altered
TRIGGERS = [text for text in SCHEMA if text.startswith("CREATE TRIGGER")]

# All that the record says. Not in it: the board, which the events rebuild, and the counts of wrong tries.
SAID = (
    "SELECT * FROM event",
    "SELECT * FROM shop",
    "SELECT * FROM attachment",
    "SELECT * FROM attachment_chunk",
    "SELECT * FROM schema_step",
    "SELECT person, kind, scheme, salt, hash FROM secret",
    "SELECT type, name, sql FROM sqlite_schema"
    " WHERE name NOT GLOB 'sqlite_*' AND tbl_name <> '_sqlite_migrations'",
)


def ready(path: Path) -> None:
    founded(path)
    with Shop.open(path) as shop:
        set_secret(shop, "P2", "another one 5")
        fill(shop, 20, "job H-015")
        with shop.write() as writing:
            writing.put_attachment(bytes(range(256)) * 40)


def found(path: Path) -> bool:
    try:
        return not verify_shop(path).ok
    except TravelerError:
        return True


def one_character(folder: Path) -> Tally:
    """One character of each event's text in turn, at a random place, by SQL with the triggers taken away and back."""
    tally, chance = Tally("one character of an event's text changed by sqlite3"), random.Random(7)
    make_cheap()
    model, path = folder / "model", folder / "shop"
    ready(model)
    with closing(sqlite3.connect(model)) as connection:
        events = connection.execute("SELECT position, stream, seq, body FROM event").fetchall()
    for position, stream, seq, body in events * 5:
        at = chance.randrange(len(body))
        other = "7" if body[at] != "7" else "8"
        path.write_bytes(model.read_bytes())
        with closing(unguarded(path)) as connection:
            text = f"{body[:at]}{other}{body[at + 1 :]}"
            connection.execute("UPDATE event SET body = ? WHERE position = ?", (text, position))
            guard(connection)
        faults = verify_shop(path).faults
        tally.count("whole" if faults and faults[0].startswith(f"event {seq} of {stream}: ") else "lost")
    return tally


def unguarded(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(path, isolation_level=None)
    for text in TRIGGERS:
        connection.execute(f"DROP TRIGGER {text.split()[2]}")
    return connection


def guard(connection: sqlite3.Connection) -> None:
    for text in TRIGGERS:
        connection.execute(text)


def one_byte(folder: Path) -> Tally:
    """One bit of the file itself, anywhere: what is not found is free space, or counts and lists that are rebuilt."""
    tally, chance = Tally("one bit of the file changed anywhere"), random.Random(11)
    make_cheap()
    model, path = folder / "model", folder / "shop"
    ready(model)
    content, said = model.read_bytes(), what_it_says(model)
    for _ in range(1500):
        at = chance.randrange(len(content))
        altered = bytearray(content)
        altered[at] ^= 1 << chance.randrange(8)
        path.write_bytes(altered)
        if found(path):
            tally.count("whole")
        else:
            tally.count("absent" if what_it_says(path) == said else "lost")
    return tally


def what_it_says(path: Path) -> list[object]:
    with closing(sqlite3.connect(path)) as connection:
        return [connection.execute(question).fetchall() for question in SAID]


def rows_moved(folder: Path) -> Tally:
    """Rows taken out, copied, exchanged or replaced with plain sqlite3."""
    tally = Tally("rows of events and secrets removed, copied, exchanged, replaced")
    make_cheap()
    model, path = folder / "model", folder / "shop"
    ready(model)
    assert verify_shop(model).events == LAST
    for statements in moves():
        path.write_bytes(model.read_bytes())
        with closing(unguarded(path)) as connection:
            for statement, values in statements:
                connection.execute(statement, values)
            guard(connection)
        tally.count("whole" if found(path) else "lost")
    return tally


Statement = tuple[str, tuple[object, ...]]


def moves() -> Iterator[list[Statement]]:
    columns = "kind, recorded_at, body, hash, journal_hash"
    # Not the last: a file whose end was cut is sound in itself, and is found by a code noted before.
    for position in range(1, LAST):
        yield [("DELETE FROM event WHERE position = ?", (position,))]
        yield [
            (
                f"INSERT INTO event (position, stream, seq, id, {columns}) SELECT {LAST + 1}, ?, 4, 'copy', {columns}"
                " FROM event WHERE position = ?",
                (JOB, position),
            )
        ]
    for position in range(1, LAST):
        yield [
            ("UPDATE event SET position = -1 WHERE position = ?", (position,)),
            ("UPDATE event SET position = ? WHERE position = ?", (position, position + 1)),
            ("UPDATE event SET position = ? WHERE position = -1", (position + 1,)),
        ]
    mine = hashed(Secret("mine and known"))
    row = (mine.scheme, mine.salt, mine.hash)
    for person in ("P1", "P2"):
        yield [("DELETE FROM secret WHERE person = ?", (person,))]
        yield [("UPDATE secret SET scheme = ?, salt = ?, hash = ? WHERE person = ?", (*row, person))]
        yield [("UPDATE secret SET hash = ? WHERE person = ?", (mine.hash, person))]
        yield [("UPDATE secret SET scheme = 'scrypt ln=1 r=1 p=1' WHERE person = ?", (person,))]
        yield [
            ("UPDATE secret SET person = 'P0' WHERE person = ?", (person,)),
        ]
    yield [("INSERT INTO secret VALUES ('P9', 'signing', ?, ?, ?, '', 0, 0, NULL)", row)]
    yield [
        ("INSERT INTO secret SELECT person, 'recovery', scheme, salt, hash, '', 0, 0, NULL FROM secret", ())
    ]
