"""What the shop's file hands out: one event of a stream, one line of the board of jobs."""

from typing import Any, NamedTuple

from traveler.job.board_row import BoardRow

__all__ = ["BoardRow", "StoredEvent"]


class StoredEvent(NamedTuple):
    """One event as it stands in the file; opening a job makes thousands.

    ``body`` is the text that was hashed, ``hash`` the 32 bytes of its link in the stream's chain, ``data``
    the parsed body with the keys stream, seq, id, kind, happened_at, recorded_at, by and act.
    """

    stream: str
    seq: int
    body: str
    hash: bytes
    data: dict[str, Any]
