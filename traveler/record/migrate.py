"""Bring a file to the newest schema; imported only when that is due, for the runner is slow to import.

The runner of sqlite-utils keeps the names of the steps that were applied. Around it stand what it leaves out:
the write lock from the first look to the last step (so that four programs started at once upgrade once), a
checksum of each applied step, and the schema version that a newer program leaves behind.
"""

import itertools
import sqlite3
from collections.abc import Callable
from pathlib import Path

from sqlite_utils import Database, Migrations

from traveler.errors import TravelerError
from traveler.record import schema
from traveler.record.board import OLDEST_WITH_BOARD
from traveler.record.board_rebuild import fill
from traveler.record.connection import copy_file, patiently
from traveler.record.newfile import fresh_file
from traveler.record.trouble import shown


def create_schema(connection: sqlite3.Connection, shop_id: str) -> None:
    """Make all tables in an empty file, inside the transaction that the caller has begun."""
    connection.execute(f"PRAGMA application_id={schema.APPLICATION_ID}")
    _run_steps(connection)
    connection.execute("INSERT INTO shop (one, id) VALUES (1, ?)", (shop_id,))


def upgrade(connection: sqlite3.Connection, path: Path) -> None:
    """Apply the steps that ``path`` lacks, after a backup beside it; all of them or none."""
    patiently(connection, "BEGIN IMMEDIATE")
    try:
        (version,) = connection.execute("PRAGMA user_version").fetchone()
        if version < schema.newest_version():
            _refuse_edited_steps(connection, path)
            _backup_before(path, version)
            _run_steps(connection)
            if version < OLDEST_WITH_BOARD:
                fill(connection)
        patiently(connection, "COMMIT")
    finally:
        if connection.in_transaction:
            connection.execute("ROLLBACK")


def _run_steps(connection: sqlite3.Connection) -> None:
    # Plugins of sqlite-utils that happen to be installed have no business in the record.
    database = Database(connection, execute_plugins=False)
    runner = Migrations("traveler.shop")
    for number, step in enumerate(schema.STEPS, start=1):
        runner(name=step.name)(_applying(number, step))
    runner.apply(database)
    connection.execute(f"PRAGMA user_version={schema.newest_version()}")
    # A step that rebuilds a table drops its triggers, and nothing else would say so.
    faults = schema.schema_faults(connection, schema.newest_version())
    if faults:
        raise TravelerError(f"the upgrade of the shop file is faulty: {faults[0]}; nothing was written.")


def _applying(number: int, step: schema.SchemaStep) -> Callable[[Database], None]:
    def apply(database: Database) -> None:
        for statement in step.statements:
            database.execute(statement)
        database.execute(
            "INSERT INTO schema_step (number, name, sha256) VALUES (?, ?, ?)",
            (number, step.name, step.sha256),
        )

    return apply


def _refuse_edited_steps(connection: sqlite3.Connection, path: Path) -> None:
    faults = schema.step_faults(connection)
    if faults:
        raise TravelerError(f"{shown(path)}: {faults[0]}; expected the same text, so it is not upgraded.")


def _backup_before(path: Path, version: int) -> None:
    """A copy of the file as it is, beside it; the write lock is held, so nothing is written meanwhile."""
    prefix = f"{path.name}.schema-{version}"
    names = (path.with_name(f"{prefix}-{number}.backup") for number in itertools.count(1))
    with fresh_file(next(name for name in names if not name.exists())) as working:
        copy_file(path, working)
