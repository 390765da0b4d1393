"""A fresh shop with the invented job for each test."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from acts_kit import Bench, issued_copy


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    yield from issued_copy(tmp_path / "shop.traveler")
