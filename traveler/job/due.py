"""What of a job comes due by the clock alone: a wait that is over, a notice that runs out, an entry dated ahead, a part
that is to be back from a vendor."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Literal

from traveler.job.acceptance import acceptance_stands
from traveler.job.exceptions import WAIT
from traveler.job.judge import judge
from traveler.job.outside import sending_out
from traveler.job.points import named, point_status, runs_until
from traveler.job.requirement import StepPlan
from traveler.job.state import ARC_ENERGY, JobState


@dataclass(frozen=True, slots=True)
class Due:
    """From ``at`` on a step may have ``what`` ("crack test"); until then ``kind`` of wait runs."""

    at: datetime
    what: str
    step: int
    kind: Literal["wait", "notice", "reading", "vendor"]


def next_due(state: JobState, now: datetime) -> Due | None:
    """The first that is still to come at ``now``; where none is, the first of those that came and were not done yet."""
    found = sorted(_dues(state, now), key=lambda due: due.at)
    return next((due for due in found if due.at > now), found[0] if found else None)


def _dues(state: JobState, now: datetime) -> Iterator[Due]:
    for step in state.plan.steps:
        if not acceptance_stands(state, step):
            yield from _wait(state, step)
            yield from _notices(state, step, now)
            yield from _dated_ahead(state, step, now)
            yield from _at_vendor(state, step)


def _wait(state: JobState, step: StepPlan) -> Iterator[Due]:
    """The wait before the crack test, until it is recorded; it begins when every earlier weld is signed."""
    for requirement in step.requirements:
        if requirement.quantity != WAIT or requirement.at_least is None:
            continue
        ended = _welding_ended(state, step)
        if ended is not None and judge(state, step, requirement).verdict != "met":
            wait = timedelta(seconds=float(requirement.at_least.canonical))
            yield Due(ended + wait, "crack test", step.number, "wait")


def _welding_ended(state: JobState, step: StepPlan) -> datetime | None:
    """The latest that is known of the end of welding; None while a weld is not signed as performed.

    Of a weld the last run, and the first signature behind it: too late a time costs a wait, too early one a crack.
    """
    times: list[datetime] = []
    for weld in state.plan.steps:
        if weld.kind != "weld" or weld.number > step.number:
            continue
        runs = [
            r.moment for r in state.index.of_all(ARC_ENERGY) if r.key[0] == weld.number and not r.superseded
        ]
        last_run = max((moment.seq for moment in runs), default=0)
        signed = [s.moment for s in state.performed_of(weld.number) if s.moment.seq > last_run]
        if not signed:
            return None
        times += [datetime.fromisoformat(moment.happened_at) for moment in (*runs, signed[0])]
    return max(times, default=None)


def _notices(state: JobState, step: StepPlan, now: datetime) -> Iterator[Due]:
    for point in step.points:
        status = point_status(state, step, point, now)
        if status.word == "notified" and status.act is not None:
            until = runs_until(point, status.act)
            if until is not None:
                yield Due(until, f"going on without {named(point)}", step.number, "notice")


def _dated_ahead(state: JobState, step: StepPlan, now: datetime) -> Iterator[Due]:
    for requirement in step.requirements if state.any_dated_after(now) else ():
        for reading in state.dated_after(step, requirement, now):
            at = datetime.fromisoformat(reading.moment.happened_at)
            yield Due(at, f"reading {reading.number} counts", step.number, "reading")


def _at_vendor(state: JobState, step: StepPlan) -> Iterator[Due]:
    """From the beginning of the day on which it is expected, by the clock of the shop when it was sent."""
    sending = sending_out(state, step.number)
    if sending is not None and sending.expected is not None:
        zone = datetime.fromisoformat(sending.moment.recorded_at).tzinfo
        day = datetime.combine(date.fromisoformat(sending.expected), time(), zone)
        yield Due(day, f"return of step {step.number} by {sending.vendor}", step.number, "vendor")
