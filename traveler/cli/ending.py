"""How a command ends: the one place where whatever went wrong becomes a sentence and an exit status."""

import contextlib
import os
import sys
from types import TracebackType
from typing import TYPE_CHECKING, Self

from traveler.errors import BadSheet, NotAllowed, TravelerError

if TYPE_CHECKING:
    from click import ClickException

DONE = 0
ANSWER_IS_NO = 1
NOT_DONE = 2
INTERRUPTED = 130


class Ending:
    """Surrounds a command. Afterwards ``status`` is its exit status, and nothing but SystemExit passes.

    ``TRAVELER_DEBUG=1`` adds the traceback of an error that nobody foresaw.
    """

    def __init__(self) -> None:
        self.status = DONE

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> bool:
        if error is None or isinstance(error, SystemExit):
            return False
        self.status = _told(error)
        return True


def _told(error: BaseException) -> int:
    # Loaded already where a command had begun; before that only an interruption can get here.
    import click

    if isinstance(error, KeyboardInterrupt | click.Abort):
        return INTERRUPTED
    if isinstance(error, BadSheet):
        tell_sentences(*error.faults)
    elif isinstance(error, NotAllowed):
        tell_sentences(str(error))
        return ANSWER_IS_NO
    elif isinstance(error, TravelerError):
        tell_sentences(str(error))
    elif isinstance(error, click.ClickException):
        tell_sentences(_usage(error))
    else:
        tell_sentences(f"could not be done: {_unforeseen(error)}")
        if os.environ.get("TRAVELER_DEBUG"):
            import traceback

            traceback.print_exception(error)
    return NOT_DONE


def tell_sentences(*sentences: str) -> None:
    """Each sentence on a line of stderr. It may quote what was typed, so nothing in it acts on a terminal."""
    from traveler.report.words import visible

    # Where even stderr is gone there is nobody left to tell; the status still says it.
    with contextlib.suppress(OSError, AttributeError):
        for sentence in sentences:
            sys.stderr.write(f"traveler: {visible(sentence)}\n")
        sys.stderr.flush()


def _usage(error: "ClickException") -> str:
    """Click's sentence with the command whose help says more."""
    import click

    context = getattr(error, "ctx", None)
    path = context.command_path if context else "traveler"
    if isinstance(error, click.exceptions.NoArgsIsHelpError) and isinstance(error.ctx.command, click.Group):
        # Click's sentence would be the whole help in one line.
        offered = ", ".join(error.ctx.command.list_commands(error.ctx))
        return f"{path} is followed by one of: {offered}; see {path} --help"
    message = " ".join(error.format_message().split()).rstrip(".")
    return f"{message[:1].lower()}{message[1:]}; see {path} --help"


def _unforeseen(error: BaseException) -> str:
    if isinstance(error, OSError) and error.strerror:
        return f"{error.filename}: {error.strerror}" if error.filename else error.strerror
    return f"{type(error).__name__}: {error}"
