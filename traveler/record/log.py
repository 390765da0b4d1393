"""The event log on an open connection: read a stream, append one event, check the newest link."""

import hashlib
import json
import sqlite3
import uuid
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime

from traveler.errors import BadInput, TravelerError
from traveler.record.chain import canonical, genesis, journal_genesis, next_hash, next_journal, plain_text
from traveler.record.links import COLUMNS, EventRow, row_faults
from traveler.record.rows import StoredEvent

SHOP_STREAM = "shop"
JOB_PREFIX = "job "
_READ = json.JSONDecoder().raw_decode
"""An event's text has nothing before or behind it, which ``json.loads`` would look for each time."""

Row = tuple[str, int, str, bytes]
"""Stream, seq, body and link of an event."""
BY_PROGRAM = {"name": "traveler", "how": "program"}


def job_stream(number: str) -> str:
    """The name of a job's stream."""
    return JOB_PREFIX + plain_text(number, "job number")


def stream_events(connection: sqlite3.Connection, stream: str, since: int = 1) -> list[StoredEvent]:
    """Events of a stream from seq ``since`` on, in order; TravelerError where a body cannot be read any more."""
    return list(each_event(stream_rows(connection, stream, since)))


def stream_rows(connection: sqlite3.Connection, stream: str, since: int = 1) -> list[Row]:
    """The same as they stand in the file, not parsed."""
    found: list[Row] = connection.execute(
        "SELECT stream, seq, body, hash FROM event WHERE stream = ? AND seq >= ? ORDER BY seq",
        (plain_text(stream, "stream"), since),
    ).fetchall()
    return found


def each_event(rows: Iterable[Row]) -> Iterator[StoredEvent]:
    """Rows as events, one after another: who folds thousands need not hold all of them parsed at once."""
    for name, seq, body, link in rows:
        yield StoredEvent(name, seq, body, link, _parsed(name, seq, body))


def events_after(
    connection: sqlite3.Connection, stream: str, seq: int, link: bytes
) -> list[StoredEvent] | None:
    """Events of a stream behind ``seq``, in order; None where event ``seq`` is not there with this link."""
    rows = connection.execute(
        "SELECT stream, seq, CASE WHEN seq > ?2 THEN body END, hash FROM event WHERE stream = ?1 AND seq >= ?2"
        " ORDER BY seq",
        (plain_text(stream, "stream"), seq),
    ).fetchall()
    if not rows or rows[0][1] != seq or rows[0][3] != link:
        return None
    return [StoredEvent(name, at, body, noted, _parsed(name, at, body)) for name, at, body, noted in rows[1:]]


def gives(connection: sqlite3.Connection, shop_id: str, stream: str, seq: int, link: bytes) -> bool:
    """Whether the texts of a stream's events up to ``seq`` hash to ``link``, and each to the link beside it.

    Nothing is parsed, so it takes a small part of what working the job out does.
    """
    found = genesis(shop_id, stream)
    for body, noted in connection.execute(
        "SELECT CAST(body AS BLOB), hash FROM event WHERE stream = ? AND seq <= ? ORDER BY seq",
        (plain_text(stream, "stream"), seq),
    ):
        found = hashlib.sha256(found + body).digest()
        if found != noted:
            return False
    return found == link


def data_version(connection: sqlite3.Connection) -> int:
    """A number that changes when another connection has written."""
    (version,) = connection.execute("PRAGMA data_version").fetchone()
    return int(version)


def events_saying(connection: sqlite3.Connection, wanted: Mapping[str, Sequence[str]]) -> list[StoredEvent]:
    """Events of the kinds that ``wanted`` names, stream by stream in order, whose text has one of the texts it gives.

    Of a kind that it gives no text for, all. A narrow look across all streams, for what would otherwise take the whole
    of each.
    """
    clauses, values = [], []
    for kind, texts in wanted.items():
        said = " OR ".join("instr(body, ?) > 0" for _ in texts)
        clauses.append(f"kind = ? AND ({said})" if texts else "kind = ?")
        values += [kind, *texts]
    rows = connection.execute(
        f"SELECT stream, seq, body, hash FROM event WHERE {' OR '.join(clauses)} ORDER BY stream, seq",
        values,
    ).fetchall()
    return [StoredEvent(name, seq, body, link, _parsed(name, seq, body)) for name, seq, body, link in rows]


def last_event(connection: sqlite3.Connection, stream: str, kinds: Sequence[str]) -> StoredEvent | None:
    """The newest event of a stream that is of one of these kinds."""
    marks = ", ".join("?" for _ in kinds)
    row = connection.execute(
        f"SELECT stream, seq, body, hash FROM event WHERE stream = ? AND kind IN ({marks}) ORDER BY seq DESC LIMIT 1",
        (plain_text(stream, "stream"), *kinds),
    ).fetchone()
    if row is None:
        return None
    name, seq, body, link = row
    return StoredEvent(name, seq, body, link, _parsed(name, seq, body))


def _parsed(stream: str, seq: int, body: str) -> dict[str, object]:
    try:
        data, end = _READ(body)
    except ValueError as error:
        raise _unreadable(stream, seq) from error
    if end != len(body):
        raise _unreadable(stream, seq)
    if not isinstance(data, dict):
        raise TravelerError(f"event {seq} of {stream} is not an object: the file was altered; verify it.")
    return data


