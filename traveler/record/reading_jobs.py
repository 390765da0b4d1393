"""Jobs read one by one, each in a moment of its own, and held against what the pass over all events saw.

A long transaction would hold up everybody who writes. So each job is read with its line on the board at once, and the
file let go of before the next. What a job has by then beyond the pass was added since.
"""

import hashlib
import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any, NamedTuple

from traveler.errors import TravelerError
from traveler.record.audit import PAGE
from traveler.record.board import COLUMNS as LINE
from traveler.record.board import EARLIER_COLUMNS, OLDEST_WITH_BOARD
from traveler.record.chain import genesis
from traveler.record.links import COLUMNS, EventRow, Fault
from traveler.record.log import JOB_PREFIX
from traveler.record.rows import BoardRow

STRAYED = "read with its job it is not the one that stands there in the order of writing"

Head = tuple[int, bytes]
"""Number and link of the newest event of a stream."""


class JobRead(NamedTuple):
    """The events of a job and its line on the board, None where it has none, as they were at one moment."""

    stream: str
    rows: list[EventRow]
    line: BoardRow | None


class JobReader:
    """Reads jobs on one connection. ``heads``: the newest event of each stream that the pass saw.

    ``board_error``: why a line of the board could not be read. Events are read all the same.
    """

    def __init__(self, connection: sqlite3.Connection, shop_id: str, heads: Mapping[str, Head]) -> None:
        self._connection = connection
        self._shop_id = shop_id
        self._heads = heads
        self.board_error: sqlite3.DatabaseError | UnicodeDecodeError | None = None

    def each(self) -> Iterator[JobRead]:
        """Every job that the pass saw. Small ones are read several at a time: to take hold of the file costs, too."""
        waiting: list[str] = []
        events = 0
        for stream, (seq, _) in self._heads.items():
            if not stream.startswith(JOB_PREFIX):
                continue
            if waiting and events + seq > PAGE:
                yield from self._read(waiting)
                waiting, events = [], 0
            waiting.append(stream)
            events += seq
        yield from self._read(waiting)

    def together(self, streams: Sequence[str]) -> dict[str, list[Mapping[str, Any]]]:
        """The events of some jobs as they are at one moment; TravelerError where they are not the ones hashed."""
        read = self._read(streams)
        for job in read:
            if (seq := self.first_stray(job)) is not None:
                raise TravelerError(str(Fault(job.stream, seq, STRAYED)))
        return {job.stream: [json.loads(row.body) for row in job.rows] for job in read}

    def link(self, stream: str, seq: int) -> bytes | None:
        """The link of an event; None where there is none."""
        found = self._connection.execute(
            "SELECT hash FROM event WHERE stream = ? AND seq = ?", (stream, seq)
        ).fetchone()
        return None if found is None else bytes(found[0])

    def first_stray(self, job: JobRead) -> int | None:
        """The first event of a job as read that does not follow from the ones before, up to the one that the pass saw
        last and behind it; None where all do. So no text is taken for true that was not hashed.
        """
        newest, link = self._heads.get(job.stream, (0, b""))
        before = genesis(self._shop_id, job.stream)
        for seq, row in enumerate(job.rows, start=1):
            before = hashlib.sha256(before + row.body).digest()
            if row.seq != seq or row.hash != before or (seq == newest and before != link):
                return seq
        return None if len(job.rows) >= newest else len(job.rows) + 1

    def _read(self, streams: Iterable[str]) -> list[JobRead]:
        with moment(self._connection):
            (version,) = self._connection.execute("PRAGMA user_version").fetchone()
            named = LINE if version >= OLDEST_WITH_BOARD else EARLIER_COLUMNS
            return [JobRead(stream, self._rows(stream), self._line(stream, named)) for stream in streams]

    def _rows(self, stream: str) -> list[EventRow]:
        rows = self._connection.execute(
            f"SELECT {COLUMNS} FROM event WHERE stream = ? ORDER BY seq", (stream,)
        )
        return list(map(EventRow._make, rows.fetchall()))

    def _line(self, stream: str, named: Sequence[str]) -> BoardRow | None:
        try:
            row = self._connection.execute(
                f"SELECT {', '.join(named)} FROM board WHERE number = ?", (stream.removeprefix(JOB_PREFIX),)
            ).fetchone()
        except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
            self.board_error = error
            return None
        return None if row is None else BoardRow(**dict(zip(named, row, strict=True)))


@contextmanager
def moment(connection: sqlite3.Connection) -> Iterator[None]:
    """What is read inside is of one moment; nobody else can commit until it is over."""
    connection.execute("BEGIN")
    try:
        yield
    finally:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
