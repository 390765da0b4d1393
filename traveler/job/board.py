"""How a job stands, for somebody who looks at all of them: a pure function of its events."""

import math
from dataclasses import replace
from datetime import datetime

import traveler
from traveler.job.acceptance import ended_by
from traveler.job.board_row import BoardRow, Need
from traveler.job.due import Due, next_due
from traveler.job.gate import JobAct, may
from traveler.job.gate_accept import against_step
from traveler.job.lots import names_lot
from traveler.job.people import last_deed, names_in
from traveler.job.person import plain_name
from traveler.job.questions import waits_for_answer
from traveler.job.requirement import StepPlan
from traveler.job.state import JobState
from traveler.job.view import current_step, job_state_word

SEARCHED_TEXTS = ("welder",)
"""Requirements in words that somebody may look for, beside heat numbers and lots."""


def board_row(state: JobState, now: datetime) -> BoardRow:
    """The job's line on the board as of ``now``, and as it will be once what comes due has come.

    The line in the file is that as of the job's last event; ``as_recorded`` gives it.
    """
    step = None if _ended(state) else current_step(state)
    due = None if step is None else next_due(state, now)
    need, blocked_by = _stands(state, step, due, now)
    need_then, blocked_then = need, blocked_by
    if due is not None and due.at > now:
        need_then, blocked_then = _stands(state, step, due, due.at)
    return replace(
        told_by_events(state),
        blocked_by=blocked_by,
        need=need,
        due_s=None if due is None else math.ceil(due.at.timestamp()),
        due="" if due is None else due.what,
        need_then=need_then,
        blocked_then=blocked_then,
        words=_searched(state),
    )


def told_by_events(state: JobState) -> BoardRow:
    """The line without what the rules say of it: what blocks the job, what it takes and what comes due."""
    step = None if _ended(state) else current_step(state)
    last = last_deed(state)
    return BoardRow(
        number=state.plan.number,
        title=state.plan.title,
        state=job_state_word(state),
        step="" if step is None else f"{step.number} {step.title}",
        blocked_by="",
        last_event_at=state.last_moment.recorded_at if state.last_moment else "",
        part=state.plan.part or "",
        need="nothing",
        need_then="nothing",
        nonconformances=sum(entry.is_open for entry in state.nonconformances),
        in_question=_in_question(state),
        last_by=last.by.name,
        last_deed=last.what,
        program=traveler.__version__,
    )


def as_recorded(state: JobState) -> BoardRow:
    """The line as the file keeps it: as of the time at which the last event was written."""
    if state.last_moment is None:
        raise ValueError("a job without events has no line on the board")
    return board_row(state, datetime.fromisoformat(state.last_moment.recorded_at))


def _ended(state: JobState) -> bool:
    return bool(state.closed or state.cancelled or ended_by(state))


def _stands(state: JobState, step: StepPlan | None, due: Due | None, now: datetime) -> tuple[Need, str]:
    """What the job takes next at ``now``, and the first reason against the step, or against closing."""
    if _ended(state):
        return "nothing", ""
    open_ones = any(entry.is_open for entry in state.nonconformances) or bool(_in_question(state))
    if step is None:
        reasons = may(JobAct("close"), state, None, now).reasons
        return "decision" if reasons or open_ones else "signature", next(iter(reasons), "")
    against = against_step(state, step, now)
    charts = (chart.verdict for chart in state.charts_of(step.number) if not chart.superseded)
    need: Need = "decision" if open_ones else against.takes(charts)
    if due is not None and _only_waits(state, step, need, due, now):
        need = "time"
    return need, next(iter(against.reasons), "")


def _only_waits(state: JobState, step: StepPlan, need: Need, due: Due, now: datetime) -> bool:
    """Whether nobody can do anything about the step before what comes due has come."""
    if due.step != step.number or due.at <= now:
        return False
    if due.kind == "vendor":
        return need == "signature"
    return (
        need == "readings"
        if due.kind == "wait"
        else need == "signature" and bool(state.performed_of(due.step))
    )


def _in_question(state: JobState) -> int:
    return sum(waits_for_answer(state, r.number) for r in state.readings) if state.questions else 0


def _searched(state: JobState) -> str:
    """Number, title, part, people, vendors and orders, heat and lot numbers, each once, as names are compared."""
    plan = state.plan
    texts = [plan.number, plan.title, plan.part or "", plan.decides]
    texts += names_in(state)
    texts += [text for sending in state.sendings for text in (sending.vendor, sending.order or "")]
    texts += [other.name for signature in state.performed for other in signature.others]
    texts += [value for row in plan.materials for key, value in row if key == "heat number"]
    texts += [value for row in plan.fillers for key, value in row if key == "lot"]
    for quantity in state.index.quantities:
        if names_lot(quantity) or quantity in SEARCHED_TEXTS:
            texts += [reading.value for reading in state.index.of_all(quantity)]
    each = dict.fromkeys(text for text in texts if text)
    return "\n".join(dict.fromkeys(map(plain_name, each)))
