"""The app gives the terminal back however it ends, and does not begin where it could not be seen."""

import os
import pty
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from pty_kit import F10, START, Terminal, environment, readings

pytestmark = pytest.mark.terminal

RESTORED = (b"\x1b[?1049l", b"\x1b[?25h")
"""Leave the alternate screen, show the cursor (xterm control sequences)."""


def test_q_on_the_board_leaves_with_0_and_a_restored_terminal(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = opened(shop_path)
    assert terminal.sees("Enter Open job")
    terminal.send("q")
    assert terminal.ends() == 0
    assert all(sequence in terminal.raw for sequence in RESTORED)


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP", "SIGINT"])
def test_a_signal_leaves_in_order_and_loses_no_reading(
    shop_path: Path, opened: Callable[..., Terminal], name: str
) -> None:
    number = getattr(signal, name)
    terminal = opened(shop_path, "H-014")
    assert terminal.sees("Enter Record")
    terminal.send("r")
    assert terminal.sees("F10 Record")
    terminal.send(f"312 F\tplate{F10}")
    assert terminal.sees("reading 1 recorded")
    terminal.send("r")
    assert terminal.sees("F10 Record")
    terminal.send("half")
    terminal.child.kill(number)
    assert terminal.ends() == 128 + number
    assert all(sequence in terminal.raw for sequence in RESTORED)
    assert [reading["typed"] for reading in readings(shop_path)] == ["312 F"]


def test_a_terminal_that_is_closed_ends_the_app(shop_path: Path) -> None:
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
    process.send_signal(signal.SIGHUP)  # what the kernel sends to the owner of a terminal that is gone
    assert process.wait(timeout=8) == 128 + signal.SIGHUP


def test_ctrl_c_ends_nothing(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    terminal = opened(shop_path)
    assert terminal.sees("Enter Open job")
    terminal.send("\x03")
    assert terminal.sees("Ctrl+Q leaves the program")
    assert terminal.child.isalive()


@pytest.mark.parametrize("stream", ["stdin", "stdout", "stderr"])
def test_without_a_terminal_it_says_so_and_ends_with_2(shop_path: Path, stream: str) -> None:
    controller, terminal = pty.openpty()
    streams = dict.fromkeys(("stdin", "stdout", "stderr"), terminal)
    streams[stream] = subprocess.DEVNULL if stream == "stdin" else subprocess.PIPE
    ran = subprocess.run(
        [sys.executable, "-c", START, str(shop_path), "Ida Weld"],
        env=environment(), timeout=8, check=False, **streams,
    )  # fmt: skip
    said = ran.stderr if stream == "stderr" else os.read(controller, 65536)
    os.close(terminal)
    os.close(controller)
    assert ran.returncode == 2
    assert b"is not a terminal" in said
    assert b"\x1b[" not in said


@pytest.mark.parametrize(
    ("changes", "words"),
    [({"TERM": "dumb"}, "TERM=dumb"), ({"PYTHONIOENCODING": "ascii"}, "encoding is ascii, expected UTF-8")],
)
def test_a_terminal_that_cannot_show_the_app_is_refused_in_words(
    shop_path: Path, opened: Callable[..., Terminal], changes: dict[str, str], words: str
) -> None:
    terminal = opened(shop_path, **changes)
    assert terminal.ends() == 2
    assert words in " ".join(terminal.display.split())
    assert b"\x1b[?1049h" not in terminal.raw


def test_a_missing_shop_is_created(tmp_path: Path, opened: Callable[..., Terminal]) -> None:
    path = tmp_path / "new" / "shop.traveler"
    terminal = opened(path)
    assert terminal.sees("traveler new SHEET.toml")
    terminal.send("q")
    assert terminal.ends() == 0
    assert path.exists()
