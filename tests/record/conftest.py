"""A fresh shop file for each test."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from traveler.record.shop import Shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    with Shop.create(tmp_path / "shop.traveler") as opened:
        yield opened
