"""Small charts of any shape, and a second way to judge them: exact fractions, every corner, no search and no float.

It cuts time at every row and at every crossing of the threshold and of both sides of the band by any couple. Between
two cuts each couple is a straight line that is on one side of every limit.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from course_kit import chart_of
from hypothesis import strategies as st

from traveler.chart.couples import Couple, Usable
from traveler.chart.judging.judge import judge_couples
from traveler.chart.model import Chart, Criterion, Judged, Limits, Options

Interval = tuple[Fraction, Fraction]
FLOOR_S = Fraction(900)


@dataclass(frozen=True)
class Course:
    """Readings at rows, straight lines between them; seconds and degrees."""

    rows: tuple[tuple[Fraction, Fraction], ...]

    def at(self, moment: Fraction) -> Fraction:
        for (start, low), (end, high) in pairwise(self.rows):
            if start <= moment <= end:
                return low + (high - low) * (moment - start) / (end - start)
        raise AssertionError(moment)

    def crossings(self, level: Fraction) -> set[Fraction]:
        return {
            start + (end - start) * (level - low) / (high - low)
            for (start, low), (end, high) in pairwise(self.rows)
            if low != high and min(low, high) <= level <= max(low, high)
        }


@dataclass(frozen=True)
class Band:
    low: Fraction
    high: Fraction
    threshold: Fraction


def cuts(couples: Sequence[Course], band: Band) -> list[Fraction]:
    found = {moment for couple in couples for moment, _ in couple.rows}
    for couple in couples:
        for level in (band.low, band.high, band.threshold):
            found |= couple.crossings(level)
    return sorted(found)


def joined(intervals: Sequence[Interval]) -> list[Interval]:
    found: list[Interval] = []
    for start, end in intervals:
        if found and found[-1][1] == start:
            found[-1] = (found[-1][0], end)
        else:
            found.append((start, end))
    return found


def soaks(couples: Sequence[Course], band: Band) -> list[Interval]:
    inside = [
        (start, end)
        for start, end in pairwise(cuts(couples, band))
        if all(band.low <= couple.at((start + end) / 2) <= band.high for couple in couples)
    ]
    return joined(inside)


def stays(couples: Sequence[Course], band: Band) -> list[Interval]:
    """When any couple is above the threshold; only a row at which none is parts one stay from the next."""
    rows = [moment for moment, _ in couples[0].rows]
    found: list[Interval] = []
    for start, end in pairwise(cuts(couples, band)):
        if not any(couple.at((start + end) / 2) > band.threshold for couple in couples):
            continue
        between = [row for row in rows if found and found[-1][1] <= row <= start]
        if found and all(any(couple.at(row) > band.threshold for couple in couples) for row in between):
            found[-1] = (found[-1][0], end)
        else:
            found.append((start, end))
    return found


def steepest(couple: Course, band: Band, window: Fraction) -> tuple[Fraction, Fraction]:
    """The greatest heating and cooling rate per hour that is seen, zero where there is none."""
    up, down = [Fraction(0)], [Fraction(0)]
    moments = cuts([couple], band)
    for start, end in stays([couple], band):
        within = [moment for moment in moments if start <= moment <= end]
        hot = [moment for moment in within if couple.at(moment) >= band.low]
        begun, ended = couple.at(start) == band.threshold, couple.at(end) == band.threshold
        peak = max(couple.at(moment) for moment in within)
        tops = hot or [moment for moment in within if couple.at(moment) == peak]
        floor = min(FLOOR_S, window)
        if tops[0] > start:
            over = tops[0] - start if hot and begun else max(tops[0] - start, floor)
            up.append((couple.at(tops[0]) - couple.at(start)) / over)
        if tops[-1] < end:
            over = end - tops[-1] if hot and ended else max(end - tops[-1], floor)
            down.append((couple.at(tops[-1]) - couple.at(end)) / over)
        for moment in within:
            for begin in (moment, moment - window):
                if start <= begin and begin + window <= end:
                    rate = (couple.at(begin + window) - couple.at(begin)) / window
                    up.append(rate)
                    down.append(-rate)
    return 3600 * max(up), 3600 * max(down)


def spread_while_heating(couples: Sequence[Course], band: Band, mode: str) -> Fraction | None:
    """The greatest distance above the threshold before the soak that counts is over, outside of that soak."""
    moments = cuts(couples, band)
    worst: list[Fraction] = []
    for start, end in stays(couples, band):
        pieces = [(low, high) for low, high in soaks(couples, band) if start <= low and high <= end]
        if mode == "longest" and pieces:
            longest = max(high - low for low, high in pieces)
            pieces = [next(piece for piece in pieces if piece[1] - piece[0] == longest)]
        until = pieces[-1][0] if pieces else end
        for low, high in pairwise(moments):
            if start <= low and high <= until and not any(a <= low and high <= b for a, b in pieces):
                worst += [distance(couples, low), distance(couples, high)]
    return max(worst, default=None)


def distance(couples: Sequence[Course], moment: Fraction) -> Fraction:
    readings = [couple.at(moment) for couple in couples]
    return max(readings) - min(readings)


LEVELS = (
    20.0,
    420.0,
    426.5,
    427.0,
    427.5,
    500.0,
    560.25,
    590.0,
    594.9,
    595.0,
    600.0,
    610.0,
    650.0,
    651.0,
    700.0,
)
STEPS_S = (60.0, 300.0, 600.0, 900.0, 1234.5, 1800.0, 3600.0)

readings = st.sampled_from(LEVELS)


@st.composite
def charts(draw: st.DrawFn, couples: int = 3) -> Chart:
    """Few rows, few couples, many ties with a limit."""
    even = draw(st.booleans())
    count = draw(st.integers(2, 12))
    step = draw(st.sampled_from(STEPS_S))
    times = [0.0]
    for _ in range(count - 1):
        times.append(times[-1] + (step if even else draw(st.sampled_from(STEPS_S))))
    columns = {
        f"TC{number}": draw(st.lists(readings, min_size=count, max_size=count))
        for number in range(1, draw(st.integers(1, couples)) + 1)
    }
    return chart_of(columns, times_s=times)


def written(number: float) -> Fraction:
    """The decimal as it stands in the file."""
    return Fraction(str(number))


def courses_of(chart: Chart) -> list[Course]:
    return [
        Course(tuple(zip(map(written, chart.times_s), map(written, channel.values), strict=True)))
        for channel in chart.channels
    ]


def known(chart: Chart, limits: Limits, options: Options) -> Judged:
    """Judged with every reading taken as it is."""
    couples = tuple(Couple(channel.name, channel.values) for channel in chart.channels)
    met = Criterion("couples", None, None, None, None, None, None, None, "met")
    return judge_couples(chart, Usable(couples, met, (), (), 1e9), limits, options)
