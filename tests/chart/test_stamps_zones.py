"""The nights on which clocks are changed, held against the tz database by way of UTC."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from stamps_kit import FIRST_LINE, read

from traveler.chart.model import Told
from traveler.chart.unclear import Unclear
from traveler.errors import BadInput

BERLIN_AUTUMN = datetime(2026, 10, 25, 1, tzinfo=UTC)
CHANGES = [
    ("Europe/Berlin", BERLIN_AUTUMN, -60),
    ("Europe/Berlin", datetime(2026, 3, 29, 1, tzinfo=UTC), 60),
    ("America/New_York", datetime(2026, 11, 1, 6, tzinfo=UTC), -60),
    ("America/New_York", datetime(2026, 3, 8, 7, tzinfo=UTC), 60),
    ("Australia/Lord_Howe", datetime(2026, 4, 4, 15, tzinfo=UTC), -30),
    ("Australia/Lord_Howe", datetime(2026, 10, 3, 15, 30, tzinfo=UTC), 30),
    ("America/Santiago", datetime(2026, 4, 5, 3, tzinfo=UTC), -60),
    ("Pacific/Apia", datetime(2011, 12, 30, 10, tzinfo=UTC), 24 * 60),
]
STEP = timedelta(seconds=10)


def instants(start: datetime, end: datetime, step: timedelta = STEP) -> list[datetime]:
    return [start + step * number for number in range((end - start) // step + 1)]


def stamps(moments: list[datetime], zone: str) -> list[str]:
    return [f"{moment.astimezone(ZoneInfo(zone)):%Y-%m-%d %H:%M:%S}" for moment in moments]


@pytest.mark.parametrize(("zone", "change", "minutes"), CHANGES)
@pytest.mark.parametrize("before_min", [300, 61, 45, 1])
def test_elapsed_time_runs_on_over_a_change(
    zone: str, change: datetime, minutes: int, before_min: int
) -> None:
    """Also where the log begins within the hour that comes twice: the step back tells which of the two it was."""
    moments = instants(change - timedelta(minutes=before_min), change + timedelta(minutes=90))
    found = read(stamps(moments, zone), Told(zone=zone))
    assert found.seconds == [(moment - moments[0]).total_seconds() for moment in moments]
    started = found.clock.started_at
    assert started is not None
    assert started.astimezone(UTC) == moments[0]
    assert started.utcoffset() == moments[0].astimezone(ZoneInfo(zone)).utcoffset()
    line = FIRST_LINE + next(index for index, moment in enumerate(moments) if moment >= change)
    way = "back" if minutes < 0 else "forward"
    assert found.clock.notes[0].startswith(
        f"line {line}: the clock of {zone} goes {way} by {abs(minutes)} min ("
    )
    assert len(found.clock.notes) == 1


@pytest.mark.parametrize("zone", ["Europe/Berlin", "Australia/Lord_Howe"])
def test_a_log_that_begins_in_the_second_of_the_two_hours(zone: str) -> None:
    """No step back on the way out of it, so it began behind the change."""
    change = next(at for name, at, minutes in CHANGES if name == zone and minutes < 0)
    moments = instants(change + timedelta(minutes=5), change + timedelta(hours=3))
    found = read(stamps(moments, zone), Told(zone=zone))
    assert found.seconds == [(moment - moments[0]).total_seconds() for moment in moments]
    started = found.clock.started_at
    assert started is not None
    assert started.astimezone(UTC) == moments[0]
    assert started.fold == 1
    assert found.clock.notes == ()


def test_a_log_within_the_hour_that_comes_twice_says_so() -> None:
    found = read(["2026-10-25 02:10:00", "2026-10-25 02:50:00"], Told(zone="Europe/Berlin"))
    assert found.seconds == [0, 2400]
    assert found.clock.notes == (
        "the file lies within the hour that the clock of Europe/Berlin shows twice, and nothing in it tells which; "
        "it is taken to begin at 2026-10-25T02:10:00+02:00",
    )


def test_both_changes_of_a_year_in_one_log() -> None:
    moments = instants(
        datetime(2026, 3, 1, tzinfo=UTC), datetime(2026, 11, 30, tzinfo=UTC), timedelta(minutes=30)
    )
    found = read(stamps(moments, "Europe/Berlin"), Told(zone="Europe/Berlin"))
    assert found.seconds == [(moment - moments[0]).total_seconds() for moment in moments]


def test_a_gap_over_the_whole_change() -> None:
    """From 00:30 in summer to 06:00 in winter are 6 h 30 min; in spring 4 h 30 min."""
    autumn = ["2026-10-25 00:20:00", "2026-10-25 00:30:00", "2026-10-25 06:00:00"]
    spring = ["2026-03-29 00:20:00", "2026-03-29 00:30:00", "2026-03-29 06:00:00"]
    assert read(autumn, Told(zone="Europe/Berlin")).seconds == [0, 600, 600 + 6.5 * 3600]
    assert read(spring, Told(zone="Europe/Berlin")).seconds == [0, 600, 600 + 4.5 * 3600]


@pytest.mark.parametrize(("zone", "change", "minutes"), CHANGES[:-1])
def test_stamps_with_offset_need_no_zone(zone: str, change: datetime, minutes: int) -> None:
    """The clock of the chart then changes its offset where the file does."""
    moments = instants(change - timedelta(hours=2), change + timedelta(hours=2))
    rows = [moment.astimezone(ZoneInfo(zone)).isoformat() for moment in moments]
    found = read(rows)
    assert found.seconds == [(moment - moments[0]).total_seconds() for moment in moments]
    started = found.clock.started_at
    assert started is not None
    shown = [moment.astimezone(started.tzinfo) for moment in moments]
    assert [moment.isoformat() for moment in shown] == rows
    assert [moment.astimezone(UTC) for moment in shown] == moments
    assert found.clock.notes == ("the offset of the stamps changes on the way; times are subtracted in UTC",)


def _asked(rows: list[str], told: Told | None = None) -> Unclear:
    with pytest.raises(Unclear) as caught:
        read(rows, told)
    assert caught.value.question.key == "zone"
    return caught.value


def test_a_step_back_by_an_hour_is_asked_about() -> None:
    rows = stamps(
        instants(BERLIN_AUTUMN - timedelta(minutes=1), BERLIN_AUTUMN + timedelta(minutes=1)), "Europe/Berlin"
    )
    asked = _asked(rows)
    assert str(asked).startswith(
        "line 8: the clock goes back by 60 min there, from 2026-10-25 02:59:50 to 2026-10-25 02:00:00"
    )
    assert asked.question.options == ()


def test_a_step_forward_by_an_hour_is_asked_about_and_may_be_a_gap() -> None:
    rows = ["2026-03-29 01:59:40", "2026-03-29 01:59:50", "2026-03-29 03:00:00", "2026-03-29 03:00:10"]
    asked = _asked(rows)
    assert str(asked).startswith("line 4: the clock goes forward by 60 min there")
    assert [answer for answer, _ in asked.question.options] == ["none"]
    assert read(rows, Told(zone="none")).seconds == [0, 10, 3620, 3630]
    assert read(rows, Told(zone="Europe/Berlin")).seconds == [0, 10, 20, 30]


@pytest.mark.parametrize(
    "rows",
    [
        ["2026-03-29 01:59:40", "2026-03-29 01:59:50", "2026-03-29 03:30:00"],
        ["2026-03-29 01:59:40", "2026-03-29 01:59:50", "2026-03-29 02:59:50"],
        ["2026-03-29 11:59:40", "2026-03-29 11:59:50", "2026-03-29 13:00:00"],
        ["2026-03-29 01:00:00", "2026-03-29 02:00:00", "2026-03-29 04:00:00"],
    ],
    ids=["longer", "shorter", "by day", "rows an hour apart"],
)
def test_other_gaps_are_gaps(rows: list[str]) -> None:
    times = [datetime.fromisoformat(row) for row in rows]
    assert read(rows).seconds == [(at - times[0]).total_seconds() for at in times]


def test_some_rows_lost_while_the_clock_is_changed_do_not_hide_the_change() -> None:
    _asked(["2026-03-29 01:59:40", "2026-03-29 01:59:50", "2026-03-29 03:02:00"])


def _refused() -> Iterator[tuple[list[str], str | None, str]]:
    back = ["2026-10-25 02:59:50", "2026-10-25 02:00:00"]
    yield (
        back,
        "none",
        "line 3: the time runs backward, 2026-10-25 02:00:00 after 2026-10-25 02:59:50 on a clock that is",
    )
    yield back, "fixed", "line 3: the time runs backward"
    yield back, "+01:00", "and the clock of +01:00 is not set back there"
    yield back, "America/New_York", "and the clock of America/New_York is not set back there"
    yield (
        ["2026-10-25 02:30:10", "2026-10-25 02:30:00"],
        "Europe/Berlin",
        "line 3: .* not the 60 min by which Europe/Berlin",
    )
    yield ["2026-10-25 02:30:10", "2026-10-25 02:30:00"], None, "line 3: the time runs backward"
    yield ["2026-10-25 12:59:50", "2026-10-25 12:00:00"], None, "line 3: the time runs backward"
    yield (
        [*back, "2026-10-25 02:30:00", "2026-10-25 02:00:00"],
        "Europe/Berlin",
        "line 5: the time runs backward",
    )
    yield (
        ["2026-10-25 01:59:50", "2026-10-25 02:59:50", "2026-10-25 03:00:00"],
        "Europe/Berlin",
        "line 4: .* clock was set back in between and showed the time from 2026-10-25 02:00:00 on once more",
    )
    skipped = "does not exist in Europe/Berlin, where the clock went from 2026-03-29 02:00:00 to 2026-03-29 03:00:00"
    yield (
        ["2026-03-29 01:59:50", "2026-03-29 02:30:00"],
        "Europe/Berlin",
        f"line 3: 2026-03-29 02:30:00 {skipped}",
    )
    yield (
        ["2026-03-29 02:30:00", "2026-03-29 03:30:00"],
        "Europe/Berlin",
        f"line 2: 2026-03-29 02:30:00 {skipped}",
    )


@pytest.mark.parametrize(("rows", "zone", "sentence"), list(_refused()))
def test_what_no_clock_of_that_zone_shows_is_refused(
    rows: list[str], zone: str | None, sentence: str
) -> None:
    with pytest.raises(BadInput, match=sentence.replace("+", r"\+")):
        read(rows, Told(zone=zone))


@pytest.mark.parametrize(
    "zone",
    ["Europe/Nowhere", "berlin", "CEST", "../etc/passwd", "/etc/localtime", "Europe", "", "+25:00", "a\0b"],
)
def test_an_unknown_zone_is_refused_for_every_form(zone: str) -> None:
    for rows in (["2026-10-25 02:59:50"], ["1772352000"], ["08:00:00"]):
        with pytest.raises(BadInput, match="is no time zone that this machine knows"):
            read(rows, Told(zone=zone))


def test_the_test_data_step_as_they_say() -> None:
    """The changes above are changes of the tz database."""
    for zone, change, minutes in CHANGES:
        before, after = ((change + timedelta(seconds=late)).astimezone(ZoneInfo(zone)) for late in (-1, 0))
        offsets = [moment.utcoffset() or timedelta() for moment in (before, after)]
        assert [later - earlier for earlier, later in pairwise(offsets)] == [timedelta(minutes=minutes)]
