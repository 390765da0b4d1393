"""One connection to the shop's file, with the settings that every use of it needs.

The file is never opened by anything but SQLite: closing an ordinary descriptor of it drops all POSIX locks
that this process holds on it (SQLite, "How To Corrupt An SQLite Database File", section 2.2), and another
program could then write into the middle of our transaction. So even "is this one of ours?" is asked through
SQLite.
"""

import itertools
import os
import sqlite3
import stat
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from traveler.errors import TravelerError
from traveler.record.network import network_type
from traveler.record.patience import PatientConnection
from traveler.record.schema import APPLICATION_ID, newest_version
from traveler.record.trouble import PRIMARY, in_words, result_code, shown

BUSY_SECONDS = 5.0
BUSY_ATTEMPTS = 3
OLDEST_SQLITE = (3, 37, 0)  # STRICT tables

FIRST_READING = "SELECT count(*) FROM sqlite_schema"  # the first reading is what plays a left journal back

# Rollback journal and EXTRA: a committed reading survives a power cut, and the write-ahead log's own faults
# on common releases of SQLite do not matter. A person types; the milliseconds are not missed.
SETTINGS = (
    "PRAGMA foreign_keys=ON",
    "PRAGMA recursive_triggers=ON",
    "PRAGMA trusted_schema=OFF",
    "PRAGMA cell_size_check=ON",
    "PRAGMA synchronous=EXTRA",
)


def connect(path: Path, *, read_only: bool) -> PatientConnection:
    """A configured connection to an existing file; raises sqlite3.Error or TravelerError.

    Transactions are ours alone (``isolation_level=None``): nothing begins or commits behind our back.
    """
    if sqlite3.sqlite_version_info < OLDEST_SQLITE:
        raise TravelerError(
            f"Python's SQLite is release {sqlite3.sqlite_version}; the shop's file needs 3.37 or newer."
        )
    connection = _opened(path, "ro" if read_only else "rw")
    try:
        try:
            connection.execute(FIRST_READING)
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode != sqlite3.SQLITE_READONLY_ROLLBACK:
                raise
            _roll_back_leftover(path)
        except UnicodeDecodeError as error:
            # What SQLite says of a broken table quotes it, and Python's module fails at reading that.
            raise TravelerError(
                f"{shown(path)} is damaged (the names of its tables); restore it from a backup."
            ) from error
        for setting in SETTINGS:
            connection.execute(setting)
        if sys.platform == "darwin":
            # An ordinary fsync on macOS stops at the drive's own cache.
            connection.execute("PRAGMA fullfsync=ON")
    except BaseException:
        connection.close()
        raise
    return connection


def _opened(path: Path, mode: str) -> PatientConnection:
    uri = f"{path.absolute().as_uri()}?mode={mode}"
    # SQLite itself does not wait: see ``patience``.
    opened = sqlite3.connect(uri, uri=True, timeout=0, isolation_level=None, factory=PatientConnection)
    opened.patience_s = BUSY_SECONDS
    return opened


def _roll_back_leftover(path: Path) -> None:
    """Undo what a killed program left half-written; a reader alone would be turned away until a write."""
    with closing(_opened(path, "rw")) as writer:
        writer.execute(FIRST_READING)


def keep_rollback_journal(connection: sqlite3.Connection, path: Path) -> None:
    """Undo a write-ahead log that another tool may have switched on: that setting stays in the file."""
    (mode,) = connection.execute("PRAGMA journal_mode=DELETE").fetchone()
    if mode != "delete":
        raise TravelerError(f"{shown(path)} keeps a journal of kind {mode}; expected a rollback journal.")


def patiently(connection: sqlite3.Connection, statement: str) -> None:
    """BEGIN IMMEDIATE or COMMIT, tried a bounded number of times while another program holds the file."""
    for attempt in range(1, BUSY_ATTEMPTS + 1):
        try:
            connection.execute(statement)
        except sqlite3.OperationalError as error:
            if result_code(error) != sqlite3.SQLITE_BUSY or attempt == BUSY_ATTEMPTS:
                raise
        else:
            return


