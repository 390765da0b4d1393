"""The traveler as one JSON object: what ``plan --json`` and ``show --json`` print and every export carries."""

from datetime import datetime
from typing import Any

from traveler.chart.record import chart_object
from traveler.job.acceptance import (
    ENDED_WORDS,
    acceptance_stands,
    ended_by,
    to_be_reverified,
)
from traveler.job.concession import said_not_to_apply
from traveler.job.content import changed_since, content_digest
from traveler.job.exceptions import exceptions
from traveler.job.gate import blockers
from traveler.job.judge import all_as_judged, chart_is_current, judge, read_again
from traveler.job.lots import lot_objects
from traveler.job.opened import Later, Opened
from traveler.job.outside import last_sending
from traveler.job.pieces_view import inherited_from, pieces_objects
from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import ChartRecord, Ending, JobState, Revision, Signature
from traveler.job.view_outside import sendings_of_step
from traveler.job.view_plan import plan_object as plan_object
from traveler.job.view_plan import planned, planned_requirement, planned_step
from traveler.job.view_requirement import reading_object
from traveler.job.view_trust import (
    instrument_objects,
    names_words,
    nonconformance_object,
    people_objects,
    person_object,
    point_objects,
    question_objects,
    who_when,
)

Json = dict[str, Any]


def traveler_object(state: JobState, now: datetime) -> Json:
    """The object of a stored job at ``now``.

    Only ``blocked_by`` and the points of a step depend on ``now`` (a reading dated ahead, a notice that runs). At the
    time of the last event it is a pure function of the events, which is what an export carries and what ``verify``
    recomputes.
    """
    opened = opened_traveler(state, now)
    return {**opened, "steps": [dict(step) for step in opened["steps"]]}


def opened_traveler(state: JobState, now: datetime) -> Opened:
    """The same object to look things up in: what takes time to work out or to put into words is made once asked for.

    It stays that of ``state`` and ``now``, whatever is recorded later.
    """
    return Opened(
        {
            **planned(state.plan, [_step(state, step, now) for step in state.plan.steps]),
            "revision": state.revision,
            # None too for a traveler issued before this program kept it.
            "shop": state.revisions[-1].shop_name,
            "made_from": state.revisions[-1].made_from,
            "program": state.revisions[-1].program,
            "state": job_state_word(state),
            "head": state.head,
            "events": state.events,
            "as_of": state.last_moment.recorded_at if state.last_moment else None,
            "decision_rule": state.decision_rule,
            "names": Later(lambda: names_words(state)),
            "people": Later(lambda: people_objects(state)),
            "instruments": Later(lambda: instrument_objects(state)),
            "lots": Later(lambda: lot_objects(state)),
            "nonconformances": Later(
                lambda: [nonconformance_object(entry) for entry in state.nonconformances]
            ),
            "questions": Later(lambda: question_objects(state)),
            "revisions": [_revision(revision) for revision in state.revisions],
            "attachments": [
                {
                    "name": file.name,
                    "as": file.role,
                    "sha256": file.sha256,
                    "size": file.size,
                    "step": file.step,
                    **who_when(file.by, file.moment),
                }
                for file in state.attachments
            ],
            "closed": _ending(state.closed),
            "cancelled": _ending(state.cancelled),
            "exceptions": Later(lambda: list(exceptions(state))),
            **pieces_objects(state),
        }
    )


def job_state_word(state: JobState) -> str:
    """released, in process, work complete, closed, cancelled, scrapped or returned."""
    if state.closed:
        return "closed"
    if state.cancelled:
        return "cancelled"
    if end := ended_by(state):
        return ENDED_WORDS[str(end.disposition)]
    if all(acceptance_stands(state, step) for step in state.plan.steps):
        return "work complete"
    return "in process" if state.readings or state.performed or state.sendings else "released"


def step_state_word(state: JobState, step: StepPlan) -> str:
    """not ready, ready, in work, performed or accepted."""
    if acceptance_stands(state, step):
        return "accepted"
    if state.performed_of(step.number):
        return "performed"
    if state.index.of_step(step.number) or last_sending(state, step.number):
        return "in work"
    earlier = (other for other in state.plan.steps if other.number < step.number)
    return "ready" if all(acceptance_stands(state, other) for other in earlier) else "not ready"


