"""A connection that waits for its turn where another program holds the file.

SQLite waits by itself if told to, but its sleeps grow to a tenth of a second: with many programs at work the file lies
free most of the time, and who has waited longest asks most seldom. Here everybody asks again after a short time of
chance length, so that the turn falls soon, and sooner to who has waited long.
"""

import random
import sqlite3
import time
from typing import Any

from traveler.record.trouble import result_code

SHORTEST_S = 0.001
LONGEST_S = 0.01
"""Between two tries, on average: a quarter of what was waited so far, not less than the one nor more than the other.
Each try costs a twentieth of a millisecond of the processor; with twenty programs waiting for ten milliseconds each the
file lies free for half a millisecond."""
SOON_S = 0.0002
"""The shortest for COMMIT: who waits for that holds up all others, and only until a reader has finished a page."""
LONG_S = 0.5
PRESSING_S = 0.004
"""Who has waited long asks more often than the others, and so comes before most of them."""


class PatientConnection(sqlite3.Connection):
    """``execute`` waits ``patience_s`` seconds before it says that the file is busy."""

    patience_s = 0.0

    def execute(self, sql: str, parameters: Any = (), /) -> sqlite3.Cursor:
        """As of any connection; sqlite3.OperationalError of kind SQLITE_BUSY where the wait was in vain."""
        try:
            return super().execute(sql, parameters)
        except sqlite3.OperationalError as error:
            if result_code(error) != sqlite3.SQLITE_BUSY:
                raise
        return self._in_turn(sql, parameters)

    def _in_turn(self, sql: str, parameters: Any) -> sqlite3.Cursor:
        began = time.monotonic()
        while True:
            waited_s = time.monotonic() - began
            time.sleep(_pause_s(sql, waited_s) * random.uniform(0.5, 1.5))
            try:
                return super().execute(sql, parameters)
            except sqlite3.OperationalError as error:
                if result_code(error) != sqlite3.SQLITE_BUSY or waited_s >= self.patience_s:
                    raise


def _pause_s(sql: str, waited_s: float) -> float:
    if waited_s > LONG_S:
        return PRESSING_S
    return min(max(waited_s / 4, SOON_S if sql == "COMMIT" else SHORTEST_S), LONGEST_S)
