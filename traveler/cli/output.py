"""What goes to standard output: plain text, JSON, bytes."""

import json
import os
import re
import sys
from typing import Any

from traveler import __version__
from traveler.errors import TravelerError

VERSION = f"traveler {__version__}"
"""What ``--version`` answers, alone and among other options."""

_BEYOND_ASCII = re.compile("[^\x00-\x7e]")


def say(text: str, unprinted: str = "") -> None:
    """Print ``text`` as it stands.

    A reader that has had enough (``| head``) is no fault: the command's own status counts. Any other failure is a
    TravelerError that begins with ``unprinted``, what was done before.
    """
    _put(text, unprinted)


def say_json(value: Any) -> None:
    """Print one JSON value, in UTF-8 whatever the terminal (RFC 8259, section 8.1)."""
    _put(json_bytes(value), "")


def json_bytes(value: Any) -> bytes:
    """JSON for people and programs: indented, letters as they are, acting characters spelled out."""
    from traveler.report.words import visible

    def spelled_out(found: re.Match[str]) -> str:
        # It stands inside a string, so the value is the same.
        return found[0] if visible(found[0]) == found[0] else json.dumps(found[0])[1:-1]

    text = json.dumps(value, ensure_ascii=False, indent=2)
    return (_BEYOND_ASCII.sub(spelled_out, text) + "\n").encode()


def put_bytes(content: bytes) -> None:
    """Write ``content`` to standard output, whole; TravelerError where it did not all arrive."""
    if sys.stdout is None:
        raise TravelerError("standard output is closed; nothing was written")
    try:
        _write(content)
    except OSError as error:
        _abandon_output()
        raise TravelerError(f"the output is not whole: {error.strerror}") from error


def _put(message: str | bytes, unprinted: str) -> None:
    try:
        _write(message)
    except BrokenPipeError:
        _abandon_output()
    except OSError as error:
        _abandon_output()
        told = f"the output could not be written: {error.strerror}"
        raise TravelerError(f"{unprinted}, but {told}" if unprinted else told) from error


def _write(message: str | bytes) -> None:
    if sys.stdout is None:
        return  # whoever closed it wants no answer but the status
    if isinstance(message, bytes):
        sys.stdout.buffer.write(message)
    else:
        sys.stdout.write(message)
    sys.stdout.flush()


def _abandon_output() -> None:
    """Send what is still buffered nowhere, or the interpreter would fail on it once more at its end."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
