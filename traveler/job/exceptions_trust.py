"""What a reader must know of people, instruments, holds, nonconformances and clocks."""

from collections.abc import Iterator
from datetime import UTC, datetime
from itertools import pairwise

from traveler.job.acceptance import to_be_reverified
from traveler.job.concession import qualification_conceded
from traveler.job.decided import Nonconformance, Proposal
from traveler.job.four_eyes import work_done, work_on_joint
from traveler.job.instrument import CRAYON
from traveler.job.judge import judge, standing_as_judged
from traveler.job.people import deeds, registered
from traveler.job.pieces import event_name
from traveler.job.points import given_up, named, point_status, runs_until
from traveler.job.requirement import Point, StepPlan
from traveler.job.state import ARC_ENERGY, JobState, Signature

FAR_AHEAD = datetime.max.replace(tzinfo=UTC)
"""A witness point that can lapse has lapsed by then; whether it had when the step was accepted, the gate asked."""


def trust_exceptions(state: JobState) -> Iterator[str]:
    """Sentences, in the order in which a strict reader would ask."""
    yield from _nonconformances(state)
    yield from _settled(state)
    for step in state.plan.steps:
        yield from _points(state, step)
        yield from _self_inspected(state, step)
        yield from _qualified(state, step)
        yield from _evidence(state, step)
        if again := to_be_reverified(state, step):
            yield f"step {step.number} is {again}"
    yield from _given_up(state)
    yield from _own_work(state)
    yield from _without_uncertainty(state)
    yield from _names(state)
    for before, after in state.set_back:
        yield (
            f"{event_name(state.batch, after.seq)} was written at {after.recorded_at}, which is before "
            f"{event_name(state.batch, before.seq)} "
            f"({before.recorded_at}): a clock was set back"
        )


def _given_up(state: JobState) -> Iterator[str]:
    """Points that a revision left out: whose they were, and who revised."""
    for before, after in pairwise(state.revisions):
        for step, point in given_up(before.plan, after.plan):
            yield (
                f"{named(point)} of step {step.number} was left out by {after.by.name} with revision {after.number}: "
                f"{after.because}"
            )


def _nonconformances(state: JobState) -> Iterator[str]:
    for entry in state.nonconformances:
        about = f", {entry.quantity}" if entry.quantity else ""
        readings = f", reading {', '.join(map(str, entry.readings))}" if entry.readings else ""
        told = [f"nonconformance {entry.number}, step {entry.step}{about}{readings}: {entry.what}"]
        told += [_proposal_words(proposal) for proposal in entry.proposals]
        told += [
            f"looked at again by {again.by.name}: {'complies' if again.complies else 'does not comply'}"
            for again in entry.reverifications
        ]
        yield "; ".join([*told, _end_words(entry)])


def _proposal_words(proposal: Proposal) -> str:
    words = f"{proposal.disposition} proposed by {proposal.by.name}"
    decision = proposal.decision
    if decision is None:
        return words
    because = f" ({decision.because})" if decision.because else ""
    return f"{words}, {'approved' if decision.approved else 'refused'} by {decision.by.name}{because}"


def _end_words(entry: Nonconformance) -> str:
    if entry.end is None:
        return "still open"
    return f"{entry.status} by {entry.end.by.name}: {entry.end.because}"


def _settled(state: JobState) -> Iterator[str]:
    for step in state.plan.steps:
        for requirement in step.requirements:
            judgement = judge(state, step, requirement)
            if judgement.settled:
                why = f": {judgement.reason}" if judgement.reason else ""
                yield f"step {step.number}: {requirement.quantity} {judgement.verdict}{why}; {judgement.settled}"


def _points(state: JobState, step: StepPlan) -> Iterator[str]:
    for point in step.points:
        words = _point_words(state, step, point)
        if words:
            yield f"step {step.number}: {words}"


