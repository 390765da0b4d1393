"""The readings of a job by what they are readings of, so that nobody goes through all of them for one requirement."""

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from traveler.job.state import Reading

Readings = tuple["Reading", ...]
Key = tuple[int, str, str | None]

_GROUPED_BY: Sequence[Callable[["Reading"], Hashable]] = (
    lambda reading: reading.key,
    lambda reading: reading.key[0],
    lambda reading: reading.key[1],
    lambda reading: reading.key[1:],
    lambda reading: None if reading.superseded else (reading.key, reading.attempt),
    lambda reading: None if reading.bound is None else (reading.key, "crayon"),
)


class ReadingIndex:
    """Readings in order of writing, in groups of those that are asked for together.

    A group is the same object in the index of a later state where nothing was added to it: so it also tells whether
    what was worked out from it still holds.
    """

    __slots__ = ("_groups", "highest", "latest", "names", "readings")

    def __init__(self) -> None:
        self.readings: Readings = ()
        self.highest: Reading | None = None
        """The one with the highest number."""
        self.latest: Reading | None = None
        """The first of those that were entered last."""
        self.names: Mapping[str, None] = {}
        """Who took them, each name once."""
        self._groups: Mapping[Hashable, Readings] = {}

    def of(self, readings: Readings) -> "ReadingIndex":
        """The index of ``readings``; where they go on from those of this index, only the new ones are looked at."""
        if readings is self.readings:
            return self
        known = len(self.readings)
        # Tuples compare element by element, and first of all whether they are the same object.
        before = self if readings[:known] == self.readings else ReadingIndex()
        return before._with(readings, readings[len(before.readings) :])

    def _with(self, readings: Readings, new: Readings) -> "ReadingIndex":
        after = ReadingIndex()
        after.readings = readings
        after.highest, after.latest = self.highest, self.latest
        for reading in new:
            if after.highest is None or reading.number > after.highest.number:
                after.highest = reading
            if after.latest is None or reading.moment.seq > after.latest.moment.seq:
                after.latest = reading
        after.names = {**self.names, **dict.fromkeys(reading.by.name for reading in new)}
        groups = dict(self._groups)
        for name in _GROUPED_BY:
            for group, added in _grouped(name, new):
                groups[group] = (*groups.get(group, ()), *added)
        after._groups = groups
        return after

    @property
    def quantities(self) -> list[str]:
        """What there are readings of, in the order in which each was read first."""
        return [name for name in self._groups if isinstance(name, str)]

    def of_requirement(self, key: Key) -> Readings:
        """Those of one requirement: step number, quantity, joint."""
        return self._groups.get(key, ())

    def standing(self, key: Key, attempt: int) -> Readings:
        """Those of one requirement that count for an attempt: not superseded."""
        return self._groups.get((key, attempt), ())

    def of_crayons(self, key: Key) -> Readings:
        """Those of one requirement that were taken by a crayon."""
        return self._groups.get((key, "crayon"), ())

    def of_step(self, step: int) -> Readings:
        """Those of one step."""
        return self._groups.get(step, ())

    def of_quantity(self, quantity: str, joint: str | None) -> Readings:
        """Those of a quantity on a joint, at whichever step."""
        return self._groups.get((quantity, joint), ())

    def of_all(self, quantity: str) -> Readings:
        """Those of a quantity, at whichever step and on whichever joint."""
        return self._groups.get(quantity, ())


def _grouped(
    name: Callable[["Reading"], Hashable], readings: Readings
) -> Iterable[tuple[Hashable, list["Reading"]]]:
    groups: dict[Hashable, list[Reading]] = {}
    for reading in readings:
        group = name(reading)
        if group is not None:
            groups.setdefault(group, []).append(reading)
    return groups.items()
