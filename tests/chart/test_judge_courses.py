"""Whole charts with answers worked by hand: straight courses, four couples lagging 0, 4, 8 and 12 min.

Constructed, computed by hand: band 595 to 650 degC, threshold 427 degC, heating 222 and cooling 278 C°/h, 60 min.
"""

from fractions import Fraction
from math import nan

import pytest
from course_kit import A, C, Course, D, G, H, chart_of, furnace_run, judged, limit, named, only, verdicts

from traveler.chart.judging.judge import judge_chart
from traveler.chart.model import Limits, Options
from traveler.quantity.parse import stored

FAHRENHEIT_BAND = only(soak_min=limit("1100", "degF"))


def dipped() -> dict[str, list[float]]:
    """A, and couple 3 falls from 610 to 590 and back between minutes 270 and 290."""
    columns = furnace_run(A)
    for minute in range(270, 291, 2):
        columns["TC3"][minute // 2] = 610.0 - 2 * (10 - abs(minute - 280))
    return columns


def one_high() -> dict[str, list[float]]:
    """A, and couple 1 reads 45 degrees too much."""
    columns = furnace_run(A)
    columns["TC1"] = [reading + 45 for reading in columns["TC1"]]
    return columns


@pytest.mark.parametrize(
    ("columns", "limits", "mode", "soaks_min", "counted_min", "verdict"),
    [
        # the last couple reaches 595 at 230 + 12, the first leaves it at 311 + 6
        (furnace_run(A), only(), "longest", [(242, 317)], 75, "met"),
        # 610 falls 2 degrees a minute: out of the band from 277.5 to 282.5
        (dipped(), only(), "longest", [(242, Fraction("277.5"))], Fraction("35.5"), "not met"),
        (dipped(), only(), "sum", [(242, Fraction("277.5")), (Fraction("282.5"), 317)], 70, "met"),
        (furnace_run(C), only(), "longest", [(253, 331)], 78, "met"),
        # couple 1 comes down to 650 when the second one has 8 min to 595 left
        (one_high(), only(), "longest", [(313, 321)], 8, "not met"),
        (furnace_run(G), only(), "longest", [], 0, "not met"),
    ],
)
def test_soak_of_a_course(
    columns: dict[str, list[float]],
    limits: Limits,
    mode: str,
    soaks_min: list[tuple[Fraction, Fraction]],
    counted_min: Fraction,
    verdict: str,
) -> None:
    result = judged(columns, limits, Options(soak="sum" if mode == "sum" else "longest"))
    soak = named(result, "soak time")
    assert [(one.start_s / 60, one.end_s / 60) for one in result.soaks] == soaks_min
    assert (soak.worst, soak.verdict) == (counted_min, verdict)
    assert soak.margin == counted_min - 60


def test_a_passes_whole() -> None:
    result = judged(furnace_run(A))
    assert result.verdict == "met"
    assert named(result, "heating rate").worst == 150
    assert named(result, "cooling rate").worst == 150
    assert named(result, "spread while heating").worst == 30
    assert named(result, "highest temperature").worst == 610
    # 610 - 595 as TC4 comes in; in the soak nothing lies further apart
    assert named(result, "spread in the soak").worst == 15
    assert named(result, "soak temperature").worst == 610
    assert verdicts(result)["temperature at loading"] == "not shown"
    assert [criterion.criterion for criterion in result.criteria if not criterion.decides] == [
        "temperature at loading"
    ]
    assert not result.faults


def test_a_with_readings_off_by_an_uncertainty() -> None:
    """The band from 600.6: in at 244.24, out at 314.76, 70.52 min."""
    result = judged(furnace_run(A), options=Options(uncertainty=stored("5.6", "delta_degC")))
    assert result.verdict == "met"
    assert any("70.5 min" in reason for reason in named(result, "soak time").reasons)


def test_both_lengths_are_said_whichever_counts() -> None:
    for mode in ("longest", "sum"):
        result = judged(dipped(), options=Options(soak="sum" if mode == "sum" else "longest"))
        reasons = " ".join(named(result, "soak time").reasons)
        assert "longest 35.5 min, together 70.0 min" in reasons
        assert "TC3 leaves the band for 5.0 min from 4:37:30, the coldest at 590.0 °C" in reasons


@pytest.mark.parametrize(
    ("course", "window_min", "rate", "verdict"),
    [
        # C: 80 degrees in 16 min beside 2.5 a minute before; an hour dilutes the jump
        (C, 30, 230, "not met"),
        (C, 15, 300, "not met"),
        (C, 60, Fraction("149.8"), "met"),
        # D: 182 degrees in 42 min; above the threshold the heating is shorter than an hour, and so is its window
        (D, 30, 260, "not met"),
        (A, 30, 150, "met"),
    ],
)
def test_heating_of_a_course(course: Course, window_min: int, rate: Fraction, verdict: str) -> None:
    result = judged(furnace_run(course), options=Options(window_s=60.0 * window_min))
    heating = named(result, "heating rate")
    assert heating.worst is not None
    assert float(heating.worst) == pytest.approx(float(rate), abs=1e-9)
    assert heating.verdict == verdict
    assert result.verdict == verdict


@pytest.mark.parametrize("window_min", [30, 60])
def test_a_phase_shorter_than_the_window_is_its_own_window(window_min: int) -> None:
    """H: 168 of 183 degrees, at 183 in 29 min; D: 168 degrees at 182 in 42 min, but for the corner between rows."""
    fast = named(judged(furnace_run(H), options=Options(window_s=60.0 * window_min)), "cooling rate")
    assert fast.worst is not None
    assert float(fast.worst) == pytest.approx(183 / 29 * 60, abs=1e-9)
    assert fast.verdict == "not met"
    slow = named(judged(furnace_run(D), options=Options(window_s=3600.0)), "heating rate")
    assert slow.worst is not None
    assert 258 < slow.worst < 260
    assert slow.verdict == "not met"


def test_every_couple_that_fails_is_marked() -> None:
    result = judged(furnace_run(C))
    marks = [(fault.couple, fault.span.start_s / 60, fault.words) for fault in result.faults]
    assert marks == [
        (f"TC{number}", 166 + 4 * (number - 1), f"TC{number} rises 230.0 C°/h") for number in range(1, 5)
    ]


def test_one_degree_between_two_printed_numbers() -> None:
    """G holds 594: below 595 degC and above 1100 degF (593.33)."""
    assert named(judged(furnace_run(G)), "soak temperature").verdict == "not met"
    result = judged(furnace_run(G), FAHRENHEIT_BAND)
    soak = named(result, "soak time")
    assert soak.worst is not None
    assert float(soak.worst) == pytest.approx(62.84, abs=0.01)
    assert result.verdict == "met"


def opened(spare: bool) -> tuple[dict[str, list[float]], dict[str, str]]:
    """A, couple 4 open from minute 270 on."""
    columns = furnace_run(A)
    if spare:
        columns["TC5"] = list(columns["TC4"])
    columns["TC4"] = [reading if 2 * row < 270 else nan for row, reading in enumerate(columns["TC4"])]
    return columns, {"TC5": "TC4"} if spare else {}


def test_a_couple_that_opens_in_the_soak_leaves_it_unshown() -> None:
    columns, _ = opened(spare=False)
    result = judged(columns)
    assert [(one.start_s / 60, one.end_s / 60) for one in result.soaks] == [(242, 268)]
    assert named(result, "soak time").worst == 26
    unshown = {name for name, verdict in verdicts(result).items() if verdict == "not shown"}
    assert unshown >= {"soak time", "soak temperature", "highest temperature", "cooling rate", "couples"}
    assert result.verdict == "not shown"


def test_a_declared_spare_saves_the_chart() -> None:
    columns, spares = opened(spare=True)
    chart = chart_of(columns, roles={"TC5": "spare"}, spares=spares)
    result = judge_chart(chart, only(), Options())
    assert named(result, "soak time").worst == 75
    assert result.verdict == "met"


def test_one_high_couple_in_the_other_criteria() -> None:
    result = judged(one_high())
    assert named(result, "spread while heating").worst == 75
    assert named(result, "spread while heating").verdict == "met"
    ceiling = named(result, "highest temperature")
    assert (ceiling.worst, ceiling.margin, ceiling.couple, ceiling.verdict) == (655, -5, "TC1", "not met")
    # 650 at 234 min on the way up, at 313 on the way down
    assert ceiling.reasons == ("above it for 79.0 min, first at 3:54:00",)


def test_identical_couples() -> None:
    result = judged(furnace_run(A, lags=(0, 0, 0)))
    assert named(result, "soak time").worst == 87
    assert named(result, "spread while heating").worst == 0
    assert result.verdict == "met"


def test_a_soak_entered_and_left_at_a_sample_is_whole() -> None:
    """595 at 230 and at 290 min, both of them rows: 60 min to the second."""
    course = ((0, 20), (230, 595), (236, 610), (284, 610), (290, 595), (408, 300))
    soak = named(judged(furnace_run(course, lags=(0, 0))), "soak time")
    assert (soak.worst, soak.margin, soak.verdict) == (60, 0, "met")


def test_a_soak_that_is_one_second_short() -> None:
    course = ((0, 20), (230, 595), (236, 610), (284, 610), (290 - Fraction(1, 60), 595), (408, 300))
    columns = {"TC1": [20.0, 595.0, 610.0, 610.0, 595.0, 300.0]}
    chart = chart_of(columns, times_s=[float(60 * minute) for minute, _ in course])
    soak = named(judge_chart(chart, only(), Options(max_gap_s=86400.0)), "soak time")
    assert soak.worst == 60 - Fraction(1, 60)
    assert soak.verdict == "not met"


def test_a_chart_that_never_gets_there() -> None:
    course = ((0, 20), (200, 520), (300, 520), (388, 300))
    result = judged(furnace_run(course))
    temperature = named(result, "soak temperature")
    assert (temperature.worst, temperature.margin, temperature.verdict) == (520, -75, "not met")
    assert named(result, "soak time").verdict == "not met"
    assert named(result, "spread in the soak").verdict == "not shown"
    # it rose and fell above the threshold all the same, 150 C°/h each way
    assert [named(result, f"{way} rate").worst for way in ("heating", "cooling")] == [150, 150]
    assert result.verdict == "not met"


def test_a_chart_that_starts_and_ends_hot() -> None:
    """What was before and after is not shown; what is seen of it still counts."""
    columns = {name: readings[100:176] for name, readings in furnace_run(A).items()}
    result = judged(columns)
    assert named(result, "soak time").worst == 75
    shown = verdicts(result)
    assert shown["heating rate"] == shown["cooling rate"] == "not shown"
    assert shown["spread while heating"] == shown["exit into still air"] == "not shown"
    assert "TC1 is at 520.0 °C when its record begins" in named(result, "heating rate").reasons
    assert result.verdict == "not shown"


def test_a_hot_start_that_already_fails() -> None:
    columns = {name: readings[90:] for name, readings in furnace_run(C).items()}
    assert named(judged(columns), "heating rate").verdict == "not met"
