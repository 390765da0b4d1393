"""What went wrong with a file, in a sentence."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from traveler.errors import FileHeld, TravelerError

PRIMARY = 0xFF  # the low byte of an extended result code is the primary one

SENTENCES = {
    sqlite3.SQLITE_BUSY: "{path} is in use by another program, which did not let go in time; try again",
    sqlite3.SQLITE_LOCKED: "{path} is in use by another part of this program; try again",
    sqlite3.SQLITE_READONLY: "{path} cannot be written: the file, its folder or its file system is read-only",
    sqlite3.SQLITE_IOERR: "{path} could not be read or written: the disk reports an error ({error})",
    sqlite3.SQLITE_CORRUPT: "{path} is damaged ({error}); restore it from a backup",
    sqlite3.SQLITE_FULL: "{path} could not be written: the disk or its quota is full",
    sqlite3.SQLITE_CANTOPEN: "{path} or the journal beside it cannot be opened; expected a writable folder",
    sqlite3.SQLITE_NOTADB: "{path} is not a shop file; expected one that this program made",
    sqlite3.SQLITE_CONSTRAINT: "{path} refused the entry ({error}); the record is only ever added to",
    sqlite3.SQLITE_NOMEM: "{path} could not be read or written: out of memory",
}

LEFT_HALF_WRITTEN = (
    "{path} was left in the middle of a write by a program that was stopped; open it once with an account that may "
    "write it and its folder"
)

MOVED = "{path} is not the file any more that was opened: it was moved, removed or replaced meanwhile; open it again"
"""Of SQLite, a file that may only be read: what is written now would go into one that nobody finds."""

MORE_EXACTLY: dict[int | None, str] = {
    sqlite3.SQLITE_READONLY_ROLLBACK: LEFT_HALF_WRITTEN,
    sqlite3.SQLITE_READONLY_DBMOVED: MOVED,
}


def shown(path: Path) -> str:
    """A path that can always be printed: bytes of a file name that are not text are written as escapes."""
    return str(path).encode("utf-8", "backslashreplace").decode("utf-8")


def result_code(error: sqlite3.Error) -> int | None:
    """SQLite's primary result code; None where Python's module itself raised the error."""
    found: int | None = getattr(error, "sqlite_errorcode", None)
    return None if found is None else found & PRIMARY


@contextmanager
def in_words(path: Path, aftermath: str = "") -> Iterator[None]:
    """Turn an error of SQLite into one sentence about ``path``, with ``aftermath`` behind it.

    The aftermath says what became of the work ("nothing was written").
    Misuse of the connection (a closed one, a wrong parameter) is a fault of the program and passes unchanged.
    """
    try:
        yield
    except sqlite3.ProgrammingError:
        raise
    except sqlite3.DatabaseError as error:
        sentence = SENTENCES.get(result_code(error) or 0, "{path} could not be used ({error})")
        sentence = MORE_EXACTLY.get(getattr(error, "sqlite_errorcode", None), sentence)
        told = sentence.format(path=shown(path), error=error)
        kind = FileHeld if result_code(error) == sqlite3.SQLITE_BUSY else TravelerError
        raise kind(f"{told}; {aftermath}." if aftermath else f"{told}.") from error
