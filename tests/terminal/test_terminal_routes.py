"""The routes of a joint in a real terminal: drawn in both forms, silent while nobody presses a key."""

from collections.abc import Callable
from pathlib import Path

import pytest
from pty_kit import Terminal

pytestmark = pytest.mark.terminal


@pytest.mark.parametrize(
    ("changes", "band"),
    [({}, "█ band"), ({"TRAVELER_ASCII": "1"}, "# band"), ({"TERM": "linux"}, "# band")],
    ids=["blocks", "asked for ASCII", "Linux console"],
)
def test_the_routes_are_drawn_and_left_again(
    shop_path: Path, opened: Callable[..., Terminal], changes: dict[str, str], band: str
) -> None:
    terminal = opened(shop_path, "H-014", **changes)
    assert terminal.sees("Enter Record")
    terminal.quiet(0.5)
    before = len(terminal.raw)
    terminal.send("o")
    assert terminal.sees("nothing is recommended")
    terminal.quiet(0.3)
    assert len(terminal.raw) - before <= 20_000  # as for the first screen
    terminal.send("2")
    assert terminal.sees("AS WELDED")
    assert terminal.sees(band)
    terminal.quiet(0.5)
    assert terminal.quiet(2.5) == b""
    terminal.send("q")
    assert terminal.sees("Enter Record")
    terminal.send("\x11")
    assert terminal.ends() == 0
