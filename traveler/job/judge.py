"""Does what was recorded show that a requirement is met? The one place that is asked."""

from collections.abc import Sequence
from dataclasses import replace

from traveler.job.chart_limits import ANSWERS
from traveler.job.concession import settled_missing
from traveler.job.decision_rule import blocks
from traveler.job.judge_reading import (
    WORST_FIRST,
    Judgement,
    all_as_judged,
    chart_is_current,
    outside,
    reading_as_judged,
    reading_verdict,
    reads_high,
    reads_low,
    standing_as_judged,
    too_high,
    too_low,
)
from traveler.job.judge_runs import judge_runs, next_run, read_again
from traveler.job.judge_tally import Tally
from traveler.job.judged_by import judged_by, kept_as_judged
from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import JobState, Reading

__all__ = [
    "JUDGE",
    "Judgement",
    "all_as_judged",
    "chart_is_current",
    "judge",
    "next_run",
    "outside",
    "read_again",
    "reading_as_judged",
    "reading_verdict",
    "reads_high",
    "reads_low",
    "standing_as_judged",
    "too_high",
    "too_low",
]

JUDGE = 5
"""Version of the judging rules, kept with each acceptance."""


@kept_as_judged
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
    if requirement.evidence.per_run:
        return _judge_by_runs(state, step, requirement)
    tally = tallied(state, step, requirement)
    if tally.fault:
        return Judgement("not met", tally.fault)
    judgement = _shown(state, step, requirement, tally)
    if blocks(judgement.verdict, state.decision_rule):
        return judgement
    return _conceded(requirement, tally.conceded) or judgement


def _judge_by_runs(state: JobState, step: StepPlan, requirement: Requirement) -> Judgement:
    standing = standing_as_judged(state, step, requirement)
    judgement = judge_runs(state, step, requirement, standing)
    if blocks(judgement.verdict, state.decision_rule):
        return judgement
    replaced = read_again(state, step, requirement)
    return _conceded(requirement, [r for r in standing if r.number not in replaced]) or judgement


def tallied(state: JobState, step: StepPlan, requirement: Requirement) -> Tally:
    """What the standing readings of a requirement come to."""
    key = (step.number, requirement.quantity, requirement.joint)
    # A crayon is judged beside the others of its place: with one more of them all are judged anew.
    parts = (*judged_by(state, requirement.joint), step, requirement, state.index.of_crayons(key))
    return state.workings.carried_on(
        ("tally", *key),
        parts,
        state.standing(step, requirement),
        Tally(),
        lambda tally, reading: tally.with_reading(
            requirement, reading_as_judged(state, step, requirement, reading)
        ),
    )


def _conceded(requirement: Requirement, standing: Sequence[Reading]) -> Judgement | None:
    """Of readings that a nonconformance lets stand, the worst as what it is; None where all comply by themselves."""
    worst: Judgement | None = None
    for reading in standing:
        if reading.conceded_by is None:
            continue
        verdict = reading_verdict(requirement, reading)
        if verdict == "met":
            continue
        why = outside(requirement, reading) or reading.given_reason
        reason = f"reading {reading.number}: {why}"
        if worst is None or WORST_FIRST.index(verdict) < WORST_FIRST.index(worst.verdict):
            worst = Judgement(verdict, reason, f"let stand by nonconformance {reading.conceded_by}")
    return worst


def _shown(state: JobState, step: StepPlan, requirement: Requirement, tally: Tally) -> Judgement:
    """Of readings that all lie inside: are there enough that show it, and how surely?"""
    judgement = _enough(requirement, tally)
    if judgement.verdict == "not shown":
        return _not_shown(state, step, requirement, tally, judgement)
    return Judgement("conditional", tally.doubt) if tally.doubt else judgement


def _not_shown(
    state: JobState, step: StepPlan, requirement: Requirement, tally: Tally, counted: Judgement
) -> Judgement:
    """Why nothing shows it: by the readings that are there and are no evidence, else by their number."""
    hidden = tally.hidden
    of_instruments = [f"reading {r.number} {r.instrument_reason}" for r in hidden if r.instrument_reason]
    of_charts = [
        f"chart {r.chart}: {r.chart_reason}" for r in hidden if r.chart_verdict == "not shown"
    ] or chart_reasons(state, step, requirement)
    short = [] if of_charts or (hidden and not tally.showing) else [counted.reason]
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


def _enough(requirement: Requirement, tally: Tally) -> Judgement:
    needed = requirement.evidence.readings
    if requirement.type != "number" or needed == 1:
        return Judgement("met") if tally.showing else Judgement("not shown", "nothing recorded yet")
    if not tally.showing:
        return Judgement("not shown", f"{needed} readings needed, none taken")
    if tally.most_places >= needed:
        return Judgement("met")
    if tally.showing < needed:
        return Judgement("not shown", f"{needed} readings needed, {tally.showing} taken")
    if len(tally.places) < needed:
        return Judgement("not shown", f"readings at {needed} places needed, {len(tally.places)} named")
    return Judgement("met")
