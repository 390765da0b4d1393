"""The shop's zone and name: what people type and read, and what is on paper. All is invented."""

import json
import os
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from acts_kit import ADA, MORNING, NUMBER, Bench, HandClock, sheet
from hypothesis import given
from hypothesis import strategies as st

from traveler.acts.chart_asked import Asked
from traveler.acts.charts import NewChart, attach_chart
from traveler.acts.clock import in_zone, when
from traveler.acts.instruments import NewInstrument, calibrated, register_instrument
from traveler.acts.issue import issue, revise
from traveler.acts.look import export, look
from traveler.acts.lots import NewLot, open_electrodes, receive_lot
from traveler.acts.settings import change_setting
from traveler.acts.verify import verify
from traveler.chart.model import Told
from traveler.errors import BadInput
from traveler.record.shop import Shop

BERLIN, NAME = "Europe/Berlin", "Brackets & Söhne [A36] [/], invented"


@pytest.fixture(params=["America/New_York", "Asia/Tokyo"])
def shell(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """The zone of the machine, or of the shell that somebody logged in with."""
    monkeypatch.setenv("TZ", request.param)
    time.tzset()
    yield request.param
    monkeypatch.undo()
    time.tzset()


def set_to(bench: Bench, name: str, value: str) -> None:
    assert change_setting(bench.shop, bench.clock, ADA, name, value).recorded


def test_a_local_time_is_one_instant_whatever_the_shell(bench: Bench, shell: str) -> None:
    set_to(bench, "zone", BERLIN)
    bench.record(10, "preheat temperature", "320 F", place="web", at="2026-03-02T06:30")
    event = bench.bodies()[-1]
    assert event["happened_at"] == "2026-03-02T06:30:00+01:00"
    assert event["recorded_at"] == "2026-03-02T07:00:00+01:00"


def test_without_a_zone_the_machines_clock_counts(bench: Bench, shell: str) -> None:
    bench.record(10, "preheat temperature", "320 F", place="web", at="2026-03-02T06:30")
    offset = datetime(2026, 3, 2, 6, 30, tzinfo=ZoneInfo(shell)).isoformat()
    assert bench.bodies()[-1]["happened_at"] == offset


def test_what_is_recorded_elsewhere_stands_in_the_shops_zone(bench: Bench) -> None:
    set_to(bench, "zone", "America/New_York")
    bench.record(10, "preheat temperature", "320 F", place="web", at="2026-03-02T05:30Z")
    event = bench.bodies()[-1]
    assert (event["happened_at"], event["recorded_at"]) == (
        "2026-03-02T00:30:00-05:00",
        "2026-03-02T01:00:00-05:00",
    )
    told = look(bench.shop, bench.clock, NUMBER)
    assert told["as_of"] == "2026-03-02T01:00:00-05:00"


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("2025-10-26T02:30", "2025-10-26T02:30:00+02:00 or 2025-10-26T02:30:00+01:00"),
        ("2026-03-29T02:30", "2026-03-29T02:30:00+01:00 or 2026-03-29T02:30:00+02:00"),
    ],
)
def test_a_time_that_the_shops_clocks_show_twice_or_skip_is_refused(
    bench: Bench, shell: str, typed: str, offered: str
) -> None:
    set_to(bench, "zone", BERLIN)
    with pytest.raises(BadInput, match="ambiguous or skipped") as refused:
        bench.record(10, "preheat temperature", "320 F", place="web", at=typed)
    assert str(refused.value).endswith(offered)
    assert len(bench.bodies()) == 1


def test_the_shell_s_own_nights_do_not_matter(bench: Bench, shell: str) -> None:
    """New York changes its clocks on 8 March at 2, when Berlin does not."""
    set_to(bench, "zone", BERLIN)
    bench.record(10, "preheat temperature", "320 F", place="web", at="2026-03-08T02:30")
    assert bench.bodies()[-1]["happened_at"] == "2026-03-08T02:30:00+01:00"


def test_a_zone_that_the_machine_lacks_asks_for_the_offset() -> None:
    with pytest.raises(BadInput, match="local time of Mars/Olympus, a zone that this machine lacks"):
        when("2026-03-02T06:30", MORNING, "Mars/Olympus")
    assert when("2026-03-02T06:30+01:00", MORNING, "Mars/Olympus").isoformat() == "2026-03-02T06:30:00+01:00"
    assert in_zone(MORNING, "Mars/Olympus") == MORNING


