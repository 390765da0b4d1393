"""The environment of the app's tests: nothing of the machine's may decide colours or sizes.

Textual reads its settings when it is imported, so nothing that imports it is imported at the head of this file.
"""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from traveler.tui.session import Session

for name in [name for name in os.environ if name.startswith("TEXTUAL")]:
    del os.environ[name]
for name in ("NO_COLOR", "COLORTERM", "COLUMNS", "LINES", "SSH_CONNECTION"):
    os.environ.pop(name, None)
os.environ["TERM"] = "xterm-256color"


@pytest.fixture
def shop_path(tmp_path: Path) -> Path:
    """A shop file with one job of three steps, a preheat in their middle; none begun."""
    from shop_copies import copied
    from tui_kit import BRACKET, put

    from traveler.record.shop import Shop

    def build_bracket(original: Path) -> None:
        with Shop.create(original) as shop:
            put(shop, BRACKET)

    path = tmp_path / "shop.traveler"
    copied(path, build_bracket)
    return path


@pytest.fixture
def session(shop_path: Path) -> Iterator["Session"]:
    """A session of the welder on that shop."""
    from tui_kit import TickingClock

    from traveler.job.state import Person
    from traveler.record.shop import Shop
    from traveler.tui.session import Session

    with Shop.open(shop_path) as shop:
        yield Session(shop, TickingClock(), Person("Ida Weld"))


@pytest.fixture
def looks_often(monkeypatch: pytest.MonkeyPatch) -> None:
    """The app looks for what others wrote ten times a second; one test of the way through it waits its full second."""
    monkeypatch.setattr("traveler.tui.app.LOOK_EVERY_S", 0.1)


@pytest.fixture
def looks_late(monkeypatch: pytest.MonkeyPatch) -> None:
    """The app does not look by itself during the test: what another session wrote is met only by the act itself."""
    monkeypatch.setattr("traveler.tui.app.LOOK_EVERY_S", 3600.0)
