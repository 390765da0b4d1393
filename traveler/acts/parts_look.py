"""Look at the parts of the shop as they stand today."""

from collections.abc import Iterator
from datetime import datetime
from typing import Any

from traveler.acts.board import listed
from traveler.acts.clock import Clock
from traveler.acts.register import parts_of, shop_now
from traveler.job.part import Part
from traveler.job.part_fold import part_of
from traveler.job.part_view import part_object
from traveler.job.person import plain_name
from traveler.record.shop import Shop
from traveler.report.words import count_words

Json = dict[str, Any]


def part_objects(shop: Shop, clock: Clock, design: str | None = None) -> list[Json]:
    """Every part, or those of a design, in the order in which they were registered."""
    today = shop_now(shop, clock).date()
    wanted = None if design is None else plain_name(design)
    return [
        part_object(part, today)
        for part in parts_of(shop).values()
        if wanted is None or plain_name(part.design) == wanted
    ]


def one_part(shop: Shop, clock: Clock, serial: str) -> Json:
    """The part of that serial, with the jobs it is in and the ``spares`` of its design. Raises BadInput for no part."""
    now = shop_now(shop, clock)
    part = part_of(parts_of(shop), serial)
    spares = [spare for spare in part_objects(shop, clock, part.design) if spare["serial"] != part.serial]
    return {
        **(stands := part_object(part, now.date())),
        "why": [*stands["why"], *_in_question(shop, now, part)],
        "jobs": list(_jobs(shop, now, part)),
        "spares": [{key: spare[key] for key in ("serial", "state", "car", "job")} for spare in spares],
    }


def _in_question(shop: Shop, now: datetime, part: Part) -> Iterator[str]:
    """What was found of an instrument after the job was closed stands against the part until somebody answers."""
    for row in listed(shop, now, find=part.job):
        if row.number == part.job and row.in_question:
            yield f"{count_words(row.in_question, 'reading')} of job {row.number} in question"


def _jobs(shop: Shop, now: datetime, part: Part) -> Iterator[Json]:
    """The job that it was made in, and those whose title or part names its serial, such as a repair."""
    serial = plain_name(part.serial)
    for row in listed(shop, now, find=part.job):
        if row.number == part.job:
            yield {"job": row.number, "title": row.title, "state": row.state, "made_here": True}
    for row in listed(shop, now, find=part.serial):
        named = plain_name(f"{row.title} {row.part}").replace(",", " ").split()
        if row.number != part.job and all(word in named for word in serial.split()):
            yield {"job": row.number, "title": row.title, "state": row.state, "made_here": False}


def parts_of_job(shop: Shop, number: str) -> list[Json]:
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
