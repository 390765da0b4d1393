"""From the events of a job to its state: a pure fold, one small function an event kind."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import datetime
from itertools import groupby
from typing import Any

from traveler.errors import TravelerError
from traveler.job.fold_nonconformance import NONCONFORMANCES
from traveler.job.fold_outside import OUTSIDE
from traveler.job.fold_pieces import PIECES, came_from
from traveler.job.fold_points import POINTS
from traveler.job.fold_settling import SETTLING
from traveler.job.instrument_state import InstrumentState, instrument_state_of
from traveler.job.person import moment_of, person_of
from traveler.job.pieces import Batch
from traveler.job.plan_json import plan_from_act
from traveler.job.state import (
    SIMPLE_ACCEPTANCE,
    Attachment,
    ChartRecord,
    Ending,
    JobState,
    Key,
    Moment,
    Person,
    Reading,
    Retry,
    Revision,
    Signature,
)

Event = Mapping[str, Any]
SetBack = tuple[tuple[Moment, Moment], ...]

ISSUED = "traveler issued"
REVISED = "traveler revised"
RECORDED = "reading recorded"
SUPERSEDED = "reading superseded"
RETRIED = "attempt opened"
ATTACHED = "file attached"
CHARTED = "chart recorded"
PERFORMED = "step performed"
ACCEPTED = "step accepted"
CLOSED = "job closed"
CANCELLED = "job cancelled"

ALWAYS_SAID = 11
"""Keys of a reading that says nothing but what every reading does: number, step, quantity, joint, the value as it was
typed, its number and unit, attempt, run, place, instrument."""


def fold(events: Iterable[Event], head: str = "") -> JobState:
    """State after ``events``, parsed bodies in order of sequence; ``head`` is the code of the last one.

    Raises TravelerError for events that no version of this program writes.
    """
    state = _apply_all(None, events)
    if state is None:
        raise TravelerError("a job without events has no state")
    return replace(state, head=head)


def extend_all(state: JobState, events: Iterable[Event]) -> JobState:
    """State after several more events."""
    after = _apply_all(state, events)
    assert after is not None
    return after


def extend(state: JobState, event: Event, head: str) -> JobState:
    """State after one more event; the same as folding all of them again."""
    return replace(_apply(state, event), head=head)


def _apply_all(state: JobState | None, events: Iterable[Event]) -> JobState | None:
    """Readings that follow one another are put in at once: each state copies all that the one before holds."""
    for of_readings, group in groupby(events, lambda event: event["kind"] == RECORDED):
        if of_readings and state is not None:
            state = _record_all(state, group)
            continue
        for event in group:
            state = _apply(state, event)
    return state


def _record_all(state: JobState, events: Iterable[Event]) -> JobState:
    readings, set_back = list(state.readings), list(state.set_back)
    before, stream, came_along = state.last_moment, _stream(state), state.batch.before
    of_last: Event = {}
    by: Person | None = None
    instruments: dict[str, InstrumentState] = {}
    for event in events:
        if event["stream"] != stream:
            raise _stranger(state, event)
        if by is None or event["by"] != of_last:
            # Most entries that follow one another are by one person.
            of_last, by = event["by"], person_of(event["by"])
        moment = Moment(event["happened_at"], event["recorded_at"], event["seq"] + came_along)
        readings.append(_reading(event["act"], by, moment, moment.seq, instruments))
        if before is not None and _is_set_back(before, moment):
            set_back.append((before, moment))
        before = moment
    return replace(
        state,
        readings=tuple(readings),
        events=state.events + len(readings) - len(state.readings),
        last_moment=before,
        set_back=tuple(set_back),
    )


def _apply(state: JobState | None, event: Event) -> JobState:
    if state is None and event["kind"] == ISSUED:
        return _issued(event)
    step = _STEPS.get(event["kind"])
    if state is None or step is None:
        raise TravelerError(f'event {event["seq"]} of {event["stream"]}: "{event["kind"]}" cannot stand here')
    if event["stream"] != _stream(state):
        raise _stranger(state, event)
    by, moment = person_of(event["by"]), _placed(state, event)
    after = step(state, event, by, moment)
    set_back = _set_back(state.set_back, state.last_moment, moment)
    after = replace(after, events=state.events + 1, last_moment=moment, set_back=set_back)
    own = event["act"].get("own_work")
    return after if own is None else replace(after, own_work={**state.own_work, moment.seq: own})


def _issued(event: Event) -> JobState:
    """A job's first event. One that is split off goes on from the history of the job that it comes from."""
    by, moment, origin = person_of(event["by"]), moment_of(event), event["act"].get("split_from")
    if origin is None:
        return JobState(revisions=(_revision(event, by, moment),), events=1, last_moment=moment)
    parent = fold(origin["history"], origin["code"])
    placed = moment._replace(seq=parent.batch.before + parent.events + 1)
    came = came_from(origin, parent, by, placed)
    return replace(
        parent,
        revisions=(*parent.revisions, _revision(event, by, placed)),
        batch=Batch(components=parent.batch.components, came_from=(*parent.batch.came_from, came)),
        events=1,
        head="",
        last_moment=placed,
        set_back=_set_back(parent.set_back, parent.last_moment, placed),
    )


