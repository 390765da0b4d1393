"""Nothing is asked of the keyboard while nobody types, and whatever comes after a silence is heard as before."""

import signal
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from pty_kit import Terminal

pytestmark = pytest.mark.terminal

SILENCE_S = 2.5
"""Longer than the parser is asked, after a key, for what it may hold back."""
WATCHED_S = 4.0


def silent(shop: Path, opened: Callable[..., Terminal], *job: str, **changes: str) -> Terminal:
    """The app when nobody has typed for a while."""
    terminal = opened(shop, *job, **changes)
    assert terminal.sees("Enter Record" if job else "Enter Open job")
    terminal.quiet(SILENCE_S)
    return terminal


@pytest.mark.skipif(sys.platform != "linux", reason="the kernel of Linux counts how often a thread waits")
def test_no_thread_wakes_to_ask_whether_somebody_typed(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = silent(shop_path, opened)

    def waits() -> int:
        return sum(
            int(line.split()[1])
            for status in Path(f"/proc/{terminal.child.pid}/task").glob("*/status")
            for line in status.read_text().splitlines()
            if line.startswith("voluntary_ctxt_switches")
        )

    before = waits()
    assert terminal.quiet(WATCHED_S) == b""
    # The shop's file is looked at each second, by one thread; asking ten times a second would make forty more.
    assert waits() - before <= 3 * WATCHED_S


def test_escape_alone_is_heard_after_a_silence(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    terminal = silent(shop_path, opened, "H-014")
    terminal.send("\x1b")
    assert terminal.sees("Enter Open step")


def test_a_patient_person_waits_longer_for_the_rest_of_a_sequence(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = silent(shop_path, opened, "H-014", ESCDELAY="2000")
    terminal.send("r")
    assert terminal.sees("F10 Record")
    for piece in ("\x1b", "[2", "1~"):  # F10, over a slow line
        terminal.send(piece)
        terminal.quiet(0.4)
    assert terminal.sees("nothing was entered")
    terminal.send("\x1b")
    assert terminal.sees("Enter Record")


def test_a_new_size_is_taken_after_a_silence(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    terminal = silent(shop_path, opened)
    terminal.screen.resize(20, 60)
    terminal.child.setwinsize(20, 60)
    terminal.send("/")
    assert terminal.sees("number, title, part")


def test_a_program_that_was_suspended_listens_again(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    terminal = silent(shop_path, opened)
    for _ in range(2):
        before = len(terminal.raw)
        terminal.child.kill(signal.SIGTSTP)
        terminal.quiet(1.0)
        assert b"\x1b[?1049l" in terminal.raw[before:]
        terminal.child.kill(signal.SIGCONT)
        assert terminal.sees("Enter Open job")
        terminal.quiet(SILENCE_S)
    terminal.send("\r")
    assert terminal.sees("Enter Open step")
    terminal.send("\x1b")
    assert terminal.sees("Enter Open job")
    terminal.send("q")
    assert terminal.ends() == 0
