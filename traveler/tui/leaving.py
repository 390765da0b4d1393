"""Leave in order when the line hangs up or somebody ends the program, and leave anyway where that is not possible.

A terminal that takes nothing more (a stalled line) blocks whoever writes to it: first the thread that writes, then the
app itself, and with it the handlers of asyncio. A handler of Python's own still runs there.
"""

import asyncio
import os
import signal
import sys
import threading
from collections.abc import Callable
from types import FrameType

PATIENCE_S = 3.0
"""What giving the terminal back may take; everything that was recorded is on the disk before."""
SIGNALS = ("SIGHUP", "SIGINT", "SIGTERM")


class Leaving:
    """``leave`` is called in the app's loop with the exit status. ``last`` is called where that did not end the
    program in time, from another thread while the app stands still."""

    def __init__(self, leave: Callable[[int], None], last: Callable[[], None]) -> None:
        self._leave = leave
        self._last = last
        self._loop: asyncio.AbstractEventLoop | None = None

    def listen(self) -> None:
        """Listen to the signals that end a program; called in the app's loop."""
        self._loop = asyncio.get_running_loop()
        if threading.current_thread() is not threading.main_thread():
            return
        for name in SIGNALS:
            if sys.platform != "win32" and (number := getattr(signal, name, None)) is not None:
                signal.signal(number, self._heard)

    def _heard(self, number: int, frame: FrameType | None) -> None:
        status = 128 + number
        late = threading.Timer(PATIENCE_S, self._end, [status])
        late.daemon = True
        late.start()
        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._leave, status)

    def _end(self, status: int) -> None:
        try:
            self._last()
        finally:
            os._exit(status)


def hung_up() -> bool:
    """Whether the terminal is gone: a program that nobody told (it ignored the signal, or was not its owner) would
    spin on it for ever."""
    if sys.platform == "win32":
        return False
    import termios

    try:
        termios.tcgetattr(sys.__stdin__ or 0)
    except (termios.error, ValueError, OSError):
        return True
    return False
