"""The list of everything in a pseudo-terminal: what it costs, a burst through it, keys of one's own from the file."""

from collections.abc import Callable
from pathlib import Path

import pytest
from pty_kit import F10, Terminal, readings

pytestmark = pytest.mark.terminal

F2 = "\x1bOQ"
F5 = "\x1b[15~"


def test_it_costs_little_and_a_burst_through_it_records(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = opened(shop_path, "H-014")
    assert terminal.sees("Enter Record")
    terminal.quiet(0.5)
    terminal.send(F2)
    assert len(terminal.quiet(1.0)) <= 8_000
    assert terminal.sees("Everything that can be done")
    terminal.send("r")
    assert len(terminal.quiet(0.5)) <= 8_000
    terminal.send(f"ecord a\r312 F\tplate{F10}")
    assert terminal.sees("reading 1 recorded")
    assert [(reading["typed"], reading["place"]) for reading in readings(shop_path)] == [("312 F", "plate")]


def test_keys_of_ones_own_keep_their_turn_in_a_burst(
    shop_path: Path, opened: Callable[..., Terminal], tmp_path: Path
) -> None:
    file = tmp_path / "config" / "traveler" / "keys.toml"
    file.parent.mkdir(parents=True)
    file.write_text('step.enter = "f5"\nform.commit = "f2"\napp.actions = "f12"\n', "utf-8")
    terminal = opened(shop_path, "H-014", XDG_CONFIG_HOME=str(tmp_path / "config"))
    assert terminal.sees("F5 Record")
    terminal.send(f"{F5}312 F\tplate{F2}{F5}305 F\trail{F2}")
    assert terminal.sees("reading 2 recorded")
    assert [reading["typed"] for reading in readings(shop_path)] == ["312 F", "305 F"]


def test_a_wrong_file_of_keys_is_said_when_the_app_opens(
    shop_path: Path, opened: Callable[..., Terminal], tmp_path: Path
) -> None:
    file = tmp_path / "config" / "traveler" / "keys.toml"
    file.parent.mkdir(parents=True)
    file.write_text('step.record = "p"\n', "utf-8")
    terminal = opened(shop_path, "H-014", XDG_CONFIG_HOME=str(tmp_path / "config"))
    assert terminal.sees(
        "keys.toml: step.record: p is the key of step.perform on the same screen; the app has its own keys"
    )
    terminal.send("p")
    assert terminal.sees("F10 Sign as performed")


def test_a_screen_that_opens_is_painted_once(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    terminal = opened(shop_path, "H-014")
    assert terminal.sees("Enter Record")
    for key, seen in (("w", "SIDE BY SIDE"), ("?", "this screen first")):
        terminal.quiet(0.5)
        terminal.send(key)
        painted = terminal.quiet(1.0)
        assert terminal.sees(seen)
        assert len(painted) <= 8_000
