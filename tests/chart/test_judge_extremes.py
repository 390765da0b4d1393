"""Ceiling, spread, loading and exit. Constructed, worked by hand."""

from dataclasses import replace
from math import nan

import pytest
from course_kit import LIMITS, A, chart_of, furnace_run, judged, judged_couples, limit, named, only, verdicts

from traveler.chart.judging.judge import CHART_JUDGE, judge_chart
from traveler.chart.model import Chart, Options
from traveler.errors import BadInput
from traveler.quantity.parse import stored


def off_by(span: str) -> Options:
    return Options(uncertainty=stored(span, "delta_degC"))


def test_one_reading_above_the_ceiling_is_enough() -> None:
    """TC3 at 652 in one row of 2 min, from 610 before and to 610 behind: above 650 for 4/42 of 2 min."""
    columns = furnace_run(A)
    columns["TC3"][140] = 652.0
    ceiling = named(judged(columns), "highest temperature")
    assert (ceiling.worst, ceiling.couple, ceiling.at_s, ceiling.verdict) == (
        652,
        "TC3",
        140 * 120,
        "not met",
    )
    assert ceiling.reasons == ("above it for 0.2 min, first at 4:39:54",)


def test_couples_above_the_ceiling_together_count_once() -> None:
    columns = furnace_run(A, lags=(0, 0))
    columns = {name: [reading + 50 for reading in readings] for name, readings in columns.items()}
    # 660 from 236 to 311: above 650 from 232 to 315
    result = judged(columns)
    assert named(result, "highest temperature").reasons == ("above it for 83.0 min, first at 3:52:00",)
    words = [fault.words for fault in result.faults if fault.criterion == "highest temperature"]
    assert words == ["TC1 above 650.0 °C for 83.0 min", "TC2 above 650.0 °C for 83.0 min"]


def test_without_a_ceiling_the_highest_reading_is_for_information() -> None:
    highest = named(judged(furnace_run(A), only(soak_max=None)), "highest temperature")
    assert (highest.worst, highest.limit, highest.bound, highest.decides) == (610, None, None, False)


def test_a_gap_may_hide_the_highest_temperature() -> None:
    chart = chart_of(furnace_run(A))
    assert named(judged_couples(chart, {"TC2": ((130, 134),)}), "highest temperature").verdict == "not shown"
    # at 20 to 95 degrees the others show that nothing happened
    assert named(judged_couples(chart, {"TC2": ((5, 15),)}), "highest temperature").verdict == "met"


def test_a_dead_end_with_nobody_to_vouch_for_it() -> None:
    """One couple, unknown from 70 degrees on: cold when last seen, and nobody knows what followed."""
    columns = furnace_run(A, lags=(0,))
    last = len(columns["TC1"]) - 1
    result = judged_couples(chart_of(columns), {"TC1": ((10, last),)})
    assert named(result, "highest temperature").verdict == "not shown"
    assert named(result, "soak temperature").verdict == "not shown"
    # lost for the last quarter of an hour of its cooling, at 325 degrees
    result = judged_couples(chart_of(columns), {"TC1": ((last - 7, last),)})
    assert named(result, "highest temperature").verdict == "met"


@pytest.mark.parametrize(
    ("lag", "most", "verdict"),
    [
        (12, "30", "met"),
        (12, "29.9", "not met"),
        (12, "54", "met"),
        (40, "139", "met"),
        (60, "139", "not met"),
    ],
)
def test_spread_while_heating(lag: int, most: str, verdict: str) -> None:
    """150 C°/h and so many minutes behind: 2.5 degrees a minute."""
    result = judged(furnace_run(A, lags=(0, lag)), only(spread_heating=limit(most, "delta_degC")))
    spread = named(result, "spread while heating")
    assert (spread.worst, spread.verdict) == (lag * 5 / 2, verdict)
    if verdict == "not met":
        assert [fault.couple for fault in result.faults if fault.criterion == spread.criterion] == ["TC1"]


def test_the_fault_of_a_spread_is_as_long_as_it_is_too_wide() -> None:
    """60 min behind, limit 100: too wide from 427 on until the first has stood for 20 min and lost 50 of 150."""
    result = judged(furnace_run(A, lags=(0, 60)), only(spread_heating=limit("100", "delta_degC")))
    (fault,) = (one for one in result.faults if one.criterion == "spread while heating")
    assert (fault.span.start_s / 60, fault.span.end_s / 60) == (164, 254)
    assert fault.words == "TC1 150.0 C° over TC2"


@pytest.mark.parametrize(("most", "verdict"), [("40", "met"), ("39.9", "not met"), ("45", "conditional")])
def test_spread_in_the_soak(most: str, verdict: str) -> None:
    """TC1 reads 30 more: 640 as the last of the others comes in at 600, out at 600 again."""
    columns = furnace_run(A)
    columns["TC1"] = [reading + 30 for reading in columns["TC1"]]
    limits = only(spread_soak=limit(most, "delta_degC"), soak_min=limit("600", "degC"))
    options = off_by("3") if verdict == "conditional" else Options()
    spread = named(judged(columns, limits, options), "spread in the soak")
    assert spread.worst == 40
    assert spread.verdict == verdict


