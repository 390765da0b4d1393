"""A file that another program holds, upgrades or takes away while somebody types."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from pty_kit import F10, Terminal, readings

pytestmark = pytest.mark.terminal

LONG_S = 20.0


def test_a_file_that_is_held_is_waited_for_in_words_and_keys_keep_their_order(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = opened(shop_path, "H-014")
    assert terminal.sees("Enter Record", LONG_S)
    terminal.send("r")
    assert terminal.sees("F10 Record", LONG_S)
    terminal.send("312 F\tcorner 7")
    assert terminal.sees("corner 7")
    with closing(sqlite3.connect(shop_path, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        terminal.send(f"{F10}r305 F\tcorner 8")
        assert terminal.sees("waiting for the file, which another program holds", LONG_S)
        terminal.quiet(2.0)
        assert "corner 7" in terminal.display
        other.execute("ROLLBACK")
    assert terminal.sees("corner 8", LONG_S)
    assert terminal.sees("305 F")
    terminal.send(F10)
    assert terminal.sees("reading 2 recorded", LONG_S)
    assert [(r["typed"], r["place"]) for r in readings(shop_path)] == [
        ("312 F", "corner 7"),
        ("305 F", "corner 8"),
    ]


def test_it_leaves_on_a_signal_while_it_waits(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    terminal = opened(shop_path, "H-014")
    assert terminal.sees("Enter Record", LONG_S)
    terminal.send("r")
    assert terminal.sees("F10 Record", LONG_S)
    with closing(sqlite3.connect(shop_path, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        terminal.send(f"312 F\tcorner 7{F10}")
        assert terminal.sees("waiting for the file", LONG_S)
        terminal.child.kill(15)
        assert terminal.ends(LONG_S) == 128 + 15
        assert b"\x1b[?1049l" in terminal.raw
        other.execute("ROLLBACK")
    assert readings(shop_path) == []
