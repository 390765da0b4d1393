"""What a change of one job does to those that depend on it, in the same transaction.

A job that was split off has the same readings and nonconformances up to the split; what is decided about them in the
job that it came from is decided in it, too. It, and each assembly that a job's pieces are in, is told what holds that
job, and an assembly whether it is closed and how many good pieces it has.
"""

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any

from traveler.acts.entry import Entry
from traveler.acts.register import append_to
from traveler.job.balance import standing
from traveler.job.board import as_recorded
from traveler.job.fold import (
    ACCEPTED,
    ATTACHED,
    CHARTED,
    PERFORMED,
    RECORDED,
    RETRIED,
    SUPERSEDED,
    extend,
    fold,
)
from traveler.job.fold_nonconformance import (
    APPROVED,
    NONCONFORMANCE_CLOSED,
    NONCONFORMANCE_VOID,
    NONCONFORMANCES,
    OPENED,
    REVERIFIED,
)
from traveler.job.fold_pieces import TOLD, standing_to_act
from traveler.job.fold_settling import ANSWERED
from traveler.job.four_eyes import work_done
from traveler.job.inherited import chart_counterpart, counterpart
from traveler.job.pieces import Standing
from traveler.job.questions import waits_for_answer
from traveler.job.state import JobState, Person
from traveler.job.view import job_state_word
from traveler.record.chain import code
from traveler.record.links import refuse_altered
from traveler.record.shop import StoredEvent, Writing

Act = Mapping[str, Any]

DECISIONS = (APPROVED, REVERIFIED, NONCONFORMANCE_CLOSED, NONCONFORMANCE_VOID)
"""What is taken about a nonconformance by another person than who did the work."""

QUIET = (RECORDED, RETRIED, ATTACHED, PERFORMED, ACCEPTED)
"""Kinds of event after which no other job is held otherwise, and which follow nowhere: the everyday ones."""


def tell_others(
    writing: Writing, person: Person, now: datetime, after: JobState, events: list[StoredEvent]
) -> None:
    """Append to each job that depends on ``after`` what follows for it from these last events of its stream."""
    batch = after.batch
    if not (batch.children or batch.assemblies) or all(event.data["kind"] in QUIET for event in events):
        return
    stands = standing(after)
    for child in batch.children:
        _tell(writing, person, now, after, child, events, stands)
    for assembly in batch.assemblies:
        _tell(writing, person, now, after, assembly, [], stands)


def told_act(state: JobState, stands: Standing) -> dict[str, Any]:
    """How a job stands, for one that depends on it."""
    return {
        "job": state.plan.number,
        "state": job_state_word(state),
        "revision": state.revision,
        "code": state.head,
        "events": state.events,
        "standing": standing_to_act(stands),
    }


def stored_state(writing: Writing, number: str) -> JobState | None:
    """State of a job as the write sees it; None where the shop has none of that number."""
    events = writing.events(f"job {number}")
    if not events:
        return None
    refuse_altered(events)
    return fold((event.data for event in events), code(events[-1].hash))


def _tell(
    writing: Writing,
    person: Person,
    now: datetime,
    source: JobState,
    number: str,
    events: list[StoredEvent],
    stands: Standing,
) -> None:
    state = stored_state(writing, number)
    if state is None:
        return
    written = []
    for event in events:
        act = followed(event.data, source, state)
        if act is not None:
            at = {"job": source.plan.number, "event": event.seq, "code": code(event.hash)}
            if own := _own_work_here(state, event.data["kind"], act, person):
                act["own_work"] = own
            state, stored = _append(
                writing, person, now, state, Entry(event.data["kind"], {**act, "followed": at})
            )
            written.append(stored)
    if _is_news(state, source.plan.number, stands):
        state, stored = _append(writing, person, now, state, Entry(TOLD, told_act(source, stands)))
        written.append(stored)
    if written:
        writing.put_board_row(as_recorded(state))
        tell_others(writing, person, now, state, written)


