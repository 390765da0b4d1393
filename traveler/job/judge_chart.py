"""What stands against a step in its recorded charts beyond its requirements: spread, couples, exit into still air."""

from collections.abc import Iterator, Mapping
from typing import Any

from traveler.chart.record import criterion_words
from traveler.job.chart_limits import ANSWERS
from traveler.job.concession import criterion_conceded
from traveler.job.decision_rule import blocks
from traveler.job.judge import chart_is_current
from traveler.job.requirement import StepPlan
from traveler.job.state import ChartRecord, JobState

Criterion = Mapping[str, Any]


def chart_faults(state: JobState, step: StepPlan) -> list[str]:
    """Reasons against accepting the step, each naming the chart.

    What a standing chart shows outside a limit stays against the step whatever a later chart shows. What it does not
    show, a later chart of the same step may show. Where a guard band was agreed, for the chart or for the job, what is
    conditional is not enough, whether a requirement asks for it or not. What a closed nonconformance lets stand is no
    reason.
    """
    reasons: list[str] = []
    charts = _standing(state, step)
    for chart in charts:
        reasons += _inside_guard_band(state, step, chart, charts)
        for criterion in _beyond_requirements(chart, step):
            verdict = criterion["verdict"]
            if criterion_conceded(state, step, chart, criterion["criterion"]):
                continue
            if verdict == "not shown" and _shown_later(criterion, chart, charts, step):
                continue
            if verdict == "conditional" and _has_guard_band(chart):
                continue  # said above
            if blocks(verdict, state.decision_rule):
                reasons.append(f"chart {chart.number}, {_words(criterion)}")
    return reasons


def _inside_guard_band(
    state: JobState, step: StepPlan, chart: ChartRecord, charts: list[ChartRecord]
) -> Iterator[str]:
    """What a chart judged with a guard band leaves conditional, and no later one with a guard band shows as met."""
    if not _has_guard_band(chart):
        return
    for criterion in chart.criteria:
        shown = any(
            later["criterion"] == criterion["criterion"] and later["verdict"] == "met"
            for other in charts
            if other.number > chart.number and _has_guard_band(other)
            for later in other.criteria
        )
        conceded = criterion_conceded(state, step, chart, criterion["criterion"])
        if criterion["decides"] and criterion["verdict"] == "conditional" and not shown and not conceded:
            yield f"chart {chart.number}, {_words(criterion)}: not enough, a guard band was agreed"


def _has_guard_band(chart: ChartRecord) -> bool:
    return bool(chart.act["options"]["rule"] == "guard")


def conditional_charts(state: JobState, step: StepPlan) -> Iterator[str]:
    """What the step's charts show only within the uncertainty of their couples, beyond the requirements."""
    for chart in _standing(state, step):
        for criterion in _beyond_requirements(chart, step):
            if criterion["verdict"] == "conditional":
                yield f"chart {chart.number}, {_words(criterion)}"


def _standing(state: JobState, step: StepPlan) -> list[ChartRecord]:
    """Charts judged against today's limits; of the others their readings say that they are to be judged again.

    What was charted before the step was reworked is of an earlier attempt.
    """
    return [
        chart
        for chart in state.charts_of(step.number)
        if not chart.superseded
        and chart.moment.seq > state.reworked_at(step.number)
        and (chart_is_current(step, chart) or chart.verdict == "not met")
    ]


def _beyond_requirements(chart: ChartRecord, step: StepPlan) -> Iterator[Criterion]:
    asked = {requirement.quantity for requirement in step.requirements}
    answers = ANSWERS.get(step.kind, {})
    for criterion in chart.criteria:
        if criterion["decides"] and answers.get(criterion["criterion"]) not in asked:
            yield criterion


def _shown_later(criterion: Criterion, chart: ChartRecord, charts: list[ChartRecord], step: StepPlan) -> bool:
    return any(
        later["criterion"] == criterion["criterion"] and later["verdict"] in ("met", "conditional")
        for other in charts
        if other.number > chart.number
        for later in _beyond_requirements(other, step)
    )


def _words(criterion: Criterion) -> str:
    return f"{criterion['criterion']} {criterion['verdict']}: {criterion_words(criterion, brief=True)}"
