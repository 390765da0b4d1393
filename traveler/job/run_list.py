"""The runs of a weld as they were laid: what was read before each, with what it was laid, and how it is judged."""

from dataclasses import dataclass

from traveler.job.judge_reading import WORST_FIRST, Judgement
from traveler.job.judge_runs import judge_run
from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import ARC_ENERGY, INTERPASS, JobState, Reading


@dataclass(frozen=True, slots=True)
class RunRow:
    """One run, laid or about to be; the readings that count, None where there is none, and the worst verdict.

    A run without an arc energy is not laid yet.
    """

    run: int
    interpass: Reading | None
    arc_energy: Reading | None
    judgement: Judgement


def run_rows(state: JobState, step: StepPlan) -> tuple[RunRow, ...]:
    """Every run of a step for which anything stands, in order; empty where a step has no runs."""
    by_run = [requirement for requirement in step.requirements if requirement.evidence.per_run]
    standing = {requirement.quantity: state.standing(step, requirement) for requirement in by_run}
    runs = sorted({reading.run for readings in standing.values() for reading in readings if reading.run})
    rows = []
    for run in runs:
        energy = _last(_of(standing.get(ARC_ENERGY, ()), run))
        read = _of(standing.get(INTERPASS, ()), run)
        before = [r for r in read if energy is None or r.counts_from_seq < energy.counts_from_seq]
        rows.append(RunRow(run, _last(before or read), energy, _worst(state, step, by_run, run)))
    return tuple(rows)


def _of(readings: tuple[Reading, ...], run: int) -> list[Reading]:
    return [reading for reading in readings if reading.run == run]


def _last(readings: list[Reading]) -> Reading | None:
    return max(readings, key=lambda reading: reading.counts_from_seq, default=None)


def _worst(state: JobState, step: StepPlan, by_run: list[Requirement], run: int) -> Judgement:
    """Of a run that is not laid yet only what was read before it counts."""
    laid = {r.joint for r in by_run if run in state.runs_recorded(r.joint or "")}
    judged = [
        judge_run(state, step, requirement, run)
        for requirement in by_run
        if requirement.quantity == INTERPASS or requirement.joint in laid
    ]
    return min(judged, key=lambda judgement: WORST_FIRST.index(judgement.verdict))
