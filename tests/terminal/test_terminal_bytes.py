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


def test_the_cursor_costs_little_on_a_step_in_the_registers_and_on_a_page_of_text(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = opened(shop_path)
    assert terminal.sees("Enter Open job", LONG_S)
    terminal.send("\r")
    assert terminal.sees("Enter Open step", LONG_S)
    terminal.send("\x1b[H\x1b[B\r")  # the fit-up, which asks for the most
    assert terminal.sees("Enter Record", LONG_S)
    terminal.quiet(0.7)
    assert all(0 < cost(terminal, "\x1b[B") <= CURSOR_DOWN for _ in range(3))
    terminal.send("w")
    assert terminal.sees("the working", LONG_S)
    terminal.quiet(0.7)
    assert max(cost(terminal, "\x1b[B") for _ in range(4)) <= CURSOR_DOWN
    terminal.send("qqq")
    assert terminal.sees("Enter Open job", LONG_S)
    terminal.send("r")
    assert terminal.sees("Registers of", LONG_S)
    terminal.quiet(0.7)
    assert all(0 < cost(terminal, "\x1b[B") <= CURSOR_DOWN for _ in range(4))


def test_a_digit_among_many_choices_and_the_pages_of_a_new_job_cost_little(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = opened(shop_path)
    assert terminal.sees("Enter Open job", LONG_S)
    terminal.quiet(0.7)
    assert cost(terminal, "n") <= FIRST_PAINT
    assert terminal.sees("page 1 of", LONG_S)
    assert max(cost(terminal, "\t") for _ in range(3)) <= FOCUS_MOVE
    terminal.send("\t\t\t\t")
    terminal.quiet(0.7)
    assert all(0 < cost(terminal, digit) <= DIGIT for digit in "4132")
    terminal.send("\x1b")
    assert terminal.sees("Enter Open job", LONG_S)
    terminal.send("r\x1b[B\r")
    assert terminal.sees("No instruments yet", LONG_S)
    terminal.send("n")
    assert terminal.sees("Register an instrument", LONG_S)
    terminal.send("\t")
    terminal.quiet(0.7)
    assert all(0 < cost(terminal, digit) <= DIGIT for digit in "4635")


def test_what_is_not_sent_stands_there(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    """After each walk the terminal shows what it shows once all of it was sent anew, for which it is resized."""
    terminal = opened(shop_path)
    assert terminal.sees("Enter Open job", LONG_S)
    for keys, seen in (
        ("\r\x1b[B\x1b[B\x1b[A", "Enter Open step"),
        ("\x1b[H\x1b[B\r\x1b[B\x1b[B\x1b[6~\x1b[A", "Enter Record"),
        ("w\x1b[B\x1b[B\x1b[B\x1b[A\x1b[6~\x1b[B", "the working"),
        ("q\r3\t\t12", "F10 Record"),
    ):
        terminal.send(keys)
        assert terminal.sees(seen, LONG_S)
        terminal.quiet(1.0)
        shown = terminal.display
        for rows in (25, 24):
            terminal.screen.resize(rows, 80)
            terminal.child.setwinsize(rows, 80)
            terminal.quiet(1.0)
        assert terminal.display == shown


def test_ten_seconds_in_a_field_cost_nothing(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    terminal = opened(shop_path)
    assert terminal.sees("Enter Open job", LONG_S)
    terminal.send("\r\r\r")
    assert terminal.sees("F10 Record", LONG_S)
    terminal.send("\t31")
    terminal.quiet(1.0)
    assert terminal.quiet(10.0) == b""
