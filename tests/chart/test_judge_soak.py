"""The soak at its edges: uncertainty, ties, gaps, points read by eye, crayons. Constructed, worked by hand."""

from dataclasses import replace
from fractions import Fraction
from math import nan

import pytest
from course_kit import LIMITS, A, chart_of, furnace_run, judged, judged_couples, limit, named, only, verdicts

from traveler.chart.judging.judge import judge_chart
from traveler.chart.model import Chart, Limits, Method, Options
from traveler.errors import BadInput
from traveler.quantity.parse import stored

LOOSE = Options(max_gap_s=86400.0)


def off_by(span: str, symbol: str = "delta_degC") -> Options:
    return Options(uncertainty=stored(span, symbol), max_gap_s=86400.0)


def trapezoid(top: float, soak_min: int, method: Method = "logger") -> Chart:
    """One couple from 595 up to ``top`` in 10 min, there, and down again; ``soak_min`` in all from 595 to 595."""
    minutes = [0, 230, 240, 220 + soak_min, 230 + soak_min, 430 + soak_min]
    return chart_of(
        {"TC1": [20.0, 595.0, top, top, 595.0, 300.0]},
        times_s=[60.0 * minute for minute in minutes],
        method=method,
    )


SOAK_ONLY = Limits(soak_min=LIMITS.soak_min, soak_max=LIMITS.soak_max, hold=LIMITS.hold)


@pytest.mark.parametrize(
    ("soak_min", "options", "verdict"),
    [
        (60, LOOSE, "met"),
        (59, LOOSE, "not met"),
        # off by 3 of 30 degrees in 10 min: 1 min less at either end
        (62, off_by("3"), "met"),
        (61, off_by("3"), "conditional"),
        (60, off_by("3"), "conditional"),
        (59, off_by("3"), "not met"),
        (62, off_by("5.4", "delta_degF"), "met"),
        (62, off_by("5.5", "delta_degF"), "conditional"),
    ],
)
def test_a_soak_that_an_uncertainty_may_shorten(soak_min: int, options: Options, verdict: str) -> None:
    result = judge_chart(trapezoid(625.0, soak_min), SOAK_ONLY, options)
    assert named(result, "soak time").verdict == verdict
    assert named(result, "soak time").worst == soak_min
    assert result.verdict == verdict


@pytest.mark.parametrize(
    ("top", "span", "verdict"),
    [(625.0, "25", "met"), (626.0, "25", "conditional"), (650.0, "0", "met"), (650.5, "0", "not met")],
)
def test_a_ceiling_nearer_than_the_uncertainty(top: float, span: str, verdict: str) -> None:
    result = judge_chart(trapezoid(top, 90), SOAK_ONLY, off_by(span))
    assert named(result, "highest temperature").verdict == verdict


def test_the_band_must_be_wider_than_the_uncertainty_on_both_sides() -> None:
    """595 to 650: 27.5 on either side leaves 622.5 alone, a little more leaves nothing."""
    judge_chart(trapezoid(622.5, 90), SOAK_ONLY, off_by("27.5"))
    with pytest.raises(
        BadInput, match=r"27\.6 C° leave nothing of the soak band from 595\.0 °C to 650\.0 °C"
    ):
        judge_chart(trapezoid(622.5, 90), SOAK_ONLY, off_by("27.6"))


def test_the_coldest_reading_is_that_of_the_best_hour() -> None:
    """80 min in the band, of which 60 at 625 and 10 on either slope: the slopes do not have to count."""
    assert named(judge_chart(trapezoid(625.0, 80), SOAK_ONLY, LOOSE), "soak temperature").worst == 625
    assert named(judge_chart(trapezoid(625.0, 79), SOAK_ONLY, LOOSE), "soak temperature").worst == 595
    short = named(judge_chart(trapezoid(625.0, 50), SOAK_ONLY, LOOSE), "soak temperature")
    assert (short.worst, short.reasons) == (595, ("the coldest reading of the soak that counts",))


def test_a_soak_that_is_not_there_is_told_from_what_was_seen() -> None:
    """The coldest place gets to 590; where TC2 is lost on the way up, nothing after that is known of the coldest."""
    columns = furnace_run(((0, 20), (228, 590), (303, 590), (427, 300)))
    whole = named(judged(columns), "soak temperature")
    assert (whole.worst, whole.verdict) == (590, "not met")
    assert whole.reasons == ("there is no soak to read it from: the coldest place got no hotter than this",)
    lost = named(
        judged_couples(chart_of(columns), {"TC2": ((90, len(columns["TC1"]) - 1),)}), "soak temperature"
    )
    assert lost.verdict == "not shown"
    assert lost.reasons[0].endswith("the coldest place got no hotter than this while all couples were seen")


def test_a_ceiling_below_the_soak_is_said() -> None:
    """No chart can be at 595 and at most 560; the temperature itself is judged all the same."""
    result = judge_chart(trapezoid(625.0, 90), replace(SOAK_ONLY, soak_max=limit("560", "degC")), LOOSE)
    assert any("no chart can show both" in note for note in result.notes)
    assert named(result, "highest temperature").verdict == "not met"
    assert not any(
        "no chart can show both" in note for note in judge_chart(trapezoid(625.0, 90), LIMITS, LOOSE).notes
    )