def _point_words(state: JobState, step: StepPlan, point: Point) -> str:
    """What was not a plain release or attendance by the party."""
    act = point_status(state, step, point, FAR_AHEAD).act
    if act is None:
        return ""
    if act.kind == "waived":
        return f"{named(point)} was waived by {act.by.name}: {act.because or 'no reason given'}"
    if act.kind == "notified":
        accepted, until = state.accepted_of(step.number), runs_until(point, act)
        if accepted is None or until is None:
            return ""
        told = f"{named(point)} was notified at {act.moment.recorded_at} by {act.by.name}"
        lapsed = f"{told} and did not attend; accepted after the notice had run out"
        begun = _work_began(state, step)
        return (
            f"{lapsed}; the work had begun at {begun}, before it had"
            if begun and _earlier(begun, until)
            else lapsed
        )
    if act.by.id is None:
        return f"{named(point)} was {act.kind} by {act.by.name}, who said to be the {point.party}"
    others = [role for role in act.by.roles if role != point.party]
    return (
        f"{named(point)} was {act.kind} by {act.by.name}, who is also {', '.join(others)}" if others else ""
    )


def _work_began(state: JobState, step: StepPlan) -> str:
    """When the first run of a weld was laid, of another step the first reading taken; empty before that."""
    happened = [
        reading.moment.happened_at
        for reading in state.readings
        if reading.key[0] == step.number
        and not reading.superseded
        and (step.kind != "weld" or reading.key[1] == ARC_ENERGY)
    ]
    return min(happened, key=datetime.fromisoformat, default="")


def _earlier(moment: str, until: datetime) -> bool:
    return datetime.fromisoformat(moment) < until


def _self_inspected(state: JobState, step: StepPlan) -> Iterator[str]:
    accepted = state.accepted_of(step.number)
    work = work_done(state, step, accepted.by) if accepted else ""
    if work:
        yield f"step {step.number} was self-inspected: {work} and accepted it"
    if step.kind == "inspect":
        told = {work_on_joint(state, step, signature.by) for signature in state.performed_of(step.number)}
        yield from (
            f"step {step.number} was inspected by who did the work: {work}" for work in sorted(told) if work
        )


def _own_work(state: JobState) -> Iterator[str]:
    """Decisions, beside acceptances, that somebody took about what they did themselves."""
    for deed in deeds(state) if state.own_work else ():
        if work := state.own_work.get(deed.moment.seq):
            yield f"{deed.what} by {deed.by.name} about their own work: {work}"


def _qualified(state: JobState, step: StepPlan) -> Iterator[str]:
    for signature in state.performed_of(step.number):
        if signature.qualification is not None and not signature.qualification["valid"]:
            stands = "; let stand" if qualification_conceded(state, step, signature) else ""
            yield f"step {step.number}: {_lapsed_words(signature)}{stands}"


def _lapsed_words(signature: Signature) -> str:
    reason = signature.qualification["reason"] if signature.qualification else ""
    return f"{signature.by.name} was not qualified on the day of the weld: {reason}"


def _evidence(state: JobState, step: StepPlan) -> Iterator[str]:
    """Readings out of sequence, and those that are no evidence by what took them."""
    for requirement in step.requirements:
        for reading in standing_as_judged(state, step, requirement):
            if reading.out_of_order:
                ahead = ", ".join(map(str, reading.out_of_order))
                yield f"step {step.number}, reading {reading.number} was taken ahead of step {ahead}"
            if reading.instrument_verdict == "not shown":
                yield f"step {step.number}, reading {reading.number}: {reading.instrument_reason}"


def _without_uncertainty(state: JobState) -> Iterator[str]:
    used = {
        (kept.instrument, kept.name)
        for reading in state.readings
        if (kept := reading.instrument_state) is not None and kept.uncertainty is None and kept.type != CRAYON
    }
    for instrument, name in sorted(used):
        yield f"{instrument} {name} has no uncertainty on record: it is taken as zero"


def _names(state: JobState) -> Iterator[str]:
    """Among registered people: who only stated a name, and who decided without their secret."""
    if not registered(state):
        return
    for deed in sorted(deeds(state), key=lambda deed: deed.moment.seq):
        if deed.decides and deed.by.id is None:
            yield f"{deed.what} by {deed.by.name}: the name is as stated, nobody registered"
        elif deed.decides and deed.by.how != "signed":
            yield f"{deed.what} by {deed.by.name} ({deed.by.id}) without a secret"
