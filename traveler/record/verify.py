"""Is a shop file unaltered? Everything that grows with the file is checked here and not on opening."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from traveler.record.attachments import attachment_faults
from traveler.record.chain import code, genesis, journal_genesis
from traveler.record.connection import connect, located, refuse_newer, shop_schema_version
from traveler.record.links import COLUMNS, EventRow, Fault, body_data, row_faults, row_from, verify_chain
from traveler.record.schema import newest_version, schema_faults
from traveler.record.trouble import in_words, result_code

__all__ = ["Fault", "Verification", "verify_chain", "verify_shop"]

PAGE = 500
SMALLEST = -(2**63)  # a position that was altered can be anything SQLite stores
# None: Python's own module could not decode what it read. Anything else (busy, no memory) says nothing about
# the file.
DAMAGE = frozenset((sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_ERROR, None))


@dataclass(frozen=True, slots=True)
class Verification:
    """What was found: ``faults`` are sentences, the events' own first and in the order of writing.

    ``journal_head`` is the code over all events. Unaltered inside is not the same as unaltered: a file whose
    links were all computed anew, or that lost its last events, shows it only by another code than the one
    noted elsewhere.
    """

    ok: bool
    faults: tuple[str, ...]
    events: int
    streams: int
    journal_head: str


def verify_shop(path: Path) -> Verification:
    """Check every chain, the journal, the derived columns, attachments, triggers and the file's structure.

    TravelerError where ``path`` is no shop file, or one of a newer schema.
    """
    real = located(path, read_only=True)
    with in_words(path), closing(connect(real, read_only=True)) as connection:
        version = shop_schema_version(connection, path)
        refuse_newer(version, path)
        connection.text_factory = _readable
        audit = _Audit(connection, version)
        faults = tuple(audit.faults())
        return Verification(not faults, faults, audit.events, len(audit.heads), code(audit.journal))


def _readable(stored: bytes) -> str:
    """Text of a column, whatever was done to it: damage is then reported as a difference."""
    return stored.decode("utf-8", "replace")


class _Audit:
    """One pass over the file; keeps the newest link of each stream and of the journal."""

    def __init__(self, connection: sqlite3.Connection, version: int) -> None:
        self._connection = connection
        self._version = version
        self._shop_id = ""
        self._named: dict[str, str] = {}
        self.heads: dict[str, tuple[int, bytes]] = {}
        self.events = 0
        self.journal = b"\x00" * 32

    def faults(self) -> Iterator[str]:
        for check in (
            self._event_faults,
            self._attachment_faults,
            self._table_faults,
            self._structure_faults,
        ):
            try:
                yield from check()
            except sqlite3.DatabaseError as error:
                if result_code(error) not in DAMAGE:
                    raise
                yield f"the file is damaged: {error}"

    def _event_faults(self) -> Iterator[str]:
        found = self._connection.execute("SELECT id FROM shop").fetchone()
        if found is None:
            yield "the shop's id is missing"
            return
        (self._shop_id,) = found
        self.journal = journal_genesis(self._shop_id)
        for row in self._rows():
            yield from self._gap_faults(row)
            _, previous = self.heads.get(row.stream, (0, genesis(self._shop_id, row.stream)))
            yield from row_faults(row, previous, self.journal)
            self._note_attachments(row)
            # What follows is compared with what is stored, so that one alteration is reported once.
            self.heads[row.stream] = (row.seq, row.hash)
            self.journal = row.journal_hash
            self.events += 1
        if not self.events:
            yield "the file holds no event, not even its own founding"

    def _rows(self) -> Iterator[EventRow]:
        """All events, a page at a time, so that nobody waits; what is only added to reads the same."""
        position = SMALLEST
        while True:
            page = self._connection.execute(
                f"SELECT {COLUMNS} FROM event WHERE position >= ? ORDER BY position LIMIT {PAGE}",
                (position,),
            ).fetchall()
            yield from map(row_from, page)
            if len(page) < PAGE:
                return
            position = page[-1][0] + 1

    def _gap_faults(self, row: EventRow) -> Iterator[str]:
        seq, _ = self.heads.get(row.stream, (0, b""))
        if row.seq != seq + 1:
            yield str(Fault(row.stream, row.seq, f"it follows event {seq}: one is missing or out of order"))
        if row.position != self.events + 1:
            yield str(
                Fault(
                    row.stream, row.seq, f"it is number {self.events + 1} in the file and says {row.position}"
                )
            )

    def _note_attachments(self, row: EventRow) -> None:
        data = body_data(row.body.decode("utf-8", "replace"))
        if data is not None:
            for name in _attachments_in(data["act"]):
                self._named.setdefault(name, f"event {row.seq} of {row.stream}")

    def _attachment_faults(self) -> Iterator[str]:
        stored = {name for (name,) in self._connection.execute("SELECT sha256 FROM attachment").fetchall()}
        for name, place in self._named.items():
            if name not in stored:
                yield f"attachment {name}: named by {place} and missing"
        yield from attachment_faults(self._connection)

    def _table_faults(self) -> Iterator[str]:
        # An older file has the tables of its own day; opening it for writing brings them up.
        if self._version == newest_version():
            yield from (f"schema: {fault}" for fault in schema_faults(self._connection))
        streams = {
            f"job {number}" for (number,) in self._connection.execute("SELECT number FROM board").fetchall()
        }
        for stream in sorted(streams - self.heads.keys()):
            yield f"the board shows {stream}, which has no events"

    def _structure_faults(self) -> Iterator[str]:
        for (answer,) in self._connection.execute("PRAGMA quick_check").fetchall():
            if answer != "ok":
                yield f"structure: {answer}"
        for table, row, parent, _ in self._connection.execute("PRAGMA foreign_key_check").fetchall():
            yield f"structure: row {row} of {table} refers to a row of {parent} that is missing"


def _attachments_in(value: object) -> Iterator[str]:
    """Every SHA-256 in an act beside a size, at any depth: the pair that ``put_attachment`` returned."""
    if isinstance(value, dict):
        name = value.get("sha256")
        if isinstance(name, str) and "size" in value:
            yield name
        for inner in value.values():
            yield from _attachments_in(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _attachments_in(inner)
