"""A file that is written whole or not at all."""

import os
import stat
from pathlib import Path

from traveler.errors import TravelerError


def write_whole(target: Path, content: bytes) -> None:
    """Write ``content`` to ``target``; a file that exists is replaced at the end, in one step.

    A device or a pipe, which cannot be replaced, is written to. TravelerError where it cannot be done; then what was
    there is untouched.
    """
    # A link stays a link, and the file it names is replaced.
    real = Path(os.path.realpath(target))
    try:
        if real.is_dir():
            raise TravelerError(f"{target} is a folder; expected the name of a file")
        if real.exists() and not stat.S_ISREG(real.stat().st_mode):
            with open(real, "wb", buffering=0) as device:
                _write_all(device.fileno(), content)
            return
        _replace(real, content)
    except (OSError, ValueError) as error:
        told = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise TravelerError(f"{target} cannot be written: {told}") from error


def _replace(real: Path, content: bytes) -> None:
    if real.exists() and not os.access(real, os.W_OK):
        # Its folder would allow it, but somebody has protected the file.
        raise TravelerError(f"{real} is read-only; expected a file that may be replaced")
    # A name of its own, short enough beside any other.
    working = real.with_name(f".traveler-{os.urandom(4).hex()}.new")
    descriptor = os.open(working, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    try:
        try:
            _write_all(descriptor, content)
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
        os.replace(working, real)
    finally:
        working.unlink(missing_ok=True)


def _write_all(descriptor: int, content: bytes) -> None:
    left = memoryview(content)
    while left:
        left = left[os.write(descriptor, left) :]
