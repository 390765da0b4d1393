"""A thing measured beside its floor: medians, spread, and how far the one is from the other."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from statistics import median, quantiles
from time import perf_counter, process_time
from typing import Any, Literal, NamedTuple

Relation = Literal["times", "beyond", "itself"]
"""What is held against the target: thing / floor, thing - floor, or the thing as it is."""

Unit = Literal["s", "MiB", "of a core"]
Note = float | int | str


class Took(NamedTuple):
    """Seconds by the clock, and of them on a processor: only the second is the same on a machine that does more."""

    wall_s: float
    busy_s: float


@dataclass(frozen=True)
class Spread:
    """The median of several runs, and the quartiles that half of them lie between."""

    median: float
    low: float
    high: float


@dataclass(frozen=True)
class Measured:
    """One figure. ``result`` is in times the floor, or in ``unit``; of pairs that ran one after the other.

    ``busy`` is the same as ``result`` in time on a processor, None where that says nothing. ``also`` are conditions
    beside the target, by what they say; ``notes`` what else was seen in the same runs.
    """

    name: str
    what: str
    floor_is: str
    relation: Relation
    unit: Unit
    runs: int
    thing: Spread
    floor: Spread
    result: Spread
    target: float
    busy: Spread | None = None
    also: Mapping[str, bool] = field(default_factory=dict)
    notes: Mapping[str, Note] = field(default_factory=dict)

    @property
    def reached(self) -> bool:
        """Whether the median is within the target and every condition holds."""
        return self.result.median <= self.target and all(self.also.values())

    def as_json(self) -> dict[str, Any]:
        """Every field, and whether the target is reached."""
        return {**asdict(self), "reached": self.reached}


@dataclass(frozen=True)
class Figure:
    """What a figure is called and held against; ``of`` makes the measured one of its pairs."""

    name: str
    what: str
    floor_is: str
    relation: Relation
    target: float
    unit: Unit = "s"

    def of(
        self,
        pairs: Sequence[tuple[float, float]],
        also: Mapping[str, bool] | None = None,
        notes: Mapping[str, Note] | None = None,
        busy: Sequence[tuple[float, float]] = (),
    ) -> Measured:
        """The figure of these pairs of thing and floor."""
        return Measured(
            self.name, self.what, self.floor_is, self.relation, self.unit, len(pairs),
            spread([thing for thing, _ in pairs]),
            spread([floor for _, floor in pairs]),
            spread([self._result(thing, floor) for thing, floor in pairs]),
            self.target, spread([self._result(thing, floor) for thing, floor in busy]) if busy else None,
            also or {}, notes or {},
        )  # fmt: skip

    def of_times(
        self, pairs: Sequence[tuple[Took, Took]], notes: Mapping[str, Note] | None = None
    ) -> Measured:
        """The figure of pairs that were timed both ways."""
        return self.of(
            [(thing.wall_s, floor.wall_s) for thing, floor in pairs],
            notes=notes,
            busy=[(thing.busy_s, floor.busy_s) for thing, floor in pairs],
        )

    def _result(self, thing: float, floor: float) -> float:
        return {"times": thing / floor if floor else 0.0, "beyond": thing - floor, "itself": thing}[
            self.relation
        ]


def spread(values: Sequence[float]) -> Spread:
    """Median and quartiles; of a single run, that one."""
    if len(values) < 2:
        return Spread(values[0], values[0], values[0])
    low, middle, high = quantiles(values, n=4, method="inclusive")
    return Spread(middle, low, high)


def alternate(rounds: int, thing: Callable[[], Took], floor: Callable[[], Took]) -> list[tuple[Took, Took]]:
    """Both in turn, so that a busy machine slows both; after one round that warms the caches of the disk."""
    thing(), floor()
    return [(thing(), floor()) for _ in range(rounds)]


def timed(work: Callable[[], object]) -> Took:
    """How long ``work`` takes in this process."""
    began, busy = perf_counter(), process_time()
    work()
    return Took(perf_counter() - began, process_time() - busy)


def typical(values: Sequence[float]) -> float:
    """The median of what goes into a note, to three figures."""
    return rounded(median(values))


def rounded(value: float) -> float:
    """To three figures: more says nothing on a machine that does other things, too."""
    return float(f"{value:.3g}")