def _placed(state: JobState, event: Event) -> Moment:
    """The two times of an event, and its place behind all that came along from other jobs."""
    moment = moment_of(event)
    return moment._replace(seq=moment.seq + state.batch.before) if state.batch.before else moment


def _stream(state: JobState) -> str:
    return f"job {state.plan.number}"


def _stranger(state: JobState, event: Event) -> TravelerError:
    return TravelerError(
        f"event {event['seq']} of {event['stream']} stands among the events of job {state.plan.number}"
    )


def _set_back(set_back: SetBack, last: Moment | None, moment: Moment) -> SetBack:
    """With the neighbours of which the second was written at an earlier time: the order stays that of the log."""
    return set_back if last is None or not _is_set_back(last, moment) else (*set_back, (last, moment))


def _is_set_back(last: Moment, moment: Moment) -> bool:
    return datetime.fromisoformat(moment.recorded_at) < datetime.fromisoformat(last.recorded_at)


def _revision(event: Event, by: Person, moment: Moment) -> Revision:
    act = event["act"]
    return Revision(
        act["revision"],
        plan_from_act(act["plan"]),
        act["program"],
        act["because"],
        by,
        moment,
        act.get("sheet", ""),
        act.get("decision_rule", SIMPLE_ACCEPTANCE),
        act.get("shop_name"),
        act.get("made_from"),
    )


def _key(act: Event) -> Key:
    return act["step"], act["quantity"], act["joint"]


