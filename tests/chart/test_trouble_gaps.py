"""Rows too far apart, missing readings, and what is said of them; what holds for any chart."""

from math import isnan, nan

import pytest
from course_kit import A, chart_of, furnace_run
from hypothesis import given, settings
from hypothesis import strategies as st

from traveler.chart.cleaning.trouble import longest_gap_s, usable
from traveler.chart.couples import Usable
from traveler.chart.model import Options, Role
from traveler.errors import BadInput

OPTIONS = Options()


def unknown(result: Usable) -> dict[str, list[tuple[int, int]]]:
    """Unknown ranges of rows by couple."""
    return {couple.name: list(couple.unknown) for couple in result.couples if couple.unknown}


def column(count: int, missing: set[int], level: float = 600.0) -> list[float]:
    return [nan if row in missing else level + row for row in range(count)]


@pytest.mark.parametrize(
    ("interval_s", "stated_s", "expected_s"),
    [
        (1.0, None, 2.0),
        (120.0, None, 240.0),
        (300.0, None, 600.0),
        (900.0, None, 600.0),
        (120.0, 2700.0, 2700.0),
        (120.0, 60.0, 60.0),
    ],
)
def test_the_longest_gap(interval_s: float, stated_s: float | None, expected_s: float) -> None:
    """Twice the usual interval, at most 10 min, or as stated: common practice, no published source."""
    chart = chart_of({"TC1": [600.0] * 5}, interval_s)
    options = Options(max_gap_s=stated_s)
    assert longest_gap_s(chart, options) == expected_s
    assert usable(chart, options).max_gap_s == expected_s


@pytest.mark.parametrize(("gap_s", "known"), [(240.0, True), (240.001, False)])
def test_rows_far_apart_show_nothing_of_any_couple(gap_s: float, known: bool) -> None:
    times = [0.0, 120.0, 240.0, 240.0 + gap_s, 360.0 + gap_s]
    chart = chart_of({"TC1": column(5, set()), "TC2": column(5, set())}, 120.0, times)
    result = usable(chart, OPTIONS)
    assert unknown(result) == ({} if known else {"TC1": [(2, 3)], "TC2": [(2, 3)]})
    assert result.criterion.verdict == ("met" if known else "not shown")
    assert [fault.couple for fault in result.faults] == ([] if known else [None])


def test_rows_far_apart_are_named_with_their_times_and_the_limit() -> None:
    chart = chart_of({"TC1": column(4, set())}, 120.0, [0.0, 120.0, 1320.0, 1440.0])
    (reason,) = usable(chart, OPTIONS).criterion.reasons
    assert reason == (
        "no row from 0:02:00 to 0:22:00, 20 min: more than 4 min between two rows shows nothing"
    )


def test_a_stated_gap_joins_rows_and_is_printed() -> None:
    """A logger that writes on change."""
    chart = chart_of({"TC1": column(4, set())}, 120.0, [0.0, 120.0, 1320.0, 1440.0])
    result = usable(chart, Options(max_gap_s=1200.0))
    assert unknown(result) == {}
    assert (
        "readings up to 20 min apart are joined, as stated; unless stated it would be 4 min" in result.notes
    )


def test_rows_that_are_all_far_apart() -> None:
    """A quarter of an hour between rows, as somebody reads a paper chart."""
    chart = chart_of({"TC1": column(6, set())}, 900.0)
    result = usable(chart, OPTIONS)
    assert unknown(result) == {"TC1": [(row, row + 1) for row in range(5)]}
    assert any("15 min apart" in note and "has to be stated" in note for note in result.notes)
    assert unknown(usable(chart, Options(max_gap_s=900.0))) == {}


@pytest.mark.parametrize(
    ("missing", "expected"),
    [
        ({3}, []),  # 240 s between the good ones: as long as the longest gap
        ({3, 4}, [(2, 5)]),
        ({3, 5, 7}, []),
        ({0}, [(0, 1)]),  # short, but nothing lies before it
        ({9}, [(8, 9)]),
        ({0, 1, 2}, [(0, 3)]),
        ({6, 7, 8, 9}, [(5, 9)]),
        ({0, 4, 5, 9}, [(0, 1), (3, 6), (8, 9)]),
        ({3, 4, 6, 7}, [(2, 5), (5, 8)]),  # the reading between counts
        (set(range(10)), [(0, 9)]),
    ],
)
def test_missing_readings(missing: set[int], expected: list[tuple[int, int]]) -> None:
    chart = chart_of({"TC1": column(10, missing), "TC2": column(10, set())})
    result = usable(chart, OPTIONS)
    assert unknown(result).get("TC1", []) == expected
    assert "TC2" not in unknown(result)


def test_a_short_hole_is_filled_along_the_straight_line_over_time() -> None:
    """600 at 120 s, 630 at 330 s: at 260 s it is 20 more (constructed, computed by hand)."""
    chart = chart_of({"TC1": [590.0, 600.0, nan, 630.0, 640.0]}, 120.0, [0.0, 120.0, 260.0, 330.0, 450.0])
    result = usable(chart, OPTIONS)
    assert list(result.couples[0].values) == [590.0, 600.0, 620.0, 630.0, 640.0]
    assert result.notes == (
        "TC1: 1 missing reading is filled in along the straight line between the good ones beside, "
        "which are at most 3.5 min apart",
    )
    assert isnan(chart.channels[0].values[2])  # the chart itself stays as it was read


