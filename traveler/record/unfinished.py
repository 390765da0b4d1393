"""What was typed into forms and not recorded, kept outside the shop's file: a dropped line does not take it.

One small file a session, so that sessions side by side never write over each other's. Beside it lies a lock that the
system lets go when the session ends, however it ends; whoever starts later takes over what nobody holds any more.
It is kept as well as can be: where the folder cannot be written, what was typed lives as long as the program.
"""

import contextlib
import json
import os
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from traveler.record.place import unfinished_folder

Json = dict[str, Any]

LARGEST = 64 * 1024
"""Bytes of one session's file."""
KEPT_DAYS = 14
"""A reading that was half typed longer ago than this helps nobody."""

_LOST = (OSError, ValueError, KeyError, TypeError, RuntimeError)
_DAY_S = 86_400


class UnfinishedFile:
    """The file of one session on one shop. ``works`` turns False once something could not be kept."""

    def __init__(self, shop_id: str) -> None:
        self._token = f"{int(time.time())}-{os.getpid()}-{os.urandom(4).hex()}"
        self._lock: int | None = None
        self._taken: list[tuple[Path, int]] = []
        self.works = sys.platform != "win32"  # has no lock that ends with its program by itself
        try:
            self._folder = unfinished_folder(os.environ) / shop_id
        except _LOST:
            self.works = False

    @property
    def _path(self) -> Path:
        return self._folder / f"{self._token}.json"

    def take_over(self, wanted: Callable[[Json], bool]) -> list[Json]:
        """What sessions that are no more left behind, the oldest first, of those that are ``wanted``.

        ``keep`` it before ``forget_taken``; until then it stays where it is. What is older than KEPT_DAYS goes.
        """
        found: list[Json] = []
        if not self.works:
            return found
        with contextlib.suppress(*_LOST):
            self._clear_other_shops()
        for path in sorted(self._folder.glob("*.json")):
            with contextlib.suppress(*_LOST):
                self._take(path, wanted, found)
        return found

    def _take(self, path: Path, wanted: Callable[[Json], bool], found: list[Json]) -> None:
        lock = _locked(path.with_suffix(".lock"))
        if lock is None:
            return  # its session is at work
        try:
            old = _too_old(path)
            content = {} if old or path.stat().st_size > LARGEST else json.loads(path.read_bytes())
            if not old and not (isinstance(content, dict) and wanted(content)):
                os.close(lock)
                return
        except FileNotFoundError:
            _remove(path, lock)  # its session ended in order meanwhile
            return
        except _LOST:
            os.close(lock)
            raise
        self._taken.append((path, lock))
        if not old:
            found.append(content)

    def _clear_other_shops(self) -> None:
        """Remove what is too old of shops that nobody opens here any more."""
        for path in self._folder.parent.glob("*/*.json"):
            if (
                path.parent != self._folder
                and _too_old(path)
                and (lock := _locked(path.with_suffix(".lock")))
            ):
                _remove(path, lock)
                path.parent.rmdir()

    def forget_taken(self) -> None:
        """Remove what was taken over."""
        for path, lock in self._taken:
            _remove(path, lock)
        self._taken = []

    def keep(self, content: Json | None) -> bool:
        """Put ``content`` in place of what is kept of this session, None for nothing; whether that is on the disk.

        Raises ValueError for more than LARGEST bytes.
        """
        if not self.works:
            return False
        if content is None:
            self._drop()
            return True
        text = json.dumps(content, ensure_ascii=True).encode("ascii")
        if len(text) > LARGEST:
            raise ValueError("more than one session's file may hold")
        try:
            self._write(text)
        except OSError:
            self.works = False
        return self.works

    def _write(self, text: bytes) -> None:
        self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        if self._lock is None:
            self._lock = _locked(self._path.with_suffix(".lock"))
            if self._lock is None:
                raise OSError("no lock to be had here")
        working = self._path.with_suffix(".new")
        file = os.open(working, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        try:
            os.write(file, text)
        finally:
            os.close(file)
        working.replace(self._path)

    def _drop(self) -> None:
        if self._lock is not None:
            _remove(self._path, self._lock)
            self._lock = None


def _too_old(path: Path) -> bool:
    return time.time() - path.stat().st_mtime > KEPT_DAYS * _DAY_S


def _locked(path: Path) -> int | None:
    """The lock of a session, open and held; None where another program holds it. Raises OSError."""
    if sys.platform == "win32":
        raise OSError("there is no such lock here")
    import fcntl

    lock = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        os.close(lock)
        return None
    except OSError:
        os.close(lock)
        raise
    return lock


def _remove(path: Path, lock: int) -> None:
    """The file first and its lock last: whoever gets hold of the lock then finds nothing left to take."""
    with contextlib.suppress(OSError):
        path.unlink(missing_ok=True)
        path.with_suffix(".lock").unlink(missing_ok=True)
    os.close(lock)
