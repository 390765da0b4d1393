"""Curves of a recorded chart: what each covers, where it stands alone, and the clock under it. Computed by hand."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from relief_example import couples, met, open_couple

from traveler.report.chart_clock import clock_of
from traveler.report.relief_curves import LETTERS, alone, curves_of, spans
from traveler.report.relief_window import level_marks, window_of

RAMP = [[[0.0, 0.0], [10.0, 100.0]]]


def test_a_ramp_covers_in_each_column_what_it_passes_there() -> None:
    assert spans(RAMP, 0.0, 10.0, 5) == [(0, 20), (20, 40), (40, 60), (60, 80), (80, 100)]


def test_a_peak_between_two_columns_edges_is_covered() -> None:
    peak = [[[0.0, 0.0], [4.9, 0.0], [5.0, 700.0], [5.1, 0.0], [10.0, 0.0]]]
    assert spans(peak, 0.0, 10.0, 5)[2] == (0.0, 700.0)
    assert spans(peak, 0.0, 10.0, 5)[1] == (0.0, 0.0)


def test_nothing_is_covered_between_two_pieces() -> None:
    pieces = [[[0.0, 5.0], [2.0, 5.0]], [[8.0, 7.0], [10.0, 7.0]], []]
    assert spans(pieces, 0.0, 10.0, 10)[3:8] == [None] * 5


def test_one_reading_by_itself_is_covered_where_it_lies() -> None:
    assert spans([[[5.0, 3.0]]], 0.0, 10.0, 4) == [None, None, (3.0, 3.0), None]
    assert spans([[[15.0, 3.0]]], 0.0, 10.0, 4) == [None] * 4


def test_a_window_cuts_lines_at_its_ends() -> None:
    assert spans(RAMP, 2.0, 4.0, 2) == [(20, 30), (30, 40)]
    assert spans(RAMP, 20.0, 40.0, 2) == [None, None]


@given(
    values=st.lists(st.floats(-50, 1300), min_size=2, max_size=40),
    count=st.integers(1, 150),
    low=st.floats(0, 30),
    length=st.floats(0.5, 60),
)
def test_every_reading_in_the_window_is_covered_and_neighbours_touch(
    values: list[float], count: int, low: float, length: float
) -> None:
    piece = [[float(at), value] for at, value in enumerate(values)]
    found = spans([piece], low, low + length, count)
    inside = [value for at, value in piece if low <= at <= low + length]
    covered = [span for span in found if span is not None]
    if inside:
        assert min(low for low, _ in covered) <= min(inside) + 1e-9
        assert max(high for _, high in covered) >= max(inside) - 1e-9
    assert all(min(values) - 1e-9 <= low <= high <= max(values) + 1e-9 for low, high in covered)
    places = [at for at, span in enumerate(found) if span is not None]
    assert places == list(range(places[0], places[-1] + 1) if places else ())
    for before, after in pairwise(covered):
        assert before[0] <= after[1] + 1e-6
        assert after[0] <= before[1] + 1e-6


def test_a_letter_goes_where_its_curve_is_furthest_from_all_others() -> None:
    """Distances of the middle curve: 5 to the lower in column 0, 20 to both in column 1, none in column 2."""
    lower = [(0.0, 0.0), (0.0, 0.0), (8.0, 12.0)]
    middle = [(5.0, 5.0), (20.0, 20.0), (10.0, 10.0)]
    upper = [(90.0, 90.0), (40.0, 40.0), None]
    assert alone([lower, middle, upper], 4.0) == [1, 1, 0]
    assert alone([lower, middle], 20.0) == [None, None]
    assert alone([], 1.0) == []


def test_twelve_couples_have_letters_and_more_an_envelope_around_those_that_do_not_fail() -> None:
    twelve = curves_of(met(12)["drawing"])
    assert [curve.letter for curve in twelve.lettered] == list(LETTERS)
    assert (twelve.others, twelve.least) == (0, ())
    twenty = curves_of(open_couple(20)["drawing"])
    assert [(curve.letter, curve.name) for curve in twenty.lettered] == [("a", "TC20")]
    assert twenty.others == 19


def test_an_envelope_reaches_as_far_as_its_couples_and_breaks_where_none_reads() -> None:
    drawing = met(13)["drawing"]
    drawing["couples"] = [
        {
            "name": f"TC{at}",
            "role": "part",
            "points": [[[0.0, 20.0], [100.0, 20.0]], [[200.0, float(at)], [300.0, 30.0]]],
        }
        for at in range(13)
    ]
    drawing["length_s"] = 300.0
    curves = curves_of(drawing)
    assert len(curves.least) == len(curves.greatest) == 2
    assert min(value for _, value in curves.least[1]) == 0.0
    assert max(value for _, value in curves.greatest[1]) == 30.0
    assert curves.least[0][-1][0] < 110.0


def test_a_furnace_couple_keeps_its_letter_and_says_what_it_is() -> None:
    drawing = met(14)["drawing"]
    drawing["couples"][5]["role"] = "furnace"
    assert [curve.name for curve in curves_of(drawing).lettered] == ["TC6 (furnace)"]


@pytest.mark.parametrize(
    ("start", "low", "high", "most", "expected"),
    [
        (None, 0, 27600, 8, [(0, "0:00"), (3600, "1:00"), (7200, "2:00"), (10800, "3:00"), (14400, "4:00"),
                             (18000, "5:00"), (21600, "6:00"), (25200, "7:00")]),
        (None, 100, 160, 4, [(105, "0:01:45"), (120, "0:02:00"), (135, "0:02:15"), (150, "0:02:30")]),
        (None, 0, 400000, 3, [(0, "0:00"), (172800, "48:00"), (345600, "96:00")]),
        ("2026-10-24T22:48:00+02:00", 0, 8000, 3, [(720, "23:00"), (4320, "00:00"), (7920, "01:00")]),
        ("2026-10-24T22:48:30+02:00", 0, 60, 2, [(0, "22:48:30"), (30, "22:49:00"), (60, "22:49:30")]),
    ],
)  # fmt: skip
def test_ticks_of_time_are_round(
    start: str | None, low: float, high: float, most: int, expected: list[tuple[float, str]]
) -> None:
    assert clock_of(start).ticks(low, high, most) == expected


def test_times_say_which_clock_they_are_of() -> None:
    assert clock_of("2026-10-24T22:48:00+02:00").axis_words() == "clock time +02:00, from 2026-10-24 22:48:00"
    assert clock_of(None).axis_words() == "time from the start, h:min"
    assert clock_of(None).span_words(14520.0, 19020.0) == "4:02:00 to 5:17:00"
    assert clock_of("2026-10-24T22:48:00+02:00").span_words(14520.0, 14520.0) == "02:50:00"


def test_the_whole_chart_shows_every_line_and_a_closer_look_those_that_are_near() -> None:
    """Readings from 20 to 610; from minute 250 to 300 all couples hold 610, 15 above the soak, 40 under the ceiling."""
    drawing = met()["drawing"]
    whole = window_of(drawing, None)
    assert whole is not None
    assert (whole.low_s, whole.high_s) == (0.0, 27600.0)
    assert whole.bottom < 20 < 650 < whole.top
    close = window_of(drawing, (250 * 60.0, 300 * 60.0))
    assert close is not None
    assert (close.bottom, close.top) == (592.5, 612.5)
    assert level_marks(drawing, close) == [(595.0, "soak from 595")]


@pytest.mark.parametrize("asked", [(9000.0, 9000.0), (9000.0, 100.0), (30000.0, 40000.0), (-50.0, -10.0)])
def test_a_stretch_without_a_length_on_the_chart_has_no_window(asked: tuple[float, float]) -> None:
    assert window_of(met()["drawing"], asked) is None


def test_a_level_course_still_has_a_height() -> None:
    drawing = met()["drawing"] | {"band": [None, None], "threshold": None}
    drawing["couples"] = [{"name": "TC1", "role": "part", "points": [[[0.0, 600.0], [27600.0, 600.0]]]}]
    window = window_of(drawing, None)
    assert window is not None
    assert (window.bottom, window.top) == (590.0, 610.0)


def test_the_example_couples_lag_each_other() -> None:
    """Couple 4 runs 12 min behind couple 1: at 242 min it enters at 595, where couple 1 holds 610."""
    first, *_, fourth = couples(((0, 20), (236, 610), (311, 610), (435, 300)), 4)
    at_242 = [spans(couple["points"], 14520.0, 14520.001, 1)[0] for couple in (first, fourth)]
    assert [round(span[0], 1) for span in at_242 if span] == [610.0, 595.0]
