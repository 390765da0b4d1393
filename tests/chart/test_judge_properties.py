"""What no chart may do: gain by a lower ceiling, a longer hold or a further couple, or by what nobody saw."""

from array import array
from dataclasses import replace
from fractions import Fraction
from math import nan

import pytest
from course_kit import LIMITS, limit, named, only
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from second_route import charts, known

from traveler.chart.couples import Couple, Usable
from traveler.chart.judging.judge import judge_couples
from traveler.chart.judging.verdicts import badness
from traveler.chart.model import Channel, Chart, Criterion, Judged, Options
from traveler.quantity.parse import stored

MET = Criterion("couples", None, None, None, None, None, None, None, "met")
SHARP = Options(uncertainty=stored("2", "delta_degC"))
NO_SPREAD = replace(LIMITS, spread_heating=None, spread_soak=None)


def judge(couples: list[Couple], chart: Chart, options: Options = SHARP) -> Judged:
    return judge_couples(chart, Usable(tuple(couples), MET, (), (), 1e9), LIMITS, options)


def worse_or_alike(result: Judged, than: Judged, name: str) -> bool:
    return badness(named(result, name).verdict) >= badness(named(than, name).verdict)


@settings(max_examples=60, deadline=None)
@given(charts(), st.sampled_from(["605", "620", "649.9", "700"]))
def test_a_lower_ceiling_never_helps(chart: Chart, ceiling: str) -> None:
    high = known(chart, only(soak_max=limit("700", "degC")), SHARP)
    low = known(chart, only(soak_max=limit(ceiling, "degC")), SHARP)
    for name in ("highest temperature", "soak time"):
        assert worse_or_alike(low, high, name)
    if high.verdict == "not met":
        assert low.verdict == "not met"


@settings(max_examples=60, deadline=None)
@given(charts(), st.integers(1, 120), st.integers(0, 60))
def test_a_longer_hold_never_helps(chart: Chart, hold_min: int, more_min: int) -> None:
    short = known(chart, only(hold=limit(str(hold_min), "min")), SHARP)
    long = known(chart, only(hold=limit(str(hold_min + more_min), "min")), SHARP)
    for name in ("soak time", "soak temperature"):
        assert worse_or_alike(long, short, name)
    assert badness(long.verdict) >= badness(short.verdict)


@settings(max_examples=60, deadline=None)
@given(charts())
def test_a_further_couple_never_helps(chart: Chart) -> None:
    """But for the spread, of which one couple shows nothing and which is read from the soak that is common to all."""
    fewer = replace(chart, channels=chart.channels[:-1])
    assume(fewer.channels)
    all_of_them, some = known(chart, NO_SPREAD, SHARP), known(fewer, NO_SPREAD, SHARP)
    for name in ("highest temperature", "soak time", "heating rate", "cooling rate"):
        assert worse_or_alike(all_of_them, some, name)
    assert badness(all_of_them.verdict) >= badness(some.verdict)


@settings(max_examples=40, deadline=None)
@given(charts(), st.sampled_from([0.5, 60.0, 86400.0]))
def test_another_zero_of_the_clock_changes_nothing(chart: Chart, shift_s: float) -> None:
    later = replace(chart, times_s=array("d", [at + shift_s for at in chart.times_s]))
    first, second = known(chart, only(), SHARP), known(later, only(), SHARP)
    for one, other in zip(first.criteria, second.criteria, strict=True):
        assert (one.worst, one.couple, one.verdict) == (other.worst, other.couple, other.verdict)


@settings(max_examples=40, deadline=None)
@given(charts())
def test_the_same_chart_in_the_other_unit(chart: Chart) -> None:
    """The exact Fahrenheit of each reading against the same Celsius limits."""

    def fahrenheit(reading: float) -> float:
        return float(Fraction(str(reading)) * Fraction(9, 5) + 32)

    channels = tuple(
        Channel(one.name, one.role, array("d", map(fahrenheit, one.values))) for one in chart.channels
    )
    first, second = (
        known(chart, only(), SHARP),
        known(replace(chart, unit="degF", channels=channels), only(), SHARP),
    )
    assert first.verdict == second.verdict
    for one, other in zip(first.criteria, second.criteria, strict=True):
        assert one.verdict == other.verdict
        if one.worst is not None and other.worst is not None and one.unit:
            offset = 32 if one.unit == "degC" else 0
            factor = 1 if one.unit == "min" else Fraction(9, 5)
            assert abs(one.worst * factor + offset - other.worst) < Fraction(1, 10**9)


@st.composite
def partly_unknown(draw: st.DrawFn) -> tuple[Chart, list[Couple], list[Couple]]:
    """A chart and its couples, some of it unknown: once with NaN and once with other numbers where it is."""
    chart = draw(charts())
    rows = len(chart.times_s)
    blank, other = [], []
    for channel in chart.channels:
        marks = sorted(draw(st.sets(st.integers(0, rows - 1), max_size=4)))
        unknown = tuple(zip(marks[::2], marks[1::2], strict=False))
        one, two = array("d", channel.values), array("d", channel.values)
        for first, last in unknown:
            one[first + 1 : last] = array("d", [nan] * (last - first - 1))
            two[first + 1 : last] = array(
                "d", [draw(st.sampled_from([0.0, 700.0])) for _ in range(first + 1, last)]
            )
            for row in {first, last} & {0, rows - 1}:
                if draw(st.booleans()):
                    one[row] = two[row] = nan
        blank.append(Couple(channel.name, one, unknown))
        other.append(Couple(channel.name, two, unknown))
    return chart, blank, other


@pytest.mark.slow
@settings(max_examples=150, deadline=None)
@given(partly_unknown())
def test_what_stands_in_an_unknown_stretch_is_not_used(
    case: tuple[Chart, list[Couple], list[Couple]],
) -> None:
    chart, blank, other = case
    assert judge(blank, chart) == judge(other, chart)


@pytest.mark.slow
@settings(max_examples=150, deadline=None)
@given(partly_unknown())
def test_what_nobody_saw_is_never_met(case: tuple[Chart, list[Couple], list[Couple]]) -> None:
    """A gap may hide heat above the ceiling, and a soak seen in part is no longer than the one seen whole."""
    chart, couples, _ = case
    seen = judge([Couple(one.name, one.values) for one in chart.channels], chart)
    hidden = judge(couples, chart)
    soaked, whole = named(hidden, "soak time"), named(seen, "soak time")
    assert soaked.worst is not None
    assert whole.worst is not None
    assert soaked.worst <= whole.worst
    if whole.verdict == "met":
        assert soaked.verdict in ("met", "conditional", "not shown")
    gone = [one for one in couples if one.unknown]
    edges = [
        value for one in gone for pair in one.unknown for row in pair if (value := one.values[row]) == value
    ]
    if max(edges, default=0.0) > 427:
        assert badness(named(hidden, "highest temperature").verdict) >= badness("not shown")
        short = all(
            chart.times_s[last] - chart.times_s[first] <= SHARP.window_s
            for one in gone
            for first, last in one.unknown
        )
        rates = {named(hidden, f"{way} rate").verdict for way in ("heating", "cooling")}
        assert short or not rates <= {"met", "conditional"}
