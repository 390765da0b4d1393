"""May this be done? The one place that decides it; screens and commands only ask."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from traveler.job.content import content_digest
from traveler.job.decision_rule import blocks
from traveler.job.judge import judge, reads_high, reads_low
from traveler.job.judge_chart import chart_faults
from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import JobState, Key, Person

RETRY_KINDS = ("fit", "preheat")
RETRY_QUANTITIES = ("preheat temperature", "metal temperature")


@dataclass(frozen=True, slots=True)
class AcceptStep:
    """Accept a step as complying."""

    step: int


@dataclass(frozen=True, slots=True)
class PerformStep:
    """Say that a step was performed. What happened may always be recorded while the job is open."""

    step: int


@dataclass(frozen=True, slots=True)
class RetryHeat:
    """Open another attempt of a minimum that was read too cold."""

    key: Key


@dataclass(frozen=True, slots=True)
class JobAct:
    """Something about the whole job: record anything at all, close it, cancel it, revise it."""

    kind: Literal["record", "close", "cancel", "revise"]


Act = AcceptStep | PerformStep | RetryHeat | JobAct


@dataclass(frozen=True, slots=True)
class Permission:
    """Granted, or the reasons why not, each a sentence."""

    reasons: tuple[str, ...] = ()

    @property
    def granted(self) -> bool:
        """True where nothing stands against it."""
        return not self.reasons


def may(act: Act, state: JobState, person: Person | None, now: datetime) -> Permission:
    """Whether ``person`` may do ``act`` at ``now``. Without a person only the job itself is asked.

    Recording is refused only on a job that has ended. Acceptance is refused while anything about the step or an
    earlier one does not comply; time enters only here: a reading that is said to happen later shows nothing yet.
    """
    ended = _ended(state)
    if ended:
        return Permission((ended,))
    match act:
        case AcceptStep(step=number):
            return Permission(tuple(_against_acceptance(state, number, person, now)))
        case RetryHeat(key=key):
            return Permission(tuple(_against_retry(state, key)))
        case JobAct(kind="close"):
            return Permission(tuple(_against_closing(state)))
        case _:
            return Permission()


def acceptance_stands(state: JobState, step: StepPlan) -> bool:
    """Accepted, and nothing about the step has changed since."""
    signature = state.accepted_of(step.number)
    return signature is not None and signature.content == content_digest(state, step)


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
    return ""


def _against_acceptance(state: JobState, number: int, person: Person | None, now: datetime) -> Sequence[str]:
    step = state.step(number)
    if step is None:
        return [f"there is no step {number}"]
    reasons = [f"conflict: {conflict}" for conflict in step.conflicts]
    reasons += _unmet(state, step)
    reasons += chart_faults(state, step)
    reasons += _not_yet(state, step, now)
    reasons += _signing_order(state, step)
    reasons += _own_work(state, step, person)
    if acceptance_stands(state, step):
        reasons.append("already accepted")
    return reasons


def _unmet(state: JobState, step: StepPlan) -> list[str]:
    reasons = []
    for requirement in step.requirements:
        judgement = judge(state, step, requirement)
        if blocks(judgement.verdict, state.decision_rule) and not judgement.settled:
            reasons.append(f"{named(step, requirement)} {judgement.verdict}: {judgement.reason}")
    return reasons


def named(step: StepPlan, requirement: Requirement) -> str:
    """The quantity, with its joint where the step covers several."""
    if requirement.joint and len(step.joints) > 1:
        return f"{requirement.quantity} of {requirement.joint}"
    return requirement.quantity


def _not_yet(state: JobState, step: StepPlan, now: datetime) -> list[str]:
    return [
        f"reading {reading.number} is said to happen at {reading.moment.happened_at}, which is still to come"
        for requirement in step.requirements
        for reading in state.standing(step, requirement)
        if datetime.fromisoformat(reading.moment.happened_at) > now
    ]


def _signing_order(state: JobState, step: StepPlan) -> list[str]:
    reasons = []
    performed = state.performed_of(step.number)
    if not performed:
        reasons.append("not yet signed as performed")
    elif performed[-1].out_of_order:
        reasons.append(
            f"signed as performed ahead of {performed[-1].missed}; sign again when that is performed"
        )
    waiting = [
        earlier.number
        for earlier in state.plan.steps
        if earlier.number < step.number and not acceptance_stands(state, earlier)
    ]
    if waiting:
        reasons.append(f"step {waiting[0]} comes first and is not accepted")
    return reasons


def _own_work(state: JobState, step: StepPlan, person: Person | None) -> list[str]:
    if person is None:
        return []
    if any(signature.by.is_same_as(person) for signature in state.performed_of(step.number)):
        return [f"{person.name} performed this step; another person must accept it"]
    return []


def _against_retry(state: JobState, key: Key) -> Sequence[str]:
    number, quantity, joint = key
    step = state.step(number)
    requirement = next(
        (r for r in step.requirements if (r.quantity, r.joint) == (quantity, joint)) if step else iter(()),
        None,
    )
    if step is None or requirement is None:
        return [f"step {number} has no {quantity}"]
    if step.kind not in RETRY_KINDS or quantity not in RETRY_QUANTITIES:
        return [f"only a preheat that was too cold may be tried again, not the {quantity} of step {number}"]
    opened = max((retry.moment.seq for retry in state.retries if retry.key == key), default=0)
    laid = [of for of in ([joint] if joint else step.joints) if state.welded_since(of, opened)]
    if laid:
        return [f"a run of weld is recorded on {laid[0]}: from then on its preheat is what it was"]
    standing = state.standing(step, requirement)
    too_hot = [reading.number for reading in standing if reads_high(requirement, reading)]
    if too_hot:
        return [f"reading {too_hot[0]} was too hot; only a preheat that was too cold may be tried again"]
    if not any(reads_low(requirement, reading) for reading in standing):
        return ["no standing reading is too cold, so there is nothing to try again"]
    return []


def _against_closing(state: JobState) -> Sequence[str]:
    reasons = [f"conflict: {conflict}" for conflict in state.plan.conflicts]
    reasons += [
        f"step {step.number} {step.kind} is not accepted"
        for step in state.plan.steps
        if not acceptance_stands(state, step)
    ]
    return reasons
