"""Times as people type them, clocks that change, clocks that are wrong."""

import time
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta, timezone

import pytest
from acts_kit import BRAM, MORNING, Bench

from traveler.acts.clock import SystemClock, when, written
from traveler.acts.look import export, look
from traveler.acts.readings import supersede
from traveler.errors import BadInput


@pytest.fixture
def zone(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[str], None]]:
    if not hasattr(time, "tzset"):
        pytest.skip("this system cannot be put into another zone")

    def put(name: str) -> None:
        monkeypatch.setenv("TZ", name)
        time.tzset()

    yield put
    monkeypatch.undo()
    time.tzset()


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("2026-11-25T14:30+01:00", "2026-11-25T14:30:00+01:00"),
        ("2026-11-25T14:30Z", "2026-11-25T14:30:00+00:00"),
        ("2026-11-25 14:30:59.999-05:30", "2026-11-25T14:30:59-05:30"),
        ("20261125T143000+0100", "2026-11-25T14:30:00+01:00"),
        ("2026-W48-3T14:30+01:00", "2026-11-25T14:30:00+01:00"),
        (" 2026-11-25T14:30 ", "2026-11-25T14:30:00+01:00"),
        ("2026-07-01T14:30", "2026-07-01T14:30:00+02:00"),
        # The nights on which the clocks of Berlin change, an hour before and after.
        ("2026-10-25T01:59", "2026-10-25T01:59:00+02:00"),
        ("2026-10-25T03:00", "2026-10-25T03:00:00+01:00"),
        ("2026-03-29T01:59", "2026-03-29T01:59:00+01:00"),
        ("2026-03-29T03:00", "2026-03-29T03:00:00+02:00"),
        # With its offset nothing is ambiguous.
        ("2026-10-25T02:30+02:00", "2026-10-25T02:30:00+02:00"),
        ("2026-10-25T02:30+01:00", "2026-10-25T02:30:00+01:00"),
    ],
)
def test_iso_times(zone: Callable[[str], None], typed: str, expected: str) -> None:
    zone("Europe/Berlin")
    assert written(when(typed, MORNING)) == expected


@pytest.mark.parametrize(
    ("typed", "offers"),
    [
        ("2026-10-25T02:30", ("2026-10-25T02:30:00+02:00", "2026-10-25T02:30:00+01:00")),
        ("2026-10-25T02:00", ("2026-10-25T02:00:00+02:00",)),
        ("2026-10-25T02:59:59", ()),
        ("2026-03-29T02:30", ("2026-03-29T03:30:00+02:00", "2026-03-29T01:30:00+01:00")),
        ("2026-03-29T02:00", ()),
        ("2026-03-29T02:59", ()),
    ],
)
def test_a_time_that_is_there_twice_or_not_at_all_is_refused(
    zone: Callable[[str], None], typed: str, offers: tuple[str, ...]
) -> None:
    zone("Europe/Berlin")
    with pytest.raises(BadInput, match="ambiguous or skipped") as refused:
        when(typed, MORNING)
    assert all(offer in str(refused.value) for offer in offers)
    zone("UTC")
    assert written(when(typed, MORNING)).endswith("+00:00")


@pytest.mark.parametrize(
    "typed",
    ["yesterday", "14:30", "25.11.2026 14:30", "11/25/2026", "2026-11-31T10:00", "2026-11-25T25:00",
     "2026-11-25T14:30 CET", "2026-11-25T14:30+25:00", "NaN", "-1", "2026", "2026-11-25T14:30\x1b[31m",
     "٢٠٢٦-١١-٢٥T١٠:٠٠", "\ud800", "2026-11-25", "20261125", "2026-W48-3", "2026-11-25T10,5Z", "2026-11-25T10:30.5",
     "20261125T1030,5"],
)  # fmt: skip
def test_what_is_no_time_is_refused(typed: str) -> None:
    with pytest.raises(BadInput) as refused:
        when(typed, MORNING)
    assert str(refused.value).isprintable()


@pytest.mark.parametrize("typed", ["0001-01-01T00:00", "9999-12-31T23:59"])
def test_a_time_beyond_the_calendar_of_the_machine_is_refused(
    zone: Callable[[str], None], typed: str
) -> None:
    zone("Europe/Berlin")
    with pytest.raises(BadInput, match="outside the years that this machine knows"):
        when(typed, MORNING)


