"""A part as one object for both front ends."""

from datetime import date
from typing import Any

from traveler.job.part import Counter, Look, Measured, Part, Use, against_as_built, counted, standing, totals
from traveler.job.part_fold import interval_words
from traveler.job.view_trust import person_object
from traveler.quantity.show import show


def part_object(part: Part, today: date) -> dict[str, Any]:
    """Everything that is known of the part, and how it stands on ``today``."""
    stands = standing(part, today)
    return {
        "serial": part.serial,
        "design": part.design,
        "job": part.job,
        "revision": part.revision,
        "code": part.code,
        "car": part.car,
        "state": stands.state,
        "why": list(stands.reasons),
        "interval": interval_words(part.interval) or None,
        "due_on": None if stands.due_on is None else stands.due_on.isoformat(),
        "since_inspection": [_counter(counter) for counter in stands.counters],
        "nearest": stands.nearest,
        "in_all": [_counter(counter) for counter in totals(part)],
        "as_built": [_built(entry) for entry in part.as_built],
        "measured": _measured(part),
        "history": [
            {
                "on": entry.on.isoformat(),
                "what": _what(part, entry),
                "by": person_object(entry.by),
                "recorded_at": entry.moment.recorded_at,
                "entry": entry.moment.seq,
                "superseded": entry.superseded,
            }
            for entry in sorted(part.history, key=lambda entry: (entry.on, entry.moment.seq))
        ],
    }


def _counter(counter: Counter) -> dict[str, Any]:
    return {
        "counter": counter.name,
        "used": counter.used,
        "limit": counter.limit,
        "reached": counter.reached,
        "unknown": counter.unknown,
        "left": counter.left,
    }


def _built(entry: Measured) -> dict[str, str]:
    titled = {"title": entry.title} if entry.title else {}
    return {"dimension": entry.dimension, **titled, "size": show(entry.size)}


def _measured(part: Part) -> list[dict[str, Any]]:
    """What was measured at inspections since it was made, by dimension and day, against the part as built."""
    looks = sorted(part.looks, key=lambda look: (look.on, look.moment.seq))
    found = [
        {"dimension": size.dimension, "on": look.on.isoformat(), "words": against_as_built(part, size)}
        for look in looks
        if look is not part.looks[0]
        for size in look.measured
    ]
    return sorted(found, key=lambda entry: entry["dimension"])


def _what(part: Part, entry: object) -> str:
    if isinstance(entry, Use):
        sizes = [show(size) for size in (entry.hours, entry.distance) if size is not None]
        events = [] if entry.events is None else [counted(entry.events)]
        return f"used: {entry.words} ({', '.join([*events, *sizes])})"
    if isinstance(entry, Look) and entry is not part.looks[0]:
        measured = "".join(f"; {against_as_built(part, size)}" for size in entry.measured)
        return f"inspected, {'fit' if entry.fit else 'not fit'}: {entry.words}{measured}"
    return str(getattr(entry, "words", ""))
