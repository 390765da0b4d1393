"""Charts, certificates and photos in the shop's file: by their SHA-256, in pieces, each content once."""

import hashlib
import sqlite3
from collections.abc import Iterable, Iterator

from traveler.errors import BadInput, TravelerError

PIECE_BYTES = 1024 * 1024  # SQLite holds a value in memory as a whole
LARGEST_BYTES = 64 * 1024 * 1024


def put_attachment(connection: sqlite3.Connection, content: Iterable[bytes] | bytes) -> tuple[str, int]:
    """Store ``content`` unless it is stored already; returns its SHA-256 in hex and its size in bytes."""
    blocks = [content] if isinstance(content, bytes) else content
    pieces, size = _pieces(blocks)
    digest = hashlib.sha256()
    for piece in pieces:
        digest.update(piece)
    name = digest.hexdigest()
    if connection.execute("SELECT 1 FROM attachment WHERE sha256 = ?", (name,)).fetchone() is None:
        connection.execute("INSERT INTO attachment (sha256, size) VALUES (?, ?)", (name, size))
        connection.executemany(
            "INSERT INTO attachment_chunk (sha256, number, content) VALUES (?, ?, ?)",
            ((name, number, piece) for number, piece in enumerate(pieces, start=1)),
        )
    return name, size


def _pieces(blocks: Iterable[bytes]) -> tuple[list[bytes], int]:
    """The blocks cut to pieces of PIECE_BYTES, and their size; refuses more than LARGEST_BYTES."""
    pieces: list[bytes] = []
    pending = bytearray()
    size = 0
    for block in blocks:
        size += len(block)
        if size > LARGEST_BYTES:
            raise BadInput(
                f"the attachment is larger than {LARGEST_BYTES // PIECE_BYTES} MiB; expected a smaller file"
            )
        pending += block
        while len(pending) >= PIECE_BYTES:
            pieces.append(bytes(pending[:PIECE_BYTES]))
            del pending[:PIECE_BYTES]
    if pending:
        pieces.append(bytes(pending))
    return pieces, size


def attachment(connection: sqlite3.Connection, sha256: str) -> bytes:
    """The content of an attachment; TravelerError where it is not stored or was altered."""
    if connection.execute("SELECT 1 FROM attachment WHERE sha256 = ?", (sha256,)).fetchone() is None:
        raise TravelerError(f"the attachment {sha256} is not in the shop file.")
    content = b"".join(_stored_pieces(connection, sha256))
    if hashlib.sha256(content).hexdigest() != sha256:
        raise TravelerError(
            f"the attachment {sha256} was altered in the shop file; restore it from a backup."
        )
    return content


def attachment_faults(connection: sqlite3.Connection) -> Iterator[str]:
    """Each stored attachment whose content does not have the hash or the size it is kept under."""
    for name, size in connection.execute("SELECT sha256, size FROM attachment ORDER BY sha256").fetchall():
        digest, length = hashlib.sha256(), 0
        for piece in _stored_pieces(connection, name):
            digest.update(piece)
            length += len(piece)
        if digest.hexdigest() != name:
            yield f"attachment {name}: its content is not the one that was stored"
        elif length != size:
            yield f"attachment {name}: {length} bytes are stored, {size} are noted"


def _stored_pieces(connection: sqlite3.Connection, sha256: str) -> Iterator[bytes]:
    rows = connection.execute(
        "SELECT content FROM attachment_chunk WHERE sha256 = ? ORDER BY number", (sha256,)
    )
    for (piece,) in rows:
        yield piece
