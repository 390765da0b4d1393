"""The environment of the app's tests: nothing of the machine's may decide colours or sizes."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

for name in [name for name in os.environ if name.startswith("TEXTUAL")]:
    del os.environ[name]
for name in ("NO_COLOR", "COLORTERM", "COLUMNS", "LINES", "SSH_CONNECTION"):
    os.environ.pop(name, None)
os.environ["TERM"] = "xterm-256color"

from tui_kit import BRACKET, TickingClock, put

from traveler.job.state import Person
from traveler.record.shop import Shop
from traveler.tui.session import Session


@pytest.fixture
def shop_path(tmp_path: Path) -> Path:
    """A shop file with one job: a bracket with a cut, a preheat and a final step, none begun."""
    path = tmp_path / "shop.traveler"
    with Shop.create(path) as shop:
        put(shop, BRACKET)
    return path


@pytest.fixture
def session(shop_path: Path) -> Iterator[Session]:
    """A session of the welder on that shop."""
    with Shop.open(shop_path) as shop:
        yield Session(shop, TickingClock(), Person("Ida Weld"))