@pytest.mark.parametrize("typed", ["0001-01-01T00:00+14:00", "9999-12-31T23:59-14:00"])
def test_the_ends_of_the_calendar_do_no_harm(bench: Bench, typed: str) -> None:
    bench.preheated()
    bench.record(10, "preheat temperature", "320 F", place="rib", at=typed)
    bench.perform(10)
    assert bench.accept(10).recorded == typed.startswith("0001")
    assert look(bench.shop, bench.clock, bench.number)["job"] == bench.number
    assert typed[:10].encode() in export(bench.shop, bench.number, "text")


def test_nothing_typed_is_now() -> None:
    assert when(None, MORNING) == when("  ", MORNING) == MORNING
    assert SystemClock().now().utcoffset() is not None


def test_a_reading_that_is_still_to_come_blocks_until_then(bench: Bench) -> None:
    bench.record(10, "preheat temperature", "320 F", place="web")
    bench.record(10, "preheat temperature", "320 F", place="flange", at="2026-03-02T08:00+01:00")
    bench.perform(10)
    bench.clock.pass_by(59)
    (reason,) = bench.accept(10).reasons
    assert reason.startswith("reading 2 is said to happen at 2026-03-02T08:00:00+01:00")
    bench.clock.pass_by(1)
    assert bench.accept(10).recorded


def test_offsets_are_minded_when_the_future_is_judged(bench: Bench) -> None:
    bench.preheated()
    bench.record(
        10, "preheat temperature", "320 F", place="rib", at="2026-03-02T01:00-05:00"
    )  # 07:00 in +01:00
    bench.perform(10)
    assert bench.accept(10).recorded


def test_a_clock_set_back_changes_no_order(bench: Bench) -> None:
    bench.record(10, "preheat temperature", "250 F", place="web")
    bench.clock.pass_by(-24 * 60)
    bench.record(10, "preheat temperature", "320 F", place="web")
    bodies = bench.bodies()
    assert [body["seq"] for body in bodies] == [1, 2, 3]
    assert bodies[2]["recorded_at"] < bodies[1]["recorded_at"]
    traveler = look(bench.shop, bench.clock, bench.number)
    readings = traveler["steps"][0]["requirements"][0]["readings"]
    assert [reading["value"] for reading in readings] == ["250", "320"]
    assert traveler["as_of"] == bodies[2]["recorded_at"]
    # The weld: the last before the run is the last written, whatever the clock said.
    bench.record(20, "interpass temperature", "290 F")
    bench.clock.pass_by(-600)
    bench.record(20, "interpass temperature", "330 F")
    bench.clock.pass_by(-600)
    bench.record(20, "arc energy", "1 kJ/mm")
    interpass = look(bench.shop, bench.clock, bench.number)["steps"][1]["requirements"][2]
    assert interpass["verdict"] == "met"


def test_a_late_entry_is_flagged_and_a_correction_is_not(bench: Bench) -> None:
    bench.clock.pass_by(120)
    bench.record(10, "preheat temperature", "32 F", place="web", at="2026-03-02T07:30+01:00")
    bench.record(10, "preheat temperature", "320 F", place="flange", at="2026-03-02T08:45+01:00")
    bench.clock.pass_by(600)
    supersede(bench.shop, bench.clock, BRAM, bench.number, 1, "320 F", "a figure left out")
    traveler = look(bench.shop, bench.clock, bench.number)
    readings = traveler["steps"][0]["requirements"][0]["readings"]
    assert [reading["late"] for reading in readings] == [True, False, False]
    assert readings[2]["happened_at"] == "2026-03-02T07:30:00+01:00"
    assert any("late entry" in sentence for sentence in traveler["exceptions"])


def test_another_zone_shows_the_same_instant(bench: Bench) -> None:
    bench.clock.instant = datetime(2026, 3, 2, 1, 0, tzinfo=timezone(timedelta(hours=-5)))
    bench.preheated()
    assert bench.bodies()[-1]["recorded_at"] == "2026-03-02T01:00:00-05:00"
    bench.clock.instant = MORNING
    bench.perform(10)
    assert bench.accept(10).recorded
