"""What goes over the line, in bytes, at 80x24 in 256 colours; at 64 kbit/s a kilobyte is an eighth of a second."""

from collections.abc import Callable
from pathlib import Path

import pytest
from pty_kit import Terminal, make_shop

pytestmark = pytest.mark.terminal

LONG_S = 20.0
FIRST_PAINT = 20_000
DIGIT = 300
CURSOR_DOWN = 1_200
FOCUS_MOVE = 8_000


@pytest.fixture
def shop_path(tmp_path: Path) -> Path:
    """The shop's file with a job of many steps."""
    path = tmp_path / "shop.traveler"
    make_shop(path, "tube-to-plate.toml")
    return path


def cost(terminal: Terminal, keys: str) -> int:
    """Bytes that are written for these keys, within the time that a slow machine needs."""
    terminal.send(keys)
    return len(terminal.quiet(0.7))


def test_each_key_stays_within_its_budget(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    terminal = opened(shop_path)
    assert terminal.sees("Enter Open job", LONG_S)
    terminal.quiet(1.0)
    assert len(terminal.raw) <= FIRST_PAINT
    terminal.send("\r")
    assert terminal.sees("Enter Open step", LONG_S)
    terminal.quiet(0.7)
    assert max(cost(terminal, "\x1b[B") for _ in range(4)) <= CURSOR_DOWN
    terminal.send("\x1b[H\r")
    assert terminal.sees("Enter Record", LONG_S)
    terminal.send("\r")
    assert terminal.sees("F10 Record", LONG_S)
    terminal.quiet(0.7)
    assert cost(terminal, "\t") <= FOCUS_MOVE
    assert max(cost(terminal, digit) for digit in "312") <= DIGIT
    assert max(cost(terminal, "\t") for _ in range(4)) <= FOCUS_MOVE


def test_ten_seconds_in_a_field_cost_nothing(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    terminal = opened(shop_path)
    assert terminal.sees("Enter Open job", LONG_S)
    terminal.send("\r\r\r")
    assert terminal.sees("F10 Record", LONG_S)
    terminal.send("\t31")
    terminal.quiet(1.0)
    assert terminal.quiet(10.0) == b""
