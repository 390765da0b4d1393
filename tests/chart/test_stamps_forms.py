"""Every form of time that files have, read to seconds from the first row and to the instant of that row.

Constructed, computed by hand; the serial day 44500.1180 is 2021-10-31 02:50 (44500 days from 1899-12-30).
"""

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from stamps_kit import read

from traveler.chart.model import Told
from traveler.chart.times.stamps import looks_like_time, settle_time

PLUS_1, MINUS_5 = timezone(timedelta(hours=1)), timezone(timedelta(hours=-5))
DMY, MDY = Told(date_order="dmy"), Told(date_order="mdy")

CALENDAR = [
    (["2026-03-01 08:00:00", "2026-03-01 08:00:10"], Told(), datetime(2026, 3, 1, 8), [0, 10]),
    (["2026-03-01T08:00:00", "2026-03-01T08:01:00"], Told(), datetime(2026, 3, 1, 8), [0, 60]),
    (["2026-03-01 08:00", "2026-03-01 08:01"], Told(), datetime(2026, 3, 1, 8), [0, 60]),
    (
        ["2026-03-01T08:00:00.250", "2026-03-01T08:00:00.75"],
        Told(),
        datetime(2026, 3, 1, 8, 0, 0, 250000),
        [0, 0.5],
    ),
    (
        ["2026-03-01 08:00:00,1", "2026-03-01 08:00:00,4"],
        Told(),
        datetime(2026, 3, 1, 8, 0, 0, 100000),
        [0, 0.3],
    ),
    (["2026/3/1 8:00:00", "2026/3/1 10:00:00"], Told(), datetime(2026, 3, 1, 8), [0, 7200]),
    (["20260301 08:00:00", "20260302 08:00:00"], Told(), datetime(2026, 3, 1, 8), [0, 86400]),
    (["01.03.2026 08:00:00", "01.03.2026 08:00:30"], Told(), datetime(2026, 3, 1, 8), [0, 30]),
    (["01.03.2026, 08:00:00", "01.03.2026, 08:00:30"], Told(), datetime(2026, 3, 1, 8), [0, 30]),
    (["01.03.26 08:00", "02.03.26 08:00"], Told(), datetime(2026, 3, 1, 8), [0, 86400]),
    (["12/31/2026 23:59:00", "01/01/2027 00:00:00"], Told(), datetime(2026, 12, 31, 23, 59), [0, 60]),
    (["31/12/2026 23:59:00", "01/01/2027 00:00:00"], Told(), datetime(2026, 12, 31, 23, 59), [0, 60]),
    (["12/12/2026 08:00", "12/13/2026 08:00"], Told(), datetime(2026, 12, 12, 8), [0, 86400]),
    (["03/04/2021 08:00:00", "03/04/2021 08:00:10"], DMY, datetime(2021, 4, 3, 8), [0, 10]),
    (["03/04/2021 08:00:00", "03/04/2021 08:00:10"], MDY, datetime(2021, 3, 4, 8), [0, 10]),
    (["13/03/26 08:00", "14/03/26 08:00"], Told(), datetime(2026, 3, 13, 8), [0, 86400]),
    (["99/12/31 08:00", "99/12/31 08:01"], Told(), datetime(1999, 12, 31, 8), [0, 60]),
    (["26/03/01 08:00:00", "26/03/02 08:00:00"], Told(date_order="ymd"), datetime(2026, 3, 1, 8), [0, 86400]),
    (["13-04-99 08:00", "14-04-99 08:00"], DMY, datetime(1999, 4, 13, 8), [0, 86400]),
    (["01-Mar-26 08:00:00", "02-Mar-26 08:00:00"], Told(), datetime(2026, 3, 1, 8), [0, 86400]),
    (["1-Mär-2026 08:00:00", "2-Dez-2026 08:00:00"], Told(), datetime(2026, 3, 1, 8), [0, 276 * 86400]),
    (["1. März 2026 08:00:00", "1. März 2026 08:00:05"], Told(), datetime(2026, 3, 1, 8), [0, 5]),
    (
        ["03/13/2026 11:59:50 AM", "03/13/2026 12:00:00 PM"],
        Told(),
        datetime(2026, 3, 13, 11, 59, 50),
        [0, 10],
    ),
    (["3/13/2026 11:59 p.m.", "3/14/2026 12:00 a.m."], Told(), datetime(2026, 3, 13, 23, 59), [0, 60]),
    (
        ["3/13/2026 1:00:00.5\u202fPM", "3/13/2026 1:00:01.0\u202fPM"],
        Told(),
        datetime(2026, 3, 13, 13, 0, 0, 500000),
        [0, 0.5],
    ),
    (["44500.1180", "44500.1190"], Told(), datetime(2021, 10, 31, 2, 49, 55, 200000), [0, 86.4]),
    (["44500,118055555556", "44500,118749999999"], Told(), datetime(2021, 10, 31, 2, 50), [0, 60]),
]


