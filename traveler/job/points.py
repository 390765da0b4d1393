"""Hold and witness points: where each stands, and what is said of it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from traveler.job.content import evidence_digest
from traveler.job.decided import PointAct, PointKind
from traveler.job.requirement import Plan, Point, StepPlan
from traveler.job.state import JobState
from traveler.quantity.show import show

PointWord = Literal["open", "released", "waived", "notified", "attended", "lapsed", "changed"]


@dataclass(frozen=True, slots=True)
class PointStatus:
    """Where a point stands; ``act`` is the act that put it there, None while nothing was done."""

    word: PointWord
    act: PointAct | None = None

    @property
    def settled(self) -> bool:
        """Whether it lets the step go on."""
        return self.word in ("released", "waived", "attended", "lapsed")


def point_status(state: JobState, step: StepPlan, point: Point, now: datetime) -> PointStatus:
    """Where a point of a step stands at ``now``.

    A hold is released on what the step holds: once that changes it is to be released again. A waiver is not about what
    the step holds, and stands. A witness point is settled when the party attended, or when the notice has run out
    since it was notified, by when that was written; without a notice it does not lapse.
    """
    waived = _latest(state, step, point, "waived")
    if waived is not None:
        return PointStatus("waived", waived)
    return _hold(state, step, point) if point.kind == "hold" else _witness(state, step, point, now)


def _hold(state: JobState, step: StepPlan, point: Point) -> PointStatus:
    released = _latest(state, step, point, "released")
    if released is None:
        return PointStatus("open")
    unchanged = released.covers == evidence_digest(state, step)
    return PointStatus("released" if unchanged else "changed", released)


def _witness(state: JobState, step: StepPlan, point: Point, now: datetime) -> PointStatus:
    attended = _latest(state, step, point, "attended")
    if attended is not None:
        return PointStatus("attended", attended)
    notified = _first_notified(state, step, point)
    if notified is None:
        return PointStatus("open")
    until = runs_until(point, notified)
    return PointStatus("lapsed" if until is not None and now >= until else "notified", notified)


def runs_until(point: Point, notified: PointAct) -> datetime | None:
    """When the notice has run out: counted from the later of when the party was told and when that was written."""
    if point.notice is None:
        return None
    moment = notified.moment
    told = max(map(datetime.fromisoformat, (moment.happened_at, moment.recorded_at)))
    return told + timedelta(seconds=float(point.notice.canonical))


def open_points(state: JobState, step: StepPlan, now: datetime) -> Iterator[str]:
    """What the step still waits for, a sentence each."""
    return filter(None, (open_point(state, step, point, now) for point in step.points))


def open_point(state: JobState, step: StepPlan, point: Point, now: datetime) -> str:
    """What one point still waits for; empty where it is settled."""
    status = point_status(state, step, point, now)
    return "" if status.settled else _waits(point, status)


def given_up(before: Plan, after: Plan) -> list[tuple[StepPlan, Point]]:
    """The holds and witness points that a plan asks for and the next one does not.

    They go with the kind of step and its joints, since a step may get another number. A longer notice is the same
    point, a shorter one is not.
    """
    left = [(step, point) for step in after.steps for point in step.points]
    gone = []
    for step in before.steps:
        for point in step.points:
            kept = next((asked for asked in left if _is_kept(step, point, *asked)), None)
            if kept is None:
                gone.append((step, point))
            else:
                left.remove(kept)
    return gone


def _is_kept(step: StepPlan, point: Point, later: StepPlan, asked: Point) -> bool:
    same = (step.kind, step.joints, point.kind, point.party)
    if same != (later.kind, later.joints, asked.kind, asked.party):
        return False
    return asked.notice is None or (
        point.notice is not None and asked.notice.canonical >= point.notice.canonical
    )


def named(point: Point) -> str:
    """ "hold 1 (customer)" or "witness 2 (engineer)"."""
    return f"{point.kind} {point.number} ({point.party})"


def _waits(point: Point, status: PointStatus) -> str:
    if status.word == "changed":
        return f"{named(point)}: the step has changed since it was released; it is to be released again"
    if status.word == "notified" and status.act is not None:
        until = runs_until(point, status.act)
        told = f"{named(point)}: notified at {status.act.moment.recorded_at}"
        if until is None or point.notice is None:
            return f"{told}, and it does not lapse"
        return f"{told}; the notice of {show(point.notice)} runs until {until.isoformat()}"
    waits_for = "released" if point.kind == "hold" else "notified and witnessed"
    return f"{named(point)} is not {waits_for}"


def _acts(state: JobState, step: StepPlan, point: Point, kind: PointKind) -> list[PointAct]:
    """A revision may give a number to another party: then what was done is no longer about this point."""
    return [
        act
        for act in state.points
        if (act.step, act.point, act.party, act.kind) == (step.number, point.number, point.party, kind)
    ]


def _latest(state: JobState, step: StepPlan, point: Point, kind: PointKind) -> PointAct | None:
    return next(reversed(_acts(state, step, point, kind)), None)


def _first_notified(state: JobState, step: StepPlan, point: Point) -> PointAct | None:
    return next(iter(_acts(state, step, point, "notified")), None)
