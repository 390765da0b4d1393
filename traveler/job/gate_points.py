"""May this be done at a hold or witness point?"""

from collections.abc import Iterator, Sequence
from datetime import datetime

from traveler.job.four_eyes import own_work
from traveler.job.gate_acts import ActAtPoint
from traveler.job.person import Person
from traveler.job.points import given_up, named, point_status
from traveler.job.requirement import Plan, Point, StepPlan
from traveler.job.state import JobState


def against_act_at_point(
    act: ActAtPoint, state: JobState, person: Person | None, now: datetime
) -> Sequence[str]:
    """Reasons against releasing, waiving, notifying or attending.

    A hold is released, and a point waived or attended, by the party that it names; anybody may notify. Who did the
    work does not release it.
    """
    step = state.step(act.step)
    if step is None:
        return [f"there is no step {act.step}"]
    point = next((point for point in step.points if point.number == act.point), None)
    if point is None:
        return [f"step {act.step} has no hold or witness point {act.point}"]
    if act.kind == "released" and point.kind != "hold":
        return [f"{named(point)} is not released: its party attends, or is notified and does not come"]
    if act.kind in ("notified", "attended") and point.kind != "witness":
        return [f"{named(point)} is a hold: it is released or waived, and never lapses"]
    status = point_status(state, step, point, now)
    if status.word in ("released", "waived", "attended"):
        return [f"{named(point)} is {status.word} already"]
    return [] if act.kind == "notified" else _not_the_party(state, step, point, person)


def against_giving_up(state: JobState, plan: Plan, person: Person | None, now: datetime) -> Iterator[str]:
    """Why a revision cannot leave out a hold or witness point: that is a waiver, an act of its party."""
    if person is None or person.id is None:
        return
    for step, point in given_up(state.plan, plan):
        if point.party not in person.roles and point_status(state, step, point, now).word != "waived":
            of = f"{named(point)} of step {step.number}"
            yield f"{of} is for the {point.party} to waive, not for a revision to leave out"


def _not_the_party(state: JobState, step: StepPlan, point: Point, person: Person | None) -> list[str]:
    if person is None:
        return []
    reasons = []
    if person.id is not None and point.party not in person.roles:
        own = ", ".join(person.roles) or "nobody in particular"
        reasons.append(
            f"{named(point)} is for the {point.party} to settle; {person.name} is registered as {own}"
        )
    work = own_work(state, step, person)
    if work:
        reasons.append(f"{work}; another person must settle {named(point)}")
    return reasons