def test_what_is_filled_between_equal_readings_is_equal() -> None:
    """Ties at a limit stay ties."""
    chart = chart_of({"TC1": [595.1, nan, 595.1, nan, 595.1]}, 77.0, [0.0, 33.0, 110.0, 150.0, 231.0])
    assert set(usable(chart, OPTIONS).couples[0].values) == {595.1}


@pytest.mark.parametrize(
    ("missing", "words"),
    [
        ({4, 5}, "TC1 has no reading from 0:06:00 to 0:12:00"),
        ({8, 9}, "TC1 has no reading from 0:14:00 to the end of the chart"),
        ({0, 1}, "TC1 has no reading from the start of the chart to 0:04:00"),
        (set(range(10)), "TC1 has no reading in the whole chart"),
    ],
)
def test_the_words_for_missing_readings(missing: set[int], words: str) -> None:
    result = usable(chart_of({"TC1": column(10, missing)}), OPTIONS)
    assert result.criterion.reasons == (words,)
    assert [fault.words for fault in result.faults] == [words]


def test_rows_far_apart_inside_a_hole_are_part_of_it() -> None:
    times = [0.0, 120.0, 240.0, 1440.0, 1560.0, 1680.0]
    chart = chart_of({"TC1": column(6, {2, 3}), "TC2": column(6, set())}, 120.0, times)
    assert unknown(usable(chart, OPTIONS)) == {"TC1": [(1, 4)], "TC2": [(2, 3)]}


def test_where_a_couple_dies() -> None:
    """Test chart E of these tests: four couples, the last open from minute 270; its last reading is of minute 268."""
    run = furnace_run(A)
    run["TC4"][135:] = [nan] * len(run["TC4"][135:])
    result = usable(chart_of(run), OPTIONS)
    assert unknown(result) == {"TC4": [(134, len(run["TC4"]) - 1)]}
    assert result.criterion.reasons == ("TC4 has no reading from 4:28:00 to the end of the chart",)
    assert (result.criterion.couple, result.criterion.at_s) == ("TC4", 268 * 60)
    assert result.faults[0].span.end_s == chart_of(run).times_s[-1]


def test_many_holes_are_counted_and_not_listed() -> None:
    missing = {row for row in range(600) if row % 10 in (3, 4, 5)}
    result = usable(chart_of({"TC1": column(600, missing)}), OPTIONS)
    assert len(unknown(result)["TC1"]) == 60
    assert len(result.criterion.reasons) == 13
    assert result.criterion.reasons[-1] == "and 48 more such stretches"
    assert len(result.faults) == 13
    assert result.faults[-1].span.end_s == 596 * 120.0


def test_a_scanner_that_reads_one_channel_a_row() -> None:
    columns = {f"TC{at}": [600.0 if row % 4 == at else nan for row in range(200)] for at in range(4)}
    result = usable(chart_of(columns, 30.0), OPTIONS)
    assert result.criterion.verdict == "not shown"
    assert any("TC0 has a reading in one row of 4 only" in note for note in result.notes)


def test_no_couple_on_the_part() -> None:
    with pytest.raises(BadInput, match="no couple on the part"):
        usable(chart_of({"air": [20.0, 30.0]}, roles={"air": "furnace"}), OPTIONS)


def test_one_row_shows_no_time() -> None:
    for value in (600.0, nan):
        result = usable(chart_of({"TC1": [value]}), OPTIONS)
        assert result.criterion.verdict == "not shown"


def test_furnace_couples_and_ignored_columns_do_not_count() -> None:
    roles: dict[str, Role] = {"air": "furnace", "humidity": "ignored"}
    columns = {"TC1": column(10, set()), "air": column(10, {3, 4, 5}), "humidity": column(10, set(range(10)))}
    result = usable(chart_of(columns, roles=roles), OPTIONS)
    assert [couple.name for couple in result.couples] == ["TC1"]
    assert result.criterion.verdict == "met"


readings = st.one_of(
    st.just(nan), st.floats(-50, 1400).map(lambda value: round(value, 1)), st.sampled_from([600.0, 601.0])
)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(
        st.tuples(readings, readings, st.sampled_from([1.0, 60.0, 120.0, 300.0])), min_size=2, max_size=40
    )
)
def test_whatever_the_chart(rows: list[tuple[float, float, float]]) -> None:
    """Ranges in order, good readings at their ends, nothing invented: a known reading is as read, or filled in."""
    times = [sum(step for *_, step in rows[:row]) for row in range(len(rows))]
    read = {"TC1": [row[0] for row in rows], "TC2": [row[1] for row in rows]}
    result = usable(chart_of(read, 60.0, times), OPTIONS)
    last = len(rows) - 1
    for couple in result.couples:
        ends = [end for stretch in couple.unknown for end in stretch]
        assert ends == sorted(ends)
        assert all(first < after for first, after in couple.unknown)
        hidden = {row for first, after in couple.unknown for row in range(first + 1, after)}
        for row, value in enumerate(couple.values):
            original = read[couple.name][row]
            if row in hidden:
                continue
            if isnan(value):
                assert row in (0, last)
                assert any(row in stretch for stretch in couple.unknown)
            elif isnan(original):
                before = next(at for at in range(row, -1, -1) if not isnan(read[couple.name][at]))
                after = next(at for at in range(row, last + 1) if not isnan(read[couple.name][at]))
                low, high = sorted((read[couple.name][before], read[couple.name][after]))
                assert low <= value <= high
                assert times[after] - times[before] <= result.max_gap_s
            else:
                assert value == original
    if not any(couple.unknown for couple in result.couples):
        assert result.criterion.verdict == "met"
        assert result.faults == ()
    else:
        assert result.criterion.verdict == "not shown"
        assert result.criterion.reasons
        assert result.faults
