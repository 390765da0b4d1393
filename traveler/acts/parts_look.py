"""Look at the parts of the shop as they stand today."""

from datetime import datetime
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


def parts_of_job(shop: Shop, number: str) -> list[dict[str, Any]]:
    """The parts that a job made, each as it stood on the day of its own last entry, so the same record gives the same.

    ``event`` is the place of that entry in the shop's stream, ``stands_on`` its day.
    """
    found = []
    for part in parts_of(shop).values():
        if part.job == number:
            last = max(part.history, key=lambda entry: entry.moment.seq)
            day = datetime.fromisoformat(last.moment.recorded_at).date()
            found.append(part_object(part, day) | {"event": last.moment.seq, "stands_on": day.isoformat()})
    return found
