"""The board made anew from the events: for a file whose board said less, and for whoever doubts it.

Imported only when that is due, for it takes the rules of the jobs.
"""

import sqlite3
from collections.abc import Iterator

from traveler.errors import TravelerError
from traveler.job.board import as_recorded
from traveler.job.fold import fold
from traveler.record import board, log
from traveler.record.rows import BoardRow
from traveler.record.schema import BOARD


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
