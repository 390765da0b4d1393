"""Is a shop file unaltered? Everything that grows with the file is checked here and not on opening."""

import sqlite3
from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from operator import itemgetter
from pathlib import Path
from typing import Any, Protocol

from traveler.record.attachments import attachment_faults
from traveler.record.audit import JOURNAL, Audit, Found
from traveler.record.chain import code
from traveler.record.collector import collector_paused
from traveler.record.connection import connect, located, refuse_newer, shop_schema_version
from traveler.record.links import EventRow, Fault, text_faults, verify_chain
from traveler.record.log import JOB_PREFIX
from traveler.record.noted import Noted
from traveler.record.reading_jobs import STRAYED, JobRead, JobReader, moment
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


class Jobs(Protocol):
    """The jobs of a file, for what concerns several of them."""

    def together(self, streams: Sequence[str]) -> Mapping[str, Sequence[Mapping[str, Any]]]:
        """The events of some jobs as they are at one moment, by stream; TravelerError where they were altered."""

    def link(self, stream: str, seq: int) -> bytes | None:
        """The link of an event; None where there is none."""


class Derived(Protocol):
    """Whoever knows what events mean, to hold the board against them: it is the one table worked out from events."""

    def job_faults(
        self, stream: str, events: Iterable[Mapping[str, Any]], line: BoardRow | None
    ) -> Iterator[str]:
        """A sentence for each thing that does not fit of a job by itself: all its events, and its line at that moment.

        Each job is handed over once; nothing that grows with its events may be kept of it.
        """

    def faults_between(self, jobs: Jobs) -> Iterator[str]:
        """A sentence for each thing in which jobs do not fit one another, once each was handed over.

        Others wrote between one job and the next: what seems not to fit is looked at in one moment before it is told.
        """


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
        with collector_paused():
            faults = check.faults()
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


def _readable(stored: bytes) -> str:
    """Text of a column, whatever was done to it: damage is then reported as a difference."""
    return stored.decode("utf-8", "replace")


