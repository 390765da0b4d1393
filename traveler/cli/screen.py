"""Can the app draw here? Asked before it starts: without a terminal it would spin, draw into a file, or draw soup."""

import codecs
import os
import sys

from traveler.errors import TravelerError

TEXT_COMMANDS = "use the text commands (traveler list, traveler show JOB, traveler --help)"


def refuse_without_screen() -> None:
    """TravelerError where the app cannot be drawn; it names the text commands."""
    fault = screen_fault()
    if fault:
        raise TravelerError(f"{fault}; {TEXT_COMMANDS}")


def screen_fault() -> str:
    """Why the app cannot be drawn here, or nothing.

    Textual reads the keys from the process's own standard input and draws on its standard error, whatever they were
    replaced with since. Output that goes elsewhere means that somebody waits for text.
    """
    for name, stream in (
        ("input", sys.__stdin__),
        ("error", sys.__stderr__),
        ("output", sys.__stdout__),
    ):
        if stream is None or stream.closed or not stream.isatty():
            return f"the app needs a terminal and standard {name} is not one (over ssh: ssh -t)"
    if os.environ.get("TERM") == "dumb":
        return "the app cannot draw on a terminal of the kind TERM=dumb"
    encoding = sys.__stderr__.encoding if sys.__stderr__ else ""
    if not _is_utf8(encoding):
        return f"the app draws in UTF-8 and this terminal is set to {encoding or 'no encoding'}"
    return ""


def _is_utf8(encoding: str) -> bool:
    try:
        return codecs.lookup(encoding).name == "utf-8"
    except LookupError:
        return False
