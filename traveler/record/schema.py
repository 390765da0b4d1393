"""The tables and triggers of the shop's file, and the check that they are all still there."""

import hashlib
import sqlite3
from dataclasses import dataclass

APPLICATION_ID = 0x54524156  # "TRAV", stored in the file's header; marks the file as ours

_NEVER_CHANGED = ("shop", "event", "attachment", "attachment_chunk", "schema_step")


def _refusals(table: str) -> tuple[str, str]:
    """Triggers that refuse UPDATE and DELETE.

    INSERT OR REPLACE passes by DELETE triggers on a connection without recursive_triggers, and we do not
    choose the connection that somebody else opens; so each table has an insert trigger of its own as well.
    """
    return (
        f"CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table}\n"
        f"BEGIN SELECT raise(ABORT, 'the record is not changed: table {table}'); END",
        f"CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table}\n"
        f"BEGIN SELECT raise(ABORT, 'nothing is taken out of the record: table {table}'); END",
    )


# Every column of an event but the body and the two hashes is derived from the body, so that lists need no
# parsing.
TABLES = (
    """CREATE TABLE shop (
  one INTEGER PRIMARY KEY CHECK (one = 1),
  id TEXT NOT NULL CHECK (length(id) = 32)
) STRICT""",
    """CREATE TABLE event (
  position INTEGER PRIMARY KEY,
  stream TEXT NOT NULL,
  seq INTEGER NOT NULL,
  id TEXT NOT NULL UNIQUE,
  kind TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  body TEXT NOT NULL,
  hash BLOB NOT NULL CHECK (length(hash) = 32),
  journal_hash BLOB NOT NULL CHECK (length(journal_hash) = 32),
  UNIQUE (stream, seq)
) STRICT""",
    "CREATE INDEX event_first ON event (position) WHERE seq = 1",
    """CREATE TABLE attachment (
  sha256 TEXT PRIMARY KEY NOT NULL CHECK (length(sha256) = 64),
  size INTEGER NOT NULL CHECK (size >= 0)
) STRICT""",
    """CREATE TABLE attachment_chunk (
  sha256 TEXT NOT NULL REFERENCES attachment (sha256),
  number INTEGER NOT NULL,
  content BLOB NOT NULL,
  PRIMARY KEY (sha256, number)
) STRICT""",
    """CREATE TABLE board (
  number TEXT PRIMARY KEY NOT NULL,
  title TEXT NOT NULL,
  state TEXT NOT NULL,
  step TEXT NOT NULL,
  blocked_by TEXT NOT NULL,
  last_event_at TEXT NOT NULL
) STRICT""",
    """CREATE TABLE schema_step (
  number INTEGER PRIMARY KEY,
  name TEXT NOT NULL,
  sha256 TEXT NOT NULL
) STRICT""",
)

INSERTS = (
    """CREATE TRIGGER shop_once BEFORE INSERT ON shop
WHEN EXISTS (SELECT 1 FROM shop)
BEGIN SELECT raise(ABORT, 'a shop has one id'); END""",
    """CREATE TRIGGER event_next BEFORE INSERT ON event
WHEN new.position IS NOT (SELECT coalesce(max(position), 0) + 1 FROM event)
  OR new.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM event WHERE stream = new.stream)
  OR EXISTS (SELECT 1 FROM event WHERE id = new.id)
BEGIN SELECT raise(ABORT, 'an event is only added behind the last one'); END""",
    """CREATE TRIGGER attachment_new BEFORE INSERT ON attachment
WHEN EXISTS (SELECT 1 FROM attachment WHERE sha256 = new.sha256)
BEGIN SELECT raise(ABORT, 'this attachment is stored already'); END""",
    """CREATE TRIGGER attachment_chunk_next BEFORE INSERT ON attachment_chunk
WHEN new.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM attachment_chunk WHERE sha256 = new.sha256)
BEGIN SELECT raise(ABORT, 'a piece of an attachment is only added behind the last one'); END""",
    """CREATE TRIGGER schema_step_next BEFORE INSERT ON schema_step
WHEN new.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM schema_step)
BEGIN SELECT raise(ABORT, 'a step of the schema is only added behind the last one'); END""",
)

FIRST_TABLES = (*TABLES, *INSERTS, *(trigger for table in _NEVER_CHANGED for trigger in _refusals(table)))

# What people prove with that it is they who sign. The one table beside the board that changes: a secret is
# replaced, a wrong try is counted. No event may hold it, so the shop's stream holds only a commitment to it.
SECRETS = (
    """CREATE TABLE secret (
  person TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('signing', 'recovery')),
  scheme TEXT NOT NULL,
  salt BLOB NOT NULL CHECK (length(salt) = 16),
  hash BLOB NOT NULL CHECK (length(hash) = 32),
  set_at TEXT NOT NULL,
  failures INTEGER NOT NULL CHECK (failures >= 0),
  wait_s INTEGER NOT NULL CHECK (wait_s >= 0),
  wait_from TEXT,
  PRIMARY KEY (person, kind)
) STRICT""",
)

