"""What lets stand a reading that does not comply, or a requirement that nothing shows."""

from traveler.job.decided import Nonconformance, NotApplicable
from traveler.job.questions import fallen_since
from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import ChartRecord, JobState, Signature

WELDER_QUALIFICATION = "welder qualification"
"""What a nonconformance names that is about a welder whose qualification had lapsed."""

OUTSIDE_WORK = "outside work"
"""What a nonconformance names that is about work done by a vendor: what came back, or its papers."""


def conceded_by(state: JobState, step: StepPlan, requirement: Requirement, reading: int) -> int | None:
    """Number of the closed nonconformance that lets a reading stand; None where nothing does.

    It holds for the readings that it names, against the limits that were in force when it was approved; not for one
    that was put in question after that and does not stand, since then nobody knows what was let stand.
    """
    if not state.nonconformances:
        return None
    for entry in state.nonconformances_of(step.number):
        if reading not in entry.readings or not _holds(state, entry, step, requirement):
            continue
        if not fallen_since(state, reading, _approved_at(entry)):
            return entry.number
    return None


def conceded_up_to(state: JobState, step: StepPlan, requirement: Requirement, reading: int) -> int:
    """Place in the log up to which something closed lets a reading stand: what came of it later was not looked at.

    0 where nothing does.
    """
    numbers = [
        _approved_at(entry)
        for entry in state.nonconformances_of(step.number)
        if reading in entry.readings and _holds(state, entry, step, requirement)
    ]
    return max(numbers, default=0)


def _approved_at(entry: Nonconformance) -> int:
    approved = entry.approved
    return approved.decision.moment.seq if approved and approved.decision else 0


def criterion_conceded(state: JobState, step: StepPlan, chart: ChartRecord, criterion: str) -> bool:
    """Whether a closed nonconformance that names the criterion lets stand what an earlier chart shows of it."""
    return _named(state, step, criterion, chart.moment.seq)


def qualification_conceded(state: JobState, step: StepPlan, signature: Signature) -> bool:
    """Whether a closed nonconformance lets stand that the welder's qualification had lapsed."""
    return _named(state, step, WELDER_QUALIFICATION, signature.moment.seq)


def outside_work_settled(state: JobState, step: StepPlan, since: int) -> int | None:
    """Number of the closed nonconformance about a vendor's work, opened later in the log than ``since``; else None.

    It lets the work stand, or had it done anew: reworked, it was looked at again before it was closed.
    """
    for entry in state.nonconformances_of(step.number):
        done = entry.concedes or (entry.status == "closed" and entry.disposition == "rework")
        if done and entry.quantity == OUTSIDE_WORK and entry.moment.seq > since:
            return entry.number
    return None


def pieces_settled(state: JobState, step: StepPlan, since: int) -> int | None:
    """The same of the pieces that came back: it may also have given up those that were bad or did not come."""
    settled = outside_work_settled(state, step, since)
    if settled is not None:
        return settled
    for entry in state.nonconformances_of(step.number):
        given_up = entry.status == "closed" and entry.rejects_some
        if given_up and entry.quantity == OUTSIDE_WORK and entry.moment.seq > since:
            return entry.number
    return None


def _named(state: JobState, step: StepPlan, quantity: str, since: int) -> bool:
    return any(
        entry.concedes and entry.quantity == quantity and entry.moment.seq > since
        for entry in state.nonconformances_of(step.number)
    )


def settled_missing(state: JobState, step: StepPlan, requirement: Requirement) -> str:
    """What settles a requirement that nothing shows, in words: it does not apply, or is let stand as missing.

    A nonconformance does so where it names the requirement and no reading. Neither excuses a reading outside a limit.
    """
    said = said_not_to_apply(state, step, requirement)
    if said is not None:
        return f"not applicable: {said.because} ({said.by.name})"
    for entry in state.nonconformances_of(step.number):
        names = entry.quantity == requirement.quantity and entry.joint in (None, requirement.joint)
        if names and not entry.readings and _holds(state, entry, step, requirement):
            return f"let stand by nonconformance {entry.number}"
    return ""


def said_not_to_apply(state: JobState, step: StepPlan, requirement: Requirement) -> NotApplicable | None:
    """That a requirement does not apply, as it was last said of the limits that it has now.

    Whoever records a reading after that says that it does: then it is to be said again, of what is there.
    """
    recorded = max((r.counts_from_seq for r in state.standing(step, requirement)), default=0)
    for said in reversed(state.not_applicable):
        same = (said.step, said.quantity, said.joint) == (
            step.number,
            requirement.quantity,
            requirement.joint,
        )
        if same and said.moment.seq > recorded and limits_unchanged(state, said.revision, step, requirement):
            return said
    return None


def _holds(state: JobState, entry: Nonconformance, step: StepPlan, requirement: Requirement) -> bool:
    approved = entry.approved
    # The pieces that a reading speaks against were given up: it stands for the others no more.
    lets_stand = entry.concedes or (entry.status == "closed" and entry.rejects_some and bool(entry.readings))
    if not lets_stand or approved is None or approved.decision is None:
        return False
    return limits_unchanged(state, approved.decision.revision, step, requirement)


def limits_unchanged(state: JobState, revision: int, step: StepPlan, requirement: Requirement) -> bool:
    """Whether a requirement asked for the same under an earlier revision: what was decided then was about that."""
    then = next(issued for issued in state.revisions if issued.number == revision)
    for old_step in then.plan.steps:
        for old in old_step.requirements:
            if (old_step.number, old.quantity, old.joint) == (
                step.number,
                requirement.quantity,
                requirement.joint,
            ):
                return _asks(old) == _asks(requirement)
    return False


def _asks(requirement: Requirement) -> tuple[object, ...]:
    return (
        requirement.at_least,
        requirement.at_most,
        requirement.accepts,
        requirement.undetermined,
        requirement.evidence.readings,
    )
