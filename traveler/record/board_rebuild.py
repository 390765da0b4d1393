"""The board made anew from the events: for a file whose board said less, and for whoever doubts it.

Imported only when that is due, for it takes the rules of the jobs.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from traveler.errors import TravelerError
from traveler.job.board import as_recorded
from traveler.job.fold import fold
from traveler.record import board, log
from traveler.record.connection import connect, located, shop_schema_version
from traveler.record.rows import BoardRow
from traveler.record.schema import BOARD
from traveler.record.trouble import in_words


def lines(connection: sqlite3.Connection) -> Iterator[tuple[BoardRow, int]]:
    """The line of each job as its events say, with the place of its last event in the journal, one job at a time."""
    for number in log.job_numbers(connection):
        stream = log.job_stream(number)
        yield _line(connection, number, stream), log.last_position(connection, stream)


def fill(connection: sqlite3.Connection) -> None:
    """Replace every line of the board; the caller holds the write lock."""
    connection.execute("DELETE FROM board")
    for row, position in lines(connection):
        board.put(connection, row, position)


def worked_out(connection: sqlite3.Connection) -> sqlite3.Connection:
    """A board in memory, from the events of a file that has none of this schema."""
    memory = sqlite3.connect(":memory:", isolation_level=None)
    for statement in BOARD:
        memory.execute(statement)
    for row, position in lines(connection):
        board.put(memory, row, position)
    return memory


def _line(connection: sqlite3.Connection, number: str, stream: str) -> BoardRow:
    try:
        return as_recorded(fold(event.data for event in log.stream_events(connection, stream)))
    except TravelerError as error:
        # It stays in view, and what it is that cannot be read is said where everything else is said.
        return BoardRow(number, "", "cannot be worked out", "", str(error), "", need="decision", words=number)


def lines_against(path: Path, program: str) -> Iterator[str]:
    """Each line of a file's board that its events do not give, in words; of those that ``program`` worked out."""
    with in_words(path), closing(connect(located(path, read_only=True), read_only=True)) as connection:
        if shop_schema_version(connection, path) < board.OLDEST_WITH_BOARD:
            return
        # One moment: others may go on working meanwhile.
        connection.execute("BEGIN")
        stored = {row.number: row for row in board.BoardReader(connection, path).all()}
        for row, _ in lines(connection):
            kept = stored.get(row.number)
            if kept is None:
                yield f"the board lacks job {row.number}"
            elif kept.program == program and kept != row:
                yield f"the board's line of job {row.number} is not what its events say; its next entry mends it"
