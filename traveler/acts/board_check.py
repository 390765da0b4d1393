"""Does the board show of each job what its events say? ``list`` and the app's first screen are printed from it."""

from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from typing import Any

import traveler
from traveler.acts.split_check import History, PiecesSaid, contradictions, history_of, pieces_said
from traveler.errors import TravelerError
from traveler.job.board import told_by_events
from traveler.job.fold import fold
from traveler.job.state import JobState
from traveler.record.log import JOB_PREFIX
from traveler.record.rows import BoardRow
from traveler.record.verify import Jobs

Event = Mapping[str, Any]

PRINTED = {"title": "title", "state": "state", "step": "step", "last_event_at": "last event at"}
"""What is compared of every line, by what it is called."""

SAID = {
    "part": "part",
    "nonconformances": "open nonconformances",
    "in_question": "readings in question",
    "last_by": "the last act by",
    "last_deed": "the last act",
}
"""What is compared as well of a line that this version of the program made. What blocks a job and what comes due are
left: they take the rules to work out and decide nothing, and the job's next entry writes them anew."""

NOT_FOLLOWED = (AttributeError, KeyError, StopIteration, TypeError, ValueError, TravelerError)


class BoardCheck:
    """Works the jobs out one at a time and compares the board with them.

    Of each it keeps no more than what it says of pieces that went to other jobs or came from them.
    """

    def __init__(self) -> None:
        self._said: dict[str, PiecesSaid] = {}
        self._histories: dict[str, History] = {}

    def job_faults(self, stream: str, events: Iterable[Event], line: BoardRow | None) -> Iterator[str]:
        """A sentence where the events of a job make no sense, or its line at that moment shows it otherwise."""
        try:
            state = fold(self._with_history(stream, events))
        except NOT_FOLLOWED as error:
            yield f"the events of {stream} cannot be followed: {error}"
            return
        said = pieces_said(state)
        if said is not None:
            self._said[said.number] = said
        if fault := _fault(line, state):
            yield fault

    def _with_history(self, stream: str, events: Iterable[Event]) -> Iterator[Event]:
        for event in events:
            if isinstance(event["act"], dict) and event["act"].get("split_from"):
                history = history_of(event["act"], str(event["act"].get("shop")))
                if history is not None:
                    self._histories[stream] = history
            yield event

    def faults_between(self, jobs: Jobs) -> Iterator[str]:
        """A sentence for each place where what a job says of its pieces is not what the other one says.

        The one was worked out before the other, and somebody may have split or joined in between. So what seems not to
        fit is looked at again, both of one moment.
        """
        for stream, history in self._histories.items():
            if history.fault:
                yield f"{stream}, {history.fault}"
            elif jobs.link(f"{JOB_PREFIX}{history.number}", history.event) != history.link:
                yield f"{stream}, event 1: the history that it brings along is not that of job {history.number}"
        for pair in dict.fromkeys((found.number, found.other) for found in contradictions(self._said)):
            yield from _still_between(pair, jobs)


def _still_between(pair: tuple[str, str], jobs: Jobs) -> Iterator[str]:
    try:
        read = jobs.together([f"{JOB_PREFIX}{number}" for number in dict.fromkeys(pair)])
    except TravelerError as error:
        yield str(error)
        return
    said = {}
    for number, events in zip(dict.fromkeys(pair), read.values(), strict=True):
        # One that is not there, or cannot be followed, says nothing.
        with suppress(*NOT_FOLLOWED):
            if (now := pieces_said(fold(events))) is not None:
                said[number] = now
    for found in contradictions(said):
        if (found.number, found.other) == pair:
            yield found.sentence


def _fault(row: BoardRow | None, state: JobState) -> str:
    number = state.plan.number
    if row is None:
        return f"the board leaves out job {number}"
    expected = told_by_events(state)
    compared = PRINTED | SAID if row.program == traveler.__version__ else PRINTED
    for name, called in compared.items():
        shown, said = getattr(row, name), getattr(expected, name)
        if shown != said:
            return f'the board shows job {number} with {called} "{shown}"; its events say "{said}"'
    return ""