@given(
    st.datetimes(datetime(1990, 1, 1), datetime(2037, 1, 1), timezones=st.just(UTC)),
    st.sampled_from([BERLIN, "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu"]),
)
def test_what_the_clock_showed_is_read_back_as_the_same_instant(instant: datetime, zone: str) -> None:
    """Or refused, in the hour that comes twice: never another instant."""
    shown = in_zone(instant, zone)
    assert shown == instant
    assert isinstance(shown.tzinfo, type(UTC))  # a fixed offset, so that differences are true
    local = shown.replace(tzinfo=None).isoformat()
    try:
        read = when(local, instant, zone)
    except BadInput:
        hours = [in_zone(instant + timedelta(hours=h), zone).utcoffset() for h in (-3, 3)]
        assert hours[0] != hours[1]
    else:
        assert read == instant


def test_electrodes_and_days_are_of_the_shops_clock(bench: Bench, shell: str) -> None:
    set_to(bench, "zone", "Pacific/Auckland")
    receive_lot(bench.shop, bench.clock, ADA, NewLot("filler", "E8018-B2", "b1"))
    opened = open_electrodes(bench.shop, bench.clock, ADA, "L1", at="2026-03-02T18:30")
    assert opened.register.lots[0].openings[0].at.isoformat() == "2026-03-02T18:30:00+13:00"
    # There it is 2 March, 19:00; a day later by the clock of Auckland it is still 2 March in UTC.
    bench.clock.pass_by(6 * 60)
    register_instrument(bench.shop, bench.clock, ADA, NewInstrument("probe", "thermocouple"))
    on_the_third = calibrated(bench.shop, bench.clock, ADA, "I1", "2026-03-03", "2027-03-03", "C-1")
    assert on_the_third.complies


def test_a_chart_typed_off_paper_has_the_shops_time(tmp_path: Path, shell: str) -> None:
    route = ((10, "preheat"), (20, "weld"), (30, "hydrogen release"), (35, "stress relief"), (40, "inspect"))
    raw = sheet(route=route).replace(b'units = "inch"', b'units = "inch"\nstress_relief = "shop 4130"')
    rows = [("08:00", 70), ("11:00", 1150), ("12:30", 1150), ("16:00", 300)]
    text = "Time,TC1\n" + "".join(f"2026-03-01 {at}:00,{value}\n" for at, value in rows)
    with Shop.create(tmp_path / "shop.traveler") as shop:
        bench = Bench(shop, HandClock())
        set_to(bench, "zone", BERLIN)
        issue(shop, bench.clock, ADA, raw)
        told = Told(unit="degF", method="hand-read")
        chart = NewChart(35, "paper.csv", lambda: [text.encode()], Asked(told=told))
        assert attach_chart(shop, bench.clock, ADA, NUMBER, chart).recorded
        act = bench.bodies()[-1]["act"]
    assert act["mapping"]["zone"] == BERLIN
    assert act["readings"]
    assert {entry["happened_at"][-6:] for entry in act["readings"]} == {"+01:00"}


# --- On paper ------------------------------------------------------------------------------------------------------


def exports(bench: Bench) -> list[bytes]:
    return [export(bench.shop, NUMBER, form) for form in ("json", "text", "pdf")]


def test_an_export_stays_the_same_whatever_the_settings_become(
    bench: Bench, shell: str, tmp_path: Path
) -> None:
    set_to(bench, "zone", BERLIN)
    set_to(bench, "shop name", NAME)
    assert revise(
        bench.shop, bench.clock, ADA, NUMBER, sheet(title="Named now"), "the shop has a name"
    ).recorded
    bench.preheated()
    first = exports(bench)
    set_to(bench, "zone", "Asia/Tokyo")
    set_to(bench, "shop name", "Other people, invented")
    os.environ["TZ"] = "Pacific/Auckland"
    time.tzset()
    assert exports(bench) == first
    target = tmp_path / "out.json"
    target.write_bytes(first[0])
    assert verify(target).faults == ()


def test_the_name_heads_the_traveler_from_the_next_issue_on(bench: Bench) -> None:
    set_to(bench, "shop name", NAME)
    assert export(bench.shop, NUMBER, "text").decode().startswith("TRAVELER ")
    revise(bench.shop, bench.clock, ADA, NUMBER, sheet(title="Named now"), "the shop has a name")
    assert export(bench.shop, NUMBER, "text").decode().splitlines()[0] == NAME
    pypdf = pytest.importorskip("pypdf")
    pages = pypdf.PdfReader(Path(write(bench))).pages
    assert all(NAME in " ".join(page.extract_text().split()) for page in pages)


def write(bench: Bench) -> str:
    target = bench.shop.path.with_name("out.pdf")
    target.write_bytes(export(bench.shop, NUMBER, "pdf"))
    return str(target)


def test_an_export_from_before_there_was_a_name_verifies(bench: Bench, tmp_path: Path) -> None:
    """Its object lacks the key, and so may its events."""
    printed = json.loads(export(bench.shop, NUMBER, "json"))
    assert printed["traveler"].pop("shop") is None
    target = tmp_path / "old.json"
    target.write_text(json.dumps(printed), encoding="utf-8")
    assert verify(target).faults == ()
