"""Readings put in question and answered for, and requirements said not to apply, out of the log."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from traveler.job.decided import Answer, NotApplicable, Question
from traveler.job.person import Moment, Person
from traveler.job.state import JobState

Event = Mapping[str, Any]

QUESTIONED = "readings questioned"
ANSWERED = "question answered"
NOT_APPLICABLE = "requirement not applicable"


def _questioned(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    act = event["act"]
    question = Question(act["instrument"], act["finding"], tuple(act["readings"]), moment)
    return replace(state, questions=(*state.questions, question))


def _answered(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    act = event["act"]
    answer = Answer(tuple(act["readings"]), act["answer"] == "stands", act["because"], by, moment)
    return replace(state, answers=(*state.answers, answer))


def _not_applicable(state: JobState, event: Event, by: Person, moment: Moment) -> JobState:
    act = event["act"]
    said = NotApplicable(
        act["step"], act["quantity"], act["joint"], act["because"], by, moment, state.revision
    )
    return replace(state, not_applicable=(*state.not_applicable, said))


SETTLING: Mapping[str, Callable[[JobState, Event, Person, Moment], JobState]] = {
    QUESTIONED: _questioned,
    ANSWERED: _answered,
    NOT_APPLICABLE: _not_applicable,
}
