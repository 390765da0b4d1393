"""The demo shop as a person finds it: each job at its stage, everything made by the acts, nothing altered."""

import json
import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest

from traveler.acts.board import board_object, listed, part_dues
from traveler.acts.clock import SystemClock
from traveler.acts.look import export, look
from traveler.acts.outside import NewReceipt, receive
from traveler.acts.parts_look import one_part
from traveler.acts.pieces import split
from traveler.acts.readings import NewReading, record_reading
from traveler.acts.sign import accept, perform
from traveler.acts.signed_change import Signing
from traveler.acts.verify import verify
from traveler.demo.build import SetClock, build_demo
from traveler.errors import TravelerError
from traveler.job.state import Person
from traveler.record.shop import Shop

NOW = datetime(2026, 5, 6, 15, 20, tzinfo=timezone(timedelta(hours=2)))
CLOCK = SetClock(NOW)
JOBS = ("DEMO-1", "DEMO-2", "DEMO-3", "DEMO-4", "DEMO-5", "DEMO-6", "DEMO-7", "DEMO-8")
VENDOR = "Slow Oven Heat Treating (demo)"


@pytest.fixture(scope="module")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path, _ = build_demo(tmp_path_factory.mktemp("demo"), CLOCK)
    return path


@pytest.fixture
def shop(demo_file: Path) -> Any:
    with Shop.open(demo_file, read_only=True) as opened:
        yield opened


@pytest.fixture
def own_shop(demo_file: Path, tmp_path: Path) -> Any:
    with Shop.open(Path(shutil.copy(demo_file, tmp_path))) as opened:
        yield opened


