"""A state that tells what is read of it, so that an answer which is kept can be held to naming all it follows from."""

from collections.abc import Callable, Hashable, Iterator
from dataclasses import fields
from datetime import UTC, datetime
from typing import Any, TypeVar

from traveler.job.board import board_row
from traveler.job.content import content_digest
from traveler.job.judge import judge, read_again
from traveler.job.judge_reading import after_the_weld, all_as_judged, standing_as_judged
from traveler.job.judge_runs import judge_run
from traveler.job.people import deeds
from traveler.job.reading_index import Readings
from traveler.job.state import JobState, Reading
from traveler.job.view import traveler_object
from traveler.job.workings import Workings

NOW = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
T = TypeVar("T")

OF_THE_STATE = {field.name for field in fields(JobState)} - {"workings"}


class Watched(JobState):
    """A state that notes what is read of it."""

    def __getattribute__(self, name: str) -> Any:
        workings = object.__getattribute__(self, "workings")
        if name in OF_THE_STATE and isinstance(workings, Watching):
            workings.read.append(name)
        return object.__getattribute__(self, name)


class Watching(Workings):
    """Workings that note which questions read more, while they are worked out, than was read to ask them."""

    def __init__(self) -> None:
        super().__init__()
        self.read: list[str] = []
        self.asked: set[str] = set()
        self.unnamed: list[tuple[Hashable, str]] = []

    def known(self, question: Hashable, parts: tuple[object, ...], work_out: Callable[[], T]) -> T:
        named = set(self.read)
        found = super().known(question, parts, work_out)
        self._hold(question, named)
        return found

    def carried_on(
        self,
        question: Hashable,
        parts: tuple[object, ...],
        readings: Readings,
        start: T,
        add: Callable[[T, Reading], T],
    ) -> T:
        named = set(self.read)
        found = super().carried_on(question, parts, readings, start, add)
        self._hold(question, named)
        return found

    def _hold(self, question: Hashable, named: set[str]) -> None:
        asked = question[0] if isinstance(question, tuple) else question
        self.asked.add(getattr(asked, "__name__", str(asked)))
        self.unnamed += [(question, name) for name in sorted(set(self.read) - named)]


def _questions(state: JobState) -> Iterator[Callable[[JobState], object]]:
    """Everything that is asked of a state by whoever keeps the answer, one by one."""
    yield deeds
    for step in state.plan.steps:
        yield lambda state, step=step: content_digest(state, step)
        for limit in step.requirements:
            yield lambda state, limit=limit: state.runs_recorded(limit.joint or "")
            yield lambda state, step=step, limit=limit: state.dated_after(step, limit, NOW)
            for ask in (judge, all_as_judged, standing_as_judged, read_again):
                yield lambda state, step=step, limit=limit, ask=ask: ask(state, step, limit)
            yield lambda state, step=step, limit=limit: judge_run(state, step, limit, 1)
            for reading in state.readings_of(step, limit)[:1]:
                yield lambda state, step=step, limit=limit, reading=reading: after_the_weld(
                    state, step, limit, reading
                )


def kept_questions(state: JobState) -> set[str]:
    """Hold every answer that is kept to naming what it reads; which questions that came to."""
    asked: set[str] = set()
    for ask in _questions(state):
        watching = Watching()
        ask(_watched(state, watching))
        assert watching.unnamed == []
        asked |= watching.asked
    return asked


def shown_questions(state: JobState) -> set[str]:
    """The questions with answers to keep that showing a whole job comes to."""
    watching = Watching()
    watched = _watched(state, watching)
    traveler_object(watched, NOW)
    board_row(watched, NOW)
    return watching.asked


def _watched(state: JobState, watching: Watching) -> JobState:
    values = {field.name: getattr(state, field.name) for field in fields(JobState)}
    return Watched(**{**values, "workings": watching})
