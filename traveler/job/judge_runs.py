"""A quantity of a weld that is read before, or of, each run."""

from collections.abc import Iterable, Mapping, Sequence

from traveler.job.judge_reading import MET, WORST_FIRST, Judgement, fault_of, standing_as_judged
from traveler.job.judged_by import kept_as_judged
from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import INTERPASS, JobState, Reading


def judge_runs(
    state: JobState, step: StepPlan, requirement: Requirement, standing: Sequence[Reading]
) -> Judgement:
    """Verdict on a quantity that is read run by run; the first run that does not comply says why."""
    laid = state.runs_recorded(requirement.joint or "")
    signed = [signature.runs or 0 for signature in state.performed_of(step.number)][-1:]
    expected = sorted(set(laid) | set(range(1, max(signed, default=0) + 1)))
    pending = [] if signed else [run for run in _runs_read(standing) if run not in laid]
    if not expected and not pending:
        return Judgement("not shown", "no run of weld recorded yet")
    conditional: Judgement | None = None
    by_run = _by_run(standing)
    for run in [*expected, *pending]:
        judgement = _judge_run(requirement, run, laid.get(run), by_run.get(run, ()))
        if judgement.verdict in ("not met", "not shown"):
            return judgement
        if judgement.verdict == "conditional":
            conditional = conditional or judgement
    if not expected:
        return Judgement("not shown", f"ready for run {pending[0]}; no run of weld recorded yet")
    return conditional or MET


def judge_run(state: JobState, step: StepPlan, requirement: Requirement, run: int) -> Judgement:
    """Verdict on one run, laid or not: of one that is not, whether it may be laid on what was read before it."""
    laid_at = state.runs_recorded(requirement.joint or "").get(run)
    return _judge_run(requirement, run, laid_at, _standing_by_run(state, step, requirement).get(run, ()))


@kept_as_judged
def _standing_by_run(
    state: JobState, step: StepPlan, requirement: Requirement
) -> Mapping[int | None, Sequence[Reading]]:
    return _by_run(standing_as_judged(state, step, requirement))


def _by_run(standing: Iterable[Reading]) -> Mapping[int | None, Sequence[Reading]]:
    """The readings of each run, in the order in which they count."""
    found: dict[int | None, list[Reading]] = {}
    for reading in sorted(standing, key=lambda reading: reading.counts_from_seq):
        found.setdefault(reading.run, []).append(reading)
    return found


def _judge_run(
    requirement: Requirement, run: int, laid_at: int | None, of_run: Sequence[Reading]
) -> Judgement:
    if requirement.quantity != INTERPASS:
        return _each_complies(requirement, run, of_run)
    # What a logger wrote at the marked start of the arc was read before the run, whenever its file came in.
    before = [
        reading
        for reading in of_run
        if laid_at is None or reading.counts_from_seq < laid_at or reading.chart is not None
    ]
    for reading in before:
        if reading.chart is not None and (fault := fault_of(requirement, reading)):
            return Judgement("not met", f"run {run} was laid outside the window: {fault}")
    after = [reading for reading in of_run if reading not in before] if len(before) < len(of_run) else []
    if after and (late := _each_complies(requirement, run, after)).verdict == "not met":
        return late
    if not before:
        return Judgement("not shown", f"run {run}: no {requirement.quantity} recorded before the run")
    # What is no evidence replaces nothing: the last that is decides, and the last of all if it lies outside.
    last = before[-1]
    fault = fault_of(requirement, last)
    if not fault and not last.shows:
        last = next((reading for reading in reversed(before) if reading.shows), last)
        fault = fault_of(requirement, last)
    if fault and laid_at is None:
        return Judgement(
            "not met", f"run {run}: {fault}; bring it into the window and read again before the arc"
        )
    if fault:
        return Judgement("not met", f"run {run} was laid outside the window: {fault}")
    if last.chart is None:
        return _as_given(run, last)
    of_chart = [reading for reading in before if reading.chart is not None and reading.chart == last.chart]
    return _worst([_as_given(run, reading) for reading in of_chart])


@kept_as_judged
def read_again(state: JobState, step: StepPlan, requirement: Requirement) -> frozenset[int]:
    """Numbers of the interpass readings that another one replaced before their run was laid."""
    if requirement.quantity != INTERPASS:
        return frozenset()
    laid = state.runs_recorded(requirement.joint or "")
    last: dict[int, Reading] = {}
    replaced: set[int] = set()
    for reading in sorted(state.standing(step, requirement), key=lambda reading: reading.counts_from_seq):
        if reading.chart is not None:
            continue  # the coldest and the hottest place at one moment, neither read anew
        run = reading.run or 0
        if reading.counts_from_seq < laid.get(run, reading.counts_from_seq + 1):
            if run in last and not _beside_it(last[run], reading):
                replaced.add(last[run].number)
            last[run] = reading
    return frozenset(replaced)


def _beside_it(one: Reading, other: Reading) -> bool:
    """Two crayons that show one temperature together: the second does not replace the first."""
    return None not in (one.bound, other.bound) and one.bound != other.bound


def _each_complies(requirement: Requirement, run: int, readings: Sequence[Reading]) -> Judgement:
    if not readings:
        return Judgement("not shown", f"run {run}: no {requirement.quantity} recorded")
    for reading in readings:
        fault = fault_of(requirement, reading)
        if fault:
            return Judgement("not met", f"run {run}, reading {reading.number}: {fault}")
    given = [_as_given(run, reading) for reading in readings]
    showing = [judgement for judgement in given if judgement.verdict != "not shown"]
    return _worst(showing or given)


def _worst(judgements: Sequence[Judgement]) -> Judgement:
    if len(judgements) == 1:
        return judgements[0]  # as of most runs, of which there may be thousands
    return min(judgements, key=lambda judgement: WORST_FIRST.index(judgement.verdict))


def _as_given(run: int, reading: Reading) -> Judgement:
    """Of a reading inside: what its chart or instrument says, unless it was let stand."""
    if reading.given_verdict is None or reading.conceded_by is not None or reading.given_verdict == "met":
        return MET
    return Judgement(reading.given_verdict, f"run {run}, reading {reading.number}: {reading.given_reason}")


def _runs_read(standing: Sequence[Reading]) -> list[int]:
    return sorted({reading.run for reading in standing if reading.run is not None})


def next_run(state: JobState, joint: str) -> int:
    """The run that a reading typed without a run number belongs to: the one after the last recorded."""
    return max(state.runs_recorded(joint), default=0) + 1
