"""A shop with one job that waits for a preheat reading, and terminals on it that are closed in the end."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from pty_kit import Terminal, make_shop


@pytest.fixture
def shop_path(tmp_path: Path) -> Path:
    """The shop's file."""
    path = tmp_path / "shop.traveler"
    make_shop(path)
    return path


@pytest.fixture
def opened() -> Iterator[Callable[..., Terminal]]:
    """Opens terminals and closes each of them after the test."""
    terminals: list[Terminal] = []

    def open_one(shop: Path, *job: str, rows: int = 24, cols: int = 80, **changes: str) -> Terminal:
        terminals.append(Terminal(shop, *job, rows=rows, cols=cols, **changes))
        return terminals[-1]

    yield open_one
    for terminal in terminals:
        terminal.close()
