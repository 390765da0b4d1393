"""Does what was recorded show that a requirement is met? The one place that compares a reading with a limit."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from traveler.job.chart_limits import ANSWERS, limits_digest
from traveler.job.concession import conceded_by, settled_missing
from traveler.job.decision_rule import blocks
from traveler.job.judge_crayon import crayon_outside
from traveler.job.judge_instrument import instrument_verdict
from traveler.job.requirement import Requirement, StepPlan, Verdict
from traveler.job.state import INTERPASS, ChartRecord, JobState, Reading
from traveler.quantity.parse import stored
from traveler.quantity.quantity import Quantity, compare
from traveler.quantity.show import show

JUDGE = 3
"""Version of the judging rules, kept with each acceptance."""


@dataclass(frozen=True, slots=True)
class Judgement:
    """The verdict on a requirement and the reason in words; empty where it is met.

    ``settled``: what lets a verdict stand that would block: a nonconformance with its disposition, or that the
    requirement does not apply. It changes no verdict.
    """

    verdict: Verdict
    reason: str = ""
    settled: str = ""


def judge(state: JobState, step: StepPlan, requirement: Requirement) -> Judgement:
    """Verdict on one requirement of a step, from the readings that stand.

    In this order: a limit that nobody determined shows nothing; a standing reading outside a limit is ``not met``;
    too few readings that are evidence is ``not shown``; one that the uncertainty of its instrument reaches beyond the
    limit is ``conditional``; else ``met``. What was taken from a chart has the verdict of the chart's judge. A later
    good reading never outweighs an earlier bad one, except for a temperature read again before its run of weld was
    laid. A reading that a closed nonconformance lets stand counts as evidence, and the verdict says what it is.
    """
    judgement = _judge(state, step, requirement)
    if judgement.verdict == "not shown" and not judgement.settled:
        return replace(judgement, settled=settled_missing(state, step, requirement))
    return judgement


def _judge(state: JobState, step: StepPlan, requirement: Requirement) -> Judgement:
    if requirement.undetermined:
        return Judgement("not shown", "the limit is not determined: the engineer must settle it")
    standing = [reading_as_judged(state, step, requirement, r) for r in state.standing(step, requirement)]
    if requirement.evidence.per_run:
        judgement = _judge_runs(state, step, requirement, standing)
    else:
        judgement = _judge_readings(state, step, requirement, standing)
    if blocks(judgement.verdict, state.decision_rule):
        return judgement
    return _conceded(requirement, standing) or judgement


def _judge_readings(
    state: JobState, step: StepPlan, requirement: Requirement, standing: Sequence[Reading]
) -> Judgement:
    for reading in standing:
        fault = _fault(requirement, reading)
        if fault:
            return Judgement("not met", f"reading {reading.number}: {fault}")
    return _shown(state, step, requirement, standing)


def _fault(requirement: Requirement, reading: Reading) -> str:
    """Why a reading stands against the requirement: it lies outside and nothing lets it stand."""
    return "" if reading.conceded_by is not None else outside(requirement, reading)


def _conceded(requirement: Requirement, standing: Sequence[Reading]) -> Judgement | None:
    """Of readings that a nonconformance lets stand, the worst as what it is; None where all comply by themselves."""
    worst: Judgement | None = None
    for reading in standing:
        verdict = reading_verdict(requirement, reading)
        if reading.conceded_by is None or verdict == "met":
            continue
        why = outside(requirement, reading) or reading.given_reason
        reason = f"reading {reading.number}: {why}"
        if worst is None or _ORDER.index(verdict) < _ORDER.index(worst.verdict):
            worst = Judgement(verdict, reason, f"let stand by nonconformance {reading.conceded_by}")
    return worst


_ORDER: tuple[Verdict, ...] = ("not met", "not shown", "conditional", "met")


def reading_as_judged(state: JobState, step: StepPlan, requirement: Requirement, reading: Reading) -> Reading:
    """The reading with the verdict that counts today, by its chart, its instrument and what lets it stand.

    What came out of a chart that was held against other limits shows nothing any more, unless its value lies outside
    today's limit.
    """
    verdict, reason = instrument_verdict(state, step, requirement, reading)
    reading = replace(
        reading,
        instrument_verdict=verdict,
        instrument_reason=reason,
        conceded_by=conceded_by(state, step, requirement, reading.number),
    )
    chart = next((chart for chart in state.charts if chart.number == reading.chart), None)
    if chart is None or reading.chart_verdict is None or chart_is_current(step, chart):
        return reading
    by_value = replace(reading, chart_verdict=None)
    if outside(requirement, by_value):
        return by_value
    changed = "the limits changed after it was judged: attach it again"
    return replace(reading, chart_verdict="not shown", chart_reason=changed)


def chart_is_current(step: StepPlan, chart: ChartRecord) -> bool:
    """Whether the chart was held against the limits that the step has now."""
    return chart.limits == limits_digest(step)


def outside(requirement: Requirement, reading: Reading) -> str:
    """Why a reading does not comply, in words; empty where it does. Exact at the limit, in either unit."""
    if reading.chart_verdict == "not met":
        return f"chart {reading.chart}: {reading.chart_reason}"
    if reading.chart_verdict is not None:
        return ""
    if reading.bound is not None:
        return crayon_outside(requirement, reading)
    if requirement.type != "number":
        complies = not requirement.accepts or _fold(reading.value) in map(_fold, requirement.accepts)
        wanted = " or ".join(f'"{text}"' for text in requirement.accepts)
        return "" if complies else f'"{reading.value}" where {wanted} complies'
    if reading.unit is None:
        return f'"{reading.value}" is not a number with a unit'
    value = stored(reading.value, reading.unit)
    if too_low(requirement, value) and requirement.at_least is not None:
        return f"{show(value)} is below {show(requirement.at_least)}"
    if too_high(requirement, value) and requirement.at_most is not None:
        return f"{show(value)} is above {show(requirement.at_most)}"
    return ""


def reads_low(requirement: Requirement, reading: Reading) -> bool:
    """Whether a reading of a number lies below the minimum; of a crayon whether its mark shows that."""
    if reading.bound is not None:
        return reading.bound == "at_most" and bool(crayon_outside(requirement, reading))
    return reading.unit is not None and too_low(requirement, stored(reading.value, reading.unit))


def reads_high(requirement: Requirement, reading: Reading) -> bool:
    """Whether a reading of a number lies above the maximum; of a crayon whether its mark shows that."""
    if reading.bound is not None:
        return reading.bound == "at_least" and bool(crayon_outside(requirement, reading))
    return reading.unit is not None and too_high(requirement, stored(reading.value, reading.unit))


def too_low(requirement: Requirement, value: Quantity) -> bool:
    """Below the minimum, compared as exact fractions."""
    return requirement.at_least is not None and compare(value, requirement.at_least) < 0


def too_high(requirement: Requirement, value: Quantity) -> bool:
    """Above the maximum, compared as exact fractions."""
    return requirement.at_most is not None and compare(value, requirement.at_most) > 0


def reading_verdict(requirement: Requirement, reading: Reading) -> Verdict:
    """Verdict on one reading by itself, as judged: see ``reading_as_judged``."""
    if requirement.undetermined:
        return "not shown"
    if outside(requirement, reading):
        return "not met"
    return reading.given_verdict or "met"


def _fold(text: str) -> str:
    return " ".join(text.split()).casefold()


def _shown(
    state: JobState, step: StepPlan, requirement: Requirement, standing: Sequence[Reading]
) -> Judgement:
    """Of readings that all lie inside: are there enough that show it, and how surely?"""
    showing = [reading for reading in standing if reading.shows]
    judgement = _enough(requirement, showing)
    if judgement.verdict == "not shown":
        return _not_shown(state, step, requirement, standing, judgement)
    for reading in showing:
        if reading.given_verdict == "conditional" and reading.conceded_by is None:
            return Judgement("conditional", f"reading {reading.number}: {reading.given_reason}")
    return judgement


def _not_shown(
    state: JobState,
    step: StepPlan,
    requirement: Requirement,
    standing: Sequence[Reading],
    counted: Judgement,
) -> Judgement:
    """Why nothing shows it: by the readings that are there and are no evidence, else by their number."""
    hidden = [reading for reading in standing if not reading.shows]
    of_instruments = [f"reading {r.number} {r.instrument_reason}" for r in hidden if r.instrument_reason]
    of_charts = [
        f"chart {r.chart}: {r.chart_reason}" for r in hidden if r.chart_verdict == "not shown"
    ] or chart_reasons(state, step, requirement)
    short = [] if of_charts or len(hidden) == len(standing) > 0 else [counted.reason]
    return Judgement("not shown", "; ".join(dict.fromkeys((*short, *of_charts, *of_instruments))))


def chart_reasons(state: JobState, step: StepPlan, requirement: Requirement) -> list[str]:
    """Why the standing charts of a step do not show a requirement that they might have shown."""
    answers = ANSWERS.get(step.kind, {})
    return [
        f"chart {chart.number}: {reason}"
        for chart in state.charts_of(step.number)
        if not chart.superseded
        for criterion in chart.criteria
        if answers.get(criterion["criterion"]) == requirement.quantity and criterion["verdict"] == "not shown"
        for reason in criterion["reasons"][-1:]
    ]


def _enough(requirement: Requirement, standing: Sequence[Reading]) -> Judgement:
    needed = requirement.evidence.readings
    if requirement.type != "number" or needed == 1:
        return Judgement("met") if standing else Judgement("not shown", "nothing recorded yet")
    # A place that nobody named may be the same as another.
    places = {_fold(reading.place) for reading in standing if reading.place}
    if not standing:
        return Judgement("not shown", f"{needed} readings needed, none taken")
    if max(reading.places for reading in standing) >= needed:
        return Judgement("met")
    if len(standing) < needed:
        return Judgement("not shown", f"{needed} readings needed, {len(standing)} taken")
    if len(places) < needed:
        return Judgement("not shown", f"readings at {needed} places needed, {len(places)} named")
    return Judgement("met")


def _judge_runs(
    state: JobState, step: StepPlan, requirement: Requirement, standing: Sequence[Reading]
) -> Judgement:
    laid = state.runs_recorded(requirement.joint or "")
    signed = [signature.runs or 0 for signature in state.performed_of(step.number)][-1:]
    expected = sorted(set(laid) | set(range(1, max(signed, default=0) + 1)))
    pending = [] if signed else [run for run in _runs_read(standing) if run not in laid]
    if not expected and not pending:
        return Judgement("not shown", "no run of weld recorded yet")
    conditional: Judgement | None = None
    for run in [*expected, *pending]:
        judgement = _judge_run(requirement, run, laid.get(run), standing)
        if judgement.verdict in ("not met", "not shown"):
            return judgement
        if judgement.verdict == "conditional":
            conditional = conditional or judgement
    if not expected:
        return Judgement("not shown", f"ready for run {pending[0]}; no run of weld recorded yet")
    return conditional or Judgement("met")


def _judge_run(
    requirement: Requirement, run: int, laid_at: int | None, standing: Sequence[Reading]
) -> Judgement:
    of_run = sorted((r for r in standing if r.run == run), key=lambda reading: reading.counts_from_seq)
    if requirement.quantity != INTERPASS:
        return _each_complies(requirement, run, of_run)
    # What a logger wrote at the marked start of the arc was read before the run, whenever its file came in.
    before = [
        reading
        for reading in of_run
        if laid_at is None or reading.counts_from_seq < laid_at or reading.chart is not None
    ]
    for reading in before:
        if reading.chart is not None and (fault := _fault(requirement, reading)):
            return Judgement("not met", f"run {run} was laid outside the window: {fault}")
    after = [reading for reading in of_run if reading not in before]
    late = _each_complies(requirement, run, after)
    if late.verdict == "not met":
        return late
    if not before:
        return Judgement("not shown", f"run {run}: no {requirement.quantity} recorded before the run")
    # What is no evidence replaces nothing: the last that is decides, and the last of all if it lies outside.
    last = before[-1]
    if not _fault(requirement, last):
        last = next((reading for reading in reversed(before) if reading.shows), last)
    fault = _fault(requirement, last)
    if fault and laid_at is None:
        return Judgement(
            "not met", f"run {run}: {fault}; bring it into the window and read again before the arc"
        )
    if fault:
        return Judgement("not met", f"run {run} was laid outside the window: {fault}")
    return _as_given(run, last)


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
        fault = _fault(requirement, reading)
        if fault:
            return Judgement("not met", f"run {run}, reading {reading.number}: {fault}")
    given = [_as_given(run, reading) for reading in readings]
    showing = [judgement for judgement in given if judgement.verdict != "not shown"]
    return min(showing or given, key=lambda judgement: _ORDER.index(judgement.verdict))


def _as_given(run: int, reading: Reading) -> Judgement:
    """Of a reading inside: what its chart or instrument says, unless it was let stand."""
    if reading.given_verdict is None or reading.conceded_by is not None or reading.given_verdict == "met":
        return Judgement("met")
    return Judgement(reading.given_verdict, f"run {run}, reading {reading.number}: {reading.given_reason}")


def _runs_read(standing: Sequence[Reading]) -> list[int]:
    return sorted({reading.run for reading in standing if reading.run is not None})


def next_run(state: JobState, joint: str) -> int:
    """The run that a reading typed without a run number belongs to: the one after the last recorded."""
    return max(state.runs_recorded(joint), default=0) + 1
