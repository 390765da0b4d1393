"""Work done by vendors, out of the log."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from traveler.errors import TravelerError
from traveler.job.person import Moment, Person
from traveler.job.sending import CalledOff, Receipt, Review, Sending
from traveler.job.state import JobState

Event = Mapping[str, Any]

SENT = "outside work sent"
RECEIVED = "outside work received"
REVIEWED = "outside certificate reviewed"
CALLED_OFF = "outside work called off"


def _sent(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    act = event["act"]
    sending = Sending(
        number=act["sending"],
        step=act["step"],
        vendor=act["vendor"],
        order=act["order"],
        what=act["what"],
        pieces=act["pieces"],
        requirement=act["requirement"],
        revision=act["revision"],
        returns=tuple(act["returns"]),
        expected=act["expected"],
        by=by,
        moment=moment,
    )
    return replace(state, sendings=(*state.sendings, sending))


def _received(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    act, sending = event["act"], _sending(state, event)
    receipt = Receipt(act["pieces"], act["condition"], act["damage"], act["heat_number"], by, moment)
    return _with(state, replace(sending, receipts=(*sending.receipts, receipt)))


def _reviewed(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    act, sending = event["act"], _sending(state, event)
    review = Review(
        accepted=act["result"] == "accepted",
        files=tuple((file["name"], file["sha256"]) for file in act["files"]),
        held_against=act["held_against"],
        missing=tuple(act["missing"]),
        because=act["because"],
        meaning=act["meaning"],
        by=by,
        moment=moment,
    )
    return _with(state, replace(sending, reviews=(*sending.reviews, review)))


def _called_off(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    sending = _sending(state, event)
    return _with(state, replace(sending, called_off=CalledOff(event["act"]["because"], by, moment)))


def _sending(state: JobState, event: Event) -> Sending:
    act = event["act"]
    found = state.sending(act["step"], act["sending"])
    if found is None:
        raise TravelerError(
            f"event {event['seq']} of {event['stream']}: step {act['step']} has no sending {act['sending']}"
        )
    return found


def _with(state: JobState, changed: Sending) -> JobState:
    key = (changed.step, changed.number)
    sendings = tuple(changed if (s.step, s.number) == key else s for s in state.sendings)
    return replace(state, sendings=sendings)


OUTSIDE: Mapping[str, Callable[[JobState, Event, Person, Moment], JobState]] = {
    SENT: _sent,
    RECEIVED: _received,
    REVIEWED: _reviewed,
    CALLED_OFF: _called_off,
}
