"""Few points of a long chart: constructed courses, computed by hand."""

from array import array
from itertools import pairwise
from math import inf, isnan, nan
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from traveler.chart.drawing import drawn_points
from traveler.chart.model import Channel, Chart, Role


def chart(
    values: list[float], times: list[float] | None = None, interval_s: float = 60.0, role: Role = "part"
) -> Chart:
    times = [60.0 * row for row in range(len(values))] if times is None else times
    return Chart(
        array("d", times), None, "degC", (Channel("TC1", role, array("d", values)),), interval_s, "", {}
    )


def pieces(*arguments: Any, most: int = 160, **more: Any) -> list[list[tuple[float, float]]]:
    return drawn_points(chart(*arguments, **more), most)["TC1"]


def test_a_short_chart_keeps_every_reading() -> None:
    assert pieces([20.0, 25.5, 31.0]) == [[(0.0, 20.0), (60.0, 25.5), (120.0, 31.0)]]


@pytest.mark.parametrize(
    ("open_cells", "count"),
    [(1, 1), (2, 1), (3, 2), (50, 2)],
)
def test_only_more_than_three_intervals_without_a_reading_break_a_curve(open_cells: int, count: int) -> None:
    """Two open cells: the readings beside them are three intervals of 60 s apart; three open cells: four."""
    found = pieces([100.0, 101.0, *[nan] * open_cells, 102.0, 103.0])
    assert len(found) == count
    assert [value for piece in found for _, value in piece] == [100.0, 101.0, 102.0, 103.0]


def test_rows_that_are_missing_altogether_break_a_curve_too() -> None:
    assert pieces([1.0, 2.0, 3.0], [0.0, 60.0, 241.0]) == [[(0.0, 1.0), (60.0, 2.0)], [(241.0, 3.0)]]
    assert pieces([1.0, 2.0, 3.0], [0.0, 60.0, 240.0]) == [[(0.0, 1.0), (60.0, 2.0), (240.0, 3.0)]]


def test_the_gap_that_counts_may_be_given() -> None:
    found = drawn_points(chart([1.0, 2.0, 3.0], [0.0, 60.0, 241.0]), gap_s=600.0)["TC1"]
    assert found == [[(0.0, 1.0), (60.0, 2.0), (241.0, 3.0)]]


def test_a_couple_without_a_reading_has_no_pieces_and_an_ignored_column_is_left_out() -> None:
    assert pieces([nan, nan]) == []
    assert drawn_points(chart([1.0, 2.0], role="ignored")) == {}
    assert list(drawn_points(chart([1.0, 2.0], role="furnace"))) == ["TC1"]


@pytest.mark.parametrize("at", [0, 1, 4999, 5000, 9998, 9999])
@pytest.mark.parametrize("spike", [700.0, -40.0])
def test_one_reading_among_ten_thousand_never_vanishes(at: int, spike: float) -> None:
    values = [600.0 + row % 7 for row in range(10000)]
    values[at] = spike
    (found,) = pieces(values)
    assert (60.0 * at, spike) in found
    assert len(found) <= 160


def test_edges_of_a_gap_in_a_long_chart_stay_where_they_are() -> None:
    values = [20.0 + row / 100 for row in range(10000)]
    values[5003:5200] = [nan] * 197
    first, second = pieces(values)
    assert first[-1] == (60.0 * 5002, values[5002])
    assert second[0] == (60.0 * 5200, values[5200])


def test_a_chart_with_a_gap_every_few_rows_still_keeps_to_its_points() -> None:
    found = pieces([nan if row % 8 < 4 else float(row) for row in range(40000)])
    assert sum(map(len, found)) <= 160
    assert found[0][0] == (240.0, 4.0)
    assert found[-1][-1] == (60.0 * 39999, 39999.0)


def test_fewer_points_than_a_bucket_has_are_refused() -> None:
    with pytest.raises(ValueError, match="at least 4"):
        drawn_points(chart([1.0]), most=3)


@given(
    values=st.lists(st.floats(-50, 1300) | st.just(nan), min_size=1, max_size=300),
    steps=st.lists(st.sampled_from([1.0, 60.0, 60.0, 60.0, 900.0]), min_size=300, max_size=300),
    most=st.integers(4, 60),
)
def test_whatever_the_chart_its_extremes_stay_and_no_line_crosses_a_gap(
    values: list[float], steps: list[float], most: int
) -> None:
    times = [sum(steps[:row]) for row in range(len(values))]
    read = [(at, value) for at, value in zip(times, values, strict=True) if not isnan(value)]
    found = pieces(values, times, most=most)
    drawn = [point for piece in found for point in piece]
    assert len(drawn) <= max(most, 4)
    assert set(drawn) <= set(read)
    assert drawn == sorted(drawn)
    if not read:
        assert found == []
        return
    assert drawn[0] == read[0]
    assert drawn[-1] == read[-1]
    for best in (min, max):
        assert best(value for _, value in drawn) == best(value for _, value in read)
    gaps = {after for (before, _), (after, _) in pairwise(read) if after - before > 180.0}
    for piece in found:
        assert not [at for at in gaps if piece[0][0] < at <= piece[-1][0]]
    starts = {piece[0][0] for piece in found}
    for (before, _), (after, _) in pairwise(drawn):
        crossed = any(before < at <= after for at in gaps)
        assert (after in starts) == crossed


def test_an_endless_gap_limit_joins_everything() -> None:
    found = drawn_points(chart([1.0, nan, nan, nan, nan, nan, 2.0]), gap_s=inf)["TC1"]
    assert found == [[(0.0, 1.0), (360.0, 2.0)]]
