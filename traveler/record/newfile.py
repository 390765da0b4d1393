"""A new file that appears whole or not at all, and never over another one."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from traveler.errors import TravelerError
from traveler.record.trouble import shown


@contextmanager
def fresh_file(target: Path) -> Iterator[Path]:
    """Yield an empty file beside ``target``, for its owner only; at the end it takes the target's name.

    Every connection to it must be closed by then. On any error it is removed and ``target`` is untouched.
    """
    _refuse_existing(target)
    working = target.with_name(f".{target.name}.{os.urandom(4).hex()}.new")
    try:
        # The one place where a descriptor is opened by hand: no connection to this file can exist yet.
        os.close(os.open(working, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    except OSError as error:
        raise TravelerError(f"{shown(target)} cannot be made: {error.strerror}.") from error
    try:
        yield working
        _give_name(working, target)
    finally:
        # With it goes what SQLite or an upgrade has laid beside it under the same name.
        for name in os.listdir(working.parent):
            if name.startswith(working.name):
                (working.parent / name).unlink(missing_ok=True)


def make_folder(folder: Path) -> None:
    """The folder for a new shop file, for its owner only where it is made here."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise TravelerError(f"the folder {shown(folder)} cannot be made: {error.strerror}.") from error


def _refuse_existing(target: Path) -> None:
    if os.path.lexists(target):
        raise TravelerError(f"{shown(target)} exists already; expected a name that is free.")


def _give_name(working: Path, target: Path) -> None:
    try:
        # Unlike a rename, a link fails where the name was taken in the meantime.
        os.link(working, target)
    except FileExistsError:
        _refuse_existing(target)
        raise
    except OSError:
        # FAT and its kin know no links; there the look and the rename are two moments.
        _refuse_existing(target)
        try:
            working.rename(target)
        except OSError as error:
            raise TravelerError(f"{shown(target)} cannot be made: {error.strerror}.") from error
    _settle_name(target.parent)


def _settle_name(folder: Path) -> None:
    """Bring the new name to the disk; Windows offers no way to ask for it."""
    if os.name != "posix":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
