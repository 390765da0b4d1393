"""Stamps of a wall clock in a known zone: subtracted in UTC, with the hour that comes twice told apart by its order."""

from datetime import datetime, tzinfo
from math import inf

from traveler.chart.times.course import Block, Course
from traveler.chart.times.time_form import DAY_US, SECOND_US
from traveler.chart.times.zones import Change, changes_between, instant, offset_us, wall_at
from traveler.errors import BadInput
from traveler.quantity.parse import echo

_AROUND_US = 2 * DAY_US  # more than any offset, so that the changes around a wall time are known
_NO_CHANGE = 'if the logger\'s clock is not changed, give the zone as "none" or as its offset, such as +01:00'


class ZoneCourse(Course):
    """Stamps of a clock that is changed when its zone changes, between the changes of that zone."""

    def __init__(self, zone: tzinfo, name: str) -> None:
        super().__init__()
        self._zone = zone
        self._name = name
        self._changes: list[Change] = []
        self._passed = 0  # how many of the changes lie behind the last row
        self._offset = 0
        self._either = False  # the rows so far are of an hour that comes twice, and nothing told which
        self._known_to = 0

    @property
    def started_at(self) -> datetime | None:
        """The instant of the first row, None before there is one."""
        return None if self.first is None else instant(self.first, self._zone)

    @property
    def all_notes(self) -> list[str]:
        """What was met; also a start that could be either of two instants."""
        if not self._either or self.started_at is None:
            return self.notes
        return [
            *self.notes,
            f"the file lies within the hour that the clock of {self._name} shows twice, and nothing in it tells which; "
            f"it is taken to begin at {self.started_at.isoformat()}",
        ]

    def follow(self, block: Block) -> list[int]:
        """As ``Course.follow``; ``first`` is an instant [us of UTC]. Raises BadInput also for a time that the clock
        of the zone skips.
        """
        walls = block.walls
        if not walls:
            return []
        if self.first is None:
            self._begin(block)
        self._learn(max(walls))
        last = self._last
        first_instant = self.first or 0
        elapsed: list[int] = []
        if min(walls) >= last and list(walls) == sorted(walls) and walls[-1] < self._segment_end():
            add = -self._offset - first_instant
            elapsed = [wall + add for wall in walls]
        else:
            for index, wall in enumerate(walls):
                if wall < last:
                    self._set_back(block, index, last)
                while wall >= self._segment_end():
                    self._pass(block, index, last)
                elapsed.append(wall - self._offset - (self.first or 0))
                last = wall
        self._remember(block)
        return elapsed

    def _begin(self, block: Block) -> None:
        wall = block.walls[0]
        start = wall - _AROUND_US
        self._known_to = start
        self._offset = offset_us(self._zone, start)
        self._learn(wall)
        for change in self._changes:
            if wall < change.before:
                self._either = wall >= change.after
                break
            if wall < change.after:
                raise self._skipped(block, 0, change)
            self._offset = change.offset
            self._passed += 1
        self.first = wall - self._offset
        self._last = wall

    def _learn(self, wall: int) -> None:
        """Makes sure that the changes around a wall time are known."""
        end = wall + _AROUND_US
        if end > self._known_to:
            end += DAY_US
            self._changes += changes_between(self._zone, self._known_to, end)
            self._known_to = end

    def _segment_end(self) -> float:
        return self._changes[self._passed].before if self._passed < len(self._changes) else inf

    def _set_back(self, block: Block, index: int, last: int) -> None:
        """The clock shows less than before: it was set back here, or the file is out of order."""
        wall = block.walls[index]
        change = self._changes[self._passed] if self._passed < len(self._changes) else None
        if change is None or change.forward > 0 or wall < change.after:
            raise self._backward(block, index, f", and the clock of {self._name} is not set back there")
        if not change.forward <= wall - last <= change.forward // 2:
            minutes = _minutes(-change.forward)
            raise self._backward(
                block, index, f", which is not the {minutes} by which {self._name} sets its clock back"
            )
        self._either = False
        self._take(change)
        self._note(block, index, change, "back")

    def _pass(self, block: Block, index: int, last: int) -> None:
        """The clock shows more than it does before the next change, which therefore lies between the two rows."""
        wall = block.walls[index]
        change = self._changes[self._passed]
        if wall < change.after:
            raise self._skipped(block, index, change)
        if change.forward > 0:
            self._take(change)
            self._note(block, index, change, "forward")
            return
        if self._either:
            # No step back on the way: the rows so far were of the second hour, already on the new offset.
            self._either = False
            self.first = (self.first or 0) + change.offset_before - change.offset
        elif wall - last < -change.forward // 2:
            raise BadInput(
                f"line {block.lines[index]}: {echo(block.texts[index])} follows {self._before(block, index)}, but in "
                f"{self._name} the clock was set back in between and showed the time from {wall_at(change.after)} on "
                f"once more; expected a step back; {_NO_CHANGE}"
            )
        self._take(change)

    def _take(self, change: Change) -> None:
        self._passed += 1
        self._offset = change.offset

    def _note(self, block: Block, index: int, change: Change, way: str) -> None:
        self.notes.append(
            f"line {block.lines[index]}: the clock of {self._name} goes {way} by {_minutes(abs(change.forward))} "
            f"({self._before(block, index)} to {echo(block.texts[index])}); times are subtracted in UTC"
        )

    def _skipped(self, block: Block, index: int, change: Change) -> BadInput:
        return BadInput(
            f"line {block.lines[index]}: {echo(block.texts[index])} does not exist in {self._name}, where the clock "
            f"went from {wall_at(change.before)} to {wall_at(change.after)}; expected a time that the clock shows; "
            f"{_NO_CHANGE}"
        )


def _minutes(micros: int) -> str:
    return f"{micros / (60 * SECOND_US):g} min"
