"""Commands on a shop of one job, and on no shop yet."""

from pathlib import Path

import pytest
from cli_kit import SHEET, Commands
from shop_copies import copied


@pytest.fixture
def traveler(tmp_path: Path) -> Commands:
    """Commands whose shop's file does not exist yet; a good sheet lies at ``sheet.toml`` beside it."""
    (tmp_path / "sheet.toml").write_text(SHEET, encoding="utf-8")
    return Commands(tmp_path / "shop.traveler")


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    return tmp_path / "sheet.toml"


@pytest.fixture
def issued(traveler: Commands, sheet: Path) -> Commands:
    """Commands on a shop that holds job B-101."""

    def build_issued(original: Path) -> None:
        assert Commands(original)("new", sheet).status == 0

    copied(traveler.shop, build_issued)
    return traveler
