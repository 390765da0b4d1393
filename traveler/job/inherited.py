"""What came along into a job that was split off, and what of it is still decided in the job that it came from."""

from traveler.job.gate_acts import (
    Act,
    AnswerQuestion,
    DecideDisposition,
    OnNonconformance,
    ProposeDisposition,
    SupersedeReading,
    TakeBackChart,
)
from traveler.job.pieces import OPEN
from traveler.job.state import ChartRecord, JobState, Reading


def decided_by_parent(state: JobState) -> str:
    """The job in which that is decided which came along from it; empty where there is none, or it has ended."""
    origin = state.batch.parent
    return origin.job if origin is not None and origin.standing.ending == OPEN else ""


def came_along(state: JobState, reading: Reading) -> bool:
    """Whether a reading, or the entry that it corrects, is older than the split."""
    return reading.counts_from_seq <= state.batch.before


def chart_came_along(state: JobState, chart: ChartRecord) -> bool:
    """Whether a chart is older than the split, or was read anew in the job that this one came from."""
    return chart.moment.seq <= state.batch.before or "followed" in chart.act


def counterpart(state: JobState, there: Reading) -> Reading | None:
    """The reading of a job that was split off that is the same entry as one of the job that it came from."""
    if there.counts_from_seq > state.batch.before:
        return None
    same = [r for r in state.readings if (r.counts_from_seq, r.key) == (there.counts_from_seq, there.key)]
    return next((r for r in same if r.number == there.number), same[-1] if same else None)


def chart_counterpart(state: JobState, there: ChartRecord) -> ChartRecord | None:
    """The same of a chart; one that was read anew since is known by the event that it follows."""
    if there.moment.seq <= state.batch.before:
        return next((chart for chart in state.charts if chart.number == there.number), None)
    origin = state.batch.parent
    before = origin.first - 1 if origin else 0
    followed = ((chart, chart.act.get("followed") or {}) for chart in state.charts)
    return next((chart for chart, at in followed if at.get("event") == there.moment.seq - before), None)


def decided_elsewhere(act: Act, state: JobState) -> str:
    """Why an act is for the job that this one came from, in words; empty where it is not."""
    there, what = decided_by_parent(state), ""
    if not there:
        return ""
    match act:
        case ProposeDisposition(nonconformance=number) | DecideDisposition(nonconformance=number):
            what = _nonconformance(state, number)
        case OnNonconformance(nonconformance=number):
            what = _nonconformance(state, number)
        case SupersedeReading(reading=number):
            what = _readings(state, (number,))
        case AnswerQuestion(readings=numbers):
            what = _readings(state, numbers)
        case TakeBackChart(chart=number):
            along = any(c.number == number and chart_came_along(state, c) for c in state.charts)
            what = f"chart {number}" if along else ""
    return f"{what} came along from {there}: it is decided there, and follows here" if what else ""


def _nonconformance(state: JobState, number: int) -> str:
    origin = state.batch.parent
    return f"nonconformance {number}" if origin and number <= origin.nonconformances else ""


def _readings(state: JobState, numbers: tuple[int, ...]) -> str:
    charts = {chart.number for chart in state.charts if chart_came_along(state, chart)}
    along = [
        str(reading.number)
        for reading in state.readings
        if reading.number in numbers and (came_along(state, reading) or reading.chart in charts)
    ]
    return f"reading {along[0]}" if along else ""
