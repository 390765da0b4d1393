"""Where a heat of metal or a lot of filler went, over all jobs of the shop."""

import json
import unicodedata
from dataclasses import dataclass, replace
from typing import Any

from traveler.acts.change import state_of, stream_of
from traveler.acts.register import register_of
from traveler.acts.typed import needed
from traveler.job.inventory_view import lot_object
from traveler.job.lots import lots_named
from traveler.job.person import is_invisible
from traveler.job.register import Lot
from traveler.job.view import job_state_word
from traveler.job.where_used import JobUse, Planned, Recorded, Wanted, used_in, wanted_of
from traveler.record.shop import Shop, StoredEvent

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Found:
    """Lots that are of it, in the order in which they came, and the jobs in which it was used."""

    asked: str
    lots: tuple[Lot, ...]
    jobs: tuple[JobUse, ...]


def where_used(shop: Shop, text: str) -> Found:
    """Every job, joint, step and run in which a heat number, a filler lot or a lot by its id was used."""
    asked = needed(text, "what to look for", "a heat number, the lot of a filler, or the id of a lot")
    register = register_of(shop)
    wanted = wanted_of(asked, lots_named(register, None, asked), register.lots)
    lots = tuple(lot for lot in register.lots if lot.id in wanted.lots)
    jobs = []
    for number in shop.job_numbers():
        events = shop.events(stream_of(number))
        if any(_may_name(event, wanted) for event in events):
            use = used_in(state_of(events), wanted)
            if use is not None:
                jobs.append(use)
    return Found(asked, lots, _with_assemblies(shop, jobs))


def _with_assemblies(shop: Shop, jobs: list[JobUse]) -> tuple[JobUse, ...]:
    """With the jobs that pieces of these are in, and those that pieces of those are in."""
    found = {use.state.plan.number: use for use in jobs}
    waiting = list(jobs)
    while waiting:
        use = waiting.pop()
        batch = use.state.batch
        # What is split off from an assembly has in it what that had.
        further = [(number, use.through) for number in batch.children if use.through]
        further += [(number, (use.state.plan.number,)) for number in batch.assemblies]
        for number, through in further:
            known = found.get(number) or JobUse(state_of(shop.events(stream_of(number))), (), ())
            reached = replace(known, through=tuple(dict.fromkeys((*known.through, *through))))
            if reached != found.get(number):
                waiting.append(reached)
            found[number] = reached
    return tuple(found.values())


def where_object(found: Found) -> Json:
    """The same as JSON."""
    return {
        "asked": found.asked,
        "lots": [lot_object(lot) for lot in found.lots],
        "jobs": [_job(use) for use in found.jobs],
    }


def _may_name(event: StoredEvent, wanted: Wanted) -> bool:
    """Whether the text of an event has one of the words in it at all: cheaper than to work the job out."""
    body = event.body
    if not body.isascii():
        for character in set(body):
            # What plain_name leaves out, too.
            if is_invisible(character):
                body = body.replace(character, "")
        body = unicodedata.normalize("NFKC", body)
    body = body.casefold()
    words = [json.dumps(max(number.split(), key=len), ensure_ascii=False)[1:-1] for number in wanted.numbers]
    return any(word in body for word in words) or any(
        f'"lot":"{lot}"'.casefold() in body for lot in wanted.lots
    )


def _job(use: JobUse) -> Json:
    state = use.state
    return {
        "job": state.plan.number,
        "title": state.plan.title,
        "revision": state.revision,
        "state": job_state_word(state),
        "planned": [_planned(row) for row in use.planned],
        "recorded": [_recorded(entry) for entry in use.recorded],
        **({"through": list(use.through)} if use.through else {}),
    }


def _planned(row: Planned) -> Json:
    return {
        "what": row.what,
        "id": row.id,
        "name": row.name,
        "joints": list(row.joints),
        "steps": list(row.steps),
        "revision": row.revision,
    }


def _recorded(entry: Recorded) -> Json:
    reading = entry.reading
    step, quantity, joint = reading.key
    return {
        "what": entry.kind,
        "reading": reading.number,
        "step": step,
        "quantity": quantity,
        "joint": joint,
        "value": reading.value,
        "runs": list(entry.runs),
        "attempt": reading.attempt,
        "lot": None if reading.lot is None else reading.lot["lot"],
        "superseded": reading.superseded,
        "happened_at": reading.moment.happened_at,
        "by": reading.by.name,
    }
