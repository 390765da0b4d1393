"""People, points, nonconformances and instruments of a job as JSON."""

import json
from datetime import datetime
from typing import Any

from traveler.job.decided import Nonconformance, PointAct, Proposal
from traveler.job.instrument_state import InstrumentState
from traveler.job.people import deeds
from traveler.job.person import Moment, Person
from traveler.job.points import open_point, point_status
from traveler.job.quantity_act import quantity_to_act
from traveler.job.requirement import Point, StepPlan
from traveler.job.state import JobState
from traveler.quantity.show import show_both

Json = dict[str, Any]


def person_object(person: Person) -> Json:
    """Name and how it is known; of a registered person the id and the roles too."""
    told: Json = {"name": person.name, "how": person.how}
    return told if person.id is None else {**told, "person": person.id, "roles": list(person.roles)}


def who_when(by: Person, moment: Moment) -> Json:
    """Who did it, when it happened and when it was written."""
    return {"by": person_object(by), "happened_at": moment.happened_at, "recorded_at": moment.recorded_at}


def names_words(state: JobState) -> str:
    """How the names of a job are known."""
    known = {deed.by.id is not None for deed in deeds(state)}
    if known == {True}:
        return "names as registered"
    return "some names as registered, some as stated" if True in known else "names as stated"


def people_objects(state: JobState) -> list[Json]:
    """The registered people of a job, each with the names and roles that they had in it, in order of their ids."""
    people: dict[str, Json] = {}
    for person in _named(state):
        if person.id is None:
            continue
        entry = people.setdefault(person.id, {"person": person.id, "name": "", "roles": [], "names": []})
        entry["name"] = person.name
        entry["roles"] = list(dict.fromkeys([*entry["roles"], *person.roles]))
        entry["names"] = list(dict.fromkeys([*entry["names"], person.name]))
    return sorted(people.values(), key=lambda entry: (len(entry["person"]), entry["person"]))


def _named(state: JobState) -> list[Person]:
    """Whoever did something, or is named as having performed a step together with its signer, in order of the log."""
    named = [(deed.moment.seq, deed.by) for deed in deeds(state)]
    named += [(signed.moment.seq, other) for signed in state.performed for other in signed.others]
    return [person for _, person in sorted(named, key=lambda one: one[0])]


def point_objects(state: JobState, step: StepPlan, now: datetime) -> list[Json]:
    """The hold and witness points of a step and where each stands at ``now``."""
    return [
        {
            "point": point.number,
            "kind": point.kind,
            "party": point.party,
            "notice": quantity_to_act(point.notice),
            "state": point_status(state, step, point, now).word,
            "waits_for": open_point(state, step, point, now) or None,
            "acts": [_point_act(act) for act in state.points if _is_of(act, step, point)],
        }
        for point in step.points
    ]


def _is_of(act: PointAct, step: StepPlan, point: Point) -> bool:
    return (act.step, act.point) == (step.number, point.number)


def _point_act(act: PointAct) -> Json:
    return {
        "what": act.kind,
        "party": act.party,
        "meaning": act.meaning,
        "because": act.because,
        "notice_h": act.notice_h,
        **who_when(act.by, act.moment),
    }


def nonconformance_object(entry: Nonconformance) -> Json:
    """One nonconformance with everything that was done about it."""
    return {
        "nonconformance": entry.number,
        "step": entry.step,
        "quantity": entry.quantity,
        "joint": entry.joint,
        "what": entry.what,
        "readings": list(entry.readings),
        "state": entry.status,
        "disposition": entry.disposition,
        **who_when(entry.by, entry.moment),
        "proposals": [_proposal(proposal) for proposal in entry.proposals],
        "reverified": [
            {"what": again.what, "complies": again.complies, **who_when(again.by, again.moment)}
            for again in entry.reverifications
        ],
        "ended": {"because": entry.end.because, **who_when(entry.end.by, entry.end.moment)}
        if entry.end
        else None,
    }


def _proposal(proposal: Proposal) -> Json:
    decision = proposal.decision
    return {
        "disposition": proposal.disposition,
        "instruction": proposal.instruction,
        **(
            {"pieces": proposal.pieces, "serials": list(proposal.serials)}
            if proposal.pieces is not None
            else {}
        ),
        **who_when(proposal.by, proposal.moment),
        "decision": {
            "approved": decision.approved,
            "meaning": decision.meaning,
            "because": decision.because,
            "revision": decision.revision,
            **who_when(decision.by, decision.moment),
        }
        if decision
        else None,
    }


def question_objects(state: JobState) -> list[Json]:
    """Readings put in question, with the answers that came after."""
    return [
        {
            "instrument": question.instrument,
            "finding": question.finding,
            "readings": list(question.readings),
            "recorded_at": question.moment.recorded_at,
            "answers": [
                {
                    "readings": list(answer.readings),
                    "stands": answer.stands,
                    "because": answer.because,
                    **who_when(answer.by, answer.moment),
                }
                for answer in state.answers
                if answer.moment.seq > question.moment.seq and set(answer.readings) & set(question.readings)
            ],
        }
        for question in state.questions
    ]


def instrument_objects(state: JobState) -> list[Json]:
    """The instruments of a job as they stood when they were used, with the readings that they took."""
    used: dict[str, Json] = {}
    entries: dict[int, Json] = {}
    for reading in state.readings:
        kept = reading.instrument_state
        if kept is None:
            continue
        entry = entries.get(id(kept))
        if entry is None:
            # The same instrument calibrated in between stands there twice: each reading beside its own calibration.
            as_it_stood = json.dumps(kept.act, sort_keys=True)
            entry = entries[id(kept)] = used.setdefault(as_it_stood, {**_instrument(kept), "readings": []})
        entry["readings"].append(reading.number)
    return sorted(used.values(), key=lambda entry: (entry["instrument"], entry["readings"]))


def _instrument(kept: InstrumentState) -> Json:
    return {
        **kept.act,
        "shown": {"uncertainty": show_both(kept.uncertainty) if kept.uncertainty else None},
    }
