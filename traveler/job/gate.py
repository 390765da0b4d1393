"""May this be done? The one place that decides it; screens and commands only ask."""

from datetime import datetime

from traveler.job.acceptance import ENDED_WORDS, acceptance_stands, ended_by
from traveler.job.four_eyes import lacks_role
from traveler.job.gate_accept import against_acceptance, against_closing, named
from traveler.job.gate_acts import (
    AcceptStep,
    Act,
    ActAtPoint,
    ActOutside,
    AnswerQuestion,
    DecideDisposition,
    JobAct,
    JoinComponent,
    OnNonconformance,
    OpenNonconformance,
    PerformStep,
    Permission,
    ProposeDisposition,
    RetryHeat,
    SetNotApplicable,
    SplitOff,
    SupersedeReading,
    TakeBackChart,
    TakeOutComponent,
    TakeOutPieces,
    UsePieces,
)
from traveler.job.gate_nonconformance import (
    against_decision,
    against_opening,
    against_proposal,
    against_step_of_it,
)
from traveler.job.gate_outside import against_act_outside
from traveler.job.gate_pieces import (
    against_joining,
    against_leaving_held,
    against_pieces,
    against_taking_out,
)
from traveler.job.gate_points import against_act_at_point
from traveler.job.gate_retry import against_retry
from traveler.job.gate_settling import against_answer, against_not_applicable
from traveler.job.gate_supersede import against_superseding, against_taking_back
from traveler.job.inherited import decided_elsewhere
from traveler.job.person import MAY_DECIDE, Person, plain_name
from traveler.job.requirement import Plan, StepPlan
from traveler.job.state import JobState

__all__ = [
    "AcceptStep",
    "Act",
    "ActAtPoint",
    "ActOutside",
    "AnswerQuestion",
    "DecideDisposition",
    "JobAct",
    "JoinComponent",
    "OnNonconformance",
    "OpenNonconformance",
    "PerformStep",
    "Permission",
    "ProposeDisposition",
    "RetryHeat",
    "SetNotApplicable",
    "SplitOff",
    "SupersedeReading",
    "TakeBackChart",
    "TakeOutComponent",
    "TakeOutPieces",
    "UsePieces",
    "acceptance_stands",
    "blockers",
    "may",
    "may_release",
    "named",
]


def may(act: Act, state: JobState, person: Person | None, now: datetime) -> Permission:
    """Whether ``person`` may do ``act`` at ``now``. Without a person only the job itself is asked.

    Recording is refused only on a job that has ended; a question about what its instruments read may be answered then
    too, since it holds other jobs; the pieces of a closed one go into assemblies; what is in one that was cancelled may
    be taken out. Acceptance is
    refused while anything about the step or an earlier one does not comply; time enters only here: a reading that is
    said to happen later shows nothing yet.
    """
    ended = _ended(state)
    after_closing = state.closed and isinstance(act, UsePieces)
    after_cancelling = state.cancelled and isinstance(act, TakeOutComponent)
    if ended and not (after_closing or after_cancelling or isinstance(act, AnswerQuestion)):
        return Permission((ended,))
    if elsewhere := decided_elsewhere(act, state):
        return Permission((elsewhere,))
    match act:
        case AcceptStep(step=number):
            return Permission(tuple(against_acceptance(state, number, person, now)))
        case RetryHeat(key=key):
            return Permission(tuple(against_retry(state, key)))
        case JobAct(kind="close"):
            return Permission(tuple(against_closing(state, person, act.pieces)))
        case JobAct(kind="cancel"):
            return Permission((*may_release(state.plan, person).reasons, *against_leaving_held(state)))
        case JobAct(kind="revise"):
            return may_release(state.plan, person)
        case SplitOff():
            return Permission((*may_release(state.plan, person).reasons, *against_pieces(act, state)))
        case TakeOutPieces() | UsePieces():
            return Permission(tuple(against_pieces(act, state)))
        case JoinComponent():
            return Permission(tuple(against_joining(act, state)))
        case TakeOutComponent():
            return Permission(tuple(against_taking_out(act, state)))
        case SupersedeReading():
            return Permission(tuple(against_superseding(act, state, person)))
        case TakeBackChart(chart=chart):
            return Permission(tuple(against_taking_back(chart, state, person)))
        case ActAtPoint():
            return Permission(tuple(against_act_at_point(act, state, person, now)))
        case ActOutside():
            return Permission(tuple(against_act_outside(act, state, person)))
        case OpenNonconformance():
            return Permission(tuple(against_opening(act, state)))
        case ProposeDisposition():
            return Permission(tuple(against_proposal(act, state)))
        case DecideDisposition():
            return Permission(tuple(against_decision(act, state, person)))
        case OnNonconformance():
            return Permission(tuple(against_step_of_it(act, state, person)))
        case AnswerQuestion():
            return Permission(tuple(against_answer(act, state, person)))
        case SetNotApplicable():
            return Permission(tuple(against_not_applicable(act, state, person)))
        case _:
            return Permission()


def may_release(plan: Plan, person: Person | None) -> Permission:
    """Whether ``person`` may release a traveler for work, and so revise it or end it: it is the engineer's, the owner's
    or the decider's to do."""
    if person is None or plain_name(person.name) == plain_name(plan.decides):
        return Permission()
    lacks = lacks_role(person, MAY_DECIDE, "releasing a traveler")
    return Permission((lacks,) if lacks else ())


def blockers(state: JobState, step: StepPlan, now: datetime) -> tuple[str, ...]:
    """What stands between a step and its acceptance, whoever asks; empty for an accepted step."""
    if acceptance_stands(state, step):
        return ()
    return may(AcceptStep(step.number), state, None, now).reasons


def earlier_not_performed(state: JobState, step: int) -> tuple[int, ...]:
    """Earlier steps that nobody has signed as performed."""
    return tuple(
        earlier.number
        for earlier in state.plan.steps
        if earlier.number < step and not state.performed_of(earlier.number)
    )


def _ended(state: JobState) -> str:
    if state.closed:
        return "the job is closed"
    if state.cancelled:
        return "the job is cancelled"
    end = ended_by(state)
    if end is not None:
        return f"the part is {ENDED_WORDS[str(end.disposition)]} (nonconformance {end.number})"
    return ""
