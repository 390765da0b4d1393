"""A plan as text, whole numbers and lists, the form in which an event freezes it, and back again."""

from collections.abc import Iterable, Mapping
from typing import Any

from traveler.job.quantity_act import quantity_from_act as quantity_from_act
from traveler.job.quantity_act import quantity_to_act as quantity_to_act
from traveler.job.requirement import Basis, Evidence, Outside, Plan, Point, Requirement, StepPlan
from traveler.metals.outcome import Source

Act = Mapping[str, Any]
Rows = tuple[tuple[tuple[str, str], ...], ...]


def plan_to_act(plan: Plan) -> dict[str, Any]:
    """The whole plan for an event's body: no floats anywhere, limits as printed with their unit."""
    return {
        "number": plan.number,
        "title": plan.title,
        "part": plan.part,
        "units": plan.units,
        "decides": plan.decides,
        "steps": [step_to_act(step) for step in plan.steps],
        "conflicts": list(plan.conflicts),
        "cautions": list(plan.cautions),
        "materials": _rows_to_act(plan.materials),
        "fillers": _rows_to_act(plan.fillers),
        "joints": _rows_to_act(plan.joints),
        **_said("decision_rule", plan.decision_rule),
        **({"self_inspection": True} if plan.self_inspection else {}),
        **_said("made_from", plan.made_from),
        # Left out for one piece without a serial: a plan frozen before there were more stays what it is.
        **({"quantity": plan.quantity} if plan.quantity != 1 else {}),
        **({"serials": list(plan.serials)} if plan.serials else {}),
    }


def step_to_act(step: StepPlan) -> dict[str, Any]:
    """One step with its requirements, frozen."""
    return {
        "number": step.number,
        "kind": step.kind,
        "title": step.title,
        "joints": list(step.joints),
        "requirements": [_requirement_to_act(requirement) for requirement in step.requirements],
        "conflicts": list(step.conflicts),
        "notes": list(step.notes),
        # Left out where there are none: a plan frozen before they were asked for keeps its digest.
        **(
            {"chart_limits": [_requirement_to_act(limit) for limit in step.chart_limits]}
            if step.chart_limits
            else {}
        ),
        **({"points": [_point_to_act(point) for point in step.points]} if step.points else {}),
        **({"outside": outside_to_act(step.outside)} if step.outside else {}),
    }


def plan_from_act(act: Act) -> Plan:
    """The plan that an event froze."""
    return Plan(
        number=act["number"],
        title=act["title"],
        part=act["part"],
        units=act["units"],
        decides=act["decides"],
        steps=tuple(_step_from_act(step) for step in act["steps"]),
        conflicts=tuple(act["conflicts"]),
        cautions=tuple(act["cautions"]),
        materials=_rows(act["materials"]),
        fillers=_rows(act["fillers"]),
        joints=_rows(act["joints"]),
        decision_rule=act.get("decision_rule"),
        self_inspection=act.get("self_inspection", False),
        made_from=act.get("made_from"),
        quantity=act.get("quantity", 1),
        serials=tuple(act.get("serials", ())),
    )


def _rows_to_act(rows: Rows) -> list[list[list[str]]]:
    # Pairs, since an event's body sorts the keys of an object and a row is read in its own order.
    return [[list(pair) for pair in row] for row in rows]


def _rows(rows: list[list[list[str]]]) -> Rows:
    return tuple(tuple((words, value) for words, value in row) for row in rows)


def _step_from_act(act: Act) -> StepPlan:
    return StepPlan(
        number=act["number"],
        kind=act["kind"],
        title=act["title"],
        joints=tuple(act["joints"]),
        requirements=tuple(_requirement_from_act(requirement) for requirement in act["requirements"]),
        conflicts=tuple(act["conflicts"]),
        notes=tuple(act["notes"]),
        chart_limits=tuple(_requirement_from_act(limit) for limit in act.get("chart_limits", ())),
        points=tuple(_point_from_act(point) for point in act.get("points", ())),
        outside=_outside_from_act(act.get("outside")),
    )


