"""Any chart of straight lines, judged by a second route: soak, rates and spread agree."""

from fractions import Fraction

import pytest
from course_kit import chart_of, limit, named, only
from hypothesis import given, settings
from hypothesis import strategies as st
from second_route import Band, Course, soaks, spread_while_heating, stays, steepest

from traveler.chart.couples import Couple, Usable
from traveler.chart.judge import judge_couples
from traveler.chart.model import Chart, Criterion, Judged, Limits, Options, SoakMode

BAND = Band(Fraction(595), Fraction(650), Fraction(427))
LEVELS = (20.0, 420.0, 426.5, 427.0, 427.5, 500.0, 560.25, 590.0, 594.9, 595.0, 600.0, 610.0, 650.0, 651.0, 700.0)
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


modes: st.SearchStrategy[SoakMode] = st.sampled_from(["longest", "sum"])
windows = st.sampled_from([600.0, 1800.0, 3600.0])


@settings(max_examples=300, deadline=None)
@given(charts(), modes)
def test_soak(chart: Chart, mode: SoakMode) -> None:
    result = known(chart, only(), Options(soak=mode))
    pieces = soaks(courses_of(chart), BAND)
    lengths = [end - start for start, end in pieces]
    expected = sum(lengths, Fraction(0)) if mode == "sum" else max(lengths, default=Fraction(0))
    assert named(result, "soak time").worst == expected / 60
    assert (named(result, "soak time").verdict == "met") == (expected >= 3600)
    spans = [(one.start_s, one.end_s) for one in result.soaks]
    assert {(float(start), float(end)) for start, end in pieces} >= set(spans)


@settings(max_examples=300, deadline=None)
@given(charts(couples=2), windows, st.sampled_from(["100", "222", "600", "2000"]))
def test_rates(chart: Chart, window_s: float, most: str) -> None:
    per_hour = limit(most, "delta_degC/h")
    result = known(chart, only(heating=per_hour, cooling=per_hour), Options(window_s=window_s))
    couples = courses_of(chart)
    found = [steepest(couple, BAND, Fraction(window_s)) for couple in couples]
    for way, rates in zip(("heating", "cooling"), zip(*found, strict=True), strict=True):
        criterion = named(result, f"{way} rate")
        worst = max(rates)
        assert float(criterion.worst or 0) == pytest.approx(float(worst), rel=1e-9)
        assert (criterion.verdict == "not met") == (worst > int(most))
        if criterion.verdict == "met":
            assert all(stays([couple], BAND) for couple in couples)


@settings(max_examples=300, deadline=None)
@given(charts(), modes)
def test_spread(chart: Chart, mode: SoakMode) -> None:
    result = known(chart, only(), Options(soak=mode))
    couples = courses_of(chart)
    if len(couples) == 1:
        assert named(result, "spread while heating").verdict == "not shown"
        return
    assert named(result, "spread while heating").worst == spread_while_heating(couples, BAND, mode)


@settings(max_examples=200, deadline=None)
@given(charts())
def test_highest(chart: Chart) -> None:
    criterion = named(known(chart, only(), Options()), "highest temperature")
    highest = max(max(channel.values) for channel in chart.channels)
    assert criterion.worst == written(highest)
    assert criterion.verdict == ("met" if highest <= 650 else "not met")
