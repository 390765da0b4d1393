"""Rates where a hurried reader goes wrong. Constructed, worked by hand."""

from dataclasses import replace
from fractions import Fraction

import pytest
from course_kit import A, Course, chart_of, furnace_run, judged, judged_couples, limit, named, only

from traveler.chart.judging.judge import judge_chart
from traveler.chart.model import Judged, Options
from traveler.quantity.parse import stored

LOOSE = Options(max_gap_s=86400.0)


def one(
    course: Course, limit_text: str = "222", options: Options = LOOSE, unit: str = "delta_degC/h"
) -> Judged:
    """One couple with a row at each corner of the course only."""
    chart = chart_of(
        {"TC1": [float(value) for _, value in course]}, times_s=[float(60 * minute) for minute, _ in course]
    )
    rate = limit(limit_text, unit)
    return judge_chart(chart, only(heating=rate, cooling=rate), options)


STEADY: Course = ((0, 20), (236, 610), (311, 610), (435, 300))


@pytest.mark.parametrize(
    ("limit_text", "unit", "verdict"),
    [
        ("150", "delta_degC/h", "met"),
        ("149.9999999999999", "delta_degC/h", "not met"),
        ("270", "delta_degF/h", "met"),
        ("269.9999999999999", "delta_degF/h", "not met"),
        ("2.5", "delta_degC/min", "met"),
    ],
)
@pytest.mark.parametrize("every", [1, 2, 3])
def test_a_rate_equal_to_its_limit_is_inside(limit_text: str, unit: str, verdict: str, every: int) -> None:
    rate = limit(limit_text, unit)
    result = judged(furnace_run(A, every=every), only(heating=rate, cooling=rate), every_s=60.0 * every)
    heating = named(result, "heating rate")
    assert (heating.worst, heating.verdict, heating.couple) == (150, verdict, "TC1")


def test_rows_at_odd_times_change_nothing() -> None:
    minutes = [0, 100, 161, 170, 171, 199, 236, 250, 311, 320, 333, 360, 399, 435]
    chart = chart_of(
        {"TC1": [min(20 + 2.5 * at, 610.0, 610 - 2.5 * (at - 311)) for at in minutes]},
        times_s=[60.0 * at for at in minutes],
    )
    result = judge_chart(chart, only(), LOOSE)
    assert [named(result, f"{way} rate").worst for way in ("heating", "cooling")] == [150, 150]


@pytest.mark.parametrize(
    ("span", "verdict"),
    [("2", "met"), ("2.1", "conditional")],
)
def test_two_readings_are_uncertain_each(span: str, verdict: str) -> None:
    """158 against 150: 2 C° twice over 30 min are 8 C°/h."""
    options = replace(LOOSE, uncertainty=stored(span, "delta_degC"))
    assert named(one(STEADY, "158", options), "heating rate").verdict == verdict


def test_a_second_heating_is_judged_like_the_first() -> None:
    """Down to 400 after the soak, then 200 degrees in 30 min."""
    course = ((0, 20), (236, 610), (311, 610), (395, 400), (425, 600), (500, 600), (600, 350))
    result = one(course)
    heating = named(result, "heating rate")
    assert heating.worst == 400
    assert heating.verdict == "not met"
    assert heating.at_s is not None
    assert heating.at_s >= 395 * 60
    assert "the part was above 427.0 °C 2 times: each is judged" in result.notes


def test_a_heating_that_never_gets_to_the_soak_is_judged() -> None:
    """From 427 at 163 min to 587 in 24: 160 degrees are 400 an hour; down in 16 min, and 600 an hour."""
    course = ((0, 20), (163, 427), (187, 587), (203, 427), (363, 27))
    result = one(course)
    assert named(result, "heating rate").worst == 400
    assert named(result, "cooling rate").worst == 600


@pytest.mark.parametrize(
    ("peak", "rate", "verdict"),
    [
        # 3 degrees up in half a minute: over a quarter of an hour 12 an hour
        (430, 12, "met"),
        # a torch: 160 degrees in half a minute
        (587, 640, "not met"),
    ],
)
def test_a_flicker_counts_over_a_quarter_of_an_hour(peak: int, rate: int, verdict: str) -> None:
    half = Fraction(1, 2)
    course = ((0, 20), (163, 427), (163 + half, peak), (164, 427), (364, 20))
    heating = named(one(course), "heating rate")
    assert (heating.worst, heating.verdict) == (rate, verdict)


def test_a_heating_to_the_soak_counts_as_it_is_however_short() -> None:
    """427 to 595 in 10 min are 1008 an hour, whatever the window."""
    course = ((0, 20), (163, 427), (173, 595), (240, 595), (340, 345))
    for window_s in (1800.0, 3600.0):
        assert named(one(course, options=replace(LOOSE, window_s=window_s)), "heating rate").worst == 1008


def test_a_step_inside_the_hot_zone_counts_over_a_whole_window() -> None:
    """55 degrees in 2 min: 110 an hour over 30 min, up and down; heated at 100 an hour."""
    course = ((0, 20), (345, 595), (440, 595), (442, 650), (500, 650), (502, 595), (560, 595), (800, 195))
    result = one(course, "105")
    for way in ("heating", "cooling"):
        assert named(result, f"{way} rate").worst == 110
        assert named(result, f"{way} rate").verdict == "not met"