def copy_file(source: Path, working: Path) -> None:
    """Copy what is committed in ``source`` into the empty file ``working``, through SQLite and in one step.

    It reads on a connection of its own, so a transaction that is open elsewhere in this program stays out of
    the copy.
    """
    with (
        closing(connect(source, read_only=True)) as reader,
        closing(connect(working, read_only=False)) as writer,
    ):
        # Copying waits in steps of SQLite's own, and is in no hurry.
        reader.execute(f"PRAGMA busy_timeout={round(BUSY_SECONDS * 1000)}")
        reader.backup(writer, progress=_bounded(source))


def _bounded(source: Path) -> Callable[[int, int, int], None]:
    """Python's backup waits for a locked file without end; this ends it after the waits that a write gets."""
    waits = itertools.count(1)

    def after_step(status: int, remaining: int, total: int) -> None:
        if status & PRIMARY in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED) and next(waits) >= BUSY_ATTEMPTS:
            raise TravelerError(f"{shown(source)} is in use by another program, which does not let go.")

    return after_step


def located(path: Path, *, read_only: bool) -> Path:
    """``path`` with links followed; TravelerError where no file lies there that may be used so."""
    real = Path(os.path.realpath(path))
    try:
        kind_of_file = real.stat().st_mode
    except (FileNotFoundError, NotADirectoryError) as error:
        raise TravelerError(f"{shown(path)} does not exist; expected a shop file.") from error
    except OSError as error:
        raise TravelerError(f"{shown(path)} cannot be reached: {error.strerror}.") from error
    if not stat.S_ISREG(kind_of_file):
        raise TravelerError(f"{shown(path)} is a folder or a device; expected a shop file.")
    if not os.access(real, os.R_OK):
        raise TravelerError(f"{shown(path)} may not be read by this account.")
    if not read_only and not (os.access(real, os.W_OK) and os.access(real.parent, os.W_OK)):
        raise TravelerError(
            f"{shown(path)} cannot be written: the file or its folder is read-only for this account; "
            "expected both to be writable, since the journal lies beside the file."
        )
    return real


def identity(path: Path) -> tuple[int, int] | None:
    """What tells the file at ``path`` from another one there; None where there is none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def moved_since(path: Path, before: tuple[int, int] | None) -> str:
    """That the open file does not lie at ``path`` any more: what would be written to it nobody would find."""
    now = identity(path)
    if now == before:
        return ""
    if now is None:
        return f"{shown(path)} is gone: it was moved or deleted while it was open here"
    return f"{shown(path)} was replaced by another file while it was open here: leave, and open it again"


def refuse_network(real: Path) -> None:
    """TravelerError where ``real``, a path with links followed, lies on a network file system."""
    network = network_type(real)
    if network is not None:
        raise TravelerError(
            f"{shown(real)} lies on a network file system ({network}), where locks cannot be trusted; "
            "expected a disk of this machine. Log in to the machine that holds the file instead."
        )


def shop_schema_version(connection: sqlite3.Connection, path: Path) -> int:
    """The file's schema version; TravelerError where it is not a shop file."""
    with in_words(path):
        (application,) = connection.execute("PRAGMA application_id").fetchone()
        (version,) = connection.execute("PRAGMA user_version").fetchone()
    if application != APPLICATION_ID:
        raise TravelerError(f"{shown(path)} is not a shop file; expected one that this program made.")
    if not isinstance(version, int) or version < 1:
        raise TravelerError(
            f"{shown(path)} is a shop file without a schema version; restore it from a backup."
        )
    return version


def refuse_newer(version: int, path: Path) -> None:
    """TravelerError for a file that a newer program has upgraded."""
    if version > newest_version():
        raise TravelerError(
            f"{shown(path)} was written by a newer program (schema {version}; this program knows "
            f"{newest_version()}); open it with that program."
        )
