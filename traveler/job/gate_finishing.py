"""What comes before what: the crack out before the weld, the test after bending, a look at the weld after its runs."""

from collections.abc import Iterator

from traveler.job.concession import conceded_by, conceded_up_to
from traveler.job.exceptions import CRACK_TEST
from traveler.job.finishing import COATED, NOTHING, STRAIGHTENING
from traveler.job.judge import judge
from traveler.job.repairs import CRACK_PROOF
from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import ARC_ENERGY, JobState, Reading

SHOW_THE_WELD = ("hydrogen release", "stress relief", "inspect")
"""Kinds of step whose readings are of the weld as it is when nothing more is laid on it."""


def out_of_order(state: JobState, step: StepPlan) -> Iterator[str]:
    """Reasons against accepting a step, a sentence each; by place in the log, where a correction keeps its place."""
    if step.kind == "weld":
        yield from _cracks(state, step)
    yield from _straightened_since(state, step)
    if step.kind in SHOW_THE_WELD:
        yield from _shown_too_early(state, step)
    if any(requirement.quantity == COATED for requirement in step.requirements):
        yield from _welded_since(state, step)


def _shown_too_early(state: JobState, step: StepPlan) -> Iterator[str]:
    """Heat and tests of before the last run show nothing of the weld as it is, of the weld steps ahead in the route."""
    for joint in step.joints:
        laid = _last_run(state, step, joint)
        early = [
            requirement.quantity
            for requirement in step.requirements
            if requirement.joint in (None, joint) and _is_older(state, step, requirement, laid)
        ]
        if early:
            yield f"{joint} was welded since: record anew {', '.join(early)}"


def _last_run(state: JobState, step: StepPlan, joint: str) -> int:
    """Place in the log of the last run on a joint that the route lays before this step; 0 where there is none."""
    energies = (
        reading
        for earlier in state.plan.steps
        if earlier.kind == "weld" and earlier.number < step.number
        for reading in state.index.of_requirement((earlier.number, ARC_ENERGY, joint))
    )
    return max((_place(reading) for reading in energies if not reading.superseded), default=0)


def _is_older(state: JobState, step: StepPlan, requirement: Requirement, laid: int) -> bool:
    standing = state.standing(step, requirement)
    if not standing or max(map(_place, standing)) > laid:
        return False
    return all(conceded_up_to(state, step, requirement, reading.number) < laid for reading in standing)


def _welded_since(state: JobState, step: StepPlan) -> Iterator[str]:
    """A weld burns the coating off and undoes what was baked: of each thing asked there the last reading is later."""
    for joint in step.joints:
        undone = [
            requirement.quantity
            for requirement in step.requirements
            if (standing := state.standing(step, requirement))
            and state.welded_since(joint, max(map(_place, standing)))
        ]
        if undone:
            yield f"{joint} was welded after it was coated: coat it again, and record anew {', '.join(undone)}"


def _cracks(state: JobState, step: StepPlan) -> Iterator[str]:
    for proof_step in state.plan.steps:
        for proof in proof_step.requirements:
            if proof.quantity == CRACK_PROOF and proof.joint in step.joints:
                yield from _crack(state, step, proof_step, proof)


def _crack(state: JobState, step: StepPlan, proof_step: StepPlan, proof: Requirement) -> Iterator[str]:
    judgement = judge(state, proof_step, proof)
    if judgement.verdict != "met" and not judgement.settled:
        yield (
            f"the crack at {proof.joint} is not proved out: test the ground-out place by PT or MT before any weld, "
            f"and record it at step {proof_step.number}"
        )
        return
    proved = [reading.counts_from_seq for reading in state.standing(proof_step, proof)]
    if not proved:
        return
    for energy in step.requirements:
        if energy.quantity != ARC_ENERGY or energy.joint != proof.joint:
            continue
        for reading in state.standing(step, energy):
            before = reading.counts_from_seq < min(proved)
            if before and conceded_by(state, step, energy, reading.number) is None:
                yield (
                    f"run {reading.run} of {proof.joint} was recorded before its crack was proved out at step "
                    f"{proof_step.number}: that takes a nonconformance that names reading {reading.number}"
                )


def _straightened_since(state: JobState, step: StepPlan) -> Iterator[str]:
    bent = [
        reading
        for requirement in step.requirements
        if requirement.quantity == STRAIGHTENING
        for reading in state.standing(step, requirement)
        if reading.value != NOTHING
    ]
    if not bent:
        return
    last = max(bent, key=_place)
    for requirement in step.requirements:
        if requirement.quantity != CRACK_TEST:
            continue
        tests = state.standing(step, requirement)
        if tests and max(map(_place, tests)) < _place(last):
            of = f" of {requirement.joint}" if requirement.joint else ""
            yield (
                f"straightened (reading {last.number}) after the crack test{of}: test for cracks again and record it"
            )


def _place(reading: Reading) -> int:
    return reading.counts_from_seq