def test_what_a_soak_falls_short_by_is_the_last_reason() -> None:
    """TC3 dips below the band at 277.5 min (chart B); with an uncertainty of 1 C° that is still what failed."""
    columns = furnace_run(A)
    dip = {
        270: 610.0,
        272: 606.0,
        274: 602.0,
        276: 598.0,
        278: 594.0,
        280: 590.0,
        282: 594.0,
        284: 598.0,
        286: 602.0,
    }
    columns["TC3"] = [dip.get(2 * row, value) for row, value in enumerate(columns["TC3"])]
    soak = named(judged(columns, options=off_by("1")), "soak time")
    assert soak.verdict == "not met"
    assert soak.reasons[-1] == "TC3 leaves the band for 5.0 min from 4:37:30, the coldest at 590.0 °C"
    assert any(words.startswith("with readings off by 1.0 C°") for words in soak.reasons[:-1])


def test_conditional_by_the_temperature_is_said() -> None:
    result = judge_chart(trapezoid(625.0, 60), SOAK_ONLY, off_by("3"))
    temperature = named(result, "soak temperature")
    assert temperature.verdict == "conditional"
    assert "nearer to the limit than a reading may be off, 3.0 C°" in temperature.reasons


def test_an_uncertainty_that_nobody_gave_is_said() -> None:
    note = "no uncertainty of the readings was given: it is taken as zero"
    assert note in judge_chart(trapezoid(625.0, 60), SOAK_ONLY, LOOSE).notes
    assert note not in judge_chart(trapezoid(625.0, 60), SOAK_ONLY, off_by("1")).notes
    for method in ("hand-read", "crayon"):  # by eye 5 C°, a crayon 1 % of its mark
        assert note not in judge_chart(trapezoid(625.0, 60, method), SOAK_ONLY, LOOSE).notes


def test_a_tie_that_no_float_tells() -> None:
    """1100 degF is 593 1/3 degC: the next float below it is not enough, the next above it is."""
    limits = replace(SOAK_ONLY, soak_min=limit("1100", "degF"))
    for reading, verdict in ((593.3333333333334, "met"), (593.3333333333333, "not met")):
        chart = chart_of({"TC1": [reading] * 31}, every_s=120.0)
        assert named(judge_chart(chart, limits, LOOSE), "soak time").verdict == verdict


@pytest.mark.parametrize(
    ("row", "mode", "counted_min", "verdict"),
    [
        # rows every 2 min, soak from 242 to 317: a gap over the rows 250 to 260 leaves 8 and 57 min
        (125, "longest", 57, "not shown"),
        (125, "sum", 65, "met"),
        # near the end 59 + 8
        (150, "longest", 58, "not shown"),
        # before the soak it takes nothing away
        (110, "longest", 75, "met"),
    ],
)
def test_a_gap_is_not_soak(row: int, mode: str, counted_min: int, verdict: str) -> None:
    options = Options(soak="sum" if mode == "sum" else "longest")
    chart = chart_of(furnace_run(A))
    result = judged_couples(chart, {"TC2": ((row, row + 5),)}, options=options)
    soak = named(result, "soak time")
    assert (soak.worst, soak.verdict) == (counted_min, verdict)


def test_a_hidden_couple_cannot_have_soaked_for_longer_than_the_others() -> None:
    """The others are in the band for 51 min: whatever TC2 did in the gap, an hour it was not."""
    course = ((0, 20), (236, 610), (287, 610), (411, 300))
    chart = chart_of(furnace_run(course))
    assert named(judged_couples(chart, {"TC2": ((125, 130),)}), "soak time").verdict == "not met"


def test_rows_far_apart_may_hide_a_whole_soak() -> None:
    """At 500 before and after three hours: not shown; three minutes: not met."""
    for gap_s, verdict in ((10800.0, "not shown"), (180.0, "not met")):
        times = [0.0, 3600.0, 3600.0 + gap_s, 7200.0 + gap_s]
        chart = chart_of({"TC1": [20.0, 500.0, 500.0, 20.0]}, times_s=times)
        result = judged_couples(chart, {"TC1": ((1, 2),)})
        assert named(result, "soak time").verdict == verdict


def test_a_chart_of_nothing_but_gaps() -> None:
    chart = chart_of({"TC1": [nan, nan, nan], "TC2": [nan, nan, nan]}, every_s=7200.0)
    result = judge_chart(chart, only(), Options())
    assert set(verdicts(result).values()) == {"not shown"}
    assert result.verdict == "not shown"


def test_breaks_without_end_are_not_told_one_by_one() -> None:
    columns = {"TC1": [590.0 if row % 2 else 600.0 for row in range(400)]}
    result = judged(columns)
    reasons = named(result, "soak time").reasons
    assert "and 196 more breaks" in reasons
    assert len(reasons) < 10
    assert len([fault for fault in result.faults if fault.criterion == "soak time"]) <= 20


