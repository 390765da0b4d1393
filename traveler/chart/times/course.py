"""Stamps in the order of the file, and what a step back or a jump between two rows means.

A logger's clock runs forward. Where its stamps do not, it has been changed, has passed midnight, or the file is out of
order: each is told apart, and what cannot be told apart is asked or refused.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain
from operator import sub

from traveler.chart.model import Question
from traveler.chart.times.time_form import DAY_US, HOUR_US
from traveler.chart.unclear import Unclear
from traveler.errors import BadInput
from traveler.quantity.parse import echo

_LONGEST_OVER_MIDNIGHT_US = DAY_US // 2
_COARSEST_FOR_SPRING_US = HOUR_US // 2
_LOST_AT_CHANGE_US = HOUR_US // 12  # a logger may lose some rows while its clock is changed


@dataclass(frozen=True, slots=True)
class Block:
    """Rows of the file: what the clock shows [us], the stamps as they stand, the line of each."""

    walls: Sequence[int]
    texts: Sequence[str]
    lines: Sequence[int]


class Course:
    """Stamps that can only rise: elapsed time, and instants."""

    furthest_us: int | None = None
    """The greatest step forward that needs no second look."""

    def __init__(self) -> None:
        self.first: int | None = None
        self.notes: list[str] = []
        self._shift = 0
        self._usual = 0
        self._last = 0
        self._last_text = ""

    def follow(self, block: Block) -> list[int]:
        """Microseconds of each row from the first row of the file; the blocks of a file come in its order.

        Raises BadInput for times that run backward, Unclear where a change of the clock has to be told.
        """
        walls = block.walls
        if not walls:
            return []
        if self.first is None:
            self.first = self._last = walls[0]
        steps = list(map(sub, walls, chain((self._last,), walls)))
        elapsed: list[int] = []
        start = 0
        for index in self._jumps(steps):
            add = self._shift - self.first
            elapsed += [wall + add for wall in walls[start:index]]
            self._shift += self._jump(block, index, steps)
            start = index
        add = self._shift - self.first
        elapsed += [wall + add for wall in walls[start:]]
        self._usual = self._usual_step(steps, len(steps))
        self._remember(block)
        return elapsed

    def _jumps(self, steps: list[int]) -> list[int]:
        furthest = self.furthest_us
        if min(steps) >= 0 and (furthest is None or max(steps) <= furthest):
            return []
        return [
            index
            for index, step in enumerate(steps)
            if step < 0 or (furthest is not None and step > furthest)
        ]

    def _jump(self, block: Block, index: int, steps: list[int]) -> int:
        """What is added to this row and all behind it [us]. Raises BadInput, Unclear."""
        raise self._backward(block, index)

    def _usual_step(self, steps: list[int], before: int) -> int:
        """The last step forward in front of a row: how far apart rows are there."""
        return next((steps[at] for at in range(before - 1, -1, -1) if steps[at] > 0), self._usual)

    def _remember(self, block: Block) -> None:
        self._last, self._last_text = block.walls[-1], block.texts[-1]

    def _before(self, block: Block, index: int) -> str:
        return echo(block.texts[index - 1] if index else self._last_text)

    def _backward(self, block: Block, index: int, why: str = "") -> BadInput:
        return BadInput(
            f"line {block.lines[index]}: the time runs backward, {echo(block.texts[index])} after "
            f"{self._before(block, index)}{why}; expected times that rise from row to row"
        )


class DayCourse(Course):
    """Times of day without a date: a step back over midnight is the next day."""

    def __init__(self) -> None:
        super().__init__()
        self._midnights = 0

    def _jump(self, block: Block, index: int, steps: list[int]) -> int:
        if steps[index] + DAY_US > _LONGEST_OVER_MIDNIGHT_US:
            raise self._backward(block, index, ", which is no midnight")
        self._midnights += 1
        if self._midnights == 1:
            self.notes = [
                f"line {block.lines[index]}: the clock passes midnight; the rows from here on are of the next day"
            ]
        else:
            self.notes[1:] = [f"the clock passes midnight {self._midnights} times"]
        return DAY_US


class FixedCourse(Course):
    """A wall clock of which somebody said that it is never changed."""

    def _jump(self, block: Block, index: int, steps: list[int]) -> int:
        raise self._backward(block, index, " on a clock that is not changed")


class UnknownCourse(Course):
    """A wall clock of which nobody said where it stands: a jump that may be a change of the clock is asked about."""

    furthest_us = HOUR_US

    def _jump(self, block: Block, index: int, steps: list[int]) -> int:
        step = steps[index]
        at_night = (
            not 4 <= (block.walls[index] - step) // HOUR_US % 24 < 22
        )  # no zone changes its clock by day
        if at_night and -HOUR_US <= step <= -HOUR_US // 2:
            raise Unclear(self._question(block, index, "goes back", "as when summer time ends", ()))
        if step < 0:
            raise self._backward(block, index)
        usual = self._usual_step(steps, index)
        over = step - HOUR_US
        if (
            at_night
            and usual <= _COARSEST_FOR_SPRING_US
            and usual // 2 <= over <= max(3 * usual // 2, _LOST_AT_CHANGE_US)
        ):
            none = ("none", "the clock was not changed: an hour of rows is missing there")
            raise Unclear(self._question(block, index, "goes forward", "as when summer time begins", (none,)))
        return 0

    def _question(
        self, block: Block, index: int, goes: str, when: str, options: tuple[tuple[str, str], ...]
    ) -> Question:
        sentence = (
            f"line {block.lines[index]}: the clock {goes} by 60 min there, from {self._before(block, index)} to "
            f"{echo(block.texts[index])}, {when}: in which zone does the logger stand, by its name such as "
            'Europe/Berlin or America/New_York, or "none" if its clock is not changed?'
        )
        return Question("zone", sentence, options)