def test_one_couple_shows_no_spread() -> None:
    result = judged(furnace_run(A, lags=(0,)))
    for name in ("spread while heating", "spread in the soak"):
        spread = named(result, name)
        assert (spread.verdict, spread.decides, spread.worst) == ("not shown", True, None)
        assert "it takes a second one" in spread.reasons[0]
    assert result.verdict == "not shown"
    unasked = replace(LIMITS, spread_heating=None, spread_soak=None)
    assert judged(furnace_run(A, lags=(0,)), unasked).verdict == "met"


def test_a_gap_while_heating_leaves_the_spread_unshown() -> None:
    chart = chart_of(furnace_run(A))
    hidden = named(judged_couples(chart, {"TC2": ((90, 95),)}), "spread while heating")
    assert (hidden.worst, hidden.verdict) == (30, "not shown")
    cooling = named(judged_couples(chart, {"TC2": ((165, 170),)}), "spread while heating")
    assert cooling.verdict == "met"


def with_furnace(readings: list[float] | None = None) -> Chart:
    """A with a furnace couple that rises 3 degrees a minute from 400."""
    columns = furnace_run(A)
    count = len(columns["TC1"])
    columns["AIR"] = readings or [min(400.0 + 6.0 * row, 660.0) for row in range(count)]
    return chart_of(columns, roles={"AIR": "furnace"})


@pytest.mark.parametrize(
    ("loaded_min", "options", "worst", "verdict"),
    [
        (0.0, Options(), 400, "met"),
        (8.0, Options(), 424, "met"),
        (9.0, Options(), 427, "not met"),  # between two rows
        (8.0, off_by("2"), 424, "conditional"),
        (-1.0, Options(), None, "not shown"),
        (10000.0, Options(), None, "not shown"),
    ],
)
def test_loading(loaded_min: float, options: Options, worst: int | None, verdict: str) -> None:
    options = replace(options, loaded_s=60 * loaded_min)
    loading = named(judge_chart(with_furnace(), only(), options), "temperature at loading")
    assert (loading.worst, loading.verdict, loading.decides) == (worst, verdict, True)


def test_loading_marked_after_the_soak_shows_nothing() -> None:
    """The furnace stands at 400 all the while; the first couple is at 595 at 230 min."""
    chart = with_furnace([400.0] * 230)
    before, after = (
        named(judge_chart(chart, only(), Options(loaded_s=60.0 * minute)), "temperature at loading")
        for minute in (228, 440)
    )
    assert (before.worst, before.verdict) == (400, "met")
    assert (after.worst, after.verdict) == (400, "not shown")
    assert "before the part is marked as loaded" in after.reasons[0]
    (fault,) = judge_chart(chart, only(), Options(loaded_s=440 * 60.0)).faults
    assert fault.words.startswith("AIR at 400.0 °C: a couple of the part is at the soak temperature before")


@pytest.mark.parametrize(
    ("chart", "loaded_s", "reason"),
    [
        (chart_of(furnace_run(A)), None, "no furnace couple"),
        (chart_of(furnace_run(A)), 0.0, "no furnace couple"),
        (with_furnace(), None, "no loading marked"),
    ],
)
def test_loading_that_nothing_shows_does_not_decide(
    chart: Chart, loaded_s: float | None, reason: str
) -> None:
    result = judge_chart(chart, only(), Options(loaded_s=loaded_s))
    loading = named(result, "temperature at loading")
    assert (loading.verdict, loading.decides, loading.reasons) == ("not shown", False, (reason,))
    assert result.verdict == "met"


def test_a_furnace_couple_without_a_reading_there() -> None:
    columns = [400.0, 400.0, float("nan"), 400.0, *[600.0] * 220]
    chart = with_furnace(columns)
    assert (
        named(judge_chart(chart, only(), Options(loaded_s=200.0)), "temperature at loading").verdict
        == "not shown"
    )
    assert (
        named(judge_chart(chart, only(), Options(loaded_s=360.0)), "temperature at loading").verdict == "met"
    )


@pytest.mark.parametrize(
    ("out_min", "span", "worst", "verdict"),
    [
        # 610 from 323 on in the last couple: 427 at 396.2
        (398.0, "0", 422.5, "met"),
        (397.0, "0", 425, "met"),
        (396.0, "0", 427.5, "not met"),
        (397.0, "2.1", 425, "conditional"),
        (None, "0", 302.5, "met"),
        (100.0, "0", 270, "not shown"),  # before it was heated
        (300.0, "0", 610, "not met"),
    ],
)
def test_exit_into_still_air(out_min: float | None, span: str, worst: float, verdict: str) -> None:
    options = replace(off_by(span), out_s=None if out_min is None else 60 * out_min)
    leaving = named(judged(furnace_run(A), options=options), "exit into still air")
    assert leaving.worst == worst
    assert leaving.verdict == verdict