def _point_to_act(point: Point) -> dict[str, Any]:
    return {
        "point": point.number,
        "kind": point.kind,
        "party": point.party,
        "notice": quantity_to_act(point.notice),
    }


def _point_from_act(act: Act) -> Point:
    return Point(act["point"], act["kind"], act["party"], quantity_from_act(act["notice"]))


def outside_to_act(outside: Outside) -> dict[str, Any]:
    """Work given to a vendor: ``vendor``, ``order`` (text or null) and the papers that come back (``returns``)."""
    return {"vendor": outside.vendor, "order": outside.order, "returns": list(outside.returns)}


def _outside_from_act(act: Act | None) -> Outside | None:
    return None if act is None else Outside(act["vendor"], act["order"], tuple(act["returns"]))


def _requirement_to_act(requirement: Requirement) -> dict[str, Any]:
    evidence = requirement.evidence
    return {
        "quantity": requirement.quantity,
        "type": requirement.type,
        "unit": requirement.unit,
        "at_least": quantity_to_act(requirement.at_least),
        "at_most": quantity_to_act(requirement.at_most),
        "governed_at_least": requirement.governed_at_least,
        "governed_at_most": requirement.governed_at_most,
        "evidence": {
            "readings": evidence.readings,
            "where": evidence.where,
            "wait_s": evidence.wait_s,
            "instruments": list(evidence.instruments),
            "per_run": evidence.per_run,
            **_said("good_for_s", evidence.good_for_s),
        },
        "basis": [_basis_to_act(basis) for basis in requirement.basis],
        "joint": requirement.joint,
        "options": list(requirement.options),
        "accepts": list(requirement.accepts),
        "undetermined": requirement.undetermined,
        "why": requirement.why,
        "would_change": [list(pair) for pair in requirement.would_change],
    }


def _requirement_from_act(act: Act) -> Requirement:
    evidence = act["evidence"]
    return Requirement(
        quantity=act["quantity"],
        type=act["type"],
        unit=act["unit"],
        at_least=quantity_from_act(act["at_least"]),
        at_most=quantity_from_act(act["at_most"]),
        governed_at_least=act["governed_at_least"],
        governed_at_most=act["governed_at_most"],
        evidence=Evidence(
            readings=evidence["readings"],
            where=evidence["where"],
            wait_s=evidence["wait_s"],
            instruments=tuple(evidence["instruments"]),
            per_run=evidence["per_run"],
            good_for_s=evidence.get("good_for_s"),
        ),
        basis=tuple(_basis_from_act(basis) for basis in act["basis"]),
        joint=act["joint"],
        options=tuple(act["options"]),
        accepts=tuple(act["accepts"]),
        undetermined=act["undetermined"],
        why=act["why"],
        would_change=_pairs(act.get("would_change", ())),
    )


def _basis_to_act(basis: Basis) -> dict[str, Any]:
    return {
        "method": basis.method,
        "bound": basis.bound,
        "role": basis.role,
        "status": basis.status,
        "value": basis.value,
        "unit": basis.unit,
        "mark": basis.source.mark,
        "source": basis.source.title,
        "clause": basis.source.clause,
        "edition": basis.source.edition,
        "reasons": list(basis.reasons),
        "member": basis.member,
        "working": [list(pair) for pair in basis.working],
        **_said("value_to", basis.value_to),
    }


def _basis_from_act(act: Act) -> Basis:
    return Basis(
        method=act["method"],
        bound=act["bound"],
        role=act["role"],
        status=act["status"],
        value=act["value"],
        unit=act["unit"],
        source=Source(act["source"], act["mark"], act["clause"], act["edition"]),
        reasons=tuple(act["reasons"]),
        member=act["member"],
        working=_pairs(act["working"]),
        value_to=act.get("value_to"),
    )


def _pairs(lists: Iterable[list[str]]) -> tuple[tuple[str, str], ...]:
    return tuple([(words, value) for words, value in lists])


def _said(key: str, value: str | int | None) -> dict[str, str | int]:
    """A key that came later, left out where it says nothing: a plan frozen before it keeps its digest."""
    return {} if value is None else {key: value}