def current_step(traveler: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = next(step for step in traveler["steps"] if step["state"] != "accepted")
    return found


def requirement(step: dict[str, Any], quantity: str) -> dict[str, Any]:
    found: dict[str, Any] = next(r for r in step["requirements"] if r["quantity"] == quantity)
    return found


@pytest.mark.parametrize(
    ("job", "number", "kind", "state", "first_block"),
    [
        ("DEMO-2", 30, "preheat", "in work", "preheat temperature not shown: 2 readings needed, 1 taken"),
        ("DEMO-3", 40, "weld", "in work", "not yet signed as performed"),
        ("DEMO-4", 50, "inspect", "performed", None),
        ("DEMO-5", 20, "fit", "in work", "conflict: the window of J1 is empty: at least 400 °F"),
        (
            "DEMO-6",
            60,
            "stress relief",
            "performed",
            "soak temperature not met: reading 19: chart 1: 1174 °F at TC-4 flange, 3:34:00",
        ),
        ("DEMO-7", 60, "stress relief", "in work", "at Slow Oven Heat Treating (demo) since"),
        ("DEMO-8", 20, "fit", "performed", "crack proved out not shown"),
    ],
)
def test_each_open_job_stands_at_its_step(
    shop: Shop, job: str, number: int, kind: str, state: str, first_block: str | None
) -> None:
    traveler = look(shop, CLOCK, job)
    step = current_step(traveler)
    assert (traveler["state"], step["number"], step["kind"], step["state"]) == (
        "in process",
        number,
        kind,
        state,
    )
    if first_block is None:
        assert step["blocked_by"] == []
    else:
        assert step["blocked_by"][0].startswith(first_block)


def test_the_board_shows_all_jobs_with_the_waiting_one_first(shop: Shop) -> None:
    board = shop.board()
    assert board[0].number == "DEMO-2"
    assert {row.number for row in board} == set(JOBS)
    for row in board:
        traveler = look(shop, CLOCK, row.number)
        assert row.state == traveler["state"]
        if row.state != "closed":
            step = current_step(traveler)
            assert row.step == f"{step['number']} {step['title']}"
            assert row.blocked_by == next(iter(step["blocked_by"]), "")


def test_the_closed_job_is_complete_and_shows_its_correction(shop: Shop) -> None:
    traveler = look(shop, CLOCK, "DEMO-1")
    assert traveler["state"] == "closed"
    assert all(r["verdict"] == "met" for step in traveler["steps"] for r in step["requirements"])
    (exception,) = traveler["exceptions"]
    assert "1180 F" in exception
    assert "typing error" in exception
    (attachment,) = traveler["attachments"]
    assert (attachment["as"], attachment["step"]) == ("certificate", 10)


def test_the_waiting_job_goes_on_once_its_reading_is_taken(own_shop: Shop) -> None:
    preheat = requirement(current_step(look(own_shop, CLOCK, "DEMO-2")), "preheat temperature")
    assert [(r["attempt"], r["verdict"]) for r in preheat["readings"]] == [(1, "not met"), (2, "met")]
    welder, engineer = Person("Nell Fettle (demo)"), Person("Ida Quench (demo)")
    entered = NewReading(30, "preheat temperature", "309 F", place="bulkhead, 25 mm from the edge")
    assert record_reading(own_shop, CLOCK, welder, "DEMO-2", entered).complies
    assert not accept(own_shop, CLOCK, engineer, "DEMO-2", 30).recorded
    assert perform(own_shop, CLOCK, welder, "DEMO-2", 30).complies
    assert not accept(own_shop, CLOCK, welder, "DEMO-2", 30).recorded
    assert accept(own_shop, CLOCK, engineer, "DEMO-2", 30).recorded
    assert current_step(look(own_shop, CLOCK, "DEMO-2"))["number"] == 40


def test_the_waiting_job_stays_blocked_by_a_cold_reading(own_shop: Shop) -> None:
    welder = Person("Nell Fettle (demo)")
    entered = NewReading(30, "preheat temperature", "299 F", place="bulkhead, 25 mm from the edge")
    assert not record_reading(own_shop, CLOCK, welder, "DEMO-2", entered).complies
    perform(own_shop, CLOCK, welder, "DEMO-2", 30)
    refused = accept(own_shop, CLOCK, Person("Ida Quench (demo)"), "DEMO-2", 30)
    assert not refused.recorded
    assert any("299 °F is below 300 °F" in reason for reason in refused.reasons)


def test_a_run_read_too_hot_was_let_cool_and_read_again(shop: Shop) -> None:
    weld = current_step(look(shop, CLOCK, "DEMO-3"))
    interpass = requirement(weld, "interpass temperature")
    assert [(r["run"], r["verdict"]) for r in interpass["readings"]] == [
        (1, "met"),
        (2, "not met"),
        (2, "met"),
    ]
    assert interpass["verdict"] == "met"
    assert [r["run"] for r in requirement(weld, "arc energy")["readings"]] == [1, 2]


def test_the_finished_inspection_waits_for_somebody_else(own_shop: Shop) -> None:
    refused = accept(own_shop, CLOCK, Person("OTTO FERRULE (demo) "), "DEMO-4", 50)
    assert not refused.recorded
    assert "another person must accept it" in refused.reasons[0]
    assert accept(own_shop, CLOCK, Person("Ida Quench (demo)"), "DEMO-4", 50).recorded


def test_a_soak_that_was_too_hot_cannot_be_accepted(own_shop: Shop) -> None:
    assert not accept(own_shop, CLOCK, Person("Ida Quench (demo)"), "DEMO-6", 60).recorded


def test_the_batch_is_at_its_vendor_and_first_on_the_board_since_it_is_due_back(shop: Shop) -> None:
    first = board_object(next(iter(listed(shop, NOW, "open"))), NOW)
    assert (first["number"], first["due"]) == ("DEMO-7", f"return of step 60 by {VENDOR}")
    assert datetime.fromisoformat(first["due_at"]) == NOW.replace(hour=0, minute=0)
    traveler = look(shop, CLOCK, "DEMO-7")
    pieces = traveler["pieces"]
    assert (pieces["in"], pieces["here"], pieces["split_off"], pieces["used"]) == (4, 3, 1, 2)
    assert pieces["serials"] == ["WS5-01", "WS5-02", "WS5-04"]
    (sending,) = current_step(traveler)["sendings"]
    assert (sending["state"], sending["pieces"], sending["vendor"]) == ("at vendor", 3, VENDOR)
    assert requirement(traveler["steps"][0], "hardness as received of stock")["verdict"] == "met"


def test_what_the_vendor_has_is_neither_accepted_nor_split_before_it_is_back(own_shop: Shop) -> None:
    ida = Signing(own_shop, CLOCK, Person("Ida Quench (demo)"), "DEMO-7")
    assert not accept(own_shop, CLOCK, ida.person, "DEMO-7", 60).recorded
    refused = split(ida, "DEMO-9", 1, ["WS5-04"], "invented: to see that it is refused")
    assert refused.reasons == (f"step 60 is at {VENDOR}: receive it first, or call the sending off",)
    back = NewReceipt("clean, grey scale", "legible")
    assert receive(ida, 60, back).complies
    assert not accept(own_shop, CLOCK, ida.person, "DEMO-7", 60).recorded
    assert split(ida, "DEMO-9", 1, ["WS5-04"], "invented: to see that it is not refused").recorded


def test_the_cracked_piece_goes_on_by_itself_as_a_repair(own_shop: Shop) -> None:
    traveler = look(own_shop, CLOCK, "DEMO-8")
    assert (traveler["pieces"]["in"], traveler["pieces"]["serials"]) == (1, ["WS5-03"])
    assert [origin["job"] for origin in traveler["pieces"]["came_from"]] == ["DEMO-7"]
    assert "joint J1 is a repair: crack, repair 1" in traveler["exceptions"]
    (found,) = traveler["nonconformances"]
    assert (found["state"], found["step"]) == ("approved", 40)
    weld = next(step for step in traveler["steps"] if step["kind"] == "weld")
    assert requirement(weld, "arc energy")["verdict"] == "not shown"
    assert not accept(own_shop, CLOCK, Person("Ida Quench (demo)"), "DEMO-8", 40).recorded
    assert look(own_shop, CLOCK, "DEMO-7")["nonconformances"] == []


def test_the_assembly_waits_for_the_pieces_that_were_joined_in_it(own_shop: Shop) -> None:
    engineer = Person("Ida Quench (demo)")
    (component,) = look(own_shop, CLOCK, "DEMO-4")["pieces"]["components"]
    assert (component["job"], component["serials"]) == ("DEMO-7", ["WS5-01", "WS5-02"])
    assert accept(own_shop, CLOCK, engineer, "DEMO-4", 50).recorded
    refused = accept(own_shop, CLOCK, engineer, "DEMO-4", 60)
    assert "component DEMO-7 is not closed: close it, or take it out" in refused.reasons


def test_the_part_of_the_closed_job_is_to_be_inspected(shop: Shop) -> None:
    (due,) = part_dues(shop, NOW)
    assert (due["serial"], due["state"]) == ("PB12-01", "inspection due")
    part = one_part(shop, CLOCK, "PB12-01")
    assert (part["job"], part["car"]) == ("DEMO-1", "hill-climb single-seater (demo)")
    assert [size["size"] for size in part["as_built"]] == ["1.384 in"]
    events = next(row for row in part["since_inspection"] if row["counter"] == "events")
    assert (events["used"], events["limit"], events["reached"]) == ("2 events", "2 events", True)


def test_the_file_verifies_and_so_does_each_export(demo_file: Path, shop: Shop, tmp_path: Path) -> None:
    checked = verify(demo_file)
    assert checked.faults == ()
    assert checked.events > 100
    for job in JOBS:
        exported = tmp_path / f"{job}.json"
        exported.write_bytes(export(shop, job, "json"))
        assert verify(exported).faults == ()


def test_only_the_closed_job_prints_without_draft(shop: Shop) -> None:
    drafts = {job: "DRAFT" in export(shop, job, "text").decode() for job in JOBS}
    assert drafts == {job: job != "DEMO-1" for job in JOBS}


@pytest.mark.slow
@pytest.mark.parametrize(
    "now",
    [
        datetime(2026, 1, 1, 0, 3, tzinfo=UTC),
        datetime(2028, 3, 1, 6, 0, tzinfo=timezone(timedelta(hours=-8))),
        datetime(2026, 10, 25, 12, 0, 30, 123456, tzinfo=timezone(timedelta(hours=1))),
        datetime(2026, 7, 31, 23, 59, 59, tzinfo=timezone(timedelta(hours=5, minutes=45))),
    ],
)
def test_times_run_forward_and_end_shortly_before_now(tmp_path: Path, now: datetime) -> None:
    path, job = build_demo(tmp_path, SetClock(now))
    with closing(sqlite3.connect(path)) as raw:
        bodies = raw.execute("SELECT body FROM event WHERE stream LIKE 'job %' ORDER BY position").fetchall()
    written = [datetime.fromisoformat(json.loads(body)["recorded_at"]) for (body,) in bodies]
    assert written == sorted(written)
    assert timedelta(minutes=2) <= now - written[-1] <= timedelta(minutes=15)
    with Shop.open(path, read_only=True) as shop:
        assert current_step(look(shop, SetClock(now), job))["state"] == "in work"


@pytest.mark.slow
def test_the_machines_own_clock_will_do(tmp_path: Path) -> None:
    path, job = build_demo(tmp_path / "not there yet", SystemClock())
    with Shop.open(path, read_only=True) as shop:
        assert current_step(look(shop, SystemClock(), job))["kind"] == "preheat"
        assert look(shop, SystemClock(), "DEMO-1")["state"] == "closed"


def test_a_demo_shop_is_never_built_over_another_file(demo_file: Path) -> None:
    with pytest.raises(TravelerError, match="exists already"):
        build_demo(demo_file.parent, CLOCK)