@pytest.mark.parametrize(("rows", "told", "start", "seconds"), CALENDAR, ids=lambda value: str(value)[:40])
def test_a_calendar_without_offset(
    rows: list[str], told: Told, start: datetime, seconds: list[float]
) -> None:
    """The clock's start is kept, but it is no instant; with a zone it is one."""
    found = read(rows, told)
    assert found.seconds == seconds
    assert (found.clock.started_at, found.clock.clock_start) == (None, start)
    assert found.clock.notes == (f"the clock of the logger starts at {start}, zone not stated",)
    there = read(rows, replace(told, zone="America/New_York"))
    assert (there.seconds, there.clock.clock_start) == (seconds, None)
    assert there.clock.started_at == start.replace(tzinfo=ZoneInfo("America/New_York"))


INSTANTS = [
    (["2026-03-01T08:00:00Z", "2026-03-01T08:00:10Z"], datetime(2026, 3, 1, 8, tzinfo=UTC), [0, 10]),
    (["2026-03-01 08:00:00 UTC", "2026-03-01 08:00:10 UTC"], datetime(2026, 3, 1, 8, tzinfo=UTC), [0, 10]),
    (
        ["2026-03-01T08:00:00+01:00", "2026-03-01T08:00:10+01:00"],
        datetime(2026, 3, 1, 8, tzinfo=PLUS_1),
        [0, 10],
    ),
    (
        ["2026-03-01T08:00:00.5+0100", "2026-03-01T08:00:10.5+0100"],
        datetime(2026, 3, 1, 8, 0, 0, 500000, PLUS_1),
        [0, 10],
    ),
    (["2026-03-01 08:00 +01", "2026-03-01 08:01 +01"], datetime(2026, 3, 1, 8, tzinfo=PLUS_1), [0, 60]),
    (["2026-03-01T08:00:00+01:00", "2026-03-01T07:00:10Z"], datetime(2026, 3, 1, 8, tzinfo=PLUS_1), [0, 10]),
    (
        ["31.03.2026 20:00:00-05:00", "31.03.2026 20:00:01-05:00"],
        datetime(2026, 3, 31, 20, tzinfo=MINUS_5),
        [0, 1],
    ),
    (["1772352000", "1772352010.5"], datetime(2026, 3, 1, 8, tzinfo=UTC), [0, 10.5]),
    (["1772352000123", "1772352001000"], datetime(2026, 3, 1, 8, 0, 0, 123000, UTC), [0, 0.877]),
]


@pytest.mark.parametrize(("rows", "start", "seconds"), INSTANTS, ids=lambda value: str(value)[:40])
def test_stamps_that_are_instants(rows: list[str], start: datetime, seconds: list[float]) -> None:
    found = read(rows)
    assert found.seconds == seconds
    assert found.clock.clock_start is None
    assert found.clock.started_at is not None
    assert found.clock.started_at.isoformat() == start.isoformat()
    in_zone = read(rows, Told(zone="Asia/Kathmandu")).clock.started_at
    assert in_zone is not None
    assert (in_zone, in_zone.utcoffset()) == (start, timedelta(hours=5, minutes=45))


ELAPSED = [
    ("Time (s)", ["0", "10", "20.5"], [0, 10, 20.5]),
    ("Elapsed s", ["0,0", "0,1", "0,3"], [0, 0.1, 0.3]),
    ("t [min]", ["0", "0.5", "1.25"], [0, 30, 75]),
    ("Zeit in Minuten", ["0,1667", "0,3333"], [0, 9.996]),
    ("Time_h", ["0.000", "0.0027777778", "24.5"], [0, 10, 88200]),
    ("Std", ["1,5", "2"], [0, 1800]),
    ("ElapsedSec", ["-5", "0", "5"], [0, 5, 10]),
    ("time/ms", ["0", "250"], [0, 0.25]),
    ("Elapsed (h:mm:ss)", ["0:00:00", "23:59:59", "24:00:00", "100:00:00.5"], [0, 86399, 86400, 360000.5]),
    ("Elapsed [h:mm]", ["23:50", "24:00", "26:10"], [0, 600, 8400]),
    ("Time (h)", ["0:00", "0:10"], [0, 600]),
    ("Time (mm:ss)", ["00:00", "00:10", "61:05"], [0, 10, 3665]),
    ("Time", ["00:00.0", "00:00.5"], [0, 0.5]),
    ("Time", ["0:00:00", "0:00:10"], [0, 10]),
    ("Duration", ["08:00:00", "09:00:00"], [0, 3600]),
]


