"""What may be done inside one transaction on the shop's file."""

import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime

from traveler.record import attachments, board, log, secret_table
from traveler.record.rows import BoardRow, StoredEvent
from traveler.record.secret_table import Accepted
from traveler.record.secrets import Kind, Verifier


class Writing:
    """What may be done inside ``Shop.write``; of no use once that block has ended."""

    def __init__(self, connection: sqlite3.Connection, shop_id: str) -> None:
        self._open_connection = connection
        self._shop_id = shop_id
        self._ends_there: set[tuple[str, int, bytes, int]] = set()

    @property
    def _connection(self) -> sqlite3.Connection:
        if not self._open_connection.in_transaction:
            # Outside a transaction each statement would commit by itself.
            raise RuntimeError("this write has ended; begin another one")
        return self._open_connection

    def events(self, stream: str, since: int = 1) -> list[StoredEvent]:
        """As ``Shop.events``; nobody can add to it before this write ends."""
        return log.stream_events(self._connection, stream, since)

    def each_event(self, stream: str) -> Iterator[StoredEvent]:
        """As ``Shop.each_event``."""
        return log.each_event(log.stream_rows(self._connection, stream))

    def events_after(self, stream: str, seq: int, link: bytes) -> list[StoredEvent] | None:
        """As ``Shop.events_after``."""
        connection = self._connection
        # Nobody else can write: where a stream ended, it ends until this connection has changed a row.
        asked = (stream, seq, link, connection.total_changes)
        if asked in self._ends_there:
            return []
        found = log.events_after(connection, stream, seq, link)
        if found == []:
            self._ends_there.add(asked)
        return found

    def gives(self, stream: str, seq: int, link: bytes) -> bool:
        """As ``Shop.gives``."""
        return log.gives(self._connection, self._shop_id, stream, seq, link)

    def data_version(self) -> int:
        """As ``Shop.data_version``: another one than before where somebody else wrote before this write began."""
        return log.data_version(self._connection)

    def append(
        self,
        stream: str,
        kind: str,
        by: Mapping[str, object],
        happened_at: str,
        recorded_at: str,
        act: Mapping[str, object],
    ) -> StoredEvent:
        """Add one event; both times are ISO 8601 with an offset, ``by`` has the keys name and how.

        BadInput for what cannot be written as an event (a float, a broken character, a time without its
        offset).
        """
        return log.append_event(
            self._connection, self._shop_id, stream, kind, by, happened_at, recorded_at, act
        )

    def put_board_row(self, row: BoardRow) -> None:
        """Replace the job's row on the board; its events are written before."""
        board.put(self._connection, row, log.last_position(self._connection, log.job_stream(row.number)))

    def put_attachment(self, content: Iterable[bytes] | bytes) -> tuple[str, int]:
        """Store a file's content; returns its SHA-256 (hex) and its size in bytes.

        At most 64 MiB, else BadInput. Hand over bytes that are at hand: the write lock is held meanwhile.

        An act that refers to it carries both, under the keys sha256 and size: by these ``verify`` finds it.
        """
        return attachments.put_attachment(self._connection, content)

    def put_secret(self, person: str, verifier: Verifier, now: datetime, kind: Kind = "signing") -> str:
        """Keep a person's new secret; an earlier one of its kind, and the wrong tries at it, are gone.

        Returns the commitment to it. In the same write belongs the event of the shop's stream that carries it
        under the keys person and commitment ("secret set", for a recovery code "recovery code issued"): without it
        the secret is never accepted, and ``verify`` names it.
        """
        secret_table.put(self._connection, person, kind, verifier, now)
        return verifier.commitment

    def is_current(self, accepted: Accepted) -> bool:
        """Whether the secret that was accepted is still the person's: it was checked before this write began."""
        found = secret_table.current(self._connection, accepted.person, accepted.kind)
        return found is not None and found.commitment == accepted.commitment
