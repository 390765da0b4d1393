"""The keyboard of a terminal, waited for without asking ten times a second whether the app is still there."""

import os
import selectors
from codecs import getincrementaldecoder
from collections.abc import Iterable
from threading import Event
from typing import Any

from textual import constants
from textual._xterm_parser import XTermParser
from textual.drivers.linux_driver import LinuxDriver
from textual.message import Message

TICK_S = 0.1
"""How often the parser is asked after a key whether an Escape stands alone; Textual asks so all the time."""
TICKS = max(10, round(2 * constants.ESCAPE_DELAY / TICK_S))
"""So often after what came last, which is longer than the parser waits for the rest of a sequence."""


class Bell(Event):
    """An event that a selector can wait for, too: ``rung`` is readable while it is set.

    Its two ends stay open: a program has one driver, and one that was suspended listens again.
    """

    def __init__(self) -> None:
        super().__init__()
        self.rung, self._pull = os.pipe()

    def set(self) -> None:
        """As ``Event.set``."""
        if not self.is_set():
            super().set()
            os.write(self._pull, b"\0")

    def clear(self) -> None:
        """As ``Event.clear``."""
        if self.is_set():
            super().clear()
            os.read(self.rung, 1)


class PatientDriver(LinuxDriver):
    """As Textual's own for Linux and macOS; its thread sleeps until something is typed or the app no longer listens.

    That of Textual 8.2.8 wakes ten times a second to see which. Drop this class once it waits, too.
    """

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.exit_event: Bell = Bell()

    def run_input_thread(self) -> None:
        """As ``LinuxDriver.run_input_thread``: pass on what is typed until ``exit_event`` is set."""
        parser = XTermParser(self._debug)
        decode = getincrementaldecoder("utf-8")().decode
        ticks = TICKS
        # Not the default one: that of macOS cannot wait for a terminal.
        with selectors.SelectSelector() as selector:
            selector.register(self.fileno, selectors.EVENT_READ)
            selector.register(self.exit_event.rung, selectors.EVENT_READ)
            while not self.exit_event.is_set():
                readable = {key.fd for key, _ in selector.select(TICK_S if ticks else None)}
                ticks = max(0, ticks - 1)
                if self.fileno in readable:
                    ticks = TICKS
                    if typed := decode(os.read(self.fileno, 4096)):
                        self._pass_on(parser.feed(typed))
                self._pass_on(parser.tick())

    def _pass_on(self, messages: Iterable[Message]) -> None:
        for message in messages:
            self.process_message(message)
