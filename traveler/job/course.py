"""What comes next on a step, in words: what judge and gate say, put in the order of the work. It decides nothing."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from typing import Literal

from traveler.job.acceptance import acceptance_stands
from traveler.job.decision_rule import blocks
from traveler.job.gate import JobAct, RetryHeat, blockers, may
from traveler.job.heat_clock import heat_clock
from traveler.job.judge import judge, next_run, reads_high, reads_low
from traveler.job.judge_reading import fault_of, folded, standing_as_judged
from traveler.job.judge_runs import judge_run
from traveler.job.outside import against_outside
from traveler.job.points import open_point
from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import INTERPASS, PREHEAT, JobState, Reading
from traveler.quantity.parse import stored
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import finite_decimal, rounded_up, show
from traveler.quantity.units import BY_SYMBOL, Kind

NextKind = Literal["enter", "ready", "heat", "wait", "settle", "done"]
READ_PREHEAT_AGAIN = "read the preheat again before the arc"
HEAT_MORE = "hardly above the minimum: heat more and read again"
_PLACES = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")


@dataclass(frozen=True, slots=True)
class Next:
    """What is to be done next about a requirement.

    ``enter`` something, lay the run that is ``ready``, ``heat`` again, ``wait``, ``settle`` what no further reading
    mends, or nothing (``done``). ``run``: the run that it is about. ``retry``: heating again opens another attempt.
    """

    kind: NextKind
    words: str
    run: int | None = None
    retry: bool = False


def next_of(state: JobState, step: StepPlan, requirement: Requirement, now: datetime) -> Next:
    """What is to be done next about one requirement of a step."""
    if requirement.undetermined:
        return Next("settle", "the limit is not determined: the engineer must settle it")
    if not requirement.evidence.per_run:
        return _once(state, step, requirement, now)
    run = next_run(state, requirement.joint or "")
    signed = state.performed_of(step.number)
    if signed and signed[-1].moment.seq > state.reworked_at(step.number):
        return Next("done", "signed as performed", run)
    before = _read_before(step, requirement)
    if before is None:
        return Next("enter", f"record it for run {run}", run)
    return _before_run(state, step, before, run, now)


def missing_before(state: JobState, step: StepPlan, requirement: Requirement, run: int | None) -> str:
    """What is not shown of a run, and cannot be any more once a reading of this requirement lays it; empty where
    nothing is missing, or the run is laid already. ``run``: the next one where None is said.
    """
    before = _read_before(step, requirement)
    if before is None or not requirement.evidence.per_run or requirement.quantity == INTERPASS:
        return ""
    joint = requirement.joint or ""
    run = next_run(state, joint) if run is None else run
    if run in state.runs_recorded(joint):
        return ""
    judgement = judge_run(state, step, before, run)
    return judgement.reason if judgement.verdict == "not shown" else ""


def comes_next(state: JobState, step: StepPlan, now: datetime) -> Requirement | None:
    """The requirement that is entered next, in the order of the work; None where nothing is left to enter.

    What is asked once comes before what is asked run by run; then the temperature before each run, and what the run
    was laid with once it was ready.
    """
    for requirement in step.requirements:
        by_run = requirement.evidence.per_run
        if not by_run and next_of(state, step, requirement, now).kind in ("enter", "heat"):
            return requirement
    of_runs = [requirement for requirement in step.requirements if requirement.evidence.per_run]
    open_runs = [
        (r, following) for r in of_runs if (following := next_of(state, step, r, now)).kind != "done"
    ]
    laid_with = (r for r, following in open_runs if following.kind == "ready" and r.quantity != INTERPASS)
    return next(laid_with, open_runs[0][0] if open_runs else None)


def next_of_step(state: JobState, step: StepPlan, now: datetime) -> Next:
    """What is to be done about a step on which nothing is left to enter."""
    ended = may(JobAct("record"), state, None, now).reasons
    if ended:
        return Next("settle", ended[0])
    if acceptance_stands(state, step):
        return Next("done", "accepted")
    against = blockers(state, step, now)
    away = [said for takes, said in against_outside(state, step) if takes in ("sending", "receipt")]
    if away:
        return Next("settle", away[0])
    if state.performed_of(step.number):
        return Next(
            "done", f"performed; waits for: {against[0]}" if against else "performed; waits for acceptance"
        )
    unsettled = [r for r in step.requirements if next_of(state, step, r, now).kind == "settle"]
    if unsettled:
        return Next("settle", f"{unsettled[0].quantity} does not comply; that takes a nonconformance")
    return Next("enter", "all is entered: sign as performed")


def _read_before(step: StepPlan, requirement: Requirement) -> Requirement | None:
    """The temperature that is read before each run of the same joint."""
    wanted = (INTERPASS, requirement.joint)
    return next((other for other in step.requirements if (other.quantity, other.joint) == wanted), None)


def _once(state: JobState, step: StepPlan, requirement: Requirement, now: datetime) -> Next:
    judgement = judge(state, step, requirement)
    if judgement.settled:
        return Next("done", judgement.settled)
    if not blocks(judgement.verdict, state.decision_rule):
        if _heat_ran_out(state, step, requirement, now):
            return Next("enter", READ_PREHEAT_AGAIN)
        return Next("done", _complying(requirement, judgement.verdict))
    standing = _standing(state, step, requirement)
    if judgement.verdict == "not met":
        return _outside(state, step, requirement, standing, now)
    hidden = [reading for reading in standing if not reading.shows]
    if hidden:
        return Next("enter", f"read again: {hidden[-1].given_reason or judgement.reason}")
    if standing and requirement.type != "number":
        return Next("settle", judgement.reason)
    return Next("enter", _place_words(requirement, standing))


def _outside(
    state: JobState, step: StepPlan, requirement: Requirement, standing: list[Reading], now: datetime
) -> Next:
    bad = [reading for reading in standing if fault_of(requirement, reading)]
    cold = [reading for reading in bad if requirement.type == "number" and reads_low(requirement, reading)]
    key = (step.number, requirement.quantity, requirement.joint)
    if cold and may(RetryHeat(key), state, None, now).granted:
        return Next("heat", f"heat again: {_gap(state, requirement, cold)} below the minimum", retry=True)
    return Next("settle", f"not met: {_fault_words(state, requirement, bad)}; that takes a nonconformance")


def _before_run(state: JobState, step: StepPlan, requirement: Requirement, run: int, now: datetime) -> Next:
    read = [reading for reading in _standing(state, step, requirement) if reading.run == run]
    if not read:
        against = next(_against_the_arc(state, step, requirement, run, now), "")
        return Next("enter", f"read before run {run}" + (f" ({against})" if against else ""), run)
    judgement = judge_run(state, step, requirement, run)
    if judgement.verdict == "not met":
        if reads_low(requirement, read[-1]):
            return Next("heat", f"heat again: {_gap(state, requirement, read[-1:])} below the minimum", run)
        if reads_high(requirement, read[-1]) and requirement.at_most is not None:
            return Next("wait", f"wait: above {show(requirement.at_most)} between runs", run)
        return Next("settle", judgement.reason, run)
    if blocks(judgement.verdict, state.decision_rule):
        return Next("enter", f"read again before run {run}: {judgement.reason}", run)
    against = next(_against_the_arc(state, step, requirement, run, now), "")
    if against in (READ_PREHEAT_AGAIN, HEAT_MORE):
        return Next("enter" if against == READ_PREHEAT_AGAIN else "heat", against, run)
    if against:
        return Next("settle", f"not ready for run {run}: {against}", run)
    return Next("ready", f"ready for run {run}", run)


def _against_the_arc(
    state: JobState, step: StepPlan, requirement: Requirement, run: int, now: datetime
) -> Iterator[str]:
    """What stands against laying a run beyond what was read before it."""
    yield from may(JobAct("record"), state, None, now).reasons
    yield from (f"conflict: {conflict}" for conflict in (*state.plan.conflicts, *step.conflicts))
    for earlier in state.plan.steps:
        if earlier.number < step.number and not acceptance_stands(state, earlier):
            yield from _earlier(state, earlier, requirement.joint, now)
    for laid in sorted(state.runs_recorded(requirement.joint or "")):
        judgement = judge_run(state, step, requirement, laid)
        if laid < run and blocks(judgement.verdict, state.decision_rule):
            yield judgement.reason
    clock = heat_clock(state, requirement.joint or "")
    if clock is not None and not clock.left_s(now):
        yield HEAT_MORE if clock.gives_no_time else READ_PREHEAT_AGAIN


def _earlier(state: JobState, step: StepPlan, joint: str | None, now: datetime) -> Iterator[str]:
    """Of an earlier step its holds, and the preheat of the joint."""
    for point in step.points:
        if point.kind == "hold" and (waits := open_point(state, step, point, now)):
            yield f"step {step.number}: {waits}"
    for requirement in step.requirements:
        if (requirement.quantity, requirement.joint) == (PREHEAT, joint):
            judgement = judge(state, step, requirement)
            if blocks(judgement.verdict, state.decision_rule) and not judgement.settled:
                yield f"{PREHEAT} of step {step.number} {judgement.verdict}: {judgement.reason}"


def _heat_ran_out(state: JobState, step: StepPlan, requirement: Requirement, now: datetime) -> bool:
    if requirement.quantity != PREHEAT or state.performed_of(step.number):
        return False
    clock = heat_clock(state, requirement.joint or "")
    return clock is not None and not clock.gives_no_time and not clock.left_s(now)


def _standing(state: JobState, step: StepPlan, requirement: Requirement) -> list[Reading]:
    found = standing_as_judged(state, step, requirement)
    return sorted(found, key=lambda reading: reading.counts_from_seq)


def _complying(requirement: Requirement, verdict: str) -> str:
    if verdict == "conditional":
        return "conditional: inside by less than the uncertainty"
    return "within its limit" if requirement.type == "number" else "entered"


def _place_words(requirement: Requirement, standing: list[Reading]) -> str:
    """Which of the places is to be read, by how many distinct ones are read."""
    needed = requirement.evidence.readings
    if requirement.type != "number":
        return "to be entered"
    if needed == 1:
        return "to be read"
    read = len({folded(reading.place) for reading in standing if reading.place})
    ordinal = _PLACES[read] if read < len(_PLACES) else "next"
    return f"read the {ordinal} place" if read else f"read the first of {needed} places"


def _fault_words(state: JobState, requirement: Requirement, bad: list[Reading]) -> str:
    if requirement.type != "number" or not bad:
        return fault_of(requirement, bad[-1]) if bad else "a reading lies outside"
    low = [reading for reading in bad if reads_low(requirement, reading)]
    if low:
        return f"{_gap(state, requirement, low)} below the minimum"
    high = [reading for reading in bad if reads_high(requirement, reading)]
    return f"{_gap(state, requirement, high)} above the maximum" if high else fault_of(requirement, bad[-1])


def _gap(state: JobState, requirement: Requirement, outside: list[Reading]) -> str:
    """How far the worst of the readings lies outside, in the job's unit, rounded up to a tenth: never nothing."""
    gaps = []
    for reading in outside:
        value = stored(reading.value, reading.unit or "").canonical
        low, high = requirement.at_least, requirement.at_most
        gaps += [low.canonical - value] if low and value < low.canonical else []
        gaps += [value - high.canonical] if high and value > high.canonical else []
    limit = requirement.at_least or requirement.at_most
    if not gaps or limit is None:
        return "at or"  # a crayon that melted or held right at the limit
    return _amount(max(gaps), limit, state.plan.units)


def _amount(canonical: Fraction, limit: Quantity, units: str) -> str:
    of = limit.unit
    if of.kind is Kind.TEMPERATURE:
        of = BY_SYMBOL["delta_degF" if units == "inch" else "delta_degC"]
    number = canonical / of.factor
    return f"{finite_decimal(number, 3) or rounded_up(number, 1 if number >= 1 else 3)} {of.label}"
