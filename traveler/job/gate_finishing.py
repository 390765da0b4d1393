"""What comes before what in a repair and after straightening: the crack out before the weld, the test after bending."""

from collections.abc import Iterator

from traveler.job.concession import conceded_by
from traveler.job.exceptions import CRACK_TEST
from traveler.job.finishing import COATED, NOTHING, STRAIGHTENING
from traveler.job.judge import judge
from traveler.job.repairs import CRACK_PROOF
from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import ARC_ENERGY, JobState, Reading


def out_of_order(state: JobState, step: StepPlan) -> Iterator[str]:
    """Reasons against accepting a step, a sentence each; by place in the log, where a correction keeps its place."""
    if step.kind == "weld":
        yield from _cracks(state, step)
    yield from _straightened_since(state, step)
    if any(requirement.quantity == COATED for requirement in step.requirements):
        yield from _welded_since(state, step)


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
