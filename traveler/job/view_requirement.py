"""A requirement and its readings as JSON, with the numbers rounded for reading and the texts for people."""

from functools import lru_cache
from typing import Any

from traveler.job.judge import reading_verdict
from traveler.job.requirement import Requirement
from traveler.job.state import Reading
from traveler.job.view_trust import person_object
from traveler.quantity.parse import stored
from traveler.quantity.show import show_both

Json = dict[str, Any]
DECIMALS = {"mm": 3, "kJ/mm": 3}


def reading_object(requirement: Requirement, reading: Reading, *, read_again: bool = False) -> Json:
    """One reading with its own verdict; superseded ones too. ``read_again``: another one stands in its place."""
    return {
        "reading": reading.number,
        "value": reading.value,
        "unit": reading.unit,
        "typed": reading.typed,
        "shown": _reading_words(reading),
        "place": reading.place,
        "instrument": reading.instrument,
        "happened_at": reading.moment.happened_at,
        "recorded_at": reading.moment.recorded_at,
        "by": person_object(reading.by),
        "attempt": reading.attempt,
        "run": reading.run,
        "chart": reading.chart,
        "verdict": reading_verdict(requirement, reading),
        "verdict_reason": reading.given_reason,
        "bound": reading.bound,
        "instrument_state": dict(reading.instrument_state.act) if reading.instrument_state else None,
        "lot": dict(reading.lot) if reading.lot else None,
        "let_stand_by": reading.conceded_by,
        "out_of_order": list(reading.out_of_order),
        "superseded": reading.superseded,
        "superseded_by": reading.superseded_by,
        "reason": reading.reason,
        "late": reading.is_late,
        "read_again": read_again,
        # Only of what a vendor reported: the objects of all other readings stay as they were.
        **({"reported_by": reading.reported_by} if reading.reported_by is not None else {}),
    }


def _reading_words(reading: Reading) -> str:
    """The value in both units, after what was typed where that was more than a number: volts, amps and travel."""
    if reading.unit is None:
        return reading.value
    both = _both(reading.value, reading.unit)
    if reading.bound is not None:
        return f"{'melts' if reading.bound == 'at_least' else 'holds'} {both}"
    return both if reading.typed.startswith(reading.value) else f"{reading.typed}: {both}"


@lru_cache(
    maxsize=4096
)  # the same few values stand hundreds of times in a job, and are shown anew with each reading
def _both(value: str, symbol: str) -> str:
    return show_both(stored(value, symbol))
