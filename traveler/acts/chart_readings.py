"""The readings that a chart gives to the requirements of its step."""

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from typing import Any

from traveler.acts.chart_asked import arc_times
from traveler.chart.couples import Couple
from traveler.chart.model import Chart, Limit, Limits
from traveler.chart.record import criterion_words, number_text
from traveler.chart.weld_log import temperatures_at
from traveler.errors import BadInput
from traveler.job.chart_limits import ANSWERS
from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import INTERPASS, PREHEAT, JobState
from traveler.metals.outcome import Mark
from traveler.quantity.parse import stored, unit
from traveler.quantity.show import show

Json = dict[str, Any]
Act = Mapping[str, Any]
LOGGED = {"preheat": PREHEAT, "weld": INTERPASS}
"""By kind of step: the quantity that a logger left running shows at the start of an arc."""


def judged_readings(
    state: JobState, step: StepPlan, chart: Chart, number: int, act: Act, now: str
) -> list[Json]:
    """One reading for each criterion with a value that answers a requirement of the step, of each of its joints."""
    answers = ANSWERS.get(step.kind, {})
    found: list[Json] = []
    for criterion in act["criteria"]:
        quantity = answers.get(criterion["criterion"])
        for requirement in step.requirements:
            if requirement.quantity == quantity and criterion["worst"] is not None:
                key = (step.number, requirement.quantity, requirement.joint)
                entry = _judged(step, requirement, criterion, chart, number, now)
                found.append({**entry, "attempt": state.attempt(key)})
    return _numbered(state, found)


def _judged(
    step: StepPlan, requirement: Requirement, criterion: Act, chart: Chart, number: int, now: str
) -> Json:
    verdict = criterion["verdict"]
    at_s = criterion["at_s"]
    return {
        "step": step.number,
        "quantity": requirement.quantity,
        "joint": requirement.joint,
        "value": criterion["worst"],
        "unit": criterion["unit"],
        "typed": show(stored(criterion["worst"], criterion["unit"])),
        "place": criterion["couple"],
        "instrument": f"chart {number}",
        "run": None,
        "chart": number,
        "verdict": verdict,
        "places": len(chart.of_role("part")),
        "verdict_reason": "" if verdict == "met" else criterion_words(criterion, brief=True),
        "happened_at": _instant(chart, None if at_s is None else float(at_s), now),
    }


def logged_readings(
    state: JobState,
    step: StepPlan,
    chart: Chart,
    couples: Sequence[Couple],
    number: int,
    arcs: Mapping[int, str],
    now: str,
) -> list[Json]:
    """What each part couple read when the arc of a run was started: the coldest and the hottest of each run.

    Raises BadInput for a time outside the chart, and where the chart shows nothing then.
    """
    requirement = next((r for r in step.requirements if r.quantity == LOGGED[step.kind]), None)
    if requirement is None:
        raise BadInput(f"step {step.number} asks for no temperature that a logger shows")
    found = []
    for run, at_s in arc_times(chart, arcs).items():
        for name, value in _counting(temperatures_at(chart, couples, at_s), step.kind):
            rounded = _rounded(value, chart.unit, requirement)
            found.append(
                {
                    "step": step.number,
                    "quantity": requirement.quantity,
                    "joint": requirement.joint,
                    "value": rounded,
                    "unit": chart.unit,
                    "typed": show(stored(rounded, chart.unit)),
                    "place": name,
                    "instrument": f"chart {number}",
                    "run": run if requirement.evidence.per_run else None,
                    "attempt": state.attempt((step.number, requirement.quantity, requirement.joint)),
                    "chart": number,
                    "happened_at": _instant(chart, at_s, now),
                }
            )
    return _numbered(state, found)


def _rounded(value: Fraction, symbol: str, requirement: Requirement) -> str:
    """A temperature between two rows in one decimal, in more where that would carry it over a limit."""
    low, high = (
        None if bound is None else unit(symbol).from_canonical(bound.canonical)
        for bound in (requirement.at_least, requirement.at_most)
    )
    if high is not None and value > high:
        return number_text(value, high, "at_most")
    return number_text(value, low, "at_least")


def logged_window(step: StepPlan) -> Limits:
    """The window of temperature that is drawn behind a logger's curves on a preheat or weld step."""
    requirement = next((r for r in step.requirements if r.quantity == LOGGED[step.kind]), None)
    if requirement is None:
        return Limits()
    mark: Mark = "common practice, no published source"
    low, high = (
        None if bound is None else Limit(bound, requirement.quantity, mark)
        for bound in (requirement.at_least, requirement.at_most)
    )
    return Limits(soak_min=low, soak_max=high)


def _counting(read: list[tuple[str, Any]], kind: str) -> Iterable[tuple[str, Any]]:
    """Every couple before the preheat is left; between runs the coldest and the hottest."""
    if kind == "preheat":
        return read
    ordered = sorted(read, key=lambda entry: entry[1])
    return ordered if len(ordered) == 1 else (ordered[0], ordered[-1])


def _numbered(state: JobState, readings: list[Json]) -> list[Json]:
    first = max((reading.number for reading in state.readings), default=0) + 1
    return [{"reading": first + place, **reading} for place, reading in enumerate(readings)]


def _instant(chart: Chart, at_s: float | None, now: str) -> str:
    """When it happened, where the logger's clock has an offset; else when it was entered."""
    return now if chart.started_at is None or at_s is None else chart.stamp(at_s)