def test_a_record_that_ends_hot_shows_no_exit() -> None:
    columns = {name: readings[:190] for name, readings in furnace_run(A).items()}
    leaving = named(judged(columns), "exit into still air")
    assert leaving.verdict == "not shown"
    assert "the record ends at 472.5 °C" in leaving.reasons[0]


def test_an_exit_that_nobody_marked() -> None:
    """With a cooling rate to keep, the chart shows the cooling itself; without one only a mark tells of the exit."""
    rated = named(judged(furnace_run(A)), "exit into still air")
    assert (rated.verdict, rated.reasons) == ("met", ("no exit marked: read where the record ends",))
    unrated = named(judged(furnace_run(A), only(heating=None, cooling=None)), "exit into still air")
    assert (unrated.worst, unrated.verdict) == (None, "not shown")
    assert unrated.reasons == ("no exit marked: nothing tells when the part came out or was uncovered",)
    options = Options(out_s=398 * 60.0)
    marked = named(judged(furnace_run(A), only(cooling=None), options), "exit into still air")
    assert (marked.worst, marked.verdict, marked.reasons) == (422.5, "met", ())


def test_couples_that_read_the_same_show_no_hotter_one() -> None:
    spread = named(judged(furnace_run(A, lags=(0, 0))), "spread in the soak")
    assert (spread.worst, spread.reasons) == (0, ("all couples read the same",))


@pytest.mark.parametrize(
    ("missing", "options", "verdict"),
    [
        # couples are taken off at 438 min, at 322 degrees, and the logger runs on
        ({"TC1": range(220, 250), "TC3": range(220, 250)}, Options(), "not shown"),
        ({"TC1": range(220, 250), "TC3": range(220, 250)}, Options(out_s=438 * 60.0), "met"),
        # one is lost a quarter of an hour before that
        ({"TC1": range(210, 250)}, Options(out_s=438 * 60.0), "not shown"),
        # plugged in at 10 min, loaded then, or loaded before
        ({"TC2": range(5)}, Options(loaded_s=600.0), "met"),
        ({"TC2": range(5)}, Options(loaded_s=300.0), "not shown"),
        ({"TC2": range(5)}, Options(), "not shown"),
        # lost on the way: no mark of a loading makes up for that
        ({"TC2": range(20, 40)}, Options(loaded_s=9000.0), "not shown"),
    ],
)
def test_couples_are_plugged_in_and_taken_off_at_the_marks(
    missing: dict[str, range], options: Options, verdict: str
) -> None:
    columns = furnace_run(A, last=498)
    for name, rows in missing.items():
        for row in rows:
            columns[name][row] = nan
    result = judge_chart(chart_of(columns), only(loading=None), options)
    assert named(result, "couples").verdict == verdict
    assert result.verdict == verdict


def test_couples_taken_off_in_the_soak_are_not_made_up_for_by_the_mark() -> None:
    columns = furnace_run(A)
    columns["TC4"][135:] = [nan] * len(columns["TC4"][135:])
    result = judge_chart(chart_of(columns), only(), Options(out_s=268 * 60.0))
    assert named(result, "exit into still air").verdict == "not met"
    assert named(result, "soak time").verdict == "not shown"


def test_order_of_the_criteria() -> None:
    assert CHART_JUDGE == 1
    assert list(verdicts(judged(furnace_run(A)))) == [
        "soak temperature",
        "highest temperature",
        "soak time",
        "heating rate",
        "cooling rate",
        "spread while heating",
        "spread in the soak",
        "temperature at loading",
        "exit into still air",
        "couples",
    ]


def test_limits_that_a_rule_does_not_print_are_not_judged() -> None:
    result = judged(furnace_run(A), only(heating=None, spread_soak=None, loading=None, threshold=None))
    assert not {"heating rate", "spread in the soak", "temperature at loading"} & set(verdicts(result))
    assert "exit into still air" not in verdicts(result)


@pytest.mark.parametrize(
    ("chart", "options", "words"),
    [
        (chart_of({"TC1": [20.0]}), Options(), "one row only"),
        (chart_of({"TC1": [20.0, 30.0]}), Options(window_s=0.0), "window for rates is 0 s"),
        (chart_of({"TC1": [20.0, 30.0]}), Options(window_s=float("nan")), "window for rates is nan s"),
        (chart_of({"TC1": [20.0, 30.0]}), off_by("-1"), "below zero"),
        (chart_of({"AIR": [20.0, 30.0]}, roles={"AIR": "furnace"}), Options(), "no couple on the part"),
    ],
)
def test_a_chart_that_cannot_be_judged_is_refused_in_words(
    chart: Chart, options: Options, words: str
) -> None:
    with pytest.raises(BadInput, match=words):
        judge_chart(chart, only(), options)
