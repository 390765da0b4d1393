"""The readings of a job by what they are readings of, so that nobody goes through all of them for one requirement."""

from collections.abc import Callable, Hashable, Iterable, Mapping
from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from traveler.job.state import Reading

Readings = tuple["Reading", ...]
Key = tuple[int, str, str | None]
Groups = Mapping[Hashable, Readings]

_WAYS: Mapping[str, tuple[Callable[[Readings], Iterable["Reading"]], Callable[["Reading"], Hashable]]] = {
    "requirement": (iter, lambda reading: reading.key),
    "step": (iter, lambda reading: reading.key[0]),
    "quantity": (iter, lambda reading: reading.key[1]),
    "quantity and joint": (iter, lambda reading: reading.key[1:]),
    "standing": (
        lambda readings: [r for r in readings if not r.superseded],
        lambda reading: (reading.key, reading.attempt),
    ),
    "crayon": (lambda readings: [r for r in readings if r.bound is not None], lambda reading: reading.key),
    "lot": (lambda readings: [r for r in readings if r.lot is not None], lambda reading: reading.key),
}
"""Of each way of grouping: which readings are grouped, and what each is put under."""


class ReadingIndex:
    """Readings in order of writing, in groups of those that are asked for together, each made when it is asked for.

    A group is the same object in the index of a later state where nothing was added to it: so it also tells whether
    what was worked out from it still holds.
    """

    __slots__ = ("_groups", "highest", "latest", "latest_at", "names", "readings")

    def __init__(self) -> None:
        self.readings: Readings = ()
        self.highest: Reading | None = None
        """The one with the highest number."""
        self.latest: Reading | None = None
        """The first of those that were written last."""
        self.latest_at: datetime | None = None
        """The latest time at which one of them is said to have happened."""
        self.names: Mapping[str, None] = {}
        """Who took them, each name once."""
        self._groups: dict[str, Groups] = {}

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
        after.highest, after.latest, after.latest_at = self.highest, self.latest, self.latest_at
        for reading in new:
            if after.highest is None or reading.number > after.highest.number:
                after.highest = reading
            if after.latest is None or reading.moment.seq > after.latest.moment.seq:
                after.latest = reading
            at = datetime.fromisoformat(reading.moment.happened_at)
            if after.latest_at is None or at > after.latest_at:
                after.latest_at = at
        after.names = {**self.names, **dict.fromkeys(reading.by.name for reading in new)}
        after._groups = {way: _added(way, groups, new) for way, groups in self._groups.items()}
        return after

    @property
    def quantities(self) -> list[str]:
        """What there are readings of, in the order in which each was read first."""
        return [str(quantity) for quantity in self._grouped("quantity")]

    def of_requirement(self, key: Key) -> Readings:
        """Those of one requirement: step number, quantity, joint."""
        return self._grouped("requirement").get(key, ())

    def standing(self, key: Key, attempt: int) -> Readings:
        """Those of one requirement that count for an attempt: not superseded."""
        return self._grouped("standing").get((key, attempt), ())

    def of_crayons(self, key: Key) -> Readings:
        """Those of one requirement that were taken by a crayon."""
        return self._grouped("crayon").get(key, ())

    def of_lots(self, key: Key) -> Readings:
        """Those of one requirement that name a lot of the register."""
        return self._grouped("lot").get(key, ())

    def of_step(self, step: int) -> Readings:
        """Those of one step."""
        return self._grouped("step").get(step, ())

    def of_quantity(self, quantity: str, joint: str | None) -> Readings:
        """Those of a quantity on a joint, at whichever step."""
        return self._grouped("quantity and joint").get((quantity, joint), ())

    def of_all(self, quantity: str) -> Readings:
        """Those of a quantity, at whichever step and on whichever joint."""
        return self._grouped("quantity").get(quantity, ())

    def _grouped(self, way: str) -> Groups:
        groups = self._groups.get(way)
        if groups is None:
            groups = self._groups[way] = _added(way, {}, self.readings)
        return groups


def _added(way: str, groups: Groups, readings: Readings) -> Groups:
    grouped, group_of = _WAYS[way]
    new: dict[Hashable, list[Reading]] = {}
    for reading in grouped(readings):
        group = group_of(reading)
        added = new.get(group)
        if added is None:
            new[group] = [reading]
        else:
            added.append(reading)
    return {**groups, **{group: (*groups.get(group, ()), *added) for group, added in new.items()}}
