"""A file of very many events verified, its chains alone and everything, against hashing and parsing the same bytes."""

import hashlib
import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from files import Files
from kernel import memory_mib
from measured import Figure, Measured, Took, rounded, timed
from sizes import Sizes

from traveler.acts.verify import Checked, verify

_VERIFIED = """
import sys
from pathlib import Path
from traveler.acts.verify import verify
verify(Path(sys.argv[1]), chain_only={chain_only})
"""
FLOOR = "SHA-256 over the same bytes and JSON parse"


def chain(sizes: Sizes, files: Files) -> Iterator[Measured]:
    """Every link, and no text parsed."""
    yield from _measured(sizes, files, "chain", "`verify --chain`", 1.3, chain_only=True)


def full(sizes: Sizes, files: Files) -> Iterator[Measured]:
    """Everything: texts, jobs worked out, the board held against them, the structure of the file."""
    yield from _measured(sizes, files, "verify", "`verify`", 6.0, chain_only=False)


def _measured(
    sizes: Sizes, files: Files, name: str, what: str, target: float, *, chain_only: bool
) -> Iterator[Measured]:
    for events in sizes.events:
        path = files.with_events(events)
        texts = _texts(path)
        figure = Figure(name, f"{what} of {events:,} events", FLOOR, "times", target)
        # This reads all of the file, so the disk's caches are warm after it.
        peak = memory_mib(_VERIFIED.format(chain_only=chain_only), path)
        pairs = [
            (_verified_s(path, chain_only=chain_only), _hashed_s(texts)) for _ in range(sizes.event_rounds)
        ]
        notes = {
            "peak memory over a bare Python, MiB": rounded(peak),
            "MB of file": round(path.stat().st_size / 1e6),
            "MB of text": round(texts.stat().st_size / 1e6),
        }
        yield figure.of_times(pairs, notes=notes)


def _verified_s(path: Path, *, chain_only: bool) -> Took:
    return timed(lambda: _sound(verify(path, chain_only=chain_only)))


def _sound(checked: Checked) -> None:
    if checked.faults:
        raise RuntimeError(checked.faults[0])


def _texts(path: Path) -> Path:
    """The texts of all events, a line each, in a plain file beside the shop's."""
    target = path.with_suffix(".lines")
    if not target.exists():
        with (
            closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as connection,
            target.open("wb") as lines,
        ):
            for (body,) in connection.execute("SELECT CAST(body AS BLOB) FROM event ORDER BY position"):
                lines.write(body + b"\n")
    return target


def _hashed_s(texts: Path) -> Took:
    return timed(lambda: _hash(texts))


def _hash(texts: Path) -> None:
    """Each text hashed behind the hash of the one before it, and parsed."""
    link = bytes(32)
    with texts.open("rb") as lines:
        for line in lines:
            link = hashlib.sha256(link + line).digest()
            json.loads(line)