@pytest.mark.parametrize(("name", "rows", "seconds"), ELAPSED)
def test_elapsed_time(name: str, rows: list[str], seconds: list[float]) -> None:
    found = read(rows, None, name)
    assert found.seconds == seconds
    assert (found.clock.started_at, found.clock.clock_start) == (None, None)


def test_a_count_that_does_not_begin_at_nothing_is_said() -> None:
    assert read(["60", "70"], None, "Time (s)").clock.notes == (
        "the file counts from 60 s; times here count from its first row",
    )


def test_time_of_day_passes_midnight_as_often_as_it_does() -> None:
    found = read(["23:59:50", "00:00:00", "11:00:00", "22:00:00", "00:30:00"])
    assert found.seconds == [0, 10, 39610, 79210, 88210]
    assert (found.clock.started_at, found.clock.clock_start) == (None, time(23, 59, 50))
    assert found.clock.notes == (
        "the clock of the logger starts at 23:59:50, date not stated",
        "line 3: the clock passes midnight; the rows from here on are of the next day",
        "the clock passes midnight 2 times",
    )


def test_time_of_day_with_am_and_pm() -> None:
    assert read(["11:59:00 PM", "12:00:00 AM", "1:00:00 AM"]).seconds == [0, 60, 3660]


@pytest.mark.parametrize(
    "rows",
    [
        [("01.03.2026", "23:59:50"), ("02.03.2026", "00:00:10")],
        [("23:59:50", "01.03.2026"), ("00:00:10", "02.03.2026")],
        [("3/1/2026", "11:59:50 PM"), ("3/2/2026", "12:00:10 AM")],
    ],
)
def test_date_and_time_in_two_columns(rows: list[tuple[str, str]]) -> None:
    found = read(rows, MDY if "/" in rows[0][0] else None)
    assert found.seconds == [0, 20]
    assert found.clock.clock_start == datetime(2026, 3, 1, 23, 59, 50)


def test_the_form_in_words() -> None:
    assert read(["03/04/2021 08:00:00"], Told(date_order="dmy", zone="Europe/Berlin")).form.words == (
        "date and time, day before month, Europe/Berlin"
    )
    assert (
        read(["2021-04-03T08:00:00Z"]).form.words
        == "date and time, year before month before day, with offset"
    )
    assert read(["0.5"], None, "min").form.words == "elapsed minutes"


@pytest.mark.parametrize("zone", [None, "none", "Europe/Berlin"])
@pytest.mark.parametrize(
    ("rows", "told", "start", "seconds"), CALENDAR[::3], ids=lambda value: str(value)[:30]
)
def test_what_is_stored_gives_the_same_form_again(
    rows: list[str], told: Told, start: datetime, seconds: list[float], zone: str | None
) -> None:
    form = read(rows, replace(told, zone=zone)).form
    stored = form.stored()
    again = settle_time(
        [(row,) for row in rows],
        ["Time"],
        Told(**{key: stored.get(key) for key in ("time_form", "date_order", "zone")}),
    )
    assert again == form


@pytest.mark.parametrize(
    "text",
    [
        *(rows[0] for rows, *_ in CALENDAR),
        *(rows[0] for rows, *_ in INSTANTS),
        *("08:00", "8:00:00", "100:00:00", "01.03.2026", "3/1/26", "1-Mar-26", "2026-03-01", "12:00 AM"),
    ],
)
def test_it_looks_like_a_time(text: str) -> None:
    assert looks_like_time(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "-",
        "TC1",
        "595.4",
        "595,4",
        "1.100",
        "9999",
        "9999.9",
        "32767",
        "32767.0",
        "-200",
        "0",
        "45000",
        "OPEN",
        "12:5",
        "a:00",
    ],
)
def test_it_does_not_look_like_a_time(text: str) -> None:
    assert not looks_like_time(text)
