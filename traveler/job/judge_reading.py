"""One reading against its requirement: does it lie outside, and what does it count for?"""

from dataclasses import dataclass

from traveler.job.chart_limits import limits_digest
from traveler.job.concession import conceded_by
from traveler.job.judge_crayon import crayon_outside
from traveler.job.judge_instrument import instrument_verdict
from traveler.job.judged_by import kept_as_judged
from traveler.job.requirement import Requirement, StepPlan, Verdict
from traveler.job.state import PREHEAT, ChartRecord, JobState, Reading
from traveler.quantity.parse import stored
from traveler.quantity.quantity import Quantity, compare
from traveler.quantity.show import show

WORST_FIRST: tuple[Verdict, ...] = ("not met", "not shown", "conditional", "met")


@dataclass(frozen=True, slots=True)
class Judgement:
    """The verdict on a requirement and the reason in words; empty where it is met.

    ``settled``: what lets a verdict stand that would block: a nonconformance with its disposition, or that the
    requirement does not apply. It changes no verdict.
    """

    verdict: Verdict
    reason: str = ""
    settled: str = ""


MET = Judgement("met")


@kept_as_judged
def all_as_judged(state: JobState, step: StepPlan, requirement: Requirement) -> tuple[Reading, ...]:
    """Every reading of a requirement as judged: see ``reading_as_judged``."""
    return tuple(
        reading_as_judged(state, step, requirement, reading)
        for reading in state.readings_of(step, requirement)
    )


@kept_as_judged
def standing_as_judged(state: JobState, step: StepPlan, requirement: Requirement) -> tuple[Reading, ...]:
    """The readings that count, as judged."""
    attempt = state.attempt((step.number, requirement.quantity, requirement.joint))
    return tuple(
        reading
        for reading in all_as_judged(state, step, requirement)
        if not reading.superseded and reading.attempt == attempt
    )


def reading_as_judged(state: JobState, step: StepPlan, requirement: Requirement, reading: Reading) -> Reading:
    """The reading with the verdict that counts today, by its chart, its instrument and what lets it stand.

    What came out of a chart that was held against other limits shows nothing any more, unless its value lies outside
    today's limit.
    """
    verdict, reason = instrument_verdict(state, step, requirement, reading)
    if late := after_the_weld(state, step, requirement, reading):
        verdict, reason = "not shown", late
    conceded = conceded_by(state, step, requirement, reading.number)
    if (verdict, reason, conceded) != (
        reading.instrument_verdict,
        reading.instrument_reason,
        reading.conceded_by,
    ):
        # Of most readings there is nothing to say, and a copy of each would be the dearest part of judging.
        reading = reading._replace(instrument_verdict=verdict, instrument_reason=reason, conceded_by=conceded)
    if reading.chart is None or reading.chart_verdict is None:
        return reading
    chart = next((chart for chart in state.charts if chart.number == reading.chart), None)
    if chart is None or chart_is_current(step, chart):
        return reading
    by_value = reading._replace(chart_verdict=None)
    if outside(requirement, by_value):
        return by_value
    changed = "the limits changed after it was judged: attach it again"
    return reading._replace(chart_verdict="not shown", chart_reason=changed)


def after_the_weld(state: JobState, step: StepPlan, requirement: Requirement, reading: Reading) -> str:
    """Why a preheat shows nothing of the metal as it was welded; empty where it was recorded before the first run.

    By place in the log, as between runs; what a logger wrote was read when it says. Rework of the step begins anew.
    """
    if step.kind != "preheat" or requirement.quantity != PREHEAT or reading.chart is not None:
        return ""
    first = _first_run(state, step, requirement)
    if first is None or reading.counts_from_seq <= first[0]:
        return ""
    return f"was recorded after run {first[1]} was laid, and shows nothing of the metal before it"


@kept_as_judged
def _first_run(state: JobState, step: StepPlan, requirement: Requirement) -> tuple[int, int] | None:
    """Place in the log of the first run laid since the step was reworked, and its number."""
    since = state.reworked_at(step.number)
    laid = ((place, run) for run, place in state.runs_recorded(requirement.joint or "").items())
    return min((first for first in laid if first[0] > since), default=None)


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
        complies = not requirement.accepts or folded(reading.value) in map(folded, requirement.accepts)
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


def fault_of(requirement: Requirement, reading: Reading) -> str:
    """Why a reading stands against the requirement: it lies outside and nothing lets it stand."""
    return "" if reading.conceded_by is not None else outside(requirement, reading)


def folded(text: str) -> str:
    """Words and places as they are compared: without regard to case and spacing."""
    return " ".join(text.split()).casefold()
