"""How fast each couple was heated and cooled above the threshold, and which of it nobody saw."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from math import inf, nextafter
from typing import Literal

from traveler.chart.asked import Asked
from traveler.chart.exact import exact, greatest_float, least_float
from traveler.chart.excursions import Above, Excursion, read_excursion, spans_above
from traveler.chart.model import Stretch
from traveler.chart.rows import Rows, Trace
from traveler.chart.windows import Clock, Reach, steepest

Direction = Literal["heating", "cooling"]
SIGN: dict[Direction, int] = {"heating": 1, "cooling": -1}
NOISE_S = Fraction(900)
"""Least time over which a short stay above the threshold is judged [s].

A reading off by 1 C° makes 4 C°/h over 15 min and 24 over 2.5. Common practice, no published source.
"""


@dataclass(frozen=True, slots=True)
class Pace:
    """A rate, positive in its direction, in the chart's unit an hour, from ``start_s`` to ``end_s``.

    ``over_s``: the time that the change was divided by; longer than the stretch where that is too short to tell.
    """

    couple: str
    rate: Fraction
    start_s: Fraction
    end_s: Fraction
    over_s: Fraction
    over: str


@dataclass(frozen=True, slots=True)
class Doubt:
    """A stretch [s] that leaves a direction unshown for a couple, and why."""

    couple: str
    span: Stretch
    words: str


@dataclass(slots=True)
class Paces:
    """All that was found, by direction; ``cycles``: how often the part was above the threshold."""

    found: dict[Direction, list[Pace]] = field(default_factory=lambda: defaultdict(list))
    doubts: dict[Direction, list[Doubt]] = field(default_factory=lambda: defaultdict(list))
    cycles: int = 0


def read_paces(asked: Asked, rows: Rows, limits: dict[Direction, Fraction | None]) -> Paces:
    """The rates of all couples.

    Of one couple: the mean of each heating and each cooling, and the steepest window that lies wholly above the
    threshold, up and down. A window is looked for only where it is steeper than those before it or than its limit.
    """
    return _Reading(asked, rows, limits).paces


class _Reading:
    def __init__(self, asked: Asked, rows: Rows, limits: dict[Direction, Fraction | None]) -> None:
        self.asked, self.rows, self.limits = asked, rows, limits
        self.paces = Paces()
        self.clock = Clock(rows.times, asked.window_s)
        self.floor_s = min(NOISE_S, asked.window_s)
        self.floor = float(self.floor_s)
        self.above = None if asked.threshold is None else Above(rows, asked.threshold)
        self.steepest: dict[Direction, float] = {"heating": 0.0, "cooling": 0.0}
        self.worst: dict[Direction, Fraction] = {"heating": Fraction(0), "cooling": Fraction(0)}
        hidden = list(rows.hidden(asked.threshold))
        for index in range(len(rows.couples)):
            trace = rows.trace(index)
            stays = self._stays(trace)
            self._unseen_ends(trace, stays)
            for _, first, last in (one for one in hidden if one[0] == index):
                self._unseen(trace.name, stays, first, last)
            long = [stay for stay in stays if stay.reached or stay.end_s - stay.start_s >= NOISE_S]
            self.paces.cycles = max(self.paces.cycles, len(long))

    def _stays(self, trace: Trace) -> list[Excursion]:
        """Reads the stays above the threshold, the hottest first; what only flickers about it is left out."""
        spans = spans_above(trace, self.above)
        peaks = sorted((-max(trace.values[first : last + 1]), first, last) for first, last in spans)
        stays: list[Excursion] = []
        slight = -inf
        for peak, first, last in peaks:
            if stays and -peak <= slight and self._is_short(trace, first, last):
                continue
            stay = read_excursion(trace, (first, last), self.asked.threshold, self.asked.soak_min)
            self._read(trace, stay)
            stays.append(stay)
            slight = self._slight()
        return stays

    def _slight(self) -> float:
        """Up to which peak a short stay above the threshold can neither fail nor be the steepest so far."""
        threshold, soak_min = self.asked.threshold, self.asked.soak_min
        if threshold is None:
            return -inf
        guard = 2 * self.asked.uncertainty
        rises = [
            min(self.worst[direction] * self.floor_s / 3600, limit * self.floor_s / 3600 - guard)
            for direction, limit in self.limits.items()
            if limit is not None
        ]
        if not rises:
            return inf
        slight = greatest_float(threshold + min(rises))
        if soak_min is None or not self.asked.rates_apply:
            return slight
        return min(slight, nextafter(least_float(soak_min), -inf))

    def _is_short(self, trace: Trace, first: int, last: int) -> bool:
        before, after = max(first - 1, 0), min(last + 1, len(trace.times) - 1)
        return trace.times[after] - trace.times[before] <= self.floor

    def _read(self, trace: Trace, stay: Excursion) -> None:
        up, down = stay.top_s - stay.start_s, stay.end_s - stay.down_s
        whole_up = "over the whole heating" if stay.reached else "over the whole rise"
        whole_down = "over the whole cooling" if stay.reached else "over the whole fall"
        complete_up, complete_down = stay.reached and stay.begun, stay.reached and stay.ended
        if up > 0:
            over_s = up if complete_up else max(up, self.floor_s)
            self._add("heating", trace, stay.top - stay.start, stay.start_s, stay.top_s, over_s, whole_up)
        if down > 0:
            over_s = down if complete_down else max(down, self.floor_s)
            self._add("cooling", trace, stay.down - stay.end, stay.down_s, stay.end_s, over_s, whole_down)
        self._windows(trace, stay)
        for step in sorted(trace.gaps):
            if stay.first - 1 <= step <= stay.last:
                self._across(trace, step)

    def _windows(self, trace: Trace, stay: Excursion) -> None:
        times, window_s = trace.times, self.asked.window_s
        clock = self.clock if times is self.rows.times else Clock(times, window_s)
        # A crossing that nobody saw has no place: there the stretch begins or ends at the row inside.
        reach = Reach(
            exact(times[stay.first]) if stay.first - 1 in trace.gaps else stay.start_s,
            exact(times[stay.last]) if stay.last in trace.gaps else stay.end_s,
            stay.first,
            stay.last + 1,
        )
        over = f"over {float(window_s / 60):g} min"
        for direction, sign in SIGN.items():
            limit = self.limits[direction]
            if limit is None:
                continue
            allowed = float(limit * window_s / 3600)
            window = steepest(trace, clock, reach, sign, allowed, min(self.steepest[direction], allowed))
            if window is not None:
                self.steepest[direction] = max(self.steepest[direction], float(window.change))
                self._add(direction, trace, window.change, window.start_s, window.end_s, window_s, over)

    def _across(self, trace: Trace, step: int) -> None:
        """The mean over a gap: at least so fast it must have been."""
        start_s, end_s = exact(trace.times[step]), exact(trace.times[step + 1])
        first, second = exact(trace.values[step]), exact(trace.values[step + 1])
        if self.asked.threshold is not None:
            first, second = max(first, self.asked.threshold), max(second, self.asked.threshold)
        direction: Direction = "heating" if second > first else "cooling"
        over_s = max(end_s - start_s, self.floor_s)
        self._add(direction, trace, abs(second - first), start_s, end_s, over_s, "over a gap")

    def _add(
        self,
        direction: Direction,
        trace: Trace,
        change: Fraction,
        start_s: Fraction,
        end_s: Fraction,
        over_s: Fraction,
        over: str,
    ) -> None:
        if change > 0 and self.limits[direction] is not None:
            pace = Pace(trace.name, 3600 * change / over_s, start_s, end_s, over_s, over)
            self.paces.found[direction].append(pace)
            self.worst[direction] = max(self.worst[direction], pace.rate)

    def _unseen_ends(self, trace: Trace, stays: list[Excursion]) -> None:
        """A couple that is hot when its record begins or ends, and one that never gets hot at all."""
        for stay in stays:
            if not stay.begun:
                reading = self.asked.degrees(exact(trace.values[stay.first]))
                words = f"{trace.name} is at {reading} when its record begins"
                self._doubt("heating", trace.name, exact(self.rows.times[0]), stay.top_s, words)
            if not stay.ended:
                reading = self.asked.degrees(exact(trace.values[stay.last]))
                words = f"{trace.name} is at {reading} when its record ends"
                self._doubt("cooling", trace.name, stay.down_s, exact(self.rows.times[-1]), words)
        threshold = self.asked.threshold
        if not stays and threshold is not None and self.asked.rates_apply:
            words = f"{trace.name} is never seen above {self.asked.degrees(threshold)}"
            for direction in SIGN:
                self._doubt(
                    direction, trace.name, exact(self.rows.times[0]), exact(self.rows.times[-1]), words
                )

    def _doubt(
        self, direction: Direction, couple: str, start_s: Fraction, end_s: Fraction, words: str
    ) -> None:
        self.paces.doubts[direction].append(Doubt(couple, Stretch(float(start_s), float(end_s)), words))

    def _unseen(self, name: str, stays: list[Excursion], first: int, last: int) -> None:
        """An unknown stretch that may hide heat: which direction it leaves unshown."""
        start_s, end_s = exact(self.rows.times[first]), exact(self.rows.times[last])
        length = f"{float((end_s - start_s) / 60):.3g} min"
        words = f"{name}: unverified over a gap of {length} from {self.asked.stamp(start_s)}"
        for direction in sorted(set(self._left_open(stays, first, last, start_s, end_s))):
            self._doubt(direction, name, start_s, end_s, words)

    def _left_open(
        self, stays: list[Excursion], first: int, last: int, start_s: Fraction, end_s: Fraction
    ) -> Iterator[Direction]:
        placed = False
        for stay in stays:
            if start_s < stay.top_s and end_s > stay.start_s:
                placed = True
                yield "heating"
            if start_s < stay.end_s and end_s > stay.down_s:
                placed = True
                yield "cooling"
            if stay.top_s <= start_s and end_s <= stay.down_s:
                # In the hot zone a window over the gap still tells, where it is long enough to reach across.
                placed = placed or end_s - start_s <= self.asked.window_s
            if self._runs_out(stay, first, last, start_s, end_s):
                placed = True
        if not placed:
            yield from SIGN

    def _runs_out(self, stay: Excursion, first: int, last: int, start_s: Fraction, end_s: Fraction) -> bool:
        """Whether a hot couple is only lost at that end of the chart, and no other couple has a further cycle there."""
        if self.above is None:
            return False
        hot = self.above.some
        if not stay.ended and start_s >= stay.end_s and last == len(hot) - 1:
            cold = hot.find(0, first)
            return cold < 0 or hot.find(1, cold) < 0
        if not stay.begun and end_s <= stay.start_s and first == 0:
            cold = hot.rfind(0, 0, last)
            return cold < 0 or hot.rfind(1, 0, cold) < 0
        return False
