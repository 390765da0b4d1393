"""Hold and witness points out of the log."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from traveler.errors import TravelerError
from traveler.job.content import evidence_digest
from traveler.job.decided import PointAct, PointKind
from traveler.job.person import Moment, Person
from traveler.job.state import JobState

HOLD_RELEASED = "hold released"
HOLD_WAIVED = "hold waived"
WITNESS_NOTIFIED = "witness notified"
WITNESS_ATTENDED = "witness attended"

_KINDS: Mapping[str, PointKind] = {
    HOLD_RELEASED: "released",
    HOLD_WAIVED: "waived",
    WITNESS_NOTIFIED: "notified",
    WITNESS_ATTENDED: "attended",
}


def _point(state: JobState, event: Mapping[str, Any], by: Person, moment: Moment) -> JobState:
    act = event["act"]
    step = state.step(act["step"])
    if step is None:
        raise TravelerError(f"event {moment.seq} of {event['stream']}: there is no step {act['step']}")
    point = PointAct(
        step=act["step"],
        point=act["point"],
        kind=_KINDS[event["kind"]],
        party=act["party"],
        meaning=act["meaning"],
        by=by,
        moment=moment,
        # Worked out here and not taken from the event: it is compared with what the step holds later.
        covers=evidence_digest(state, step),
        because=act["because"],
        notice_h=act["notice_h"],
    )
    return replace(state, points=(*state.points, point))


POINTS: Mapping[str, Callable[[JobState, Mapping[str, Any], Person, Moment], JobState]] = dict.fromkeys(
    _KINDS, _point
)
