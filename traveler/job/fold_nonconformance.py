"""Nonconformances out of the log: opened, disposed of, looked at again, closed."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from traveler.errors import TravelerError
from traveler.job.decided import Decision, Nonconformance, NonconformanceEnd, Proposal, Reverification
from traveler.job.person import Moment, Person
from traveler.job.pieces import Gone, Way
from traveler.job.state import JobState, Key, Retry

Event = Mapping[str, Any]

OPENED = "nonconformance opened"
PROPOSED = "disposition proposed"
APPROVED = "disposition approved"
REFUSED = "disposition refused"
REVERIFIED = "nonconformance re-verified"
NONCONFORMANCE_CLOSED = "nonconformance closed"
NONCONFORMANCE_VOID = "nonconformance void"


def _opened(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    act = event["act"]
    opened = Nonconformance(
        number=act["nonconformance"],
        step=act["step"],
        quantity=act["quantity"],
        joint=act["joint"],
        what=act["what"],
        readings=tuple(act["readings"]),
        by=by,
        moment=moment,
    )
    return replace(state, nonconformances=(*state.nonconformances, opened))


def _proposed(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    act = event["act"]
    entry = _entry(state, event)
    proposal = Proposal(
        act["disposition"],
        act["instruction"],
        by,
        moment,
        pieces=act.get("pieces"),
        serials=tuple(act.get("serials", ())),
    )
    return _with(state, replace(entry, proposals=(*entry.proposals, proposal)))


def _decided(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    act = event["act"]
    entry = _entry(state, event)
    if not entry.proposals or entry.proposals[-1].disposition != act["disposition"]:
        raise TravelerError(
            f"event {moment.seq} of {event['stream']}: nobody proposed to {act['disposition']} "
            f"for nonconformance {entry.number}"
        )
    decision = Decision(event["kind"] == APPROVED, act["meaning"], act["because"], by, moment, state.revision)
    answered = replace(entry.proposals[-1], decision=decision)
    changed = _with(state, replace(entry, proposals=(*entry.proposals[:-1], answered)))
    if decision.approved and answered.pieces is not None and "followed" not in act:
        changed = _rejected(changed, entry, answered, decision)
    reworks = decision.approved and act["disposition"] == "rework"
    return _opens_attempts(changed, entry, by, moment) if reworks else changed


def _rejected(state: JobState, entry: Nonconformance, proposal: Proposal, decision: Decision) -> JobState:
    """The pieces that the disposition gives up are no longer in the job."""
    way: Way = "scrapped" if proposal.disposition == "scrap" else "returned"
    gone = Gone(
        way,
        proposal.pieces or 0,
        proposal.serials,
        proposal.instruction,
        decision.by,
        decision.moment,
        nonconformance=entry.number,
    )
    return replace(state, batch=replace(state.batch, gone=(*state.batch.gone, gone)))


def _reverified(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    act = event["act"]
    entry = _entry(state, event)
    again = Reverification(act["what"], act["result"] == "complies", by, moment)
    return _with(state, replace(entry, reverifications=(*entry.reverifications, again)))


def _ended(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    entry = _entry(state, event)
    void = event["kind"] == NONCONFORMANCE_VOID
    end = NonconformanceEnd(void, event["act"]["because"], by, moment)
    return _with(state, replace(entry, end=end))


def _opens_attempts(state: JobState, entry: Nonconformance, by: Person, moment: Moment) -> JobState:
    because = f"rework, nonconformance {entry.number}"
    opened = [Retry(key, state.attempt(key) + 1, because, by, moment) for key in reworked(state, entry)]
    return replace(state, retries=(*state.retries, *opened))


def reworked(state: JobState, entry: Nonconformance) -> tuple[Key, ...]:
    """The requirements that rework does anew: those it names, those of its readings, else all of its step.

    A weld is laid anew run by run: with one quantity of its runs go the others.
    """
    step = state.step(entry.step)
    if step is None:
        return ()
    every = [(step.number, requirement.quantity, requirement.joint) for requirement in step.requirements]
    of_readings = {reading.key for reading in state.readings if reading.number in entry.readings}
    named = [key for key in every if key[1] == entry.quantity and entry.joint in (None, key[2])]
    keys = {*named, *(key for key in every if key in of_readings)} or set(every)
    per_run = {r.quantity for r in step.requirements if r.evidence.per_run}
    laid_anew = {joint for _, quantity, joint in keys if quantity in per_run}
    return tuple(key for key in every if key in keys or (key[1] in per_run and key[2] in laid_anew))


def _entry(state: JobState, event: Event) -> Nonconformance:
    number = event["act"]["nonconformance"]
    found = state.nonconformance(number)
    if found is None:
        raise TravelerError(f"event {event['seq']} of {event['stream']}: there is no nonconformance {number}")
    return found


def _with(state: JobState, changed: Nonconformance) -> JobState:
    entries = tuple(changed if entry.number == changed.number else entry for entry in state.nonconformances)
    return replace(state, nonconformances=entries)


NONCONFORMANCES: Mapping[str, Callable[[JobState, Event, Person, Moment], JobState]] = {
    OPENED: _opened,
    PROPOSED: _proposed,
    APPROVED: _decided,
    REFUSED: _decided,
    REVERIFIED: _reverified,
    NONCONFORMANCE_CLOSED: _ended,
    NONCONFORMANCE_VOID: _ended,
}
