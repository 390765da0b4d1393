"""Is a shop file unaltered? Everything that grows with the file is checked here and not on opening."""

import gc
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

from traveler.record.attachments import attachment_faults
from traveler.record.audit import JOURNAL, Audit, Found
from traveler.record.board import COLUMNS, EARLIER_COLUMNS, OLDEST_WITH_BOARD
from traveler.record.chain import code
from traveler.record.connection import connect, located, refuse_newer, shop_schema_version
from traveler.record.links import EventRow, Fault, verify_chain
from traveler.record.log import stream_events
from traveler.record.noted import Noted
from traveler.record.rows import BoardRow
from traveler.record.schema import schema_faults, step_faults
from traveler.record.secret_table import secret_faults
from traveler.record.trouble import in_words, result_code

__all__ = ["JOURNAL", "Fault", "Found", "Verification", "verify_chain", "verify_shop"]

# None: Python's own module could not decode what it read. Anything else (busy, no memory) says nothing about
# the file.
DAMAGE = frozenset((sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_ERROR, None))
OLDEST_WITH_SECRETS = 2
BOARD_WITHOUT_EVENTS = """SELECT number FROM board
WHERE NOT EXISTS (SELECT 1 FROM event WHERE stream = 'job ' || number) ORDER BY number"""


class Derived(Protocol):
    """Whoever knows what events mean, to hold the board against them: it is the one table worked out from events."""

    def note(self, event: Mapping[str, Any]) -> None:
        """Take in the next event of the file."""

    def faults(
        self, board: Iterable[BoardRow], events_of: Callable[[str], Iterable[Mapping[str, Any]]]
    ) -> Iterator[str]:
        """A sentence for each thing that does not fit, once all events are noted."""


@dataclass(frozen=True, slots=True)
class Verification:
    """What was found: ``faults`` are sentences, the events' own first and in the order of writing.

    ``journal_head`` is the code over all events. Unaltered inside is not the same as unaltered: a file whose
    links were all computed anew, or that lost its last events, shows it only by another code than the one
    noted elsewhere. ``found`` is where this file has the code that was asked for, None where nowhere;
    ``noted_count_gives`` the journal's code at the number of events noted with it, None where there are fewer.
    """

    ok: bool
    faults: tuple[str, ...]
    events: int
    streams: int
    journal_head: str
    stream_events: dict[str, int]
    found: Found | None = None
    noted_count_gives: str | None = None


def verify_shop(
    path: Path, noted: Noted | None = None, *, chain_only: bool = False, derived: Derived | None = None
) -> Verification:
    """Check every chain, the journal, the derived columns, attachments, secrets, triggers and the file's structure.

    ``noted``: a code to look for among all that this file ever had. ``chain_only``: both links of every event and
    nothing else, which shows that no text was altered and takes a fraction of the time. ``derived`` is asked whether
    the board follows from the events, where those themselves have no fault. TravelerError where ``path``
    is no shop file, or one of a newer schema.
    """
    real = located(path, read_only=True)
    with in_words(path), closing(connect(real, read_only=True)) as connection:
        refuse_newer(shop_schema_version(connection, path), path)
        connection.text_factory = _readable
        check = _Check(connection, noted, chain_only, derived)
        with _collector_paused():
            faults = tuple(check.faults())
        audit = check.audit
        return Verification(
            not faults,
            faults,
            audit.events,
            len(audit.heads),
            code(audit.journal),
            {stream: seq for stream, (seq, _) in audit.heads.items()},
            audit.found,
            audit.noted_count_gives,
        )


@contextmanager
def _collector_paused() -> Iterator[None]:
    """Parsed texts refer to nothing in a circle, and looking for circles among them again and again takes a third of
    the time.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _readable(stored: bytes) -> str:
    """Text of a column, whatever was done to it: damage is then reported as a difference."""
    return stored.decode("utf-8", "replace")


class _Check:
    """The pass over the events, and after it what it has seen against the other tables."""

    def __init__(
        self,
        connection: sqlite3.Connection,
        noted: Noted | None,
        chain_only: bool,
        derived: Derived | None,
    ) -> None:
        self._connection = connection
        self._derived = derived
        self._chain_only = chain_only
        self._named: dict[str, str] = {}
        self.audit = Audit(connection, noted, None if chain_only else self._note)

    def faults(self) -> Iterator[str]:
        checks = [self.audit.faults]
        if not self._chain_only:
            checks += [
                self._attachment_faults,
                self._table_faults,
                self._structure_faults,
            ]
        for check in checks:
            try:
                yield from check()
            except UnicodeDecodeError:
                # What SQLite says of a broken table quotes it, and Python's module fails at reading that.
                yield "the file is damaged: not even the error can be read"
            except sqlite3.DatabaseError as error:
                if result_code(error) not in DAMAGE:
                    raise
                yield f"the file is damaged: {error}"

    def _note(self, row: EventRow, data: dict[str, Any]) -> None:
        if b'"sha256"' in row.body:
            for name in _attachments_in(data["act"]):
                self._named.setdefault(name, f"event {row.seq} of {row.stream}")
        if self._derived is not None:
            self._derived.note(data)

    def _attachment_faults(self) -> Iterator[str]:
        stored = {name for (name,) in self._connection.execute("SELECT sha256 FROM attachment").fetchall()}
        for name, place in self._named.items():
            if name not in stored:
                yield f"attachment {name}: named by {place} and missing"
        yield from attachment_faults(self._connection)

    def _table_faults(self) -> Iterator[str]:
        # What belongs together is read in one moment: others may work on meanwhile, and upgrade the file, too.
        self._connection.execute("BEGIN")
        try:
            (version,) = self._connection.execute("PRAGMA user_version").fetchone()
            yield from (f"schema: {fault}" for fault in schema_faults(self._connection, version))
            yield from (f"schema: {fault}" for fault in step_faults(self._connection))
            if version >= OLDEST_WITH_SECRETS:
                yield from secret_faults(self._connection)
            for (number,) in self._connection.execute(BOARD_WITHOUT_EVENTS).fetchall():
                yield f"the board shows job {number}, which has no events"
            # What was altered of an event is named there; that the board is another's then says nothing more.
            if self._derived is not None and not self.audit.altered:
                yield from self._derived.faults(self._board(), self._events_of)
        finally:
            if self._connection.in_transaction:
                self._connection.execute("ROLLBACK")

    def _board(self) -> list[BoardRow]:
        (version,) = self._connection.execute("PRAGMA user_version").fetchone()
        named = COLUMNS if version >= OLDEST_WITH_BOARD else EARLIER_COLUMNS
        rows = self._connection.execute(f"SELECT {', '.join(named)} FROM board")
        return [BoardRow(**dict(zip(named, row, strict=True))) for row in rows.fetchall()]

    def _events_of(self, stream: str) -> list[Mapping[str, Any]]:
        return [event.data for event in stream_events(self._connection, stream)]

    def _structure_faults(self) -> Iterator[str]:
        # Not the quick one: it leaves out the indexes, and it is by an index that a job's events are read.
        for (answer,) in self._connection.execute("PRAGMA integrity_check").fetchall():
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
