"""Rows of one stamp: none is lost unless it was sent twice, none is averaged, and the times strictly rise.

Constructed, computed by hand.
"""

from array import array
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from traveler.chart.times.stamps import Evened, strictly_rising
from traveler.errors import BadInput


def even(times: list[float], values: list[float]) -> Evened:
    return strictly_rising(array("d", times), lambda one, other: values[one] == values[other])


def test_rising_times_are_left_alone() -> None:
    times = array("d", [0, 10, 20])
    assert strictly_rising(times, lambda one, other: True) == Evened(times, None)


def test_stamps_to_the_minute_of_rows_each_ten_seconds() -> None:
    """Six rows a stamp, the first and the last stamp cut short, two rows alike in a steady furnace."""
    times = [0.0] * 2 + [60.0] * 6 + [120.0] * 3
    found = even(times, [20, 21, 22, 23, 24, 25, 25, 30, 31, 32, 33])
    assert list(found.times_s) == [0, 30, 60, 70, 80, 90, 100, 110, 120, 140, 160]
    assert found.keep is None
    assert found.notes == (
        "11 rows at 3 stamps, which are coarser than the sampling: spread evenly, and known to 60 s only",
    )


def test_the_last_rows_stand_as_close_as_rows_usually_do() -> None:
    """Two rows of a minute that is cut short are ten seconds apart, not thirty: a soak is not made longer."""
    found = even([0.0] * 6 + [60.0] * 6 + [120.0] * 2, list(range(14)))
    assert list(found.times_s[-3:]) == [110, 120, 130]


def test_rows_before_a_gap_do_not_fill_it() -> None:
    found = even([0.0, 0.0, 60.0, 60.0, 3600.0, 3600.0, 3660.0, 3660.0], list(range(8)))
    assert list(found.times_s) == [0, 30, 60, 90, 3600, 3630, 3660, 3690]


def test_a_row_sent_twice_counts_once() -> None:
    found = even([0, 10, 10, 20, 30, 30, 30, 40], [1, 2, 2, 3, 4, 4, 5, 6])
    assert found.keep == [0, 1, 3, 4, 6, 7]
    assert list(found.times_s) == [0, 10, 20, 30, 35, 40]
    assert found.notes[0] == "2 rows sent twice, the same in every cell, left out"


def test_a_file_that_sends_every_row_twice() -> None:
    found = even([0, 0, 10, 10, 20, 20], [1, 1, 2, 2, 3, 3])
    assert (list(found.times_s), found.keep) == ([0, 10, 20], [0, 2, 4])
    assert found.notes == ("3 rows sent twice, the same in every cell, left out",)


def test_one_stamp_for_all_rows_is_refused() -> None:
    with pytest.raises(BadInput, match="all rows have the same time"):
        even([0, 0, 0], [1, 2, 3])


@given(st.lists(st.tuples(st.sampled_from([0, 1, 10, 3000]), st.integers(0, 3)), min_size=1, max_size=60))
def test_no_reading_is_lost_and_none_leaves_its_stamp(steps: list[tuple[int, int]]) -> None:
    times, values = [0.0], [0.0]
    for step, value in steps:
        times.append(times[-1] + step)
        values.append(float(value))
    try:
        found = even(times, values)
    except BadInput:
        assert len(set(times)) == 1
        return
    keep = range(len(times)) if found.keep is None else found.keep
    assert len(found.times_s) == len(keep)
    assert all(before < after for before, after in pairwise(found.times_s))
    assert {(times[row], values[row]) for row in keep} == set(zip(times, values, strict=True))
    stamps = sorted(set(times))
    for row, at in zip(keep, found.times_s, strict=True):
        following = next((stamp for stamp in stamps if stamp > times[row]), None)
        assert times[row] <= at
        assert following is None or at < following
