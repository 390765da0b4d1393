"""The least and the greatest of stretches of a column, against a search through each stretch."""

from array import array
from math import nan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traveler.chart.model import Channel
from traveler.chart.series import Series

TEMPERATURES = st.sampled_from([-20.0, 0.0, 19.9, 20.0, 20.1, 615.0])
"""Few of them, so that most stretches have their least and their greatest more than once."""


@st.composite
def stretches(draw: st.DrawFn) -> tuple[list[float], int, int]:
    values = draw(st.lists(TEMPERATURES, min_size=1, max_size=400))
    first = draw(st.integers(0, len(values) - 1))
    return values, first, draw(st.integers(first, len(values) - 1))


@settings(max_examples=300)
@given(stretches())
def test_of_any_stretch_the_extremes_and_the_first_places_that_have_them(
    case: tuple[list[float], int, int],
) -> None:
    values, first, last = case
    part = values[first : last + 1]
    series = Series(array("d", values))
    assert series.between(first, last) == (min(part), max(part))
    assert series.places(first, last) == (first + part.index(min(part)), first + part.index(max(part)))


@pytest.mark.parametrize("row", [0, 1, 63, 64, 65, 127, 128, 129, 191, 192, 193, 256])
def test_a_single_peak_and_a_single_dip_are_found_wherever_a_block_begins(row: int) -> None:
    peak, dip = array("d", [600.0] * 257), array("d", [600.0] * 257)
    peak[row], dip[row] = 612.5, 587.5
    assert Series(peak).between(0, 256) == (600.0, 612.5)
    assert Series(peak).places(0, 256)[1] == row
    assert Series(dip).places(0, 256)[0] == row


def test_a_channel_says_whether_a_reading_is_missing() -> None:
    assert Channel("TC1", "part", array("d", [20.0, 21.0])).series.whole
    assert not Channel("TC1", "part", array("d", [20.0, nan, 21.0])).series.whole
