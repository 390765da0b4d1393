"""Two copies of a shop's file: the same, one further than the other, or parted."""

from pathlib import Path

import pytest
from record_kit import append, fill

from traveler.errors import TravelerError
from traveler.record.compare import Comparison, compare_shops
from traveler.record.shop import Shop


def copied(shop: Shop, name: str) -> Path:
    target = shop.path.with_name(name)
    target.write_bytes(shop.path.read_bytes())  # nobody writes meanwhile
    return target


@pytest.mark.slow
@pytest.mark.parametrize("more", [0, 1, 600])
def test_the_same_and_further(tmp_path: Path, more: int) -> None:
    with Shop.create(tmp_path / "shop") as shop:
        fill(shop, 3)
        copy = copied(shop, "copy")
        fill(shop, more)
        first = f"event 4 of job H-014, reading recorded, {shop.events('job H-014')[-1].data['recorded_at']}"
        further = first if more else None
        assert compare_shops(shop.path, copy) == Comparison(True, 4, further, None)
        assert compare_shops(copy, shop.path) == Comparison(True, 4, None, further)


def test_where_two_part(shop: Shop) -> None:
    fill(shop, 520)
    copy = copied(shop, "copy")
    append(shop, "1", "job H-015")
    with Shop.open(copy) as other:
        fill(other, 3)
    found = compare_shops(shop.path, copy)
    assert found.common == 521
    assert str(found.here).startswith("event 1 of job H-015, reading recorded, 2026-03-02T12:00")
    assert str(found.there).startswith("event 521 of job H-014, reading recorded")


def test_two_shops_are_two_shops(shop: Shop, tmp_path: Path) -> None:
    with Shop.create(tmp_path / "other") as other:
        assert not compare_shops(shop.path, other.path).same_shop
    (tmp_path / "text").write_text("no shop")
    with pytest.raises(TravelerError, match="is not a shop file"):
        compare_shops(shop.path, tmp_path / "text")
    with pytest.raises(TravelerError, match="does not exist"):
        compare_shops(tmp_path / "nowhere", shop.path)
