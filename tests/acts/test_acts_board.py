"""The board: what a job takes next, what comes due and when, and that verify holds its lines against the events."""

import sqlite3
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from acts_kit import ADA, BRAM, CLEO, Bench, HandClock, issued, sheet
from deciding_kit import with_points

from traveler.acts.board import board_object, listed, searched, shop_dues
from traveler.acts.instruments import NewInstrument, calibrated, register_instrument
from traveler.acts.nonconformance import open_nonconformance
from traveler.acts.points import attend, notify
from traveler.acts.signed_change import Signing
from traveler.acts.verify import verify
from traveler.record import schema
from traveler.record.shop import Shop

WITNESSED = with_points(sheet(), 40, 'witness = ["customer"]', 'notice = "24 h"')


def stands(bench: Bench) -> dict[str, object]:
    """The one job as the board has it now."""
    (row,) = bench.shop.board()
    return board_object(row, bench.clock.now())


def at(job: dict[str, object]) -> datetime:
    return datetime.fromisoformat(str(job["due_at"]))


def test_what_a_job_takes_next_from_its_issue_to_its_end(bench: Bench) -> None:
    assert (stands(bench)["needs"], stands(bench)["step"]) == ("readings", "10 Preheat J1")
    bench.record(10, "preheat temperature", "120 F", place="web")
    assert stands(bench)["needs"] == "decision"
    bench.record(10, "preheat temperature", "320 F", place="web")
    assert stands(bench)["needs"] == "decision"


def test_only_a_signature_is_missing(bench: Bench) -> None:
    bench.preheated()
    assert stands(bench)["needs"] == "signature"
    assert stands(bench)["blocked_by"] == ["not yet signed as performed"]
    bench.perform(10)
    assert (stands(bench)["needs"], stands(bench)["blocked_by"]) == ("signature", [])
    assert (stands(bench)["last_by"], stands(bench)["last_deed"]) == (
        BRAM.name,
        "step 10 was signed as performed",
    )


def cooled(bench: Bench) -> datetime:
    """Everything up to the wait before the crack test; when the weld was signed as performed."""
    bench.through_preheat()
    bench.clock.pass_by(30)
    bench.through_weld()
    welded = bench.clock.now()
    bench.clock.pass_by(120)
    bench.record(30, "cooling after welding", "slow cooled under cover")
    bench.record(30, "uncovering temperature", "120 F")
    bench.perform(30)
    assert bench.accept(30).recorded
    return welded


def test_the_wait_before_the_crack_test_runs_from_the_weld_and_no_sooner(bench: Bench) -> None:
    bench.through_preheat()
    bench.run_of_weld()
    assert stands(bench)["due"] is None
    bench.clock.pass_by(-24 * 60)
    assert stands(bench)["due"] is None


def test_the_job_waits_until_the_wait_is_over_and_then_comes_due(bench: Bench) -> None:
    welded = cooled(bench)
    job = stands(bench)
    # EN 1090-2:2008 table 23 and its like give 16 to 48 h; 4130 is taken at the longest of them.
    assert (job["needs"], job["due"]) == ("time", "crack test")
    assert at(job) - welded == timedelta(hours=48)
    bench.clock.instant = at(job) - timedelta(seconds=1)
    assert stands(bench)["needs"] == "time"
    bench.clock.instant = at(job)
    assert stands(bench)["needs"] == "readings"
    bench.record(40, "wait before test", "48 h")
    assert (stands(bench)["due"], stands(bench)["needs"]) == (None, "readings")
    bench.record(40, "visual result", "accepted")
    bench.record(40, "crack test", "no relevant indications")
    assert stands(bench)["needs"] == "signature"


def test_an_open_nonconformance_is_counted_and_blocks(bench: Bench) -> None:
    cooled(bench)
    open_nonconformance(Signing(bench.shop, bench.clock, BRAM, bench.number), 40, "a scratch")
    job = stands(bench)
    assert (job["needs"], job["nonconformances"]) == ("decision", 1)


def test_a_notice_comes_due_and_the_line_knows_what_then(tmp_path: Path) -> None:
    for bench in issued(tmp_path / "points.traveler", WITNESSED):
        cooled(bench)
        bench.clock.pass_by(50 * 60)
        for quantity, value in (
            ("wait before test", "50 h"),
            ("visual result", "accepted"),
            ("crack test", "no relevant indications"),
        ):
            bench.record(40, quantity, value)
        bench.perform(40)
        signing = Signing(bench.shop, bench.clock, CLEO, bench.number)
        assert notify(signing, 40, 1).recorded
        job = stands(bench)
        assert (job["needs"], job["due"]) == ("time", "going on without witness 1 (customer)")
        assert at(job) - bench.clock.now() == timedelta(hours=24)
        bench.clock.instant = at(job)
        assert (stands(bench)["needs"], stands(bench)["blocked_by"]) == ("signature", [])
        assert attend(signing, 40, 1).recorded
        assert stands(bench)["due"] is None


