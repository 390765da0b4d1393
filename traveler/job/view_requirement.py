"""A requirement and its readings as JSON, with the numbers rounded for reading and the texts for people."""

from functools import lru_cache
from typing import Any

from traveler.job.judge import reading_verdict
from traveler.job.plan_json import quantity_to_act
from traveler.job.requirement import Basis, Requirement, StepPlan
from traveler.job.state import Reading
from traveler.job.view_trust import person_object
from traveler.quantity.parse import stored, unit
from traveler.quantity.quantity import Quantity, compare
from traveler.quantity.show import show_both

Json = dict[str, Any]
DECIMALS = {"mm": 3, "kJ/mm": 3}


def planned_requirement(step: StepPlan, requirement: Requirement) -> Json:
    """The part of a requirement that the plan fixes."""
    evidence = requirement.evidence
    return {
        "id": step.requirement_id(requirement),
        "quantity": requirement.quantity,
        "joint": requirement.joint,
        "type": requirement.type,
        "unit": requirement.unit,
        "options": list(requirement.options),
        "accepts": list(requirement.accepts),
        "why": requirement.why,
        "at_least": _number(requirement.at_least, requirement.unit),
        "at_most": _number(requirement.at_most, requirement.unit),
        "limit": {
            "at_least": quantity_to_act(requirement.at_least),
            "at_most": quantity_to_act(requirement.at_most),
        },
        "governed_by": {
            "at_least": requirement.governed_at_least,
            "at_most": requirement.governed_at_most,
        },
        "undetermined": requirement.undetermined,
        "evidence": {
            "readings": evidence.readings,
            "where": evidence.where,
            "wait_s": evidence.wait_s,
            "instruments": list(evidence.instruments),
            "per_run": evidence.per_run,
            "good_for_s": evidence.good_for_s,
        },
        "basis": [_basis(basis) for basis in requirement.basis],
        "would_change": [list(pair) for pair in requirement.would_change],
        "shown": {
            "at_least": _shown(requirement.at_least),
            "at_most": _shown(requirement.at_most),
            "limit": limit_words(requirement),
        },
    }


def limit_words(requirement: Requirement) -> str:
    """The limit as a person reads it."""
    if requirement.undetermined:
        return "not determined"
    if requirement.type != "number":
        return " or ".join(requirement.accepts) if requirement.accepts else "to be recorded"
    low, high = _shown(requirement.at_least), _shown(requirement.at_most)
    if low and high:
        return f"at least {low}, at most {high}" if _is_empty(requirement) else f"{low} to {high}"
    if low:
        return f"at least {low}"
    if high:
        return f"at most {high}"
    return "to be recorded"


def _is_empty(requirement: Requirement) -> bool:
    low, high = requirement.at_least, requirement.at_most
    return low is not None and high is not None and compare(low, high) > 0


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


def _number(limit: Quantity | None, symbol: str | None) -> float | None:
    if limit is None or symbol is None:
        return None
    return round(float(unit(symbol).from_canonical(limit.canonical)), DECIMALS.get(symbol, 1))


def _shown(limit: Quantity | None) -> str | None:
    return None if limit is None else show_both(limit)


def _basis(basis: Basis) -> Json:
    return {
        "method": basis.method,
        "bound": basis.bound,
        "role": basis.role,
        "status": basis.status,
        "value": None if basis.value is None else float(basis.value),
        "value_to": None if basis.value_to is None else float(basis.value_to),
        "unit": basis.unit,
        "mark": basis.source.mark,
        "source": " ".join(part for part in (basis.source.title, basis.source.clause) if part) or None,
        "edition": basis.source.edition,
        "reasons": list(basis.reasons),
        "member": basis.member,
        "working": [list(pair) for pair in basis.working],
    }
