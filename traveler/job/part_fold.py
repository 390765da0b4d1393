"""From the events of the shop's own stream to its parts: a pure fold, one small function an event kind."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from traveler.errors import BadInput, TravelerError
from traveler.job.part import Correction, Crash, Happening, Interval, Look, Measured, Part, Use, counted
from traveler.job.part_kinds import INTERVAL_SET as INTERVAL_SET
from traveler.job.part_kinds import PART_CORRECTED as PART_CORRECTED
from traveler.job.part_kinds import PART_CRASHED as PART_CRASHED
from traveler.job.part_kinds import PART_INSPECTED as PART_INSPECTED
from traveler.job.part_kinds import PART_INSTALLED as PART_INSTALLED
from traveler.job.part_kinds import PART_KINDS as PART_KINDS
from traveler.job.part_kinds import PART_REGISTERED as PART_REGISTERED
from traveler.job.part_kinds import PART_REMOVED as PART_REMOVED
from traveler.job.part_kinds import PART_USED as PART_USED
from traveler.job.part_kinds import PART_WITHDRAWN as PART_WITHDRAWN
from traveler.job.person import moment_of, person_of, plain_name
from traveler.job.quantity_act import quantity_from_act
from traveler.quantity.parse import echo, stored
from traveler.quantity.show import show

Event = Mapping[str, Any]
Parts = Mapping[str, Part]
"""By serial as ``plain_name`` reads it, in the order in which they were registered."""


def fold_parts(events: Iterable[Event]) -> Parts:
    """The parts after ``events`` of the shop's stream, all of them; other kinds of event are passed over.

    Raises TravelerError for events that no version of this program writes.
    """
    entries: dict[str, list[Event]] = {}
    for event in events:
        if event["kind"] not in PART_KINDS:
            continue
        key = plain_name(event["act"]["serial"])
        known = entries.get(key, [])
        if (event["kind"] == PART_REGISTERED) == bool(known) or not _may_stand(event, known):
            raise TravelerError(
                f'event {event["seq"]} of {event["stream"]}: "{event["kind"]}" cannot stand here for this serial'
            )
        entries.setdefault(key, []).append(event)
    return {key: _lived(told) for key, told in entries.items()}


def _may_stand(event: Event, known: Sequence[Event]) -> bool:
    """What is superseded is an entry of the same part that still counts, and neither its first nor a correction."""
    if event["kind"] != PART_CORRECTED:
        return True
    gone = {entry["act"]["entry"] for entry in known if entry["kind"] == PART_CORRECTED}
    return event["act"]["entry"] in {entry["seq"] for entry in known if entry["kind"] in _STEPS} - gone


def _lived(entries: Sequence[Event]) -> Part:
    """One part of its entries; one that was superseded leaves its words in the history, and nothing else."""
    wrong = {entry["act"]["entry"]: entry for entry in entries if entry["kind"] == PART_CORRECTED}
    part = _registered(entries[0])
    for event in entries[1:]:
        if event["kind"] == PART_CORRECTED:
            words = f"entry {event['act']['entry']} superseded: {event['act']['because']}"
            part = _with(part, Correction(*_happening(event, words)))
        elif correction := wrong.get(event["seq"]):
            was = _STEPS[event["kind"]](part, event).history[-1]
            why = f"superseded by entry {correction['seq']}: {correction['act']['because']}"
            part = _with(part, replace(was, superseded=why))
        else:
            part = _STEPS[event["kind"]](part, event)
    return part


def part_of(parts: Parts, serial: str) -> Part:
    """The part of that serial, in any case. Raises BadInput."""
    found = parts.get(plain_name(serial))
    if found is None:
        known = ", ".join(part.serial for part in parts.values()) or "none yet"
        raise BadInput(f'there is no part "{echo(serial)}"; the shop has: {known}')
    return found


def interval_words(interval: Interval) -> str:
    """ "10 events, 40 h, 12 months", whichever first; empty where none counts."""
    said = [
        None if interval.events is None else counted(interval.events),
        None if interval.hours is None else show(interval.hours),
        None if interval.distance is None else show(interval.distance),
        None if interval.months is None else f"{interval.months} months",
    ]
    return ", ".join(filter(None, said))


def _happening(event: Event, words: str) -> tuple[date, str, Any, Any]:
    return date.fromisoformat(event["act"]["on"]), words, person_of(event["by"]), moment_of(event)


def _registered(event: Event) -> Part:
    act = event["act"]
    measured = tuple(_measured(entry) for entry in act["as_built"])
    made = Look(*_happening(event, f"made in job {act['job']}"), True, measured)
    return Part(
        act["serial"],
        act["design"],
        act["job"],
        act["revision"],
        act["code"],
        measured,
        (made,),
        history=(made,),
    )


def _measured(act: Event) -> Measured:
    return Measured(act["dimension"], stored(act["value"], act["unit"]), act.get("title", ""))


def _with(part: Part, happening: Happening, **changes: Any) -> Part:
    return replace(part, history=(*part.history, happening), **changes)


def _interval(part: Part, event: Event) -> Part:
    act = event["act"]
    interval = Interval(
        act["events"], quantity_from_act(act["hours"]), quantity_from_act(act["distance"]), act["months"]
    )
    words = f"inspection every {interval_words(interval)}: {act['because']}"
    return _with(part, Happening(*_happening(event, words)), interval=interval)


def _installed(part: Part, event: Event) -> Part:
    car = event["act"]["car"]
    return _with(part, Happening(*_happening(event, f"installed on {car}")), car=car)


def _removed(part: Part, event: Event) -> Part:
    words = f"taken off {part.car or 'the car'}: {event['act']['because']}"
    return _with(part, Happening(*_happening(event, words)), car=None)


def _used(part: Part, event: Event) -> Part:
    act = event["act"]
    use = Use(
        *_happening(event, act["what"]),
        act["events"],
        quantity_from_act(act["hours"]),
        quantity_from_act(act["distance"]),
    )
    return _with(part, use, uses=(*part.uses, use))


def _crashed(part: Part, event: Event) -> Part:
    crash = Crash(*_happening(event, f"crash: {event['act']['what']}"))
    return _with(part, crash, crashes=(*part.crashes, crash))


def _inspected(part: Part, event: Event) -> Part:
    act = event["act"]
    look = Look(
        *_happening(event, act["finding"]), act["fit"], tuple(_measured(entry) for entry in act["measured"])
    )
    return _with(part, look, looks=(*part.looks, look))


def _withdrawn(part: Part, event: Event) -> Part:
    because = event["act"]["because"]
    return _with(part, Happening(*_happening(event, f"withdrawn: {because}")), withdrawn=because, car=None)


_STEPS: Mapping[str, Callable[[Part, Event], Part]] = {
    INTERVAL_SET: _interval,
    PART_INSTALLED: _installed,
    PART_REMOVED: _removed,
    PART_USED: _used,
    PART_CRASHED: _crashed,
    PART_INSPECTED: _inspected,
    PART_WITHDRAWN: _withdrawn,
}