def _own_work_here(state: JobState, kind: str, act: Act, person: Person) -> str:
    """What of the work that a decision of elsewhere is about here was done here by who took it; there it was asked."""
    if kind == ANSWERED:
        numbers = {reading.key[0] for reading in state.readings if reading.number in act["readings"]}
    elif kind in DECISIONS and (entry := state.nonconformance(act["nonconformance"])) is not None:
        numbers = {entry.step}
    else:
        return ""
    steps = [step for step in state.plan.steps if step.number in numbers]
    return next((work for step in steps if (work := work_done(state, step, person))), "")


def _append(
    writing: Writing, person: Person, now: datetime, state: JobState, entry: Entry
) -> tuple[JobState, StoredEvent]:
    stored = append_to(writing, f"job {state.plan.number}", person, entry, now)
    return extend(state, stored.data, code(stored.hash)), stored


def _is_news(state: JobState, source: str, stands: Standing) -> bool:
    """A job that was split off has its own pieces: how many the other one has left is nothing to it."""
    origin, component = state.batch.parent, state.batch.component(source)
    if origin is not None and origin.job == source:
        return (origin.standing.ending, origin.standing.holds) != (stands.ending, stands.holds)
    return component is not None and component.standing != stands


def followed(event: Act, source: JobState, state: JobState) -> dict[str, Any] | None:
    """The act as it is of a job that was split off from ``source``; None where it is about nothing that came along."""
    origin, act = state.batch.parent, event["act"]
    if origin is None or origin.job != source.plan.number:
        return None
    if event["kind"] in NONCONFORMANCES and event["kind"] != OPENED:
        return dict(act) if act["nonconformance"] <= origin.nonconformances else None
    if event["kind"] == ANSWERED:
        return _answered(act, source, state)
    if event["kind"] == SUPERSEDED:
        return _superseded(act, source, state)
    if event["kind"] == CHARTED:
        return _read_anew(act, source, state)
    if event["kind"] == TOLD:
        return dict(act) if state.batch.component(act["job"]) else None
    return None


def _answered(act: Act, source: JobState, state: JobState) -> dict[str, Any] | None:
    found = (_here(source, state, number) for number in act["readings"])
    readings = [here for here in found if here is not None and waits_for_answer(state, here)]
    return {**act, "readings": readings} if readings else None


def _superseded(act: Act, source: JobState, state: JobState) -> dict[str, Any] | None:
    """A correction gets the next number of this job's readings."""
    here, correction = _here(source, state, act["reading"]), act["correction"]
    if here is None:
        return None
    again = {**correction, "reading": next(_numbers(state))} if correction else None
    return {**act, "reading": here, "correction": again}


def _read_anew(act: Act, source: JobState, state: JobState) -> dict[str, Any] | None:
    """A chart that came along and was read another way."""
    there = next((chart for chart in source.charts if chart.number == act["instead_of"]), None)
    here = chart_counterpart(state, there) if there else None
    if here is None:
        return None
    number = len(state.charts) + 1
    readings = [
        {**entry, "reading": at, "chart": number}
        for entry, at in zip(act["readings"], _numbers(state), strict=False)
    ]
    return {**act, "chart": number, "instead_of": here.number, "readings": readings}


def _here(source: JobState, state: JobState, number: int) -> int | None:
    """The number here of a reading there."""
    there = next((reading for reading in source.readings if reading.number == number), None)
    if there is not None and there.chart is not None:
        chart = next((chart for chart in source.charts if chart.number == there.chart), None)
        here = chart_counterpart(state, chart) if chart else None
        same = [r for r in state.readings if here and r.chart == here.number and r.key == there.key]
        same = [r for r in same if (r.run, r.place, r.value) == (there.run, there.place, there.value)]
        return same[-1].number if same else None
    found = counterpart(state, there) if there is not None else None
    return found.number if found is not None else None


def _numbers(state: JobState) -> Iterator[int]:
    number = max((reading.number for reading in state.readings), default=0)
    while True:
        number += 1
        yield number