def current_step(state: JobState) -> StepPlan | None:
    """The first step that is not accepted: where the job stands."""
    return next((step for step in state.plan.steps if not acceptance_stands(state, step)), None)


def _step(state: JobState, step: StepPlan, now: datetime) -> Opened:
    return Opened(
        {
            **planned_step(step, []),
            "requirements": Later(lambda: [_requirement(state, step, r) for r in step.requirements]),
            "state": step_state_word(state, step),
            "blocked_by": Later(lambda: list(blockers(state, step, now))),
            "attempt": Later(lambda: max((_attempt(state, step, r) for r in step.requirements), default=1)),
            "content": Later(lambda: content_digest(state, step)),
            "charts": Later(lambda: [_chart(chart, step) for chart in state.charts_of(step.number)]),
            "points": Later(lambda: point_objects(state, step, now)),
            **sendings_of_step(state, step),
            "nonconformances": [entry.number for entry in state.nonconformances_of(step.number)],
            "re_verify": to_be_reverified(state, step) or None,
            "performed": Later(lambda: [_performed(state, step, s) for s in state.performed_of(step.number)]),
            "accepted": Later(lambda: _accepted(state, step)),
        }
    )


def _requirement(state: JobState, step: StepPlan, requirement: Requirement) -> Json:
    judgement = judge(state, step, requirement)
    return {
        **planned_requirement(step, requirement),
        "verdict": judgement.verdict,
        "verdict_reason": judgement.reason,
        "settled": judgement.settled or None,
        "not_applicable": _not_applicable(state, step, requirement),
        "attempts": _attempt(state, step, requirement),
        "readings": _readings(state, step, requirement),
    }


def _attempt(state: JobState, step: StepPlan, requirement: Requirement) -> int:
    return state.attempt((step.number, requirement.quantity, requirement.joint))


def _performed(state: JobState, step: StepPlan, signature: Signature) -> Json:
    return {**_signature(state, signature), "changed": changed_since(state, step, signature) or None}


def _accepted(state: JobState, step: StepPlan) -> Json | None:
    accepted = state.accepted_of(step.number)
    if accepted is None:
        return None
    return {
        **_signature(state, accepted),
        "content": accepted.content,
        "stands": acceptance_stands(state, step),
        "changed": accepted.content != content_digest(state, step) or None,
    }


def _readings(state: JobState, step: StepPlan, requirement: Requirement) -> list[Json]:
    replaced = read_again(state, step, requirement)
    return [
        {
            **reading_object(requirement, reading, read_again=reading.number in replaced),
            **inherited_from(state, reading.moment.seq),
        }
        for reading in all_as_judged(state, step, requirement)
    ]


def _not_applicable(state: JobState, step: StepPlan, requirement: Requirement) -> Json | None:
    said = said_not_to_apply(state, step, requirement)
    return None if said is None else {"because": said.because, **who_when(said.by, said.moment)}


def _chart(chart: ChartRecord, step: StepPlan) -> Json:
    return {
        **chart_object(chart.act),
        "chart": chart.number,
        "kind": chart.kind,
        "name": chart.name,
        "size": chart.act["size"],
        **who_when(chart.by, chart.moment),
        "against_current_limits": chart_is_current(step, chart),
        "superseded": chart.superseded,
        "superseded_by": chart.superseded_by,
        "reason": chart.reason,
        **({"reported_by": chart.act["reported_by"]} if "reported_by" in chart.act else {}),
    }


def _signature(state: JobState, signature: Signature) -> Json:
    return {
        **who_when(signature.by, signature.moment),
        "with": [person_object(other) for other in signature.others] or None,
        "runs": signature.runs,
        "qualification": dict(signature.qualification) if signature.qualification else None,
        "session": dict(signature.session) if signature.session else None,
        "revision": signature.revision,
        "meaning": signature.meaning,
        **inherited_from(state, signature.moment.seq),
    }


def _revision(revision: Revision) -> Json:
    return {
        "revision": revision.number,
        "issued_at": revision.moment.happened_at,
        "recorded_at": revision.moment.recorded_at,
        "by": person_object(revision.by),
        "because": revision.because,
    }


def _ending(ending: Ending | None) -> Json | None:
    return None if ending is None else {**who_when(ending.by, ending.moment), "because": ending.because}