# A job's line with all that the board shows, and the order in which it is read. ``recent`` is minus the place in the
# journal of the job's last event: the least was written to last. Two indexes answer for lists and totals without a look
# at the lines themselves.
BOARD = (
    """CREATE TABLE board (
  number TEXT PRIMARY KEY NOT NULL,
  title TEXT NOT NULL,
  state TEXT NOT NULL,
  step TEXT NOT NULL,
  blocked_by TEXT NOT NULL,
  last_event_at TEXT NOT NULL,
  part TEXT NOT NULL,
  need TEXT NOT NULL,
  due_s INTEGER,
  due TEXT NOT NULL,
  need_then TEXT NOT NULL,
  blocked_then TEXT NOT NULL,
  nonconformances INTEGER NOT NULL,
  in_question INTEGER NOT NULL,
  last_by TEXT NOT NULL,
  last_deed TEXT NOT NULL,
  words TEXT NOT NULL,
  program TEXT NOT NULL,
  recent INTEGER NOT NULL
) STRICT""",
    "CREATE INDEX board_recent ON board (recent, number)",
    "CREATE INDEX board_need ON board (need, recent, number, due_s, need_then, nonconformances, in_question)",
    "CREATE INDEX board_due ON board (due_s, number, need) WHERE due_s IS NOT NULL",
)
OLD_BOARD = "CREATE TABLE board ("

# What a file of each schema holds. A new migration adds its own statements here and a line to STEPS.
WITH_SECRETS = (*FIRST_TABLES, *SECRETS)
EARLIER = (FIRST_TABLES, WITH_SECRETS)
SCHEMA = (*(text for text in WITH_SECRETS if not text.startswith(OLD_BOARD)), *BOARD)


@dataclass(frozen=True, slots=True)
class SchemaStep:
    """One migration: never edited once a file was made with it."""

    name: str
    statements: tuple[str, ...]

    @property
    def sha256(self) -> str:
        return hashlib.sha256("\n;\n".join(self.statements).encode("utf-8")).hexdigest()


STEPS = (
    SchemaStep("first_tables", FIRST_TABLES),
    SchemaStep("secrets", SECRETS),
    SchemaStep("board", ("DROP TABLE board", *BOARD)),
)


def newest_version() -> int:
    """The schema version this program writes; it is kept in the file's user_version."""
    return len(STEPS)


def schema_faults(connection: sqlite3.Connection, version: int) -> list[str]:
    """What is missing, changed or foreign in a file of that schema version: tables, indexes, triggers.

    One phrase each; none for a newer version, whose tables this program cannot know. Cheap enough for opening.
    Left out: SQLite's own tables, and the migration runner's bookkeeping, whose text depends on the runner's
    release.
    """
    if version > newest_version():
        return []
    statements = SCHEMA if version == newest_version() else EARLIER[version - 1]
    expected = {statement.split()[2]: statement for statement in statements}
    stored = dict(
        connection.execute(
            "SELECT name, sql FROM sqlite_schema"
            " WHERE sql IS NOT NULL AND name NOT GLOB 'sqlite_*' AND tbl_name <> '_sqlite_migrations'"
        )
    )
    missing = [f"{_what(text)} is missing" for name, text in expected.items() if name not in stored]
    changed = [
        f"{_what(text)} was changed"
        for name, text in expected.items()
        if name in stored and stored[name] != text
    ]
    foreign = [f"{_what(text)} is not ours" for name, text in stored.items() if name not in expected]
    return missing + changed + foreign


def structure(connection: sqlite3.Connection) -> int:
    """SQLite's own count of the changes to tables, indexes and triggers: the same as long as nobody touched them."""
    count: int = connection.execute("PRAGMA schema_version").fetchone()[0]
    return count


def step_faults(connection: sqlite3.Connection) -> list[str]:
    """Each step that made this file and is not one of this program's, or not in the same words."""
    ours = {number: (step.name, step.sha256) for number, step in enumerate(STEPS, start=1)}
    return [
        f"step {number} of its schema, {name}, was made by another edition of this program"
        for number, name, sha256 in connection.execute(
            "SELECT number, name, sha256 FROM schema_step ORDER BY number"
        )
        if ours.get(number) != (name, sha256)
    ]


def _what(statement: str) -> str:
    kind, name = statement.split()[1:3]
    return f"{kind.lower()} {name.partition('(')[0]}"