def test_jobs_are_found_by_number_title_part_people_and_heat(bench: Bench) -> None:
    bench.preheated()
    bench.through_preheat()
    found = {
        text: [row.number for row in listed(bench.shop, bench.clock.now(), None, text)]
        for text in ("a-101", "LINK  tab", "bram", "q4471", "tab ada", "a-102", "%", "[")
    }
    assert [text for text, numbers in found.items() if numbers] == [
        "a-101", "LINK  tab", "bram", "q4471", "tab ada",
    ]  # fmt: skip
    assert searched("  ") == []


def test_calibrations_are_due_in_the_order_of_their_days(bench: Bench) -> None:
    for number, (on, due) in enumerate(
        (("2026-01-01", "2026-02-28"), ("2026-01-01", "2026-03-10"), ("2026-01-01", "2026-03-17")), start=1
    ):
        probe = NewInstrument(f"probe {number}", "contact thermometer")
        assert register_instrument(bench.shop, bench.clock, ADA, probe).recorded
        assert calibrated(bench.shop, bench.clock, ADA, f"I{number}", on, due, f"C{number}").recorded
    assert register_instrument(bench.shop, bench.clock, ADA, NewInstrument("new one", "caliper")).recorded
    dues = [(due["instrument"], due["state"], due["due"]) for due in shop_dues(bench.shop, bench.clock.now())]
    assert dues == [
        ("I4", "never calibrated", None),
        ("I1", "overdue", "2026-02-28"),
        ("I2", "in calibration", "2026-03-10"),
    ]


@pytest.mark.parametrize(
    ("statement", "fault"),
    [
        ("UPDATE board SET nonconformances = 3", "the board shows job A-101 with open nonconformances"),
        ("UPDATE board SET last_by = 'somebody'", "the board shows job A-101 with the last act by"),
        ("DELETE FROM board", "the board leaves out job A-101"),
    ],
)
def test_verify_holds_the_board_against_the_events(bench: Bench, statement: str, fault: str) -> None:
    bench.preheated()
    bench.record(10, "preheat temperature", "320 F")
    assert verify(bench.shop.path).faults == ()
    other = sqlite3.connect(bench.shop.path, isolation_level=None)
    other.execute(statement)
    other.close()
    (found,) = verify(bench.shop.path).faults
    assert found.startswith(fault)
    assert verify(bench.shop.path, chain_only=True).faults == ()
    bench.perform(10)
    assert verify(bench.shop.path).faults == ()


def test_a_line_of_another_edition_is_no_fault(bench: Bench) -> None:
    other = sqlite3.connect(bench.shop.path, isolation_level=None)
    other.execute("UPDATE board SET last_deed = 'other words', program = '0.0.1'")
    other.close()
    assert verify(bench.shop.path).faults == ()


@pytest.fixture
def second_schema(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A file with the worked job, as the program left it whose newest schema was the second."""
    path = tmp_path / "older.traveler"
    for bench in issued(path):
        cooled(bench)
    connection = sqlite3.connect(path, isolation_level=None)
    for name in ("board_recent", "board_need", "board_due"):
        connection.execute(f"DROP INDEX {name}")
    rows = connection.execute(
        "SELECT number, title, state, step, blocked_by, last_event_at FROM board"
    ).fetchall()
    connection.execute("DROP TABLE board")
    connection.execute(next(text for text in schema.TABLES if text.startswith("CREATE TABLE board")))
    connection.executemany("INSERT INTO board VALUES (?, ?, ?, ?, ?, ?)", rows)
    trigger = next(text for text in schema.FIRST_TABLES if "schema_step_no_delete" in text)
    connection.execute("DROP TRIGGER schema_step_no_delete")
    connection.execute("DELETE FROM schema_step WHERE number = 3")
    connection.execute(trigger)
    connection.execute("DELETE FROM _sqlite_migrations WHERE name = 'board'")
    connection.execute("PRAGMA user_version = 2")
    connection.close()
    return path


def test_an_older_file_shows_the_same_board_and_gets_it_with_the_upgrade(second_schema: Path) -> None:
    clock = HandClock()
    before = second_schema.read_bytes()
    with Shop.open(second_schema, read_only=True, watched=False) as shop:
        read = shop.board()
        assert [row.due for row in read] == ["crack test"]
        assert [row.number for row in listed(shop, clock.now(), "open", "bram")] == ["A-101"]
    assert verify(second_schema).faults == ()
    assert second_schema.read_bytes() == before
    with Shop.open(second_schema, watched=False) as shop:
        assert shop.board() == read
    assert verify(second_schema).faults == ()
    saved = second_schema.with_name("older.traveler.schema-2-1.backup")
    with closing(sqlite3.connect(saved)) as backup:
        assert backup.execute("PRAGMA user_version").fetchone() == (2,)
        assert backup.execute("SELECT number, step FROM board").fetchall() == [("A-101", "40 Inspect")]
