"""Keys that arrive in one read, as a slow line or a scanner delivers them, go where they were meant to go."""

from collections.abc import Callable
from pathlib import Path

import pytest
from pty_kit import F10, Terminal, readings

pytestmark = pytest.mark.terminal


def test_a_burst_puts_each_value_into_its_own_field_twenty_times_of_twenty(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = opened(shop_path, "H-014")
    assert terminal.sees("Enter Record")
    for number in range(1, 21):
        terminal.send("r")
        assert terminal.sees("F10 Record")
        terminal.send(
            f"{300 + number} F\tplate, near edge {number}\tthermocouple {number}\t2026-03-14T14:30Z{F10}"
        )
        assert terminal.sees(f"reading {number} recorded")
    found = readings(shop_path)
    assert [(r["typed"], r["place"], r["instrument"], r["happened_at"]) for r in found] == [
        (f"{300 + n} F", f"plate, near edge {n}", f"thermocouple {n}", "2026-03-14T14:30:00+00:00")
        for n in range(1, 21)
    ]


def test_enter_goes_on_like_tab_in_a_burst(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    terminal = opened(shop_path, "H-014")
    assert terminal.sees("Enter Record")
    terminal.send("\r")
    assert terminal.sees("F10 Record")
    terminal.send("312 F\rplate\rthermocouple\x13")  # Ctrl+S
    assert terminal.sees("reading 1 recorded: 312 °F (155.6 °C): within its limit")
    (reading,) = readings(shop_path)
    assert (reading["typed"], reading["place"], reading["instrument"]) == ("312 F", "plate", "thermocouple")


def test_a_burst_from_the_board_to_the_reading(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    terminal = opened(shop_path)
    assert terminal.sees("Enter Open job")
    terminal.send(f"\r\r\r312 F\tplate\tpyrometer{F10}")
    assert terminal.sees("reading 1 recorded: 312 °F (155.6 °C)")
    (reading,) = readings(shop_path)
    assert (reading["typed"], reading["place"], reading["instrument"]) == ("312 F", "plate", "pyrometer")


def test_leaving_in_the_same_burst_does_not_overtake_the_record(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = opened(shop_path, "H-014")
    assert terminal.sees("Enter Record")
    terminal.send("r")
    assert terminal.sees("F10 Record")
    terminal.send(f"312 F\tplate{F10}\x11")  # Ctrl+Q
    assert terminal.ends() == 0
    assert [reading["typed"] for reading in readings(shop_path)] == ["312 F"]


def test_what_is_pressed_behind_the_key_that_records_is_the_next_reading(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = opened(shop_path, "H-014")
    assert terminal.sees("Enter Record")
    terminal.send("".join(f"r{300 + number} F\tplate {number}{F10}" for number in range(1, 6)))
    assert terminal.sees("reading 5 recorded")
    assert [(reading["typed"], reading["place"]) for reading in readings(shop_path)] == [
        (f"{300 + number} F", f"plate {number}") for number in range(1, 6)
    ]


def test_keys_that_edit_are_taken_in_their_turn_in_a_burst(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = opened(shop_path, "H-014")
    assert terminal.sees("Enter Record")
    for number in range(1, 6):
        terminal.send("r")
        assert terminal.sees("F10 Record")
        # 302 typed as 301, one back, 2; then in front of it something that is deleted again.
        terminal.send(f"301\x7f2 F\x1b[Hx\x1b[D\x1b[3~\tplat\x1b[De\x1b[C{number}{F10}")
        assert terminal.sees(f"reading {number} recorded")
    assert [(r["typed"], r["place"]) for r in readings(shop_path)] == [
        ("302 F", f"plaet{n}") for n in range(1, 6)
    ]
