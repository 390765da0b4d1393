"""Charts built from the course of a furnace, the limits they are held against, and criteria by name."""

from array import array
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from traveler.chart.couples import Couple, Usable
from traveler.chart.judging.judge import judge_chart, judge_couples
from traveler.chart.model import (
    Channel,
    Chart,
    Criterion,
    Judged,
    Limit,
    Limits,
    Method,
    Options,
    Role,
    TemperatureUnit,
)
from traveler.quantity.parse import stored

Course = Sequence[tuple[Fraction | int, Fraction | float]]
"""Corners: (minutes, temperature)."""

A: Course = ((0, 20), (236, 610), (311, 610), (435, 300))
C: Course = ((0, 20), (180, 470), (196, 550), (244, 598), (250, 610), (325, 610), (449, 300))
D: Course = ((0, 20), (163, 427), (205, 609), (206, 610), (281, 610), (405, 300))
G: Course = ((0, 20), (236, 594), (311, 594), (435, 300))
H: Course = ((0, 20), (236, 610), (311, 610), (340, 427), (435, 300))

LAGS = (0, 4, 8, 12)
"""Minutes by which the four couples of the constructed charts lag behind the first."""


def limit(text: str, symbol: str) -> Limit:
    """A limit of these tests."""
    return Limit(stored(text, symbol), "constructed", "common practice, no published source")


LIMITS = Limits(
    soak_min=limit("595", "degC"),
    soak_max=limit("650", "degC"),
    hold=limit("60", "min"),
    threshold=limit("427", "degC"),
    heating=limit("222", "delta_degC/h"),
    cooling=limit("278", "delta_degC/h"),
    spread_heating=limit("139", "delta_degC"),
    spread_soak=limit("83", "delta_degC"),
    loading=limit("425", "degC"),
)
"""A 25 mm part by numbers in the manner of UCS-56."""


def reading(course: Course, at_min: Fraction | int) -> Fraction:
    """The course at a time; before its first and after its last corner it stays."""
    for (start, low), (end, high) in pairwise(course):
        if at_min <= start:
            return Fraction(low)
        if at_min <= end:
            return low + (high - low) * (Fraction(at_min) - start) / (end - start)
    return Fraction(course[-1][1])


def furnace_run(
    course: Course, lags: Sequence[int] = LAGS, every: int = 2, last: int | None = None
) -> dict[str, list[float]]:
    """Columns TC1, TC2 ... that follow the course with their lags, one reading every so many minutes."""
    end = int(course[-1][0]) + max(lags) if last is None else last
    return {
        f"TC{number}": [float(reading(course, minute - lag)) for minute in range(0, end + 1, every)]
        for number, lag in enumerate(lags, start=1)
    }


def chart_of(
    columns: Mapping[str, Sequence[float]],
    every_s: float = 120.0,
    times_s: Iterable[float] | None = None,
    unit: TemperatureUnit = "degC",
    roles: Mapping[str, Role] | None = None,
    spares: Mapping[str, str] | None = None,
    method: Method = "logger",
) -> Chart:
    """A chart as the reader hands it over; columns are part couples unless said otherwise."""
    count = len(next(iter(columns.values())))
    times = array("d", times_s if times_s is not None else (every_s * row for row in range(count)))
    channels = tuple(
        Channel(name, (roles or {}).get(name, "part"), array("d", values), (spares or {}).get(name))
        for name, values in columns.items()
    )
    return Chart(times, None, unit, channels, every_s, "0" * 64, {}, (), method)


def judged(
    columns: Mapping[str, Sequence[float]],
    limits: Limits = LIMITS,
    options: Options | None = None,
    every_s: float = 120.0,
) -> Judged:
    """The judging of a chart of part couples alone."""
    return judge_chart(chart_of(columns, every_s), limits, options or Options())


def judged_couples(
    chart: Chart,
    unknown: Mapping[str, tuple[tuple[int, int], ...]] | None = None,
    limits: Limits = LIMITS,
    options: Options | None = None,
) -> Judged:
    """The judging of the part couples of a chart with the unknown stretches told, whatever cleans them otherwise."""
    couples = tuple(
        Couple(channel.name, channel.values, (unknown or {}).get(channel.name, ()))
        for channel in chart.of_role("part")
    )
    verdict = "not shown" if unknown else "met"
    criterion = Criterion("couples", None, None, None, None, None, None, None, verdict)
    return judge_couples(chart, Usable(couples, criterion, (), (), 240.0), limits, options or Options())


def named(result: Judged, name: str) -> Criterion:
    """The one criterion of that name."""
    (found,) = (criterion for criterion in result.criteria if criterion.criterion == name)
    return found


def verdicts(result: Judged) -> dict[str, str]:
    """Verdict by name of criterion."""
    return {criterion.criterion: criterion.verdict for criterion in result.criteria}


def only(**limits: Limit | None) -> Limits:
    """The limits of these tests with some replaced, None to leave one out."""
    return replace(LIMITS, **limits)
