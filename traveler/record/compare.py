"""Two shop files beside each other: is one the continuation of the other, and if not, where do they part?"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from traveler.record.audit import PAGE
from traveler.record.connection import connect, located, shop_schema_version
from traveler.record.log import shop_id
from traveler.record.trouble import in_words


@dataclass(frozen=True, slots=True)
class Comparison:
    """``same_shop``: both began with one id. ``common``: so many events are the same in both, from the first on.

    ``here`` and ``there`` describe the first event behind these in the one and in the other; None where it ends there.
    """

    same_shop: bool
    common: int
    here: str | None
    there: str | None


def compare_shops(path: Path, other: Path) -> Comparison:
    """Lay the journals of two shop files beside each other.

    It compares stored links, so it says something about the events only where both files verify. TravelerError where
    one of them is no shop file.
    """
    with _reader(path) as here, _reader(other) as there, in_words(path):
        if shop_id(here) != shop_id(there):
            return Comparison(False, 0, None, None)
        common = 0
        ours, theirs = _journal(here), _journal(there)
        while True:
            next_here, next_there = next(ours, None), next(theirs, None)
            if next_here is None or next_here != next_there:
                return Comparison(True, common, _event(here, common + 1), _event(there, common + 1))
            common += 1


def _reader(path: Path) -> closing[sqlite3.Connection]:
    with in_words(path):
        connection = connect(located(path, read_only=True), read_only=True)
        try:
            shop_schema_version(connection, path)
        except BaseException:
            connection.close()
            raise
        return closing(connection)


def _journal(connection: sqlite3.Connection) -> Iterator[bytes]:
    position = 0
    while True:
        page = connection.execute(
            f"SELECT position, journal_hash FROM event WHERE position > ? ORDER BY position LIMIT {PAGE}",
            (position,),
        ).fetchall()
        yield from (link for _, link in page)
        if len(page) < PAGE:
            return
        position = page[-1][0]


def _event(connection: sqlite3.Connection, number: int) -> str | None:
    row = connection.execute(
        "SELECT seq, stream, kind, recorded_at FROM event ORDER BY position LIMIT 1 OFFSET ?", (number - 1,)
    ).fetchone()
    return None if row is None else f"event {row[0]} of {row[1]}, {row[2]}, {row[3]}"
