"""Judge a recorded chart: alone against a rule profile, or as the reading of a step of a job."""

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from traveler.acts.change import Entry, Outcome, Refusal, change, load_job
from traveler.acts.chart_asked import Asked, arc_times, judging_options
from traveler.acts.chart_cycle import cycle_words
from traveler.acts.chart_file import Blocks
from traveler.acts.chart_readings import LOGGED, judged_readings, logged_readings, logged_window
from traveler.acts.clock import Clock, written
from traveler.acts.readings import attach, find_step
from traveler.acts.register import known, register_of, shop_now, zone_of
from traveler.acts.taken_with import recorded_with, reported_by
from traveler.acts.typed import printable, reason_given
from traveler.chart.cleaning.trouble import usable
from traveler.chart.couples import Couple
from traveler.chart.judging.judge import CHART_JUDGE, judge_couples
from traveler.chart.model import Chart, Judged
from traveler.chart.reading.reader import read_chart
from traveler.chart.record import chart_act, chart_object, criterion_words
from traveler.errors import BadInput, TravelerError
from traveler.job.chart_limits import limits_digest, step_limits
from traveler.job.fold import CHARTED
from traveler.job.gate import JobAct, TakeBackChart, may
from traveler.job.gate_supersede import signatures_over
from traveler.job.judge import too_high, too_low
from traveler.job.profile_limits import profile_limits
from traveler.job.register_gate import secrets_in_use
from traveler.job.relief import MM_PER_INCH
from traveler.job.requirement import StepPlan
from traveler.job.state import JobState, Person
from traveler.library.load import load_library
from traveler.library.model import Units
from traveler.quantity.parse import echo, parse_quantity, stored
from traveler.quantity.show import show
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


SIGNED_OVER = (
    "step {} is signed as performed over chart {}: take it back first, signed by another person (supersede, without a "
    "value), then attach the file again"
)


@dataclass(frozen=True, slots=True)
class NewChart:
    """A file that becomes the reading of a step: where it goes, its name and bytes, how it is read and judged.

    ``instead_of``: number of a chart that was read wrongly and is taken back, ``because`` of a reason. ``instrument``:
    what recorded it, by id, name or serial number, or in words. ``from_vendor``: it was recorded at the vendor who did
    the work of the step.
    """

    step: int
    name: str
    blocks: Blocks
    asked: Asked
    instead_of: int | None = None
    because: str | None = None
    instrument: str | None = None
    from_vendor: bool = False


def attach_chart(shop: Shop, clock: Clock, person: Person, number: str, new: NewChart) -> Outcome:
    """Attach a chart: judged where the step has limits that a chart can be held against, else kept as it is.

    A preheat or a weld step is read at the marked arcs (``Asked.arcs``); without one the file is only kept.
    """
    step = find_step(load_job(shop, number), new.step)
    if new.asked.arcs and step.kind not in LOGGED:
        raise BadInput(
            f"step {new.step} is {step.kind}: arcs are marked on a chart of a preheat or weld step"
        )
    if step.kind not in JUDGED_KINDS:
        _refuse_what_would_not_count(step, new)
    if step.kind in JUDGED_KINDS or new.asked.arcs:
        return record_chart(shop, clock, person, number, new)
    return attach(shop, clock, person, number, new.step, new.name, new.blocks(), "chart")


