"""A plan as JSON, the numbers rounded for reading and the texts for people: all that stands there before a reading."""

from collections.abc import Mapping, Sequence
from typing import Any

from traveler.job.plan_json import outside_to_act
from traveler.job.quantity_act import quantity_to_act
from traveler.job.requirement import Basis, Plan, Requirement, StepPlan
from traveler.quantity.parse import unit
from traveler.quantity.quantity import Quantity, compare
from traveler.quantity.show import show_both

Json = dict[str, Any]
DECIMALS = {"mm": 3, "kJ/mm": 3}


def plan_object(plan: Plan) -> Json:
    """The object of a plan that is not stored: no readings, verdicts or states."""
    return planned(plan, [planned_step(step) for step in plan.steps])


def planned(plan: Plan, steps: Sequence[Mapping[str, Any]]) -> Json:
    """What a plan says of the whole job, around the objects of its steps."""
    return {
        "job": plan.number,
        "title": plan.title,
        "part": plan.part,
        "units": plan.units,
        "decides": plan.decides,
        "steps": steps,
        "conflicts": list(plan.all_conflicts),
        "cautions": list(plan.cautions),
        # None where it is not allowed: an export made before this program knew of it left nothing out.
        "self_inspection": plan.self_inspection or None,
        "made_from": {"job": plan.made_from, "revision": None, "code": None} if plan.made_from else None,
        "materials": [dict(row) for row in plan.materials],
        "fillers": [dict(row) for row in plan.fillers],
        "joints": [dict(row) for row in plan.joints],
        **({"quantity": plan.quantity} if plan.quantity != 1 else {}),
        **({"serials": list(plan.serials)} if plan.serials else {}),
    }


def planned_step(step: StepPlan, requirements: list[Json] | None = None) -> Json:
    """What a plan says of a step; ``requirements``: with what stands beside each in a stored job."""
    if requirements is None:
        requirements = [planned_requirement(step, requirement) for requirement in step.requirements]
    return {
        "number": step.number,
        "kind": step.kind,
        "joint": step.joints[0] if len(step.joints) == 1 else None,
        "joints": list(step.joints),
        "title": step.title,
        "notes": list(step.notes),
        "requirements": requirements,
        "chart_limits": [planned_requirement(step, limit) for limit in step.chart_limits],
        "points": planned_points(step),
        # Only of a step that the sheet gives to a vendor.
        **({} if step.outside is None else {"outside": outside_to_act(step.outside)}),
    }


def planned_points(step: StepPlan) -> list[Json]:
    """The points as the plan fixes them."""
    return [
        {
            "point": point.number,
            "kind": point.kind,
            "party": point.party,
            "notice": quantity_to_act(point.notice),
        }
        for point in step.points
    ]


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
