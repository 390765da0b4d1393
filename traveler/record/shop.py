"""The shop's file, opened: reading, and one way of writing."""

import contextlib
import os
import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Self

from traveler.errors import TravelerError
from traveler.record import attachments, log, secret_table, seen
from traveler.record.board import OLDEST_WITH_BOARD, BoardReader
from traveler.record.chain import plain_text
from traveler.record.connection import (
    connect,
    identity,
    keep_rollback_journal,
    located,
    moved_since,
    patiently,
    refuse_network,
    refuse_newer,
    shop_schema_version,
)
from traveler.record.newfile import fresh_file, make_folder
from traveler.record.patience import PatientConnection
from traveler.record.rows import BoardRow, StoredEvent
from traveler.record.schema import newest_version, schema_faults, structure
from traveler.record.secret_table import Accepted, Refused
from traveler.record.secrets import Kind, Secret, hashed
from traveler.record.trouble import in_words, shown
from traveler.record.writing import Writing

__all__ = ["BoardRow", "Shop", "StoredEvent", "Writing"]

NOTHING_WRITTEN = "nothing was written"


class Shop:
    """One open shop file on one connection; belongs to the thread that opened it.

    Made by ``create`` or ``open``, used as a context manager. What goes wrong with the file is a
    TravelerError.

    ``warning`` is a sentence where the file is not the one that this account saw last, or one that goes on from it;
    else empty. ``read_only`` says how it was opened.
    """

    def __init__(
        self,
        path: Path,
        connection: PatientConnection,
        shop_id: str,
        known_structure: int,
        read_only: bool,
        watched: bool,
    ) -> None:
        self.path = path
        self.shop_id = shop_id
        self.read_only = read_only
        self.warning = ""
        self._connection = connection
        self._memory = seen.memory_of(shop_id) if watched else None
        self._worked_out: sqlite3.Connection | None = None
        self._file = identity(path)
        self._structure = known_structure

    @classmethod
    def create(cls, path: Path) -> Self:
        """A new shop file with a new id, for its owner's eyes only; refuses a name that is taken.

        The file appears whole, with its founding as the first event, or not at all.
        """
        # The runner of migrations is slow to import and needed only here and for an upgrade.
        from traveler.record.migrate import create_schema

        target = path.absolute()
        refuse_network(Path(os.path.realpath(target.parent)))
        make_folder(target.parent)
        shop_id = os.urandom(16).hex()
        with fresh_file(target) as working, in_words(path, NOTHING_WRITTEN):
            connection = connect(working, read_only=False)
            try:
                connection.execute("BEGIN IMMEDIATE")
                create_schema(connection, shop_id)
                now = datetime.now(UTC).isoformat(timespec="seconds")
                log.append_event(
                    connection,
                    shop_id,
                    log.SHOP_STREAM,
                    "shop founded",
                    log.BY_PROGRAM,
                    now,
                    now,
                    {"shop": shop_id},
                )
                connection.execute("COMMIT")
            finally:
                connection.close()
        return cls.open(path)

    @classmethod
    def open(cls, path: Path, *, read_only: bool = False, watched: bool = True) -> Self:
        """Open an existing shop file after the cheap checks: kind of file, schema, triggers, newest event.

        An older schema is upgraded, with a backup beside the file; for reading it is taken as it is. A newer one is
        refused for writing; for reading it is tried. A file that fails a check is refused both ways, so that
        nobody reads altered values unawares. ``watched`` False: neither compared with what this account saw of the
        shop nor remembered.
        """
        real = located(path, read_only=read_only)
        refuse_network(real)
        with in_words(path):
            connection = connect(real, read_only=read_only)
        try:
            shop_id, known_structure = _checked(connection, real, read_only)
        except BaseException:
            connection.close()
            raise
        shop = cls(real, connection, shop_id, known_structure, read_only, watched)
        shop._watch()
        return shop

    def close(self) -> None:
        """Close the connection; a second call does nothing."""
        self._connection.close()
        if self._worked_out is not None:
            self._worked_out.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def job_numbers(self) -> list[str]:
        """The numbers of all jobs in the order in which they were begun."""
        with in_words(self.path):
            return log.job_numbers(self._connection)

    def first_job(self) -> str | None:
        """The number of the job that was begun first; None where there is none."""
        with in_words(self.path):
            return log.first_job(self._connection)

    def jobs_with(self, kind: str) -> list[str]:
        """The numbers of the jobs that have an event of this kind, in the order of the first one of each."""
        with in_words(self.path):
            rows = self._connection.execute(
                "SELECT stream FROM event WHERE kind = ? GROUP BY stream ORDER BY min(position)", (kind,)
            ).fetchall()
        return [
            stream.removeprefix(log.JOB_PREFIX) for (stream,) in rows if stream.startswith(log.JOB_PREFIX)
        ]

    def has_job(self, number: str) -> bool:
        """Whether a job with exactly this number was ever begun."""
        with in_words(self.path):
            found = self._connection.execute(
                "SELECT 1 FROM event WHERE stream = ? AND seq = 1", (log.job_stream(number),)
            ).fetchone()
        return found is not None

    def events(self, stream: str, since: int = 1) -> list[StoredEvent]:
        """The events of ``stream`` ("shop", or "job " and a number) from seq ``since`` on; none for an unknown one."""
        with in_words(self.path):
            return log.stream_events(self._connection, stream, since)

    def each_event(self, stream: str) -> Iterator[StoredEvent]:
        """All events of ``stream``, read at once and parsed one after another."""
        with in_words(self.path):
            return log.each_event(log.stream_rows(self._connection, stream))

    def events_after(self, stream: str, seq: int, link: bytes) -> list[StoredEvent] | None:
        """The events of a stream behind event ``seq``; None where that is not there with this link any more."""
        with in_words(self.path):
            return log.events_after(self._connection, stream, seq, link)

    def gives(self, stream: str, seq: int, link: bytes) -> bool:
        """Whether the texts of a stream's first ``seq`` events are, one by one, those that give this link."""
        with in_words(self.path):
            return log.gives(self._connection, self.shop_id, stream, seq, link)

    def events_saying(self, wanted: Mapping[str, Sequence[str]]) -> list[StoredEvent]:
        """Events of some kinds, stream by stream: of each kind those whose text has one of its texts, or all."""
        with in_words(self.path):
            return log.events_saying(self._connection, wanted)

    def last_event(self, stream: str, kinds: Sequence[str]) -> StoredEvent:
        """The newest event of a stream that is of one of these kinds. Raises TravelerError where there is none."""
        with in_words(self.path):
            found = log.last_event(self._connection, stream, kinds)
        if found is None:
            raise TravelerError(f"{stream} has no event of the kind {' or '.join(kinds)}: verify the file.")
        return found

    def count_events(self) -> int:
        """The number of events of all streams."""
        with in_words(self.path):
            (events,) = self._connection.execute("SELECT coalesce(max(position), 0) FROM event").fetchone()
        return int(events)

    def board(self) -> list[BoardRow]:
        """One row a job, the one written to last first: by order of writing, not by anybody's clock."""
        return self.board_reader.all()

    @property
    def board_reader(self) -> BoardReader:
        """The board by pages, for a file of many jobs.

        Of a file that is read as an older schema, whose board says less, the lines are worked out here and now.
        """
        if self._worked_out is None and self._has_board:
            return BoardReader(self._connection, self.path)
        if self._worked_out is None:
            from traveler.record.board_rebuild import worked_out

            with in_words(self.path):
                self._worked_out = worked_out(self._connection)
        return BoardReader(self._worked_out, self.path)

    @property
    def _has_board(self) -> bool:
        """Whether the file has lines that say all that the board shows: not where it is read as an older schema."""
        with in_words(self.path):
            (version,) = self._connection.execute("PRAGMA user_version").fetchone()
        return int(version) >= OLDEST_WITH_BOARD

    def data_version(self) -> int:
        """A number that changes when another connection has written; cheap enough to ask every second."""
        with in_words(self.path):
            return log.data_version(self._connection)

    def wait_at_most(self, seconds: float) -> None:
        """For how long each use of the file waits while another program holds it, before it raises FileHeld; a write
        waits three times as long."""
        self._connection.patience_s = seconds

    def trouble(self) -> str:
        """What happened to the file since it was opened, so that nothing may be written to it any more; else empty."""
        moved = moved_since(self.path, self._file)
        if moved:
            return moved
        with in_words(self.path):
            (version,) = self._connection.execute("PRAGMA user_version").fetchone()
            if version <= newest_version():
                return self._altered_structure(version)
        return (
            f"{shown(self.path)} was upgraded by a newer program while it was open here: leave, and open it with that "
            "program"
        )

    def _altered_structure(self, version: int) -> str:
        """A trigger that was put in or taken away since could swallow what is written."""
        now = structure(self._connection)
        if now == self._structure:
            return ""
        if faults := schema_faults(self._connection, version):
            return (
                f"{shown(self.path)} was altered by other means than this program while it was open here: {faults[0]}; "
                "leave, and verify it"
            )
        self._structure = now
        return ""

    def attachment(self, sha256: str) -> bytes:
        """The content kept under this SHA-256 (hex), checked against it."""
        with in_words(self.path):
            return attachments.attachment(self._connection, sha256)

    @contextmanager
    def write(self) -> Iterator["Writing"]:
        """One transaction that holds the file's only write lock: what is read inside is still true at COMMIT.

        Any exception rolls everything back. Ask the person before entering, never inside: others wait
        meanwhile.
        """
        if self.read_only:
            raise TravelerError(f"{shown(self.path)} was opened for reading only; {NOTHING_WRITTEN}.")
        with in_words(self.path, NOTHING_WRITTEN):
            patiently(self._connection, "BEGIN IMMEDIATE")
            try:
                if trouble := self.trouble():
                    raise TravelerError(f"{trouble}; {NOTHING_WRITTEN}.")
                yield Writing(self._connection, self.shop_id)
                looked = self._compared()
                patiently(self._connection, "COMMIT")
            finally:
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
        self._saw(looked)

    def check_secret(
        self, person: str, secret: Secret, now: datetime, kind: Kind = "signing"
    ) -> Accepted | Refused:
        """Whether ``secret`` is the one that ``person`` set; takes half a second, and is asked before a write.

        Each try is counted, in a transaction of its own, before it is compared, and a good one takes the count back:
        so neither an act that rolls back nor a program that is killed wins an uncounted try. A secret hashed at less
        cost than is usual now is hashed anew, and the event "secret set" of the shop's stream says so.
        """
        if self._connection.in_transaction:
            raise RuntimeError("a secret is checked before a write, never inside")
        person = plain_text(person, "person")
        with self.write():
            tried = secret_table.begin_try(self._connection, person, kind, now)
        if isinstance(tried, Refused):
            return tried
        if not tried.verifier.matches(secret):
            return Refused("wrong", tried.until)
        better = hashed(secret) if tried.verifier.outdated else None
        with self.write():
            return secret_table.end_try(self._connection, self.shop_id, tried, better, now)

    def _watch(self) -> None:
        """Afterwards ``warning`` says whether the file fits what this account saw of it."""
        self._saw(self._compared())

    def _compared(self) -> seen.Looked | None:
        if self._memory is not None:
            # Whether or not this look succeeds, what is entered is entered.
            with contextlib.suppress(sqlite3.Error):
                return seen.compared(self._connection, self.shop_id, self._memory, self.path)
        return None

    def _saw(self, looked: seen.Looked | None) -> None:
        if looked is not None:
            looked.remember()
            self.warning = looked.sentence


def _checked(connection: sqlite3.Connection, path: Path, read_only: bool) -> tuple[str, int]:
    """The shop's id and the count of its structure, after every check that does not grow with the file."""
    version = shop_schema_version(connection, path)
    if not read_only:
        refuse_newer(version, path)
        with in_words(path):
            keep_rollback_journal(connection, path)
    if version < newest_version() and not read_only:
        from traveler.record.migrate import upgrade

        with in_words(path, NOTHING_WRITTEN):
            upgrade(connection, path)
    with in_words(path):
        # One read transaction: tables and version, the newest event and the one before it must be of one moment.
        connection.execute("BEGIN")
        try:
            (version,) = connection.execute("PRAGMA user_version").fetchone()
            faults, known_structure = schema_faults(connection, version), structure(connection)
            if not faults:
                shop_id = log.shop_id(connection)
                faults = log.tail_faults(connection, shop_id)
        finally:
            connection.execute("ROLLBACK")
        if faults:
            raise TravelerError(
                f"{shown(path)} was altered by other means than this program: {faults[0]}. Verify it."
            )
    return shop_id, known_structure
