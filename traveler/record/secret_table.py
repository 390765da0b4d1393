"""The table of secrets on an open connection, and the commitments to them in the shop's stream.

A row changes without an event, since wrong tries are counted in it, and no event may hold a hash. So that a replaced
row shows, each new one is committed to: its commitment stands in the event that set it.
"""

import sqlite3
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Literal

from traveler.errors import TravelerError
from traveler.record.chain import plain_text
from traveler.record.links import body_data
from traveler.record.lockout import LONGEST_WAIT_S, Tries, end_of_wait, one_more
from traveler.record.log import BY_PROGRAM, SHOP_STREAM, append_event
from traveler.record.secrets import Kind, Verifier

COMMITTING: Mapping[str, Kind] = {"secret set": "signing", "recovery code issued": "recovery"}
"""The kinds of events of the shop's stream whose act has the keys person and commitment."""


@dataclass(frozen=True, slots=True)
class Accepted:
    """The secret was the person's. ``commitment`` names the row that it was compared with."""

    person: str
    kind: Kind
    commitment: str


@dataclass(frozen=True, slots=True)
class Refused:
    """Not accepted, and why; ``until`` says when the next try is admitted, None for at once.

    ``wrong``: another secret. ``locked``: too many wrong ones; this try was not looked at. ``none``: the person has
    no such secret. ``altered``: the one in the file is not the one that the record committed to.
    """

    reason: Literal["wrong", "locked", "none", "altered"]
    until: datetime | None = None


@dataclass(frozen=True, slots=True)
class Committed:
    """What the shop's stream said last of a person's secret, and in which of its events."""

    commitment: str
    seq: int


def secret_faults(connection: sqlite3.Connection) -> Iterator[str]:
    """Each secret that is not the one committed to last; the caller holds a read transaction, others may write."""
    committed = _committed(connection)
    rows = connection.execute("SELECT person, kind, scheme, salt, hash FROM secret").fetchall()
    stored = {(person, kind): Verifier(*row).commitment for person, kind, *row in rows}
    for person, kind in sorted(stored.keys() | committed.keys()):
        said, what = committed.get((person, kind)), f"the {kind} secret of {person}"
        if said is None:
            yield f"{what}: no event of {SHOP_STREAM} says that it was set"
        elif (person, kind) not in stored:
            yield f"{what}: set by event {said.seq} of {SHOP_STREAM} and missing"
        elif stored[person, kind] != said.commitment:
            yield f"{what}: it is not the one that event {said.seq} of {SHOP_STREAM} set; it was replaced"


def _committed(connection: sqlite3.Connection) -> dict[tuple[str, str], Committed]:
    """The last commitment by person and kind of secret."""
    found: dict[tuple[str, str], Committed] = {}
    for seq, body in connection.execute(
        "SELECT seq, body FROM event WHERE stream = ? AND kind IN (?, ?) ORDER BY seq",
        (SHOP_STREAM, *COMMITTING),
    ).fetchall():
        data = body_data(body)
        # A text that is none any more commits to nothing, and is named by whoever looks at the events.
        if data is not None and data["kind"] in COMMITTING and isinstance(data["act"], dict):
            act = data["act"]
            found[str(act.get("person")), COMMITTING[data["kind"]]] = Committed(
                str(act.get("commitment")), seq
            )
    return found


def put(connection: sqlite3.Connection, person: str, kind: Kind, verifier: Verifier, now: datetime) -> None:
    """Store a person's secret in place of an earlier one; wrong tries at that one count no more."""
    connection.execute(
        "INSERT INTO secret (person, kind, scheme, salt, hash, set_at, failures, wait_s, wait_from)"
        " VALUES (?, ?, ?, ?, ?, ?, 0, 0, NULL)"
        " ON CONFLICT (person, kind) DO UPDATE SET scheme = excluded.scheme, salt = excluded.salt,"
        " hash = excluded.hash, set_at = excluded.set_at, failures = 0, wait_s = 0, wait_from = NULL",
        (
            plain_text(person, "person"),
            kind,
            verifier.scheme,
            verifier.salt,
            verifier.hash,
            _utc(now),
        ),
    )


def current(connection: sqlite3.Connection, person: str, kind: Kind) -> Verifier | None:
    """What is kept of a person's secret; None where there is none."""
    row = connection.execute(
        "SELECT scheme, salt, hash FROM secret WHERE person = ? AND kind = ?", (person, kind)
    ).fetchone()
    return Verifier(*row) if row else None


@dataclass(frozen=True, slots=True)
class Tried:
    """A try that is admitted and counted, with what it has to match; ``until``: the wait that begins if it does not."""

    person: str
    kind: Kind
    verifier: Verifier
    until: datetime | None


def begin_try(connection: sqlite3.Connection, person: str, kind: Kind, now: datetime) -> Tried | Refused:
    """Count a try as a failure before it is made, or refuse it unseen."""
    verifier = current(connection, person, kind)
    if verifier is None:
        return Refused("none")
    said = _committed(connection).get((person, kind))
    if said is None or said.commitment != verifier.commitment:
        return Refused("altered")
    tries, admitted = one_more(_tries(connection, person, kind), now)
    _put_tries(connection, person, kind, tries)
    until = end_of_wait(tries)
    return Tried(person, kind, verifier, until) if admitted else Refused("locked", until)


def end_try(
    connection: sqlite3.Connection, shop_id: str, tried: Tried, better: Verifier | None, now: datetime
) -> Accepted | Refused:
    """After a good entry: the tries begin anew, and ``better`` takes the place of what was kept, with its event."""
    if current(connection, tried.person, tried.kind) != tried.verifier:
        # Somebody set another one while this one was compared.
        return Refused("wrong")
    _put_tries(connection, tried.person, tried.kind, Tries())
    if better is None:
        return Accepted(tried.person, tried.kind, tried.verifier.commitment)
    put(connection, tried.person, tried.kind, better, now)
    at = now.isoformat(timespec="seconds")
    act = {"person": tried.person, "by_whom": "program", "commitment": better.commitment}
    kind = next(event for event, kind in COMMITTING.items() if kind == tried.kind)
    append_event(connection, shop_id, SHOP_STREAM, kind, BY_PROGRAM, at, at, act)
    return Accepted(tried.person, tried.kind, better.commitment)


def _tries(connection: sqlite3.Connection, person: str, kind: Kind) -> Tries:
    failures, wait_s, wait_from = connection.execute(
        "SELECT failures, wait_s, wait_from FROM secret WHERE person = ? AND kind = ?", (person, kind)
    ).fetchone()
    try:
        return Tries(
            failures, min(wait_s, LONGEST_WAIT_S), None if wait_from is None else _instant(wait_from)
        )
    except ValueError as error:
        raise TravelerError(
            f"when {person} may try a secret again cannot be read: the file was altered; verify it."
        ) from error


def _put_tries(connection: sqlite3.Connection, person: str, kind: Kind, tries: Tries) -> None:
    connection.execute(
        "UPDATE secret SET failures = ?, wait_s = ?, wait_from = ? WHERE person = ? AND kind = ?",
        (
            tries.failures,
            tries.wait_s,
            None if tries.wait_from is None else _utc(tries.wait_from),
            person,
            kind,
        ),
    )


def _utc(instant: datetime) -> str:
    return instant.astimezone(UTC).isoformat()


def _instant(text: str) -> datetime:
    instant = datetime.fromisoformat(text)
    if instant.tzinfo is None:
        raise ValueError("no offset from UTC")
    return instant
