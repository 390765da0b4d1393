"""A time on a chart as a person types it. Constructed, computed by hand; the nights are those of the tz database."""

from array import array
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stamps_kit import read

from traveler.chart.model import Chart
from traveler.chart.times.stamps import seconds_at
from traveler.errors import BadInput

HOUR = 3600.0
ELAPSED = Chart(array("d", [0, 10 * HOUR]), None, "degC", (), 10.0, "", {})
BERLIN = replace(ELAPSED, started_at=datetime(2026, 10, 24, 22, tzinfo=ZoneInfo("Europe/Berlin")))
SPRING = replace(ELAPSED, started_at=datetime(2026, 3, 29, 0, 30, tzinfo=ZoneInfo("Europe/Berlin")))
FIXED = replace(ELAPSED, started_at=datetime(2026, 3, 1, 8, tzinfo=timezone(timedelta(hours=1))))
WALL = replace(ELAPSED, clock_start=datetime(2026, 3, 1, 20))
OF_DAY = replace(ELAPSED, clock_start=time(20))
TWO_DAYS = replace(WALL, times_s=array("d", [0, 48 * HOUR]))


@pytest.mark.parametrize(
    ("chart", "text", "seconds"),
    [
        (ELAPSED, "4:02:00", 4 * HOUR + 120),
        (ELAPSED, "4:02", 4 * HOUR + 120),
        (ELAPSED, " 0:00:00 ", 0),
        (ELAPSED, "242 min", 242 * 60),
        (ELAPSED, "4.5 h", 4.5 * HOUR),
        (FIXED, "242 min", 242 * 60),
        (FIXED, "08:30", 0.5 * HOUR),
        (FIXED, "8:30:30.5", 0.5 * HOUR + 30.5),
        (FIXED, "2026-03-01T08:30:00", 0.5 * HOUR),
        (FIXED, "2026-03-01T07:30:00Z", 0.5 * HOUR),
        (FIXED, "2026-03-01 02:30-05:00", 0.5 * HOUR),
        (FIXED, "07:30Z", 0.5 * HOUR),
        (BERLIN, "23:00", HOUR),
        (BERLIN, "01:59", 4 * HOUR - 60),
        (BERLIN, "02:50+02:00", 4 * HOUR + 50 * 60),
        (BERLIN, "2026-10-25 02:50+01:00", 5 * HOUR + 50 * 60),
        (BERLIN, "2026-10-25T03:10", 6 * HOUR + 10 * 60),
        (BERLIN, "07:00", 10 * HOUR),
        (SPRING, "03:10", HOUR + 40 * 60),
        (WALL, "23:00", 3 * HOUR),
        (WALL, "2026-03-02 02:00", 6 * HOUR),
        (WALL, "02:00", 6 * HOUR),
        (OF_DAY, "23:00", 3 * HOUR),
        (OF_DAY, "02:00", 6 * HOUR),
        (TWO_DAYS, "2026-03-02 21:00", 25 * HOUR),
    ],
)
def test_a_time_as_typed(chart: Chart, text: str, seconds: float) -> None:
    assert seconds_at(chart, text) == seconds


