"""Judge a recorded chart: alone against a rule profile, or as the reading of a step of a job."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from traveler.acts.change import Entry, Outcome, Refusal, change, load_job
from traveler.acts.chart_asked import Asked, judging_options
from traveler.acts.chart_cycle import cycle_words
from traveler.acts.chart_file import Blocks
from traveler.acts.chart_readings import LOGGED, judged_readings, logged_readings, logged_window
from traveler.acts.clock import Clock, written
from traveler.acts.readings import attach, find_step
from traveler.acts.taken_with import recorded_with
from traveler.acts.typed import printable, reason_given
from traveler.chart.cleaning.trouble import usable
from traveler.chart.couples import Couple
from traveler.chart.judging.judge import CHART_JUDGE, judge_couples
from traveler.chart.model import Chart, Judged
from traveler.chart.reading.reader import read_chart
from traveler.chart.record import chart_act, chart_object, criterion_words
from traveler.errors import BadInput, TravelerError
from traveler.job.chart_limits import limits_digest, profile_limits, step_limits
from traveler.job.fold import CHARTED
from traveler.job.gate import JobAct, may
from traveler.job.judge import too_high, too_low
from traveler.job.relief import MM_PER_INCH
from traveler.job.requirement import StepPlan
from traveler.job.state import JobState, Person
from traveler.library.load import load_library
from traveler.library.model import Units
from traveler.quantity.parse import echo, parse_quantity, stored
from traveler.quantity.units import Kind
from traveler.record.shop import Shop, Writing

Json = dict[str, Any]
JUDGED_KINDS = ("stress relief", "hydrogen release")


def judge_file(
    blocks: Blocks,
    profile: str,
    thickness: str,
    asked: Asked,
    units: Units | None = None,
    ceiling: str | None = None,
) -> Json:
    """Judge a chart by itself against a rule profile at one thickness; stores nothing.

    ``units``: which of the profile's two printed limits apply, by default those of the unit that the thickness was
    typed in. ``ceiling``: a temperature that no couple may exceed, where the metal sets one. Raises BadInput, and
    Unclear where the file leaves something open.
    """
    profiles = load_library().profiles
    if profile not in profiles:
        raise BadInput(f'there is no rule profile "{echo(profile)}"; expected one of {", ".join(profiles)}')
    thick = parse_quantity(thickness, Kind.LENGTH)
    if thick.number <= 0:
        raise BadInput(
            f'the thickness "{echo(thickness)}" is not above zero; expected one such as 1/2 in or 12 mm'
        )
    system: Units = units or ("inch" if thick.unit.symbol in ("in", "ft") else "metric")
    top = None if ceiling is None else parse_quantity(ceiling, Kind.TEMPERATURE)
    limits = profile_limits(profiles[profile], thick.canonical / MM_PER_INCH, system, top)
    if limits.soak_min is None:
        raise BadInput(
            f"the rule profile {profile} prints no least soak temperature: no chart can be held against it"
        )
    chart = read_chart(blocks(), asked.told)
    options = judging_options(chart, asked, limits)
    found = usable(chart, options)
    judged = judge_couples(chart, found, limits, options)
    act = chart_act(chart, judged, limits, options, CHART_JUDGE)
    return chart_object({**act, "sha256": chart.sha256, "cycle": cycle_words(chart, found.couples)})


@dataclass(frozen=True, slots=True)
class NewChart:
    """A file that becomes the reading of a step: where it goes, its name and bytes, how it is read and judged.

    ``instead_of``: number of a chart that was read wrongly and is taken back, ``because`` of a reason. ``instrument``:
    what recorded it, by id, name or serial number, or in words.
    """

    step: int
    name: str
    blocks: Blocks
    asked: Asked
    instead_of: int | None = None
    because: str | None = None
    instrument: str | None = None


def attach_chart(shop: Shop, clock: Clock, person: Person, number: str, new: NewChart) -> Outcome:
    """Attach a chart: judged where the step has limits that a chart can be held against, else kept as it is.

    A preheat or a weld step is read at the marked arcs (``Asked.arcs``); without one the file is only kept.
    """
    step = find_step(load_job(shop, number), new.step)
    if new.asked.arcs and step.kind not in LOGGED:
        raise BadInput(
            f"step {new.step} is {step.kind}: arcs are marked on a chart of a preheat or weld step"
        )
    if step.kind in JUDGED_KINDS or (step.kind in LOGGED and new.asked.arcs):
        return record_chart(shop, clock, person, number, new)
    if new.instead_of is not None:
        raise BadInput(f"step {new.step} has no judged charts; leave out which chart it stands for")
    return attach(shop, clock, person, number, new.step, new.name, new.blocks(), "chart")


def record_chart(shop: Shop, clock: Clock, person: Person, number: str, new: NewChart) -> Outcome:
    """Record a chart as it is, judged against the step's limits, complying or not.

    Its bytes are kept, with how they were read, the result of each criterion and the readings that answer the step's
    requirements. Raises BadInput where the file cannot be read and Unclear where it leaves something open; then
    nothing is stored.
    """
    name = printable(new.name, "file name")
    if name is None:
        raise BadInput("the file has no name; expected one such as relief-J1.csv")
    reason = None if new.instead_of is None else reason_given(new.because or "")
    before = load_job(shop, number)
    allowed = may(JobAct("record"), before, person, clock.now())
    if not allowed.granted:
        return Outcome(False, False, "not attached", before, allowed.reasons)
    step = find_step(before, new.step)
    # Reading a long file takes a second, in which nobody else is kept from writing.
    read = _read_and_judge(before, step, new)

    def decide(state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        allowed = may(JobAct("record"), state, person, now)
        found = find_step(state, new.step)
        if not allowed.granted or limits_digest(found) != read.limits:
            changed = f"the limits of step {new.step} changed meanwhile; attach it again"
            return Refusal(allowed.reasons or (changed,))
        _refuse_wrong_place(state, new)
        sha256, size = writing.put_attachment(new.blocks())
        if sha256 != read.chart.sha256:
            raise TravelerError(f"{name} changed while it was read; nothing was stored")
        kept = {"as": "chart", "name": name, "sha256": sha256, "size": size}
        act = {**kept, **read.act, **_place(state, found, new, reason), "limits": read.limits}
        charted = _with_readings(state, found, read, new.asked, act, now)
        readings = [
            {**entry, **recorded_with(writing, new.instrument, entry)} for entry in charted["readings"]
        ]
        return Entry(CHARTED, {**charted, "readings": readings})

    changed = change(shop, clock, person, number, decide)
    if changed.refused:
        return Outcome(False, False, "not attached", changed.after, changed.refused)
    return _told(changed.after)


@dataclass(frozen=True, slots=True)
class _Read:
    """A file as read and judged, and the digest of the limits that it was held against."""

    chart: Chart
    couples: tuple[Couple, ...]
    act: Json
    limits: str


def _read_and_judge(state: JobState, step: StepPlan, new: NewChart) -> _Read:
    chart = read_chart(new.blocks(), new.asked.told)
    is_judged = step.kind in JUDGED_KINDS
    limits = step_limits(step) if is_judged else logged_window(step)
    options = judging_options(chart, new.asked, limits)
    found = usable(chart, options)
    judged = judge_couples(chart, found, limits, options) if is_judged else Judged("met", (), (), ())
    act = chart_act(chart, judged, limits, options, CHART_JUDGE)
    cycle = cycle_words(chart, found.couples, step, state.revisions[-1].sheet)
    return _Read(chart, found.couples, {**act, "cycle": cycle}, limits_digest(step))


def _place(state: JobState, step: StepPlan, new: NewChart, reason: str | None) -> Json:
    """Where the chart stands in the job."""
    return {
        "step": step.number,
        "kind": step.kind,
        "chart": len(state.charts) + 1,
        "instead_of": new.instead_of,
        "because": reason,
    }


def _with_readings(
    state: JobState, step: StepPlan, read: _Read, asked: Asked, act: Json, now: datetime
) -> Json:
    """The act with the readings that the chart gives; of a logger left running they also decide its verdict."""
    if step.kind in JUDGED_KINDS:
        readings = judged_readings(state, step, read.chart, act["chart"], act, written(now))
        return {**act, "readings": readings}
    readings = logged_readings(state, step, read.chart, read.couples, act["chart"], asked.arcs, written(now))
    return {**act, "verdict": _verdict_of_readings(step, readings), "readings": readings}


def _refuse_wrong_place(state: JobState, new: NewChart) -> None:
    if new.instead_of is None:
        return
    old = next((chart for chart in state.charts_of(new.step) if chart.number == new.instead_of), None)
    if old is None:
        raise BadInput(f"step {new.step} has no chart {new.instead_of}; show prints their numbers")
    if old.superseded:
        raise BadInput(f"chart {new.instead_of} is taken back already")


def _verdict_of_readings(step: StepPlan, readings: list[Json]) -> str:
    limits = {(r.quantity, r.joint): r for r in step.requirements}
    for entry in readings:
        requirement, value = (
            limits[(entry["quantity"], entry["joint"])],
            stored(entry["value"], entry["unit"]),
        )
        if too_low(requirement, value) or too_high(requirement, value):
            return "not met"
    return "met" if readings else "not shown"


def _told(state: JobState) -> Outcome:
    chart = state.charts[-1]
    failing = [
        f"{criterion['criterion']} {criterion['verdict']}: {criterion_words(criterion)}"
        for criterion in chart.criteria
        if criterion["verdict"] in ("not met", "not shown", "conditional")
    ]
    read = [f"{entry['quantity']} {entry['typed']} at {entry['place']}" for entry in chart.act["readings"]]
    message = f"chart {chart.number} ({chart.name}) recorded with step {chart.step}: {chart.verdict}"
    enough = ("met",) if chart.act["options"]["rule"] == "guard" else ("met", "conditional")
    complies = chart.verdict in enough
    return Outcome(True, complies, message, state, tuple(failing or read))
