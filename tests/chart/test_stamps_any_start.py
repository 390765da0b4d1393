"""Any start, any interval, any zone, any form: the elapsed seconds are those between the instants themselves."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stamps_kit import read

from traveler.chart.model import Told
from traveler.errors import TravelerError

ZONES = [
    "Europe/Berlin",
    "America/New_York",
    "Australia/Lord_Howe",
    "Asia/Kathmandu",
    "Pacific/Chatham",
    "Africa/Casablanca",
]
ZONES += ["America/St_Johns", "America/Santiago", "Asia/Tokyo", "Atlantic/Azores", "UTC"]

Written = Callable[[datetime, ZoneInfo], str]

LOCAL: dict[str, tuple[Written, Told]] = {
    "ISO 8601": (lambda at, zone: f"{at.astimezone(zone):%Y-%m-%dT%H:%M:%S.%f}", Told()),
    "points": (lambda at, zone: f"{at.astimezone(zone):%d.%m.%Y %H:%M:%S.%f}", Told()),
    "months by name": (lambda at, zone: f"{at.astimezone(zone):%d-%b-%y %H:%M:%S.%f}", Told()),
    "AM and PM": (lambda at, zone: f"{at.astimezone(zone):%m/%d/%Y %I:%M:%S.%f %p}", Told(date_order="mdy")),
}
INSTANTS: dict[str, tuple[Written, Told]] = {
    "with offset": (lambda at, zone: at.astimezone(zone).isoformat(timespec="microseconds"), Told()),
    "Z": (lambda at, zone: f"{at:%Y-%m-%dT%H:%M:%S.%fZ}", Told()),
    "Unix": (lambda at, zone: f"{at.timestamp():.6f}", Told()),
}
START = datetime(2024, 1, 1, tzinfo=UTC)
COUNTS: dict[str, tuple[Written, Told]] = {
    "seconds": (lambda at, zone: repr((at - START).total_seconds()), Told(time_form="elapsed s")),
    "minutes": (lambda at, zone: repr((at - START) / timedelta(minutes=1)), Told(time_form="elapsed min")),
    "hours": (
        lambda at, zone: f"{(at - START) / timedelta(hours=1):.12f}".replace(".", ","),
        Told(time_form="elapsed h"),
    ),
}
FORMS = LOCAL | INSTANTS | COUNTS

starts = st.datetimes(datetime(2024, 1, 1), datetime(2037, 12, 1)).map(lambda at: at.replace(tzinfo=UTC))
steps = st.lists(st.timedeltas(timedelta(0), timedelta(minutes=15)), min_size=1, max_size=40)


@st.composite
def moments(draw: st.DrawFn) -> list[datetime]:
    found = [draw(starts)]
    for step in draw(steps):
        found.append(found[-1] + step)
    return found


def changes(zone: ZoneInfo) -> list[datetime]:
    """Instants, to the hour, around which the clock of a zone is changed in 2026."""
    hours = [datetime(2026, 1, 1, tzinfo=UTC) + timedelta(hours=number) for number in range(365 * 24)]
    offsets = [hour.astimezone(zone).utcoffset() for hour in hours]
    return [hour for hour, before, after in zip(hours, offsets, offsets[1:], strict=False) if before != after]


AROUND = [(name, change) for name in ZONES for change in changes(ZoneInfo(name))]


@dataclass(frozen=True)
class Night:
    """Rows that run over a change of a zone's clock, from ``before`` it to three hours behind it."""

    zone: str
    change: datetime
    before: timedelta
    step: timedelta

    def moments(self) -> list[datetime]:
        first = self.change - self.before
        return [
            first + self.step * number
            for number in range((self.before + timedelta(hours=3)) // self.step + 1)
        ]


nights = st.builds(
    lambda around, before, step: Night(*around, before, step),
    st.sampled_from(AROUND),
    st.timedeltas(timedelta(0), timedelta(hours=2)),
    st.timedeltas(timedelta(seconds=30), timedelta(minutes=14)),
)


def check(rows: list[datetime], form: str, name: str) -> None:
    write, told = FORMS[form]
    zone = ZoneInfo(name)
    local = form in LOCAL
    found = read([write(at, zone) for at in rows], Told(**{**_told(told), "zone": name if local else None}))
    assert found.seconds == [(at - rows[0]).total_seconds() for at in rows]
    started = found.clock.started_at
    if form in COUNTS:
        assert started is None
    else:
        assert started is not None
        twice = any("shows twice" in note for note in found.clock.notes)
        assert twice or started.astimezone(UTC) == rows[0]


def _told(told: Told) -> dict[str, str | None]:
    return {"time_form": told.time_form, "date_order": told.date_order}


@pytest.mark.slow
@pytest.mark.parametrize("form", FORMS)
@given(rows=moments(), name=st.sampled_from(ZONES))
def test_elapsed_seconds_are_exact(form: str, rows: list[datetime], name: str) -> None:
    check(rows, form, name)


@pytest.mark.parametrize("form", [*LOCAL, "with offset"])
@given(night=nights)
def test_elapsed_seconds_are_exact_on_the_night_of_a_change(form: str, night: Night) -> None:
    check(night.moments(), form, night.zone)


@pytest.mark.slow
@given(night=nights, block=st.integers(1, 50), form=st.sampled_from([*LOCAL, "with offset"]))
def test_blocks_of_any_size_give_the_same(night: Night, block: int, form: str) -> None:
    write, told = FORMS[form]
    rows = [write(moment, ZoneInfo(night.zone)) for moment in night.moments()]
    for zone in (night.zone, "none", None):
        answers = []
        for size in (block, len(rows)):
            try:
                found = read(rows, Told(date_order=told.date_order, zone=zone), block=size)
            except TravelerError as refused:
                answers.append(str(refused))
                continue
            clock = found.clock
            started = clock.started_at and clock.started_at.isoformat()
            answers.append(str((found.seconds, started, clock.clock_start, clock.notes)))
        assert answers[0] == answers[1]


@given(st.datetimes(datetime(1970, 1, 2), datetime(2099, 12, 1)), steps)
def test_serial_days_keep_the_millisecond(start: datetime, apart: list[timedelta]) -> None:
    """A spreadsheet's day is a binary fraction; the millisecond comes through it."""
    rows = [start.replace(microsecond=0)]
    for step in apart:
        rows.append(rows[-1] + timedelta(milliseconds=step // timedelta(milliseconds=1)))
    texts = [repr((at - datetime(1899, 12, 30)) / timedelta(days=1)) for at in rows]
    found = read(texts, Told(time_form="serial days"))
    assert found.seconds == [(at - rows[0]).total_seconds() for at in rows]
    assert found.clock.clock_start == rows[0]


@given(
    st.text(max_size=30),
    st.sampled_from(["2026-03-01 08:00:00", "08:00:00", "1:00:00 PM", "2026-03-01T08:00:00Z", "12.5"]),
)
def test_any_text_is_read_or_refused_in_a_sentence(text: str, first: str) -> None:
    try:
        read([first, text], Told(zone="Europe/Berlin"), "Time (s)")
    except TravelerError as refused:
        sentence = str(refused)
    else:
        sentence = "read"
    assert sentence