@pytest.mark.parametrize(
    ("chart", "text", "sentence"),
    [
        (ELAPSED, "10:00:02", "lies outside the chart: expected a time from 0:00:00 to 10:00:00"),
        (ELAPSED, "-5 min", "lies outside the chart"),
        (
            ELAPSED,
            "242",
            "is no time of this chart: expected a time such as 0:00:00, or elapsed time with its unit",
        ),
        (ELAPSED, "2026-03-01 08:00", "the chart counts elapsed time"),
        (ELAPSED, "1:60:00", "is no time of this chart"),
        (ELAPSED, "", "is no time of this chart"),
        (ELAPSED, "242 mm", "is no time of this chart"),
        (
            FIXED,
            "07:59",
            "lies outside the chart: expected a time from 2026-03-01T08:00:00.01:00 to 2026-03-01T18:00:00.01:00",
        ),
        (FIXED, "2026-03-02 08:30", "lies outside the chart"),
        (FIXED, "2026-02-30 08:30", "expected a time such as 2026-03-01T08:00:00.01:00"),
        (FIXED, "03/01/2026 08:30", "is no time of this chart"),
        (FIXED, "24:30", "is no time of this chart"),
        (FIXED, "08:30+24:00", "is no offset from UTC"),
        (BERLIN, "02:50", "ambiguous on this chart.*2026-10-25T02:50:00.02:00 or 2026-10-25T02:50:00.01:00"),
        (BERLIN, "2026-10-25 02:50:00", "ambiguous on this chart"),
        (BERLIN, "20:00+01:00", "lies outside the chart"),
        (SPRING, "02:30", "is skipped by the clock|lies outside the chart"),
        (SPRING, "2026-03-29 02:30", "is skipped by the clock of this chart"),
        (
            WALL,
            "2026-03-01 22:00+01:00",
            "the zone of the chart's clock is not stated; expected a time such as 2026-03-01T20:00:00,",
        ),
        (
            OF_DAY,
            "2026-03-01 22:00",
            "the clock of the chart has no date and no zone; expected a time such as 20:00:00,",
        ),
        (TWO_DAYS, "21:00", "ambiguous on this chart.*2026-03-01T21:00:00 or 2026-03-02T21:00:00"),
    ],
)
def test_a_time_that_is_none_of_the_chart(chart: Chart, text: str, sentence: str) -> None:
    with pytest.raises(BadInput, match=sentence):
        seconds_at(chart, text)


@given(st.integers(0, 10 * 3600), st.sampled_from([ELAPSED, BERLIN, SPRING, FIXED, WALL]))
def test_a_stamp_of_the_chart_typed_back_is_its_time(seconds: int, chart: Chart) -> None:
    assert seconds_at(chart, chart.stamp(seconds)) == seconds


def test_a_stamp_is_what_the_logger_showed() -> None:
    """Over both changes of the clock, and over midnight on a clock without a date."""
    assert BERLIN.stamp(5 * HOUR) == "2026-10-25T02:00:00+01:00"
    assert SPRING.stamp(2 * HOUR) == "2026-03-29T03:30:00+02:00"
    assert WALL.stamp(4 * HOUR + 1) == "2026-03-02T00:00:01"
    assert (OF_DAY.stamp(HOUR), OF_DAY.stamp(5 * HOUR)) == ("21:00:00", "01:00:00 +1 d")
    assert ELAPSED.stamp(4 * HOUR + 120) == "4:02:00"


def test_the_last_row_may_be_typed_as_printed() -> None:
    """In whole seconds: the last row at 10.4 s is typed as 0:00:10, and one at 10.6 s as 0:00:11."""
    for end in (10.4, 10.6):
        chart = replace(ELAPSED, times_s=array("d", [0, end]))
        assert seconds_at(chart, chart.stamp(end)) == pytest.approx(end, abs=0.5)


def test_a_file_whose_stamps_change_their_offset() -> None:
    """Times are typed as the file writes them on both sides of the change."""
    hours = [datetime(2026, 10, 24, 22, tzinfo=UTC) + timedelta(minutes=10 * number) for number in range(60)]
    rows = [hour.astimezone(ZoneInfo("Europe/Berlin")).isoformat() for hour in hours]
    found = read(rows)
    chart = replace(ELAPSED, times_s=array("d", found.seconds), started_at=found.clock.started_at)
    assert [chart.stamp(seconds) for seconds in found.seconds] == rows
    assert [seconds_at(chart, row) for row in rows] == found.seconds
    assert seconds_at(chart, "05:00") == 6 * HOUR
    with pytest.raises(BadInput, match="ambiguous"):
        seconds_at(chart, "02:50")
