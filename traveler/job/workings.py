"""What was worked out of a job's state last, so that one more reading does not have all of it worked out again.

A state is never changed, and neither is what it consists of: a part that two states share is the same object. So an
answer holds as long as each part that it follows from is the very object that it was found from. Nothing is ever
forgotten too late; at worst something is worked out twice.
"""

from collections.abc import Callable, Hashable
from functools import reduce
from operator import is_
from typing import TYPE_CHECKING, Any, TypeVar

from traveler.job.reading_index import ReadingIndex, Readings

if TYPE_CHECKING:
    from traveler.job.state import Reading

T = TypeVar("T")


class Workings:
    """Shared by the states that follow from one another; each question has the answer that was found last."""

    __slots__ = ("_carried", "_found", "_index")

    def __init__(self) -> None:
        self._found: dict[Hashable, tuple[tuple[object, ...], Any]] = {}
        self._carried: dict[Hashable, tuple[tuple[object, ...], tuple[Readings, Any]]] = {}
        self._index = ReadingIndex()

    def index(self, readings: Readings) -> ReadingIndex:
        """The index of a state's readings."""
        index = self._index
        if index.readings is not readings:
            index = self._index = index.of(readings)
        return index

    def known(self, question: Hashable, parts: tuple[object, ...], work_out: Callable[[], T]) -> T:
        """What ``work_out`` gives, which follows from ``parts`` alone: the same number of them for each question."""
        known = self._found.get(question)
        if known is not None and all(map(is_, known[0], parts)):
            found: T = known[1]
            return found
        found = work_out()
        self._found[question] = parts, found
        return found

    def carried_on(
        self,
        question: Hashable,
        parts: tuple[object, ...],
        readings: Readings,
        start: T,
        add: Callable[[T, "Reading"], T],
    ) -> T:
        """``start`` with each of ``readings`` added in turn, what is added following from ``parts`` and it alone.

        Where the readings go on from those of the last time, only the new ones are added.
        """
        before, (taken, carried) = self._carried.get(question, (parts, ((), start)))
        if not all(map(is_, before, parts)) or readings[: len(taken)] != taken:
            taken, carried = (), start
        found: T = reduce(add, readings[len(taken) :], carried)
        self._carried[question] = parts, (readings, found)
        return found
