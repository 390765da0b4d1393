"""Look at the parts of the shop as they stand today."""

from typing import Any

from traveler.acts.clock import Clock
from traveler.acts.parts import parts_of
from traveler.acts.register import shop_now
from traveler.job.part_fold import part_of
from traveler.job.part_view import part_object
from traveler.job.person import plain_name
from traveler.record.shop import Shop


def part_objects(shop: Shop, clock: Clock, design: str | None = None) -> list[dict[str, Any]]:
    """Every part, or those of a design, in the order in which they were registered."""
    today = shop_now(shop, clock).date()
    wanted = None if design is None else plain_name(design)
    return [
        part_object(part, today)
        for part in parts_of(shop).values()
        if wanted is None or plain_name(part.design) == wanted
    ]


def one_part(shop: Shop, clock: Clock, serial: str) -> dict[str, Any]:
    """The part of that serial. Raises BadInput where there is none."""
    return part_object(part_of(parts_of(shop), serial), shop_now(shop, clock).date())
