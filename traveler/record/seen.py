"""What this account saw last of a shop, kept outside the shop's file: so that an older copy in its place shows.

A file that lost its last events, or was replaced by yesterday's, is sound in itself; only somebody who remembers
more can tell. This is the memory that costs nobody a thought. It is kept as well as can be: where it cannot be
read or written, nothing is compared and nothing is said.
"""

import contextlib
import json
import os
import re
import sqlite3
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from traveler.record.chain import journal_genesis
from traveler.record.log import SHOP_STREAM
from traveler.record.place import seen_folder
from traveler.record.trouble import shown

RESTORED = "shop restored"
MOST_SHOPS = 100
"""Shops to remember. Each demo is a shop of its own and is never seen again."""

_SHOP_ID = re.compile("[0-9a-f]{32}")
_LOST = (OSError, ValueError, KeyError, TypeError, RuntimeError)


@dataclass(frozen=True, slots=True)
class Seen:
    """The journal as it stood: number of events, newest link in hex, where and when that was, and the ids of the
    events that said by then that the file was restored."""

    events: int
    head: str
    file: str
    at: str
    restored: list[str]


@dataclass(frozen=True, slots=True)
class Looked:
    """What came of comparing a file with what was seen of it: the sentence where they do not fit, else empty.

    ``seen`` is to be kept at ``path``, None where there is nothing new; ``fresh``: of a shop that was not known.
    """

    sentence: str
    path: Path | None = None
    seen: Seen | None = None
    fresh: bool = False

    def remember(self) -> None:
        """Keep what was seen: once it is committed, so that the memory is never ahead of the file."""
        if self.path is not None and self.seen is not None:
            _remember(self.path, self.seen, fresh=self.fresh)


def look(connection: sqlite3.Connection, shop_id: str, file: Path) -> str:
    """Compare the file with what was seen of it, then remember it as it is; a sentence where they do not fit.

    Empty where they do. What does not fit is not remembered, so the sentence comes again until the memory is
    removed. A file restored by this program says so in an event of its own and is no cause for alarm.
    """
    path = memory_of(shop_id)
    if path is None:
        return ""
    looked = compared(connection, shop_id, path, file)
    looked.remember()
    return looked.sentence


def memory_of(shop_id: str) -> Path | None:
    """Where this account keeps what it saw of a shop; None where that cannot be told."""
    if not _SHOP_ID.fullmatch(shop_id):
        return None
    try:
        return seen_folder(os.environ) / f"{shop_id}.json"
    except _LOST:
        return None


def compared(connection: sqlite3.Connection, shop_id: str, path: Path, file: Path) -> Looked:
    """The first half of ``look``, at the memory ``path``. In a write it is done before COMMIT, when nobody else can be
    in the way.
    """
    # The memory first: it is written behind the commit, so the file read after it is never behind it by itself.
    seen = _recalled(path)
    events, link, then = _heads(connection, shop_id, None if seen is None else seen.events)
    head, known = link.hex(), [] if seen is None else seen.restored
    if seen is not None and (seen.events, seen.head) == (events, head):
        return Looked("")
    goes_on = seen is not None and then is not None and then.hex() == seen.head
    later = _restorations(connection, seen.events if seen is not None and goes_on else 0)
    new = [name for name in later if name not in known]
    if seen is not None and not goes_on and not new:
        return Looked(_sentence(seen, events, path))
    now = datetime.now().astimezone().isoformat(sep=" ", timespec="minutes")
    return Looked("", path, Seen(events, head, shown(file), now, [*known, *new]), fresh=seen is None)


def _sentence(seen: Seen, events: int, path: Path) -> str:
    if events < seen.events:
        found = (
            f"this shop file has {events} events, the one seen here on {seen.at} had {seen.events}: "
            "was an older copy put in its place, or its end cut off?"
        )
    else:
        found = (
            f"event {seen.events} of this shop file is not the one seen here on {seen.at}: "
            "was it altered, or does it go on from an older copy?"
        )
    return f"{found} To accept it as it is, remove {shown(path)}."


def _heads(
    connection: sqlite3.Connection, shop_id: str, position: int | None
) -> tuple[int, bytes, bytes | None]:
    """Number of events and newest link of the journal, and its link at ``position``, None where there is none."""
    found: tuple[int, bytes, bytes | None] | None = connection.execute(
        "SELECT position, journal_hash, (SELECT journal_hash FROM event WHERE position = ?) FROM event"
        " ORDER BY position DESC LIMIT 1",
        (position,),
    ).fetchone()
    return found or (0, journal_genesis(shop_id), None)


def _restorations(connection: sqlite3.Connection, after: int) -> list[str]:
    """The ids of the events that say that the file was restored, of those behind position ``after``."""
    # From the beginning by the index of the stream, which is short; else by the few new positions.
    where = "position > ? AND +stream = ?" if after else "+position > ? AND stream = ?"
    rows = connection.execute(
        f"SELECT id FROM event WHERE {where} AND kind = ?", (after, SHOP_STREAM, RESTORED)
    ).fetchall()
    return [name for (name,) in rows]


def _recalled(path: Path) -> Seen | None:
    try:
        found = json.loads(path.read_bytes())
        seen = Seen(
            int(found["events"]),
            str(found["head"]),
            str(found["file"]),
            str(found["at"]),
            list(map(str, found["restored"])),
        )
    except _LOST:
        return None
    return seen if -(2**63) <= seen.events < 2**63 else None


def _remember(path: Path, seen: Seen, *, fresh: bool) -> None:
    # Done with every act: plain calls of the system take half the time of what Path does around them.
    target = str(path)
    working = f"{path.parent}/.{path.name}.{os.urandom(4).hex()}"
    text = json.dumps(
        {
            "events": seen.events,
            "head": seen.head,
            "file": seen.file,
            "at": seen.at,
            "restored": seen.restored,
        }
    ).encode()
    with contextlib.suppress(*_LOST):
        try:
            _write(working, text)
        except FileNotFoundError:
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            _write(working, text)
        # Renamed into place: two programs at once leave one memory, not half of each.
        os.replace(working, target)
        if fresh:
            _forget(path.parent)


def _write(path: str, text: bytes) -> None:
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    try:
        if os.write(descriptor, text) != len(text):
            raise OSError("written in part")
    finally:
        os.close(descriptor)


def _forget(folder: Path) -> None:
    """Where there are too many, forget shops whose file is gone before others, and of each the oldest first."""
    memories = list(folder.glob("*.json"))
    if len(memories) > MOST_SHOPS:
        memories.sort(key=lambda memory: (_has_file(memory), memory.stat().st_mtime))
        for memory in memories[:-MOST_SHOPS]:
            memory.unlink(missing_ok=True)


def _has_file(memory: Path) -> bool:
    seen = _recalled(memory)
    return seen is not None and os.path.exists(seen.file)
