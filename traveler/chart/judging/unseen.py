"""What nobody saw of a heating or a cooling: it is not shown, whatever the rest looks like."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from traveler.chart.judging.asked import Asked
from traveler.chart.judging.exact import exact
from traveler.chart.judging.excursions import SIGN, Above, Direction, Excursion
from traveler.chart.judging.rows import Hidden, Rows, Trace
from traveler.chart.judging.verdicts import MOST_DRAWN
from traveler.chart.model import Stretch


@dataclass(frozen=True, slots=True)
class Doubt:
    """A stretch that leaves a direction unshown for a couple, and why."""

    couple: str
    span: Stretch
    words: str


class _Phases(NamedTuple):
    """Times of an excursion [s]; a float is enough to place an unknown stretch, which begins and ends at rows."""

    start_s: float
    top_s: float
    down_s: float
    end_s: float


class Unseen:
    """Collects the doubts of all couples by direction: ``count`` of them, and the ``first`` in words."""

    def __init__(self, asked: Asked, rows: Rows, above: Above | None) -> None:
        self.asked, self.rows, self.above = asked, rows, above
        self.first: dict[Direction, list[Doubt]] = {"heating": [], "cooling": []}
        self.count: dict[Direction, int] = {"heating": 0, "cooling": 0}

    def look(self, trace: Trace, stays: list[Excursion], hidden: Sequence[Hidden]) -> None:
        """Adds what is not seen of one couple. ``hidden``: its unknown stretches that may hide heat."""
        self._ends(trace, stays)
        self._stretches(trace.name, stays, hidden)

    def _ends(self, trace: Trace, stays: list[Excursion]) -> None:
        """A couple that is hot when its record begins or ends, and one that never gets hot at all."""
        first_s, last_s = self.rows.times[0], self.rows.times[-1]
        for stay in stays:
            if not stay.begun:
                reading = self.asked.degrees(exact(trace.values[stay.first]))
                words = f"{trace.name} is at {reading} when its record begins"
                self._doubt("heating", trace.name, Stretch(first_s, float(stay.top_s)), words)
            if not stay.ended:
                reading = self.asked.degrees(exact(trace.values[stay.last]))
                words = f"{trace.name} is at {reading} when its record ends"
                self._doubt("cooling", trace.name, Stretch(float(stay.down_s), last_s), words)
        threshold = self.asked.threshold
        if not stays and threshold is not None and self.asked.rates_apply:
            words = f"{trace.name} is never seen above {self.asked.degrees(threshold)}"
            for direction in SIGN:
                self._doubt(direction, trace.name, Stretch(first_s, last_s), words)

    def _doubt(self, direction: Direction, couple: str, span: Stretch, words: str = "") -> None:
        """Without words it is an unknown stretch."""
        self.count[direction] += 1
        if len(self.first[direction]) < MOST_DRAWN:
            length = f"{(span.end_s - span.start_s) / 60:.3g} min"
            unseen = f"{couple}: unverified over a gap of {length} from {self.asked.stamp(span.start_s)}"
            self.first[direction].append(Doubt(couple, span, words or unseen))

    def _stretches(self, name: str, stays: list[Excursion], hidden: Sequence[Hidden]) -> None:
        """The unknown stretches that may hide heat: which direction each leaves unshown."""
        phases = [_Phases(*map(float, (one.start_s, one.top_s, one.down_s, one.end_s))) for one in stays]
        for one in hidden:
            span = Stretch(self.rows.times[one.first], self.rows.times[one.last])
            for direction in sorted(self._left_open(stays, phases, one, span)):
                self._doubt(direction, name, span)

    def _left_open(
        self, stays: list[Excursion], phases: list[_Phases], hidden: Hidden, span: Stretch
    ) -> set[Direction]:
        start_s, end_s = span.start_s, span.end_s
        placed = False
        open_ways: set[Direction] = set()
        for stay, phase in zip(stays, phases, strict=True):
            if start_s < phase.top_s and end_s > phase.start_s:
                open_ways.add("heating")
            if start_s < phase.end_s and end_s > phase.down_s:
                open_ways.add("cooling")
            if phase.top_s <= start_s and end_s <= phase.down_s:
                # In the hot zone a window over the gap still tells, where it is long enough to reach across.
                placed = placed or end_s - start_s <= self.asked.window_s
            placed = placed or self._runs_out(stay, phase, hidden, span)
        return open_ways if open_ways or placed else set(SIGN)

    def _runs_out(self, stay: Excursion, phase: _Phases, hidden: Hidden, span: Stretch) -> bool:
        """Whether a hot couple is only lost at that end of the chart, and no other couple has a further cycle there."""
        if self.above is None:
            return False
        hot = self.above.some
        if not stay.ended and span.start_s >= phase.end_s and hidden.last == len(hot) - 1:
            cold = hot.find(0, hidden.first)
            return cold < 0 or hot.find(1, cold) < 0
        if not stay.begun and span.end_s <= phase.start_s and hidden.first == 0:
            cold = hot.rfind(0, 0, hidden.last)
            return cold < 0 or hot.rfind(1, 0, cold) < 0
        return False