def _revised(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    return replace(state, revisions=(*state.revisions, _revision(event, by, moment)))


def _reading(
    act: Event,
    by: Person,
    moment: Moment,
    counts_from_seq: int,
    instruments: dict[str, InstrumentState] | None = None,
) -> Reading:
    return Reading(
        number=act["reading"],
        key=_key(act),
        value=act["value"],
        unit=act["unit"],
        typed=act["typed"],
        attempt=act["attempt"],
        run=act["run"],
        place=act["place"],
        instrument=act["instrument"],
        by=by,
        moment=moment,
        counts_from_seq=counts_from_seq,
        # Most readings say nothing else, and looking for each of the rest would be most of the work.
        **({} if len(act) == ALWAYS_SAID else _besides(act, instruments)),
    )


def _besides(act: Event, instruments: dict[str, InstrumentState] | None) -> dict[str, Any]:
    """What only some readings say."""
    return {
        "chart": act.get("chart"),
        "chart_verdict": act.get("verdict"),
        "chart_reason": act.get("verdict_reason", ""),
        "places": act.get("places", 1),
        "bound": act.get("bound"),
        "names_instrument": "instrument_state" in act,
        "instrument_state": instrument_state_of(
            act.get("instrument_state"), {} if instruments is None else instruments
        ),
        "lot": act.get("lot"),
        "out_of_order": tuple(act.get("out_of_order", ())),
        "reported_by": act.get("reported_by"),
    }


def _recorded(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    return replace(state, readings=(*state.readings, _reading(event["act"], by, moment, moment.seq)))


def _superseded(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    act = event["act"]
    correction = act["correction"]
    taken = next(
        (r.chart for r in state.readings if r.number == act["reading"] and r.chart is not None), None
    )
    if taken is not None:
        return _taken_back(state, taken, None, act["because"])
    readings = []
    for reading in state.readings:
        if reading.number == act["reading"]:
            by_number = correction["reading"] if correction else None
            readings.append(reading._replace(superseded=True, superseded_by=by_number, reason=act["because"]))
            if correction:
                readings.append(_corrected(reading, correction, by, moment))
        else:
            readings.append(reading)
    return replace(state, readings=tuple(sorted(readings, key=lambda reading: reading.number)))


def _corrected(old: Reading, correction: Event, by: Person, moment: Moment) -> Reading:
    """What the earlier entry should have said: it counts from that entry's place, and is of its time.

    It was taken by the same instrument and as much out of sequence, unless the correction is about the instrument.
    """
    corrected = _reading(correction, by, moment, old.counts_from_seq)
    if not corrected.names_instrument:
        corrected = corrected._replace(
            names_instrument=old.names_instrument, instrument_state=old.instrument_state
        )
    happened = moment._replace(happened_at=old.moment.happened_at)
    return corrected._replace(moment=happened, out_of_order=old.out_of_order, reported_by=old.reported_by)


def _retried(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    act = event["act"]
    retry = Retry(_key(act), act["attempt"], act["because"], by, moment)
    return replace(state, retries=(*state.retries, retry))


def _attached(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    act = event["act"]
    file = Attachment(act["name"], act["as"], act["sha256"], act["size"], act["step"], by, moment)
    return replace(state, attachments=(*state.attachments, file))


def _charted(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    act = event["act"]
    if act["instead_of"] is not None:
        state = _taken_back(state, act["instead_of"], act["chart"], act["because"])
    chart = ChartRecord(
        number=act["chart"],
        step=act["step"],
        kind=act["kind"],
        name=act["name"],
        sha256=act["sha256"],
        verdict=act["verdict"],
        limits=act["limits"],
        act=act,
        by=by,
        moment=moment,
    )
    readings = tuple(
        _reading(entry, by, moment._replace(happened_at=entry["happened_at"]), moment.seq)
        for entry in act["readings"]
    )
    state = _attached(state, event, by, moment)
    return replace(state, charts=(*state.charts, chart), readings=(*state.readings, *readings))


def _taken_back(state: JobState, chart: int, instead: int | None, because: str) -> JobState:
    """A chart and every reading out of it no longer count; both stay and print."""
    charts = tuple(
        replace(entry, superseded=True, superseded_by=instead, reason=because)
        if entry.number == chart
        else entry
        for entry in state.charts
    )
    readings = tuple(
        entry._replace(superseded=True, reason=because)
        if entry.chart == chart and not entry.superseded
        else entry
        for entry in state.readings
    )
    return replace(state, charts=charts, readings=readings)


def _signature(event: Event, by: Person, moment: Moment) -> Signature:
    act = event["act"]
    return Signature(
        step=act["step"],
        meaning=act["meaning"],
        by=by,
        moment=moment,
        revision=act["revision"],
        content=act["content"],
        runs=act.get("runs"),
        out_of_order=tuple(act.get("out_of_order", ())),
        verdicts=act.get("verdicts", {}),
        qualification=act.get("qualification"),
        session=act.get("session"),
        others=tuple(map(person_of, act.get("with", ()))),
    )


def _performed(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    return replace(state, performed=(*state.performed, _signature(event, by, moment)))


def _accepted(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    return replace(state, accepted=(*state.accepted, _signature(event, by, moment)))


def _closed(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    return replace(state, closed=Ending(by, moment))


def _cancelled(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    return replace(state, cancelled=Ending(by, moment, event["act"]["because"]))


_STEPS: Mapping[str, Callable[[JobState, Event, Person, Moment], JobState]] = {
    REVISED: _revised,
    RECORDED: _recorded,
    SUPERSEDED: _superseded,
    RETRIED: _retried,
    ATTACHED: _attached,
    CHARTED: _charted,
    PERFORMED: _performed,
    ACCEPTED: _accepted,
    CLOSED: _closed,
    CANCELLED: _cancelled,
    **POINTS,
    **NONCONFORMANCES,
    **SETTLING,
    **OUTSIDE,
    **PIECES,
}