@pytest.mark.parametrize(
    ("top", "soak_min", "verdict"),
    [
        (625.0, 60, "conditional"),
        (625.0, 300, "conditional"),
        (625.0, 59, "not met"),
        (647.0, 300, "conditional"),
    ],
)
def test_points_read_by_eye_are_at_best_conditional(top: float, soak_min: int, verdict: str) -> None:
    result = judge_chart(trapezoid(top, soak_min, "hand-read"), SOAK_ONLY, LOOSE)
    assert named(result, "soak time").verdict == verdict
    ceiling = named(result, "highest temperature").verdict
    assert ceiling == ("conditional" if top == 647.0 else "met")  # 5 C° by eye
    assert any("read by eye from paper" in reason for reason in named(result, "soak time").reasons)
    assert any("5.0 C°" in note for note in result.notes)


def test_a_reading_by_eye_may_be_worse_than_5_degrees() -> None:
    result = judge_chart(trapezoid(637.0, 300, "hand-read"), SOAK_ONLY, off_by("14"))
    assert named(result, "highest temperature").verdict == "conditional"


def test_a_rate_read_by_eye_is_at_best_conditional() -> None:
    columns = furnace_run(A, every=31)
    chart = replace(chart_of(columns, every_s=1860.0), method="hand-read")
    result = judge_chart(chart, only(), LOOSE)
    assert {named(result, f"{way} rate").verdict for way in ("heating", "cooling")} == {"conditional"}


@pytest.mark.parametrize(
    ("mark", "verdict"),
    [
        # 99 % of 601.0101... is 595: the next crayon above is enough, the next below shows nothing, for what melted it
        # may have been hotter
        (601.1, "conditional"),
        (601.0, "not shown"),
    ],
)
def test_a_crayon_shows_the_lower_side_alone(mark: float, verdict: str) -> None:
    chart = replace(chart_of({"TC1": [mark] * 41}), method="crayon")
    result = judge_chart(chart, only(), LOOSE)
    assert named(result, "soak temperature").verdict == verdict
    assert named(result, "soak temperature").worst == Fraction(str(mark)) * Fraction(99, 100)
    assert named(result, "soak time").verdict == verdict
    others = [criterion for criterion in result.criteria if criterion.bound == "at_most"]
    assert {criterion.verdict for criterion in others} == {"not shown"}
    assert all("it takes thermocouples on a recorder" in criterion.reasons[0] for criterion in others)
    assert result.verdict == "not shown"


def looks(*marks: float, every_min: int = 10) -> Chart:
    """Marks that melted at one place, looked at every so many minutes."""
    return chart_of({"P1": list(marks)}, every_s=60.0 * every_min, method="crayon")


def test_a_soak_by_crayon_lasts_from_look_to_look() -> None:
    """650 melted from 10 to 70 min, 400 before and after: 60 min, and nothing of the 10 min on either side."""
    soak = named(judge_chart(looks(400, *[650] * 7, 400), SOAK_ONLY, LOOSE), "soak time")
    assert (soak.worst, soak.verdict) == (60, "conditional")
    shorter = judge_chart(looks(400, *[650] * 6, 400), SOAK_ONLY, LOOSE)
    soak = named(shorter, "soak time")
    assert (soak.worst, soak.verdict) == (50, "not shown")
    assert named(shorter, "soak temperature").verdict == "not shown"


@pytest.mark.parametrize("marks", [[400, 650, 400], [650, 400, 650, 400, 650, 400, 650]])
def test_single_looks_are_no_soak(marks: list[float]) -> None:
    result = judge_chart(looks(*marks), SOAK_ONLY, LOOSE)
    assert (named(result, "soak time").worst, named(result, "soak time").verdict) == (0, "not shown")


def test_two_looks_with_a_colder_mark_between_are_two_pieces() -> None:
    soak = named(judge_chart(looks(*[650] * 5, 500, *[650] * 4), SOAK_ONLY, LOOSE), "soak time")
    assert soak.worst == 40
    assert any("no mark that is hot enough at every place for 20.0 min" in words for words in soak.reasons)


def test_a_rule_without_a_time() -> None:
    result = judge_chart(trapezoid(625.0, 60), replace(SOAK_ONLY, hold=None), LOOSE)
    soak = named(result, "soak time")
    assert (soak.worst, soak.limit, soak.verdict, soak.decides) == (60, None, "met", False)


def test_a_time_without_a_temperature() -> None:
    result = judge_chart(trapezoid(625.0, 60), Limits(hold=LIMITS.hold), LOOSE)
    assert named(result, "soak time").verdict == "not shown"
    assert result.verdict == "not shown"


def test_a_limit_of_another_kind_is_a_mistake_of_the_caller() -> None:
    with pytest.raises(ValueError, match="is no temperature"):
        judge_chart(trapezoid(625.0, 60), only(soak_min=limit("595", "delta_degC")), LOOSE)
