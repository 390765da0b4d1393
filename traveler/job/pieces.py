"""The pieces of a job: how many there are, where the others went, what it was split from and what it is made of."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from traveler.job.person import Moment, Person

Way = Literal["scrapped", "returned", "lost", "split off"]
"""How pieces leave a job for good."""

REJECTED: tuple[Way, ...] = ("scrapped", "returned")

OPEN = "open"
"""How another job stands that has not ended, whatever is done in it."""


@dataclass(frozen=True, slots=True)
class Gone:
    """Pieces that left a job. ``job``: the one that they were split off into; ``nonconformance``: by which they were
    rejected."""

    way: Way
    pieces: int
    serials: tuple[str, ...]
    because: str
    by: Person
    moment: Moment
    job: str | None = None
    nonconformance: int | None = None


@dataclass(frozen=True, slots=True)
class Use:
    """Pieces of a job that are in an assembly, at its ``step``."""

    job: str
    step: int
    pieces: int
    serials: tuple[str, ...]
    by: Person
    moment: Moment


@dataclass(frozen=True, slots=True)
class Standing:
    """How another job stands, as it was last told: ``ending`` is "open" or how it ended, ``holds`` what it holds, in
    words; ``good``: the pieces that are left of it; ``used``: those of them that are in assemblies, over all.
    """

    ending: str
    holds: tuple[str, ...]
    good: int
    used: int = 0


@dataclass(frozen=True, slots=True)
class Component:
    """A job whose pieces are in this one, at ``step``. ``act``: what it was when it was joined, and ``code`` and
    ``events`` of its record as last told."""

    job: str
    step: int
    pieces: int
    serials: tuple[str, ...]
    standing: Standing
    state: str
    revision: int
    code: str
    events: int
    act: Mapping[str, Any]
    by: Person
    moment: Moment


@dataclass(frozen=True, slots=True)
class CameFrom:
    """The job that this one was split off from, as it stood then, and how it stands as last told.

    ``first`` and ``last``: its events are those places in this job's order of events. ``readings``, ``charts`` and
    ``nonconformances``: how many of each came along; the numbers up to there are the same in both.
    """

    job: str
    revision: int
    code: str
    first: int
    last: int
    readings: int
    charts: int
    nonconformances: int
    pieces: int
    serials: tuple[str, ...]
    because: str
    by: Person
    moment: Moment
    standing: Standing

    @property
    def events(self) -> int:
        """How many events of its own it had."""
        return self.last - self.first + 1


@dataclass(frozen=True, slots=True)
class Batch:
    """What the events of a job say of its pieces. ``came_from``: the oldest job first, the last one the parent."""

    gone: tuple[Gone, ...] = ()
    uses: tuple[Use, ...] = ()
    components: tuple[Component, ...] = ()
    came_from: tuple[CameFrom, ...] = ()

    @property
    def parent(self) -> CameFrom | None:
        """The job that this one was split off from."""
        return self.came_from[-1] if self.came_from else None

    @property
    def before(self) -> int:
        """How many events of other jobs came before the first one of this job."""
        return self.came_from[-1].last if self.came_from else 0

    @property
    def children(self) -> tuple[str, ...]:
        """The jobs that pieces were split off into."""
        return tuple(gone.job for gone in self.gone if gone.job is not None)

    @property
    def assemblies(self) -> tuple[str, ...]:
        """The jobs that pieces are in, each once."""
        return tuple(dict.fromkeys(use.job for use in self.uses))

    @property
    def used(self) -> int:
        """The pieces that are in assemblies."""
        return sum(use.pieces for use in self.uses)

    def left(self, *ways: Way) -> int:
        """How many pieces left by one of these ways."""
        return sum(gone.pieces for gone in self.gone if gone.way in ways)

    def component(self, job: str) -> Component | None:
        """The component of that job."""
        return next((part for part in self.components if part.job == job), None)


def event_name(batch: Batch, place: int) -> str:
    """An event by its number within the job that it is of: "event 3", or "event 57 of H-014"."""
    for origin in batch.came_from:
        if place <= origin.last:
            return f"event {place - origin.first + 1} of {origin.job}"
    return f"event {place - batch.before}"
