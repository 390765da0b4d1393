"""The logger's clock goes with the chart, so that a time as typed is a time of that clock. Constructed."""

from datetime import datetime, time

import pytest
from make_files import made, read

from traveler.chart.times.stamps import seconds_at


def clocked(*stamps: str, unit: str = "Time") -> bytes:
    return made([unit, "TC1 (°C)"], [[stamp, f"{20 + 5 * row}"] for row, stamp in enumerate(stamps)])


@pytest.mark.parametrize(
    ("stamps", "start", "typed", "seconds", "shown"),
    [
        (
            [f"2026-03-04 {hour:02d}:00:00" for hour in range(6, 15)],
            datetime(2026, 3, 4, 6),
            "06:25",
            1500,
            "2026-03-04T06:25:00",
        ),
        ([f"{hour:02d}:00:00" for hour in range(7, 16)], time(7), "7:30", 1800, "07:30:00"),
    ],
)
def test_a_clock_without_a_zone(
    stamps: list[str], start: datetime | time, typed: str, seconds: int, shown: str
) -> None:
    """06:25 is 25 min after a chart that begins at 06:00, and not 6 h 25 min into it."""
    chart = read(clocked(*stamps))
    assert (chart.started_at, chart.clock_start) == (None, start)
    assert seconds_at(chart, typed) == seconds
    assert chart.stamp(seconds) == shown


def test_elapsed_time_has_no_clock() -> None:
    chart = read(clocked("0", "3600", "7200", unit="Time (s)"))
    assert (chart.started_at, chart.clock_start) == (None, None)
    assert seconds_at(chart, "1:30:00") == 5400
    assert chart.stamp(5400) == "1:30:00"
