"""Any chart of straight lines, judged by a second route: soak, rates and spread agree."""

from fractions import Fraction

import pytest
from course_kit import limit, named, only
from hypothesis import given, settings
from hypothesis import strategies as st
from second_route import (
    Band,
    charts,
    courses_of,
    known,
    soaks,
    spread_while_heating,
    stays,
    steepest,
    written,
)

from traveler.chart.model import Chart, Options, SoakMode

BAND = Band(Fraction(595), Fraction(650), Fraction(427))

modes: st.SearchStrategy[SoakMode] = st.sampled_from(["longest", "sum"])
windows = st.sampled_from([600.0, 1800.0, 3600.0])


@pytest.mark.slow
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


@pytest.mark.slow
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


@pytest.mark.slow
@settings(max_examples=300, deadline=None)
@given(charts(), modes)
def test_spread(chart: Chart, mode: SoakMode) -> None:
    result = known(chart, only(), Options(soak=mode))
    couples = courses_of(chart)
    if len(couples) == 1:
        assert named(result, "spread while heating").verdict == "not shown"
        return
    assert named(result, "spread while heating").worst == spread_while_heating(couples, BAND, mode)


@pytest.mark.slow
@settings(max_examples=200, deadline=None)
@given(charts())
def test_highest(chart: Chart) -> None:
    criterion = named(known(chart, only(), Options()), "highest temperature")
    highest = max(max(channel.values) for channel in chart.channels)
    assert criterion.worst == written(highest)
    assert criterion.verdict == ("met" if highest <= 650 else "not met")
