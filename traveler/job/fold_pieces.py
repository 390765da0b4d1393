"""Pieces out of the log: gone, split off, used in assemblies; components joined; how other jobs stand."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from traveler.errors import TravelerError
from traveler.job.person import Moment, Person
from traveler.job.pieces import Batch, CameFrom, Component, Gone, Standing, Use
from traveler.job.state import JobState

Event = Mapping[str, Any]

TAKEN_OUT = "pieces taken out"
SPLIT_OFF = "pieces split off"
USED = "pieces used"
NOT_USED = "pieces not used"
JOINED = "component joined"
REMOVED = "component removed"
TOLD = "other job changed"


def standing_to_act(standing: Standing) -> dict[str, Any]:
    """How a job stands, as an event of another one keeps it."""
    return {
        "ending": standing.ending,
        "holds": list(standing.holds),
        "good": standing.good,
        "used": standing.used,
    }


def standing_from_act(act: Event) -> Standing:
    """How a job stood."""
    return Standing(act["ending"], tuple(act["holds"]), act["good"], act["used"])


def came_from(act: Event, parent: JobState, by: Person, moment: Moment) -> CameFrom:
    """The job that this one was split off from, folded from the history that the event brings along."""
    if (act["job"], act["revision"], act["events"]) != (parent.plan.number, parent.revision, parent.events):
        raise TravelerError(f"the history of job {act['job']} is not the one that it was split off with")
    return CameFrom(
        job=act["job"],
        revision=act["revision"],
        code=act["code"],
        first=parent.batch.before + 1,
        last=parent.batch.before + parent.events,
        readings=max((reading.number for reading in parent.readings), default=0),
        charts=len(parent.charts),
        nonconformances=len(parent.nonconformances),
        pieces=act["pieces"],
        serials=tuple(act["serials"]),
        because=act["because"],
        by=by,
        moment=moment,
        standing=standing_from_act(act["standing"]),
    )


def gone(act: Event, by: Person, moment: Moment) -> Gone:
    """Pieces that left, by an act that says which way."""
    return Gone(
        way=act["way"],
        pieces=act["pieces"],
        serials=tuple(act["serials"]),
        because=act["because"],
        by=by,
        moment=moment,
        job=act.get("job"),
        nonconformance=act.get("nonconformance"),
    )


def _left(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    return _with(state, gone=(*state.batch.gone, gone(event["act"], by, moment)))


def _used(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    act = event["act"]
    use = Use(act["job"], act["step"], act["pieces"], tuple(act["serials"]), by, moment)
    return _with(state, uses=(*state.batch.uses, use))


def _not_used(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    return _with(state, uses=tuple(use for use in state.batch.uses if use.job != event["act"]["job"]))


def _joined(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    act = event["act"]
    component = Component(
        job=act["job"],
        step=act["step"],
        pieces=act["pieces"],
        serials=tuple(act["serials"]),
        standing=standing_from_act(act["standing"]),
        state=act["state"],
        revision=act["revision"],
        code=act["code"],
        events=act["events"],
        act=act,
        by=by,
        moment=moment,
    )
    return _with(state, components=(*state.batch.components, component))


def _removed(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    job = event["act"]["job"]
    return _with(state, components=tuple(part for part in state.batch.components if part.job != job))


def _told(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    """How the parent or a component stands since."""
    act = event["act"]
    stands = standing_from_act(act["standing"])
    origins = state.batch.came_from
    if origins and origins[-1].job == act["job"]:
        return _with(state, came_from=(*origins[:-1], replace(origins[-1], standing=stands)))
    known = {key: act[key] for key in ("state", "revision", "code", "events")}
    components = tuple(
        replace(part, standing=stands, **known) if part.job == act["job"] else part
        for part in state.batch.components
    )
    return _with(state, components=components)


def _with(state: JobState, **changed: Any) -> JobState:
    batch: Batch = replace(state.batch, **changed)
    return replace(state, batch=batch)


PIECES: Mapping[str, Callable[[JobState, Event, Person, Moment], JobState]] = {
    TAKEN_OUT: _left,
    SPLIT_OFF: _left,
    USED: _used,
    NOT_USED: _not_used,
    JOINED: _joined,
    REMOVED: _removed,
    TOLD: _told,
}
