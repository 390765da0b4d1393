"""What the terminal must be able to do before the app draws anything, and what to say where it cannot."""

import codecs
import sys
from collections.abc import Mapping
from typing import TextIO

TEXT_COMMANDS = "the commands (traveler list, show, record, sign) do the same in plain text"


def refusal(environ: Mapping[str, str]) -> str | None:
    """Why the app cannot run here, as a sentence; None where it can.

    The app draws on standard error and reads standard input. Without a terminal there it would spin or draw into a
    file, and in another encoding than UTF-8 its lines come out as escape sequences.
    """
    streams: tuple[tuple[str, TextIO | None], ...] = (
        ("standard input", sys.__stdin__),
        ("standard output", sys.__stdout__),
        ("standard error", sys.__stderr__),
    )
    for name, stream in streams:
        if stream is None or stream.closed or not stream.isatty():
            return f"{name} is not a terminal (over SSH: ssh -t); {TEXT_COMMANDS}"
    if environ.get("TERM") == "dumb":
        return f"this terminal (TERM=dumb) cannot place text on the screen; {TEXT_COMMANDS}"
    encoding = getattr(sys.__stderr__, "encoding", None) or "unknown"
    if not _is_utf8(encoding):
        return (
            f"the terminal's encoding is {encoding}, expected UTF-8 (such as LANG=C.UTF-8); {TEXT_COMMANDS}"
        )
    return None


def wants_mouse(environ: Mapping[str, str]) -> bool:
    """Not over SSH: each move of a mouse costs kilobytes there, and the terminal can mark text."""
    return not environ.get("SSH_CONNECTION")


def wants_ascii(environ: Mapping[str, str]) -> bool:
    """Whether nothing but ASCII is drawn: the rest is not wanted, or not in the font, as on the Linux console."""
    return environ.get("TRAVELER_ASCII") == "1" or environ.get("TERM") == "linux"


def few_colours(environ: Mapping[str, str]) -> bool:
    """True for 16 colours or none, where only the terminal's own colours are certain to be readable."""
    from rich.console import Console

    if environ.get("NO_COLOR"):
        return True
    return Console(force_terminal=True, _environ=environ).color_system in (None, "standard")


def _is_utf8(encoding: str) -> bool:
    try:
        return codecs.lookup(encoding).name == "utf-8"
    except LookupError:
        return False
