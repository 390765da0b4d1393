"""Does a signature still stand, and was the part given up?"""

from traveler.job.content import content_digest
from traveler.job.decided import ENDINGS, REVERIFIED, Nonconformance
from traveler.job.four_eyes import review_undone
from traveler.job.quantities import ARC_ENERGY
from traveler.job.requirement import StepPlan
from traveler.job.state import JobState

ENDED_WORDS = {"scrap": "scrapped", "return": "returned"}


def acceptance_stands(state: JobState, step: StepPlan) -> bool:
    """Accepted, and neither the step has changed since nor one before it been reworked or repaired."""
    signature = state.accepted_of(step.number)
    return (
        signature is not None
        and signature.content == content_digest(state, step)
        and not to_be_reverified(state, step)
    )


def to_be_reverified(state: JobState, step: StepPlan) -> str:
    """Why an accepted step is to be looked at and accepted again, in words; empty where it is not.

    Rework or repair of a step before it, approved after it was accepted, may have undone what it showed, and so does a
    run of weld on its joint. Nor does a vendor's certificate count whose reviewer has signed for work on it since.
    """
    signature = state.accepted_of(step.number)
    since = signature.moment.seq if signature else state.batch.before + state.events
    for entry in state.nonconformances:
        for proposal in entry.proposals:
            done = proposal.decision
            if entry.step >= step.number or proposal.disposition not in REVERIFIED or done is None:
                continue
            if done.approved and done.moment.seq > since:
                return (
                    f"to be re-verified: {proposal.disposition} of step {entry.step} (nonconformance "
                    f"{entry.number}) was approved after this step was accepted"
                )
    return _welded_since(state, step, since) or _review_undone(state, step)


def _review_undone(state: JobState, step: StepPlan) -> str:
    standing = (sending for sending in state.sendings_of(step.number) if sending.stands)
    undone = next(filter(None, (review_undone(state, step, sending) for sending in standing)), "")
    return f"to be re-verified: {undone}" if undone else ""


def _welded_since(state: JobState, step: StepPlan, since: int) -> str:
    for earlier in state.plan.steps:
        if earlier.kind != "weld" or earlier.number >= step.number:
            continue
        for joint in set(earlier.joints) & set(step.joints):
            for reading in reversed(state.index.of_requirement((earlier.number, ARC_ENERGY, joint))):
                if reading.moment.seq <= since:
                    break
                # The correction of a run keeps the place of the run.
                if not reading.superseded and reading.counts_from_seq > since:
                    return f"to be re-verified: run {reading.run} of {joint} was laid after this step was accepted"
    return ""


def ended_by(state: JobState) -> Nonconformance | None:
    """The closed nonconformance by which the whole part was scrapped or returned: one that names no single thing."""
    return next((e for e in endings(state) if e.quantity is None and e.joint is None), None)


def endings(state: JobState) -> list[Nonconformance]:
    """The closed nonconformances by which a part, or what it names of it, was scrapped or returned.

    Not those that give some pieces up: the others go on.
    """
    return [
        e
        for e in state.nonconformances
        if e.status == "closed" and e.disposition in ENDINGS and not e.rejects_some
    ]