def _unreadable(stream: str, seq: int) -> TravelerError:
    return TravelerError(f"event {seq} of {stream} cannot be read: the file was altered; verify it.")


def append_event(
    connection: sqlite3.Connection,
    shop_id: str,
    stream: str,
    kind: str,
    by: Mapping[str, object],
    happened_at: str,
    recorded_at: str,
    act: Mapping[str, object],
) -> StoredEvent:
    """Write one event behind the last of its stream and of the journal; the caller holds the write lock."""
    stream = _checked_stream(stream)
    last = connection.execute(
        "SELECT seq, hash FROM event WHERE stream = ? ORDER BY seq DESC LIMIT 1", (stream,)
    ).fetchone()
    seq, previous = (last[0] + 1, last[1]) if last else (1, genesis(shop_id, stream))
    body = canonical(
        {
            "stream": stream,
            "seq": seq,
            "id": uuid.uuid4().hex,
            "kind": kind,
            "happened_at": _checked_instant(happened_at, "happened_at"),
            "recorded_at": _checked_instant(recorded_at, "recorded_at"),
            "by": by,
            "act": act,
        }
    )
    data = json.loads(body)
    link = next_hash(previous, body)
    position, journal = journal_head(connection, shop_id)
    connection.execute(
        "INSERT INTO event (position, stream, seq, id, kind, recorded_at, body, hash, journal_hash)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            position + 1,
            data["stream"],
            data["seq"],
            data["id"],
            data["kind"],
            data["recorded_at"],
            body,
            link,
            next_journal(journal, link),
        ),
    )
    return StoredEvent(stream, seq, body, link, data)


def shop_id(connection: sqlite3.Connection) -> str:
    """The random id that every chain of this file begins with."""
    found = connection.execute("SELECT id FROM shop").fetchone()
    if found is None:
        raise TravelerError("the shop's id is missing: the file was altered; restore it from a backup.")
    return str(found[0])


def journal_head(connection: sqlite3.Connection, shop_id: str) -> tuple[int, bytes]:
    """Number of events in the file and the journal's newest link."""
    last = connection.execute(
        "SELECT position, journal_hash FROM event ORDER BY position DESC LIMIT 1"
    ).fetchone()
    return (last[0], last[1]) if last else (0, journal_genesis(shop_id))


def last_position(connection: sqlite3.Connection, stream: str) -> int:
    """Place in the journal of the last event of a stream; 0 for a stream without one."""
    found = connection.execute(
        "SELECT position FROM event WHERE stream = ? ORDER BY seq DESC LIMIT 1", (stream,)
    ).fetchone()
    return int(found[0]) if found else 0


def job_numbers(connection: sqlite3.Connection) -> list[str]:
    """The numbers of all jobs in the order in which they were begun."""
    rows = connection.execute("SELECT stream FROM event WHERE seq = 1 ORDER BY position").fetchall()
    return [stream.removeprefix(JOB_PREFIX) for (stream,) in rows if stream.startswith(JOB_PREFIX)]


def first_job(connection: sqlite3.Connection) -> str | None:
    """The number of the job that was begun first; None where there is none. Cheap, whatever the number of jobs."""
    found = connection.execute(
        "SELECT stream FROM event WHERE seq = 1 AND substr(stream, 1, ?) = ? ORDER BY position LIMIT 1",
        (len(JOB_PREFIX), JOB_PREFIX),
    ).fetchone()
    return None if found is None else str(found[0]).removeprefix(JOB_PREFIX)


def tail_faults(connection: sqlite3.Connection, shop_id: str) -> list[str]:
    """What is wrong with the newest event; cheap, whatever the length of the log."""
    newest = connection.execute(f"SELECT {COLUMNS} FROM event ORDER BY position DESC LIMIT 1").fetchone()
    if newest is None:
        return ["the file holds no event, not even its own founding"]
    row = EventRow(*newest)
    before = connection.execute(
        "SELECT hash FROM event WHERE stream = ? AND seq = ?", (row.stream, row.seq - 1)
    ).fetchone()
    journal_before = connection.execute(
        "SELECT journal_hash FROM event WHERE position = ?", (row.position - 1,)
    ).fetchone()
    if (row.seq > 1 and before is None) or (row.position > 1 and journal_before is None):
        return [f"the event before event {row.seq} of {row.stream} is missing"]
    return row_faults(
        row,
        before[0] if before else genesis(shop_id, row.stream),
        journal_before[0] if journal_before else journal_genesis(shop_id),
    )


def _checked_stream(stream: str) -> str:
    stream = plain_text(stream, "stream")
    number = stream.removeprefix(JOB_PREFIX)
    if stream == SHOP_STREAM or (
        number != stream and number and number.strip() == number and number.isprintable()
    ):
        return stream
    raise BadInput(f'stream: read {stream!r}; expected "shop", or "job " and the number of a job')


def _checked_instant(text: str, place: str) -> str:
    """An event can never be corrected, so a time that does not name its offset is stopped here."""
    try:
        instant = datetime.fromisoformat(text)
    except ValueError as error:
        raise BadInput(f"{place}: read {text!r}; expected a time as in ISO 8601") from error
    if instant.tzinfo is None:
        raise BadInput(f"{place}: read {text!r}; expected a time with its offset from UTC")
    return text
