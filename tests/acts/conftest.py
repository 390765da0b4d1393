"""A fresh shop with the invented job for each test."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from acts_kit import Bench, issued


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    yield from issued(tmp_path / "shop.traveler")
