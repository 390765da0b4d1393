"""A line on which nothing gets through: no entry is lost, and the program ends when it is told to, or when the line
is closed."""

import os
import pty
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from pty_kit import F10, START, Terminal, environment, readings

pytestmark = pytest.mark.terminal

LONG_S = 20.0


def stall(terminal: Terminal) -> None:
    """Read nothing, while keys that are drawn go on being pressed, until the program waits for the line."""
    for _ in range(40):
        terminal.send("\x1b[B\x1b[A" * 20)
        terminal.unread(0.05)


def ended(terminal: Terminal, seconds: float) -> bool:
    """Whether the program has ended, without reading what it writes."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if not terminal.child.isalive():
            return True
        terminal.unread(0.05)
    return False


def at_a_form(terminal: Terminal) -> None:
    """The form of the preheat, one field typed and left."""
    assert terminal.sees("Enter Record", LONG_S)
    terminal.send("r")
    assert terminal.sees("F10 Record", LONG_S)
    terminal.send("312 F\tcorner 7")
    assert terminal.sees("corner 7")


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_it_ends_on_a_signal_though_nothing_is_read(
    shop_path: Path, opened: Callable[..., Terminal], tmp_path: Path, name: str
) -> None:
    state = {"XDG_STATE_HOME": str(tmp_path / "state")}
    terminal = opened(shop_path, "H-014", **state)
    at_a_form(terminal)
    terminal.send("\x1b")
    assert terminal.sees("is kept")
    stall(terminal)
    number = getattr(signal, name)
    terminal.child.kill(number)
    assert ended(terminal, LONG_S)
    assert terminal.child.exitstatus == 128 + number
    again = opened(shop_path, **state)
    assert again.sees("corner 7", LONG_S)


def test_it_ends_when_a_stalled_line_is_closed(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    terminal = opened(shop_path, "H-014")
    assert terminal.sees("Enter Record", LONG_S)
    stall(terminal)
    terminal.child.ptyproc.fileobj.close()
    began = time.monotonic()
    terminal.child.wait()
    assert time.monotonic() - began < LONG_S
    assert terminal.child.exitstatus == 128 + signal.SIGHUP


def test_what_was_typed_through_a_stall_is_there_when_the_line_goes_on(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = opened(shop_path, "H-014")
    assert terminal.sees("Enter Record", LONG_S)
    stall(terminal)
    terminal.send(f"r312 F\tcorner 7{F10}")
    terminal.unread(1.0)
    assert terminal.sees("reading 1 recorded", LONG_S)
    assert [reading["place"] for reading in readings(shop_path)] == ["corner 7"]


def test_it_ends_on_a_terminal_that_is_gone_though_nobody_said_so(shop_path: Path) -> None:
    # In a session of its own the terminal is not the program's, and the kernel tells it nothing.
    controller, terminal = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-c", START, str(shop_path), "Ida Weld"],
        stdin=terminal, stdout=terminal, stderr=terminal, env=environment(), start_new_session=True,
    )  # fmt: skip
    os.close(terminal)
    seen = b""
    while b"Open job" not in seen:
        seen += os.read(controller, 65536)
    os.close(controller)
    assert process.wait(timeout=LONG_S) == 128 + signal.SIGHUP
