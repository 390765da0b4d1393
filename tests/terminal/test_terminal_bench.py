"""Bench mode in a real terminal: bursts, bytes on the line, a line that drops, and two programs at one joint."""

import os
import signal
from collections.abc import Callable
from pathlib import Path

import pytest
from pty_kit import Terminal, make_shop, readings

pytestmark = pytest.mark.terminal

UP = "\x1b[A"


def at_bench(terminal: Terminal) -> Terminal:
    assert terminal.sees("Enter Record")
    terminal.quiet(0.3)
    terminal.send("b")
    assert terminal.sees("Value in F, then Enter")
    return terminal


def test_a_burst_puts_each_reading_at_its_place_twenty_times_of_twenty(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = at_bench(opened(shop_path, "H-014"))
    for round_ in range(1, 21):
        terminal.send("312\r1\r305\r2\r")
        assert terminal.sees(f"reading {2 * round_} recorded")
        terminal.send(UP)  # behind the last one first, else nowhere: to the preheat again
        assert terminal.sees("preheat temperature: + met")
    found = [(reading["typed"], reading["place"]) for reading in readings(shop_path)]
    assert found == [("312 F", "plate"), ("305 F", "rail")] * 20


def test_a_burst_into_the_form_that_signs_and_back(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    terminal = at_bench(opened(shop_path, "H-014", rows=12, cols=40))
    terminal.send("345\r1\r345\r2\r1\r\x1b[21~")  # two readings, sign, F10
    assert terminal.sees("signed as performed by Ida Weld")
    assert len(readings(shop_path)) == 2


def test_the_bytes_of_bench_mode(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    terminal = opened(shop_path, "H-014")
    assert terminal.sees("Enter Record")
    terminal.quiet(0.5)
    painted = []
    for _ in range(
        3
    ):  # a machine under load paints what it has so far once more; the leanest is what it takes
        before = len(terminal.raw)
        terminal.send("b")
        assert terminal.sees("Value in F, then Enter")
        terminal.quiet(0.5)
        painted.append(len(terminal.raw) - before)
        terminal.send("\x1b")
        assert terminal.sees("Enter Record")
        terminal.quiet(0.3)
    assert min(painted) <= 20_000
    terminal.send("b")
    assert terminal.sees("Value in F, then Enter")
    terminal.quiet(0.5)
    for digit in "345":
        terminal.send(digit)
        assert 0 < len(terminal.quiet(0.4)) <= 300
    assert terminal.quiet(3.0) == b""
    terminal.send("\r1\r327\r2\r")  # 27 F° above the minimum: good for 20 s
    assert terminal.sees("all is entered: sign as performed")
    terminal.quiet(0.5)
    counted = terminal.quiet(10.0)
    assert 0 < len(counted) <= 10 * 200
    assert terminal.sees("Time is out: read the preheat again before the arc", 30.0)
    terminal.quiet(1.0)
    assert terminal.quiet(3.0) == b""  # and it stays so, at no cost


def test_a_line_that_drops_takes_nothing_and_the_digits_not_entered_are_offered_again(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = at_bench(opened(shop_path, "H-014"))
    terminal.send("312\r1\r30")
    assert terminal.sees("reading 1 recorded")
    os.kill(terminal.child.pid, signal.SIGHUP)
    terminal.ends()
    assert [(reading["typed"], reading["place"]) for reading in readings(shop_path)] == [("312 F", "plate")]
    again = opened(shop_path, "H-014")
    assert again.sees("typed and not recorded")
    assert again.sees("Bench mode")


def test_two_benches_see_each_other_within_two_seconds(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    one = at_bench(opened(shop_path, "H-014"))
    other = at_bench(opened(shop_path, "H-014", rows=12, cols=40))
    other.send("29")
    assert other.sees("> 29_")
    one.send("312\r1\r")
    assert other.sees("312 °F (155.6 °C), plate", 2.0)
    assert other.sees("> 29_")
    other.send("\x7f\x7f305\r2\r")
    assert one.sees("305 °F (151.7 °C), rail", 2.5)
    assert len(readings(shop_path)) == 2


def test_resized_to_one_cell_and_back_while_typing(tmp_path: Path, opened: Callable[..., Terminal]) -> None:
    path = tmp_path / "resized.traveler"
    make_shop(path)
    terminal = at_bench(opened(path, "H-014"))
    terminal.send("31")
    terminal.quiet(0.3)
    for rows, cols in ((1, 1), (12, 40), (24, 80)):
        terminal.screen.resize(rows, cols)
        terminal.child.setwinsize(rows, cols)
        terminal.quiet(0.4)
    terminal.send("2\r1\r")
    assert terminal.sees("reading 1 recorded: 312 °F (155.6 °C)")
    (reading,) = readings(path)
    assert (reading["typed"], reading["place"]) == ("312 F", "plate")