def _refuse_what_would_not_count(step: StepPlan, new: NewChart) -> None:
    """Nobody is to believe that a chart was judged, or judged with an uncertainty, where it was not."""
    asked = new.asked
    if new.from_vendor and not asked.arcs:
        raise BadInput(
            f"step {step.number} is {step.kind}: its chart is kept and not read, so there is no reading that a vendor "
            "reports; leave that out"
        )
    if asked.arcs:
        counted = Asked(told=replace(asked.told, method="logger"), max_gap=asked.max_gap, arcs=asked.arcs)
        if asked != counted:
            raise BadInput(
                f"step {step.number} is {step.kind}: a logger is read there where the arcs were started, and not "
                "judged; leave out window, soak, uncertainty, rule, loading and exit, and any method but logger"
            )
    elif new.instead_of is not None or asked != Asked():
        marked = " unless arcs are marked" if step.kind in LOGGED else ""
        raise BadInput(
            f"step {step.number} is {step.kind}: its chart is kept and not read{marked}; leave out how it is read and "
            "which chart it stands for"
        )


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
    allowed = may(JobAct("record"), before, person, shop_now(shop, clock))
    if not allowed.granted:
        return Outcome(False, False, "not attached", before, allowed.reasons)
    step = find_step(before, new.step)
    # Reading a long file takes a second, in which nobody else is kept from writing.
    read = _read_and_judge(before, step, _on_the_shops_clock(shop, new))

    def decide(state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        allowed = may(JobAct("record"), state, person, now)
        found = find_step(state, new.step)
        if not allowed.granted or limits_digest(found) != read.limits:
            changed = f"the limits of step {new.step} changed meanwhile; attach it again"
            return Refusal(allowed.reasons or (changed,))
        _refuse_wrong_place(state, new)
        if new.instead_of is not None:
            allowed = may(TakeBackChart(new.instead_of), state, known(register_of(writing), person), now)
            if not allowed.granted:
                return Refusal(allowed.reasons)
            if _takes_secret(writing, state, new):
                return Refusal((SIGNED_OVER.format(new.step, new.instead_of),))
        sha256, size = writing.put_attachment(new.blocks())
        if sha256 != read.chart.sha256:
            raise TravelerError(f"{name} changed while it was read; nothing was stored")
        kept = {"as": "chart", "name": name, "sha256": sha256, "size": size}
        act = {**kept, **read.act, **_place(state, found, new, reason), "limits": read.limits}
        charted = _with_readings(state, found, read, new.asked, act, now)
        whose = reported_by(state, new.step, new.from_vendor)
        readings = [
            {**entry, **recorded_with(writing, new.instrument, entry), **whose}
            for entry in charted["readings"]
        ]
        return Entry(CHARTED, {**charted, "readings": readings, **whose})

    changed = change(shop, clock, person, number, decide)
    if changed.refused:
        return Outcome(False, False, "not attached", changed.after, changed.refused)
    return _told(changed.after)


def _on_the_shops_clock(shop: Shop, new: NewChart) -> NewChart:
    """A chart typed off its paper has the shop's time; what the clock of a logger shows, its mapping says."""
    told = new.asked.told
    zone = zone_of(shop) if told.method != "logger" and told.zone is None else None
    return new if zone is None else replace(new, asked=replace(new.asked, told=replace(told, zone=zone)))


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
    if new.asked.arcs:
        # The clock of the logger may have no date: without them nobody could read the file again.
        times = arc_times(chart, new.asked.arcs)
        act["options"]["arcs"] = ", ".join(f"run {run} at {chart.stamp(at_s)}" for run, at_s in times.items())
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
    verdict = "not met" if any(_outside(step, entry) for entry in readings) else "met"
    return {**act, "verdict": verdict if readings else "not shown", "readings": readings}


def _refuse_wrong_place(state: JobState, new: NewChart) -> None:
    if new.instead_of is None:
        return
    old = next((chart for chart in state.charts_of(new.step) if chart.number == new.instead_of), None)
    if old is None:
        raise BadInput(f"step {new.step} has no chart {new.instead_of}; show prints their numbers")
    if old.superseded:
        raise BadInput(f"chart {new.instead_of} is taken back already")


def _takes_secret(writing: Writing, state: JobState, new: NewChart) -> bool:
    """A name can be typed by anybody; with a secret a chart is taken back by ``supersede``."""
    old = next(chart for chart in state.charts if chart.number == new.instead_of)
    return secrets_in_use(register_of(writing)) and bool(signatures_over(state, new.step, old))


def _outside(step: StepPlan, entry: Json) -> str:
    """On which side of its limit a logged reading lies; empty inside."""
    requirement = next(
        r for r in step.requirements if (r.quantity, r.joint) == (entry["quantity"], entry["joint"])
    )
    value = stored(entry["value"], entry["unit"])
    if requirement.at_least is not None and too_low(requirement, value):
        return f"below {show(requirement.at_least)}"
    if requirement.at_most is not None and too_high(requirement, value):
        return f"above {show(requirement.at_most)}"
    return ""


def _read_words(step: StepPlan, entry: Json) -> str:
    """A reading that came out of a chart: "interpass temperature 262 °C at TC1, run 2: above 500 °F"."""
    place = f" at {entry['place']}" if entry["place"] else ""
    run = f", run {entry['run']}" if entry["run"] else ""
    outside = _outside(step, entry) if step.kind in LOGGED else ""
    return f"{entry['quantity']} {entry['typed']}{place}{run}" + (f": {outside}" if outside else "")


def _told(state: JobState) -> Outcome:
    chart = state.charts[-1]
    step = find_step(state, chart.step)
    failing = [
        f"{criterion['criterion']} {criterion['verdict']}: {criterion_words(criterion)}"
        for criterion in chart.criteria
        if criterion["verdict"] in ("not met", "not shown", "conditional")
    ]
    entries = chart.act["readings"]
    if step.kind in LOGGED:
        entries = sorted(entries, key=lambda entry: not _outside(step, entry))  # what fails stands first
    read = list(dict.fromkeys(_read_words(step, entry) for entry in entries))
    message = f"chart {chart.number} ({chart.name}) recorded with step {chart.step}: {chart.verdict}"
    enough = ("met",) if chart.act["options"]["rule"] == "guard" else ("met", "conditional")
    complies = chart.verdict in enough
    return Outcome(True, complies, message, state, tuple(failing or read))