def test_a_rise_that_ends_in_the_hot_zone_is_not_cut_at_its_edge() -> None:
    """From 565 to 645 in 20 min, the soak temperature half-way: 80 degrees and 2.5 a minute before are 210 an hour."""
    course = ((0, 15), (220, 565), (240, 645), (320, 645), (420, 395))
    assert named(one(course), "heating rate").worst == 210


@pytest.mark.parametrize(
    ("first", "last", "heating", "cooling"),
    [
        (82, 90, "not shown", "met"),  # 164 to 180 min, in the heating
        (80, 83, "not shown", "met"),  # over the threshold itself
        (130, 135, "met", "met"),  # 10 min in the soak: a window still reaches across
        (125, 150, "not shown", "not shown"),  # 50 min in the soak
        (165, 170, "met", "not shown"),  # in the cooling
        (10, 20, "met", "met"),  # cold
    ],
)
def test_a_gap_leaves_its_phase_unshown(first: int, last: int, heating: str, cooling: str) -> None:
    result = judged_couples(chart_of(furnace_run(A)), {"TC1": ((first, last),)})
    assert [named(result, f"{way} rate").verdict for way in ("heating", "cooling")] == [heating, cooling]
    assert named(result, "heating rate").worst == 150


def test_a_gap_says_how_long_it_was() -> None:
    result = judged_couples(chart_of(furnace_run(A)), {"TC2": ((84, 90),)})
    reasons = named(result, "heating rate").reasons
    assert "TC2: unverified over a gap of 12 min from 2:48:00" in reasons
    assert any(fault.couple == "TC2" and fault.span.start_s == 10080 for fault in result.faults)


def test_a_gap_does_not_hide_a_mean_that_fails() -> None:
    """430 to 590 somewhere in 20 min."""
    chart = chart_of(
        {"TC1": [20.0, 430.0, 590.0, 600.0, 600.0, 350.0]}, times_s=[0, 9600, 10800, 11100, 15000, 21000]
    )
    result = judged_couples(chart, {"TC1": ((1, 2),)})
    heating = named(result, "heating rate")
    assert heating.verdict == "not met"
    assert heating.worst == 480


def test_a_crossing_in_a_gap_is_put_where_it_harms_least() -> None:
    """20 degrees before the gap, 595 after two hours of it: 168 degrees in two hours at least, not in some minutes."""
    chart = chart_of({"TC1": [20.0, 20.0, 595.0, 600.0, 350.0]}, times_s=[0, 600, 7800, 12000, 19000])
    heating = named(judged_couples(chart, {"TC1": ((1, 2),)}), "heating rate")
    assert (heating.worst, heating.verdict) == (84, "not shown")


def test_a_couple_that_stays_cold_shows_no_heating() -> None:
    columns = furnace_run(A, lags=(0, 0))
    columns["TC2"] = [20.0] * len(columns["TC2"])
    result = judged(columns)
    for way in ("heating", "cooling"):
        assert named(result, f"{way} rate").verdict == "not shown"
        assert "TC2 is never seen above 427.0 °C" in named(result, f"{way} rate").reasons


def test_a_bake_below_the_threshold_needs_no_rate() -> None:
    bake = only(soak_min=limit("200", "degC"), soak_max=limit("300", "degC"))
    result = one(((0, 20), (30, 250), (150, 250), (160, 20)))
    assert named(result, "heating rate").verdict == "not shown"
    chart = chart_of({"TC1": [20.0, 250.0, 250.0, 20.0]}, times_s=[0, 1800, 9000, 9600])
    result = judge_chart(chart, replace(bake, spread_heating=None, spread_soak=None), LOOSE)
    assert named(result, "heating rate").verdict == "met"
    assert result.verdict == "met"


def test_without_a_threshold_all_of_it_counts() -> None:
    """20 to 595 in 115 min are 300 an hour."""
    chart = chart_of({"TC1": [20.0, 595.0, 595.0, 20.0]}, times_s=[0, 6900, 12000, 25800])
    result = judge_chart(chart, only(threshold=None), LOOSE)
    assert named(result, "heating rate").worst == 300
    assert named(result, "cooling rate").worst == 150
    assert named(result, "heating rate").verdict == "not met"
    assert named(result, "cooling rate").verdict == "met"


def test_in_fahrenheit_a_difference_has_no_32() -> None:
    """A in Fahrenheit against 400 F°/h: 270 F°/h, and in its own unit."""
    columns = {
        name: [reading * 1.8 + 32 for reading in readings] for name, readings in furnace_run(A).items()
    }
    chart = chart_of(columns, unit="degF")
    heating = named(judge_chart(chart, only(heating=limit("400", "delta_degF/h")), Options()), "heating rate")
    assert heating.unit == "delta_degF/h"
    assert heating.worst is not None
    assert float(heating.worst) == pytest.approx(270, abs=1e-9)
    assert float(heating.margin or 0) == pytest.approx(130, abs=1e-9)


def test_a_chart_that_starts_a_little_above_the_threshold() -> None:
    """427.5 at once, and a heating as it should be after that: what was before the first row is not shown."""
    course = ((0, 427.5), (1, 426), (60, 400), (160, 610), (235, 610), (359, 300))
    heating = named(one(course), "heating rate")
    assert (heating.worst, heating.verdict) == (126, "not shown")
