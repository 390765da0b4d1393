"""Does the board show of each job what its events say? ``list`` and the app's first screen are printed from it."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

import traveler
from traveler.acts.split_check import pieces_faults
from traveler.errors import TravelerError
from traveler.job.board import told_by_events
from traveler.job.fold import extend_all, fold
from traveler.job.state import JobState
from traveler.record.log import JOB_PREFIX
from traveler.record.rows import BoardRow

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

AT_ONCE = 200
"""Events of a job that are worked out together: one by one takes twice as long."""

NOT_FOLLOWED = (AttributeError, KeyError, StopIteration, TypeError, ValueError, TravelerError)


class BoardCheck:
    """Works the jobs out from the events as they are read, and compares the board with them."""

    def __init__(self) -> None:
        self._jobs: dict[str, JobState] = {}
        self._waiting: dict[str, list[Event]] = {}
        self._lost: dict[str, str] = {}
        self._firsts: dict[str, Event] = {}

    def note(self, event: Event) -> None:
        """Take in the next event of the file; one of a job that cannot stand where it stands is told by ``faults``."""
        stream = event["stream"]
        if stream.startswith(JOB_PREFIX):
            if isinstance(event["act"], dict) and event["act"].get("split_from"):
                self._firsts[stream] = event
            waiting = self._waiting.setdefault(stream, [])
            waiting.append(event)
            if len(waiting) >= AT_ONCE:
                self._follow(stream)

    def _follow(self, stream: str) -> None:
        events = self._waiting.pop(stream, [])
        if stream in self._lost or not events:
            return
        try:
            known = self._jobs.get(stream)
            self._jobs[stream] = fold(events) if known is None else extend_all(known, events)
        except NOT_FOLLOWED as error:
            self._lost[stream] = f"the events of {stream} cannot be followed: {error}"

    def faults(self, board: Iterable[BoardRow], events_of: Callable[[str], Iterable[Event]]) -> Iterator[str]:
        """A sentence for each job whose events make no sense, and each that the board shows otherwise.

        ``events_of`` reads the events of a stream as they were at the moment of ``board``: others write meanwhile.
        """
        for stream in list(self._waiting):
            self._follow(stream)
        yield from self._lost.values()
        yield from pieces_faults(self._jobs, self._firsts, events_of)
        rows = {f"{JOB_PREFIX}{row.number}": row for row in board}
        for stream in sorted(self._jobs.keys() - self._lost.keys()):
            row = rows.get(stream)
            if _fault(row, self._jobs[stream]):
                yield from filter(None, [_fault(row, fold(events_of(stream)))])


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
