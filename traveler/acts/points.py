"""Hold and witness points: release a hold, waive, notify a party, witness."""

from collections.abc import Callable, Mapping
from datetime import datetime
from fractions import Fraction

from traveler.acts.change import Outcome
from traveler.acts.clock import when
from traveler.acts.entry import Entry, Refusal
from traveler.acts.performers import Inspection
from traveler.acts.readings import find_step
from traveler.acts.register import zone_of
from traveler.acts.signed_change import Signing
from traveler.acts.typed import printable, reason_given
from traveler.errors import BadInput
from traveler.job.content import content_digest
from traveler.job.decided import PointKind
from traveler.job.fold_points import HOLD_RELEASED, HOLD_WAIVED, WITNESS_ATTENDED, WITNESS_NOTIFIED
from traveler.job.gate import ActAtPoint, may
from traveler.job.person import Person
from traveler.job.points import named
from traveler.job.requirement import Point, StepPlan
from traveler.job.state import JobState
from traveler.quantity.show import finite_decimal

_EVENTS: Mapping[PointKind, str] = {
    "released": HOLD_RELEASED,
    "waived": HOLD_WAIVED,
    "notified": WITNESS_NOTIFIED,
    "attended": WITNESS_ATTENDED,
}
MEANINGS: Mapping[PointKind, Callable[[Point], str]] = {
    "released": lambda point: f"I looked at what this step holds and release {named(point)}",
    "waived": lambda point: f"I waive {named(point)}",
    "notified": lambda point: f"the {point.party} was told that this step can be witnessed",
    "attended": lambda point: f"I witnessed this step for the {point.party}",
}
_SECONDS_AN_HOUR = 3600


def release(signing: Signing, step: int, point: int | None = None, because: str | None = None) -> Outcome:
    """Release a hold for the party that it names, on what the step holds now; once that changes it is open again.

    ``point`` may be left out where the step has only one that can be meant; so in the acts below.
    """
    return _act(signing, step, point, "released", printable(because, "reason"))


def waive(signing: Signing, step: int, point: int | None, because: str) -> Outcome:
    """Give up a hold or witness point for good, with a reason; it takes the party that the point names."""
    return _act(signing, step, point, "waived", reason_given(because))


def notify(
    signing: Signing, step: int, point: int | None = None, because: str | None = None, at: str | None = None
) -> Outcome:
    """Note that a party was told that it can witness, and when; a notice runs from when this is written."""
    return _act(signing, step, point, "notified", printable(because, "reason"), at)


def attend(signing: Signing, step: int, point: int | None = None, because: str | None = None) -> Outcome:
    """Sign as the party that witnessed the step."""
    return _act(signing, step, point, "attended", printable(because, "reason"))


def _act(
    signing: Signing,
    step: int,
    wanted: int | None,
    kind: PointKind,
    because: str | None,
    at: str | None = None,
) -> Outcome:
    def decide(person: Person, state: JobState, now: datetime) -> Entry | Refusal:
        found = find_step(state, step)
        point = _point(found, wanted, kind)
        allowed = may(ActAtPoint(step, point.number, kind), state, person, now)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        act = {
            "step": step,
            "point": point.number,
            "party": point.party,
            "meaning": MEANINGS[kind](point),
            "because": because,
            "notice_h": _hours(point) if kind == "notified" else None,
            "content": content_digest(state, found),
        }
        return Entry(_EVENTS[kind], act, when(at, now, zone_of(signing.shop)))

    def inspects(state: JobState) -> Inspection | None:
        if kind == "notified":
            return None
        point = _point(find_step(state, step), wanted, kind)
        return Inspection((step,), (point.party,), f"settle {named(point)}")

    changed = signing.change(f"hold or witness point {kind}", lambda _: step, decide, inspects)
    if changed.refused:
        return Outcome(False, False, f"step {step}: no point is {kind}", changed.after, changed.refused)
    done = changed.after.points[-1]
    point = _point(find_step(changed.after, step), done.point, kind)
    return Outcome(True, True, f"step {step}: {named(point)} is {kind} by {done.by.name}", changed.after)


def _point(step: StepPlan, wanted: int | None, kind: PointKind) -> Point:
    """The point of that number, or the only one that can be meant; which act fits which point is the gate's."""
    if not step.points:
        raise BadInput(f"step {step.number} has no hold or witness point")
    offered = ", ".join(named(point) for point in step.points)
    if wanted is not None:
        found = next((point for point in step.points if point.number == wanted), None)
        if found is None:
            raise BadInput(f"step {step.number} has no point {wanted}; it has: {offered}")
        return found
    fits = {"released": ("hold",), "waived": ("hold", "witness")}.get(kind, ("witness",))
    meant = [point for point in step.points if point.kind in fits] or list(step.points)
    if len(meant) > 1:
        raise BadInput(f"step {step.number} has several points; say which: {offered}")
    return meant[0]


def _hours(point: Point) -> int | str | None:
    """The notice in hours as an event keeps it: a whole number, else a decimal or a fraction as text."""
    if point.notice is None:
        return None
    hours = Fraction(point.notice.canonical) / _SECONDS_AN_HOUR
    if hours.denominator == 1:
        return int(hours)
    return finite_decimal(hours, 6) or f"{hours.numerator}/{hours.denominator}"
