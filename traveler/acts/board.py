"""The owner's board: what stands where, in views, with what is due in the shop; and whether its lines are true."""

import math
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from typing import Any

from traveler.acts.register import parts_of, register_of
from traveler.job.board_row import BoardRow
from traveler.job.calibration_due import calibrations_due
from traveler.job.person import plain_name
from traveler.record.board import Part, View
from traveler.record.shop import Shop

Json = dict[str, Any]

VIEWS: Mapping[str, View] = {
    "open": (
        Part(("decision", "signature", "readings", "time"), order="due", came=True),
        Part(("decision",)),
        Part(("signature",)),
        Part(("readings",)),
        Part(("time",), order="due"),
    ),
    "blocked": (Part(("decision",), order="due", came=True), Part(("decision",))),
    "sign": (Part(("signature",), order="due", came=True), Part(("signature",))),
    "due": (Part(("decision", "signature", "readings", "time"), order="due", came=None),),
    "ended": (Part(("nothing",)),),
}
"""The views by their names, in the order in which they are gone through; in each the jobs that need somebody first."""


EVERY: View = (Part(("decision", "signature", "readings", "time", "nothing"), came=None),)
PAGE = 500


def seconds(now: datetime) -> int:
    """The present as the board compares it."""
    return math.floor(now.timestamp())


def searched(text: str) -> list[str]:
    """What a person typed to find jobs, as the words that must all stand in a line."""
    return plain_name(text).split()


def came(row: BoardRow, now: datetime) -> bool:
    """Whether what was due has come."""
    return row.due_s is not None and row.due_s <= seconds(now)


def board_object(row: BoardRow, now: datetime) -> Json:
    """A line of the board as it stands at ``now``, for both front ends."""
    over = came(row, now)
    blocked = row.blocked_then if over else row.blocked_by
    due_at = None if row.due_s is None else datetime.fromtimestamp(row.due_s, UTC).isoformat()
    return {
        "number": row.number,
        "title": row.title,
        "state": row.state,
        "step": row.step or None,
        "blocked_by": [blocked] if blocked else [],
        "last_event_at": row.last_event_at,
        "part": row.part or None,
        "needs": row.need_then if over else row.need,
        "due": row.due or None,
        "due_at": due_at,
        "nonconformances": row.nonconformances,
        "in_question": row.in_question,
        "last_by": row.last_by or None,
        "last_deed": row.last_deed or None,
    }


def totals_of(shop: Shop, now: datetime) -> Json:
    """How many jobs take what at ``now``, and how much is due, open and in question."""
    totals = shop.board_reader.totals(seconds(now))
    return {**totals._asdict(), "needs": dict(totals.needs)}


def listed(shop: Shop, now: datetime, view: str | None = None, find: str = "") -> Iterator[BoardRow]:
    """The lines of a view in its order, page by page; of all jobs the one written to last first where none is named."""
    chosen = EVERY if view is None else VIEWS[view]
    reader, words, place = shop.board_reader, searched(find), None
    while page := reader.after(chosen, seconds(now), words, place, PAGE):
        yield from (line.row for line in page)
        place = page[-1].place


def shop_dues(shop: Shop, now: datetime) -> list[Json]:
    """Calibrations that are over or due soon."""
    return [
        {
            "instrument": entry.instrument.id,
            "name": entry.instrument.name,
            "state": entry.state,
            "due": entry.due.isoformat() if entry.due else None,
        }
        for entry in calibrations_due(register_of(shop).instruments, now)
    ]


def part_dues(shop: Shop, now: datetime) -> list[Json]:
    """Parts that are to be inspected now or soon, the gravest first."""
    parts = parts_of(shop)
    if not parts:
        return []
    # Most shops have no parts under their serials, and their board does not wait for this.
    from traveler.job.part_due import parts_due

    return [
        {
            "serial": entry.part.serial,
            "state": entry.stands.state,
            "why": next(iter(entry.stands.reasons), ""),
            "car": entry.part.car,
            "due_on": entry.stands.due_on.isoformat() if entry.stands.due_on else None,
        }
        for entry in parts_due(parts.values(), now.date())
    ]