class _Check:
    """The pass over the events, then the jobs one by one, and what was seen against the other tables."""

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
        self._reader: JobReader | None = None
        self._of_events: list[tuple[int, str]] = []
        self._of_jobs: list[str] = []
        self._parsed_from: dict[str, int] = {}
        self._missing: dict[str, str] = {}
        self._attachment_error: sqlite3.DatabaseError | UnicodeDecodeError | None = None
        self.audit = Audit(connection, noted, None if chain_only else self._first_look)

    def faults(self) -> tuple[str, ...]:
        checks = [self._event_faults]
        if not self._chain_only:
            checks += [
                self._look_at_jobs,
                self._attachment_faults,
                self._table_faults,
                self._job_faults,
                self._structure_faults,
            ]
        # What is damaged is met by several checks, and said once.
        others = dict.fromkeys(fault for check in checks for fault in _damage_told(check()))
        self._of_events.sort(key=itemgetter(0))
        return (*(fault for _, fault in self._of_events), *others)

    def _event_faults(self) -> Iterator[str]:
        for fault in self.audit.faults():
            self._of_events.append(fault)
        yield from ()

    def _first_look(self, row: EventRow, sound: bool) -> list[str]:
        """What does not fit of a text, in the pass over all events: that of a sound job is parsed with the job."""
        if sound and row.stream.startswith(JOB_PREFIX):
            return []
        if not sound:
            self._parsed_from.setdefault(row.stream, row.position)
        return self._text(row)[0]

    def _text(self, row: EventRow) -> tuple[list[str], dict[str, Any] | None]:
        phrases, data = text_faults(row)
        if data is not None and b'"sha256"' in row.body:
            for name in _attachments_in(data["act"]):
                self._look_for(name, row)
        return phrases, data

    def _look_for(self, name: str, row: EventRow) -> None:
        # An attachment is stored with the event that names it and never taken out, so any moment will do.
        try:
            found = self._connection.execute("SELECT 1 FROM attachment WHERE sha256 = ?", (name,)).fetchone()
        except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
            # Said where attachments are looked at: the events must be looked at whatever became of these.
            self._attachment_error = error
            return
        if found is None:
            self._missing.setdefault(name, f"event {row.seq} of {row.stream}")

    def _look_at_jobs(self) -> Iterator[str]:
        if self.audit.shop_id is None:
            return
        self._reader = JobReader(self._connection, self.audit.shop_id, self.audit.heads)
        for job in self._reader.each():
            yield from self._look_at(self._reader, job)

    def _look_at(self, reader: JobReader, job: JobRead) -> Iterator[str]:
        events = self._events(job)
        stray = None if job.stream in self.audit.first_faulty else reader.first_stray(job)
        if stray is not None:
            yield f"structure: {Fault(job.stream, stray, STRAYED)}"
        elif self._derived is not None and not self.audit.altered and reader.board_error is None:
            self._of_jobs += self._derived.job_faults(job.stream, events, job.line)
        # Whatever became of the job, each of its texts is looked at.
        deque(events, maxlen=0)

    def _events(self, job: JobRead) -> Iterator[dict[str, Any]]:
        """The events of a job, parsed; what does not fit of their texts is taken down."""
        parsed_from = self._parsed_from.get(job.stream)
        for row in job.rows:
            if parsed_from is not None and row.position >= parsed_from:
                continue
            phrases, data = self._text(row)
            if phrases:
                self.audit.blame(row.stream, row.position)
                self._of_events += [
                    (row.position, str(Fault(row.stream, row.seq, phrase))) for phrase in phrases
                ]
            if data is not None:
                yield data

    def _attachment_faults(self) -> Iterator[str]:
        for name, place in self._missing.items():
            yield f"attachment {name}: named by {place} and missing"
        if self._attachment_error is not None:
            raise self._attachment_error
        yield from attachment_faults(self._connection)

    def _table_faults(self) -> Iterator[str]:
        # What belongs together is read in one moment: others may work on meanwhile, and upgrade the file, too.
        with moment(self._connection):
            (version,) = self._connection.execute("PRAGMA user_version").fetchone()
            yield from (f"schema: {fault}" for fault in schema_faults(self._connection, version))
            yield from (f"schema: {fault}" for fault in step_faults(self._connection))
            if version >= OLDEST_WITH_SECRETS:
                yield from secret_faults(self._connection)
            for (number,) in self._connection.execute(BOARD_WITHOUT_EVENTS).fetchall():
                yield f"the board shows job {number}, which has no events"

    def _job_faults(self) -> Iterator[str]:
        # What was altered of an event is named there; that the board is another's then says nothing more.
        if self._derived is not None and self._reader is not None and not self.audit.altered:
            if self._reader.board_error is not None:
                raise self._reader.board_error
            yield from self._of_jobs
            yield from self._derived.faults_between(self._reader)

    def _structure_faults(self) -> Iterator[str]:
        # Not the quick one: it leaves out the indexes, and it is by an index that a job's events are read.
        for (answer,) in self._connection.execute("PRAGMA integrity_check").fetchall():
            if answer != "ok":
                yield f"structure: {answer}"
        for table, row, parent, _ in self._connection.execute("PRAGMA foreign_key_check").fetchall():
            yield f"structure: row {row} of {table} refers to a row of {parent} that is missing"


def _damage_told(faults: Iterator[str]) -> Iterator[str]:
    """The faults, and that the file is damaged where SQLite cannot read on."""
    try:
        yield from faults
    except UnicodeDecodeError:
        # What SQLite says of a broken table quotes it, and Python's module fails at reading that.
        yield "the file is damaged: not even the error can be read"
    except sqlite3.DatabaseError as error:
        if result_code(error) not in DAMAGE:
            raise
        yield f"the file is damaged: {error}"


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
