"""How fast each couple was heated and cooled above the threshold."""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from fractions import Fraction
from math import inf, nextafter

from traveler.chart.judging.asked import Asked
from traveler.chart.judging.exact import exact, greatest_float, least_float
from traveler.chart.judging.excursions import SIGN, Above, Direction, Excursion, read_excursion, spans_above
from traveler.chart.judging.rows import Rows, Trace
from traveler.chart.judging.unseen import Unseen
from traveler.chart.judging.windows import Clock, Reach, steepest

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
class Paces:
    """The rates found and what nobody saw, by direction; ``cycles``: how often the part was above the threshold."""

    found: dict[Direction, list[Pace]]
    unseen: Unseen
    cycles: int


def read_paces(asked: Asked, rows: Rows, limits: dict[Direction, Fraction | None]) -> Paces:
    """The rates of all couples.

    Of one couple: the mean of each heating and each cooling, and the steepest window that lies wholly above the
    threshold, up and down. A window is looked for only where it is steeper than those before it or than its limit.
    """
    above = None if asked.threshold is None else Above(rows, asked.threshold)
    reading, unseen = _Reading(asked, limits), Unseen(asked, rows, above)
    shared = Clock(rows.times, asked.window_s)
    cycles = 0
    for index in range(len(rows.couples)):
        trace = rows.trace(index)
        clock = shared if trace.times is rows.times else Clock(trace.times, asked.window_s)
        stays = reading.read(trace, clock, spans_above(trace, above))
        unseen.look(trace, stays, [one for one in rows.hidden if one.couple == index])
        long = [stay for stay in stays if stay.reached or stay.end_s - stay.start_s >= NOISE_S]
        cycles = max(cycles, len(long))
    return Paces(reading.found, unseen, cycles)


class _Reading:
    """The rates of one couple after the other; what has been found spares looking where nothing can be steeper."""

    def __init__(self, asked: Asked, limits: dict[Direction, Fraction | None]) -> None:
        self.asked, self.limits = asked, limits
        self.found: dict[Direction, list[Pace]] = {"heating": [], "cooling": []}
        self.steepest: dict[Direction, float] = {"heating": 0.0, "cooling": 0.0}
        self.worst: dict[Direction, Fraction] = {"heating": Fraction(0), "cooling": Fraction(0)}
        self.floor_s = min(NOISE_S, asked.window_s)
        self.floor = float(self.floor_s)
        self.slight_rise = 0.0
        self.below_soak = inf
        if asked.soak_min is not None and asked.rates_apply:
            self.below_soak = nextafter(least_float(asked.soak_min), -inf)

    def read(self, trace: Trace, clock: Clock, spans: list[tuple[int, int]]) -> list[Excursion]:
        """Reads the stays above the threshold, the hottest first; what only flickers about it is left out."""
        gaps = sorted(trace.gaps)
        peaks = sorted((-trace.series.between(first, last)[1], first, last) for first, last in spans)
        stays: list[Excursion] = []
        peak_of_flickers = -inf
        for peak, first, last in peaks:
            if stays and -peak <= peak_of_flickers and self._is_short(trace, first, last):
                continue
            stay = read_excursion(trace, (first, last), self.asked.threshold, self.asked.soak_min)
            self._means(trace, stay)
            self._windows(trace, clock, stay)
            for step in gaps[bisect_left(gaps, stay.first - 1) : bisect_right(gaps, stay.last)]:
                if not self._is_gentle(trace, step):
                    self._across(trace, step)
            stays.append(stay)
            self.slight_rise, peak_of_flickers = self._slight()
        return stays

    def _slight(self) -> tuple[float, float]:
        """The change that over the least time can neither fail nor be the steepest so far, and the peak it leads to.

        A peak at the soak temperature is never slight, for from the threshold to there every rate counts.
        """
        threshold, guard = self.asked.threshold, 2 * self.asked.uncertainty
        rises = [
            min(self.worst[direction] * self.floor_s / 3600, limit * self.floor_s / 3600 - guard)
            for direction, limit in self.limits.items()
            if limit is not None
        ]
        rise = min(rises, default=Fraction(0))
        return float(rise), -inf if threshold is None else min(
            greatest_float(threshold + rise), self.below_soak
        )

    def _is_short(self, trace: Trace, first: int, last: int) -> bool:
        """Whether all of a stay is seen, within the least time that is judged."""
        if first == 0 or last == len(trace.times) - 1:
            return False
        return trace.times[last + 1] - trace.times[first - 1] <= self.floor

    def _means(self, trace: Trace, stay: Excursion) -> None:
        up, down = stay.top_s - stay.start_s, stay.end_s - stay.down_s
        whole_up = _whole("heating" if stay.reached else "rise", stay.begun)
        whole_down = _whole("cooling" if stay.reached else "fall", stay.ended)
        complete_up, complete_down = stay.reached and stay.begun, stay.reached and stay.ended
        if up > 0:
            over_s = up if complete_up else max(up, self.floor_s)
            self._add("heating", trace, stay.top - stay.start, stay.start_s, stay.top_s, over_s, whole_up)
        if down > 0:
            over_s = down if complete_down else max(down, self.floor_s)
            self._add("cooling", trace, stay.down - stay.end, stay.down_s, stay.end_s, over_s, whole_down)

    def _windows(self, trace: Trace, clock: Clock, stay: Excursion) -> None:
        times, window_s = trace.times, self.asked.window_s
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

    def _is_gentle(self, trace: Trace, step: int) -> bool:
        """Whether a float already tells that the mean over a gap neither fails nor is the steepest so far."""
        change = abs(trace.values[step + 1] - trace.values[step])
        over = max(trace.times[step + 1] - trace.times[step], self.floor)
        return self.slight_rise > change * self.floor / over

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
            self.found[direction].append(pace)
            self.worst[direction] = max(self.worst[direction], pace.rate)


def _whole(change: str, seen: bool) -> str:
    """``seen``: whether the record shows where it begins or ends at the threshold."""
    return f"over the whole {change}" if seen else f"over what is seen of the {change}"
