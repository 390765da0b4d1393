"""Secrets as they come in: asked on the terminal without showing them, or read from a descriptor; never from
arguments or the environment."""

import codecs
import contextlib
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, TypeVar

import click

from traveler.errors import BadInput, TravelerError

if TYPE_CHECKING:
    from traveler.record.secrets import Secret

Decorated = TypeVar("Decorated", bound=Callable[..., object])

TERMINAL = "/dev/tty"
LONGEST_LINE = 4096
"""Bytes of a line; more than the longest secret takes in UTF-8."""


def secret_option(command: Decorated) -> Decorated:
    """``--secret-fd N``."""
    return click.option(
        "--secret-fd",
        "secret_fd",
        metavar="N",
        type=int,
        help="Read the secret from this descriptor, one line.  [default: it is asked on the terminal]",
    )(command)


class Asking:
    """Where the secrets of one command come from: lines of a descriptor in order, else the terminal.

    ``show`` writes to the terminal what is to be signed before the secret is asked; a descriptor is shown nothing.
    """

    def __init__(self, descriptor: int | None) -> None:
        self._descriptor = descriptor

    @property
    def by_script(self) -> bool:
        """Whether they come from a descriptor."""
        return self._descriptor is not None

    @property
    def possible(self) -> bool:
        """Whether there is anybody to ask."""
        return self.by_script or terminal_there()

    def show(self, text: str) -> None:
        """Put text on the terminal on which the secret will be asked."""
        if not self.by_script:
            with _terminal() as terminal:
                _write(terminal, text)

    def secret(self, whose: str) -> "Secret":
        """One secret, ``whose`` in words ("secret of Wanda Vance (P2)"). TravelerError where there is nobody to ask."""
        from traveler.record.secrets import Secret

        if self._descriptor is not None:
            return Secret(_line_of(self._descriptor, whose))
        with _terminal() as terminal:
            return Secret(_asked(terminal, f"{_first_upper(whose)}, not shown: ", whose))

    def new_secret(self, whose: str) -> "Secret":
        """A secret that is being chosen: typed twice on the terminal, once in a descriptor."""
        chosen = self.secret(f"new {whose}")
        if not self.by_script and self.secret(f"new {whose} again").reveal() != chosen.reveal():
            raise BadInput("the two were not the same; nothing was set")
        return chosen


def terminal_there() -> bool:
    """Whether a person sits at a terminal that this command may ask."""
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        with contextlib.suppress(OSError, ValueError, AttributeError):
            if stream.isatty():
                return os.path.exists(TERMINAL)
    return False


def _line_of(descriptor: int, whose: str) -> str:
    """One line, byte by byte: what stands behind it may be meant for somebody else."""
    line = bytearray()
    try:
        while (byte := os.read(descriptor, 1)) not in (b"", b"\n"):
            line += byte
            if len(line) > LONGEST_LINE:
                raise BadInput(f"{whose}: the line on descriptor {descriptor} has no end; expected one line")
    except OSError as error:
        raise BadInput(f"{whose}: descriptor {descriptor} cannot be read: {error.strerror}") from None
    if not line and not byte:
        raise BadInput(f"{whose}: descriptor {descriptor} has no further line; expected one line a secret")
    return _decoded(bytes(line), whose)


@contextmanager
def _terminal() -> Iterator[int]:
    if not terminal_there():
        raise TravelerError(
            "a secret is needed and there is no terminal to ask it on; hand it over with --secret-fd"
        )
    try:
        terminal = os.open(TERMINAL, os.O_RDWR | os.O_NOCTTY)
    except OSError as error:
        raise TravelerError(
            f"the terminal cannot be asked for a secret: {error.strerror}; hand it over with --secret-fd"
        ) from None
    try:
        yield terminal
    finally:
        os.close(terminal)


def _asked(terminal: int, prompt: str, whose: str) -> str:
    """A line typed without being shown; what was typed ahead of the question is thrown away."""
    with _hidden(terminal):
        _write(terminal, prompt)
        line = bytearray()
        # A line at a time from the terminal itself, which also lets the person correct it.
        while not line.endswith(b"\n") and (typed := os.read(terminal, LONGEST_LINE)):
            line += typed
    if not line.strip(b"\r\n"):
        raise TravelerError(f"{whose}: nothing was entered, and nothing was done")
    return _decoded(bytes(line), whose)


@contextmanager
def _hidden(terminal: int) -> Iterator[None]:
    """Nothing that is typed is shown, also after the program was stopped and the shell had the terminal meanwhile."""
    import signal
    import termios

    shown = termios.tcgetattr(terminal)
    hidden = shown.copy()
    hidden[3] &= ~(termios.ECHO | termios.ECHONL)
    before = signal.signal(signal.SIGCONT, lambda *_: termios.tcsetattr(terminal, termios.TCSADRAIN, hidden))
    try:
        termios.tcsetattr(terminal, termios.TCSAFLUSH, hidden)
        yield
    finally:
        signal.signal(signal.SIGCONT, before)
        termios.tcsetattr(terminal, termios.TCSAFLUSH, shown)
        _write(terminal, "\n")


def _decoded(line: bytes, whose: str) -> str:
    try:
        return codecs.decode(line, "utf-8").removesuffix("\n").removesuffix("\r")
    except UnicodeDecodeError:
        raise BadInput(f"{whose}: it is not in UTF-8") from None


def _write(terminal: int, text: str) -> None:
    left = memoryview(text.encode(errors="backslashreplace"))
    while left:
        left = left[os.write(terminal, left) :]


def _first_upper(text: str) -> str:
    return text[:1].upper() + text[1:]
