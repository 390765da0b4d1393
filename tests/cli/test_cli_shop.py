"""Commands that ask who it is beside signatures, the reminder of a backup, and the shop's zone. All is invented."""

import json
import sqlite3
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from cli_kit import Commands, refused
from person_cli_kit import CHEAP, INES, OLGA, WIM, people, with_secrets

from traveler.acts import clock
from traveler.record import secrets

PROBE = ("instrument", "add", "probe", "--type", "contact thermometer", "--to", "750 F", "--from", "0 F")


@pytest.fixture(autouse=True)
def cheap_secrets(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch) -> Callable[[int], None]:
    """Sets the machine's clock days ahead."""

    def ahead(days: int) -> None:
        now = clock.SystemClock.now

        def then(self: clock.SystemClock) -> datetime:
            return now(self) + timedelta(days=days)

        monkeypatch.setattr(clock.SystemClock, "now", then)

    return ahead


def events(shop: Path) -> list[dict[str, Any]]:
    with sqlite3.connect(shop) as connection:
        rows = connection.execute("SELECT body FROM event WHERE stream = 'shop' ORDER BY seq").fetchall()
    connection.close()
    return [json.loads(body) for (body,) in rows]


# --- Reminder ------------------------------------------------------------------------------------------------------


def test_list_says_on_stderr_that_a_backup_is_due(issued: Commands, later: Callable[[int], None]) -> None:
    fresh = issued("list")
    assert (fresh.status, fresh.err) == (0, "")
    assert "backup" not in fresh.out
    later(31)
    due = issued("list")
    assert due.status == 0
    assert "backup" not in due.out
    assert due.err == (
        "traveler: no backup of this shop was ever made, and its first job is 31 days old; "
        "make one with: traveler backup FILE\n"
    )
    assert issued("list", "--json").err == ""
    assert issued("setting", "set", "backup reminder", "never").status == 0
    assert issued("list").err == ""


def test_a_backup_settles_it_until_something_is_entered(
    issued: Commands, later: Callable[[int], None], tmp_path: Path
) -> None:
    assert issued("setting", "set", "backup reminder", "7 days").status == 0
    later(8)
    assert "8 days old" in issued("list").err
    assert issued("backup", tmp_path / "copy").status == 0
    later(8)
    assert issued("list").err == ""
    assert issued("record", "B-101", 20, "gap", "1 mm").status == 0
    assert (
        issued("list").err == "traveler: the last backup is 8 days old; make one with: traveler backup FILE\n"
    )


# --- Who it is -----------------------------------------------------------------------------------------------------


def test_an_instrument_and_a_lot_take_a_secret_where_there_are_any(traveler: Commands) -> None:
    people(traveler)
    assert "--secret-fd" in refused(traveler(*PROBE, "--by", "Ines Okafor"))
    assert with_secrets(traveler, *PROBE, "--by", "P3", given=(INES,)).status == 0
    calibration = (
        "instrument",
        "calibrated",
        "I1",
        "--on",
        "2026-01-05",
        "--due",
        "2036-01-05",
        "--certificate",
        "C-1",
    )
    by_a_welder = with_secrets(traveler, *calibration, "--by", "P2", given=(WIM,))
    assert by_a_welder.status == 1
    assert "entering a calibration takes inspector or engineer or owner" in by_a_welder.out
    assert with_secrets(traveler, *calibration, "--by", "P3", given=(INES,)).status == 0
    lot = ("lot", "add", "material", "4130", "--heat", "Q1", "--certificate", "3.1", "--by", "P2")
    assert with_secrets(traveler, *lot, given=("wrong one 1",)).status == 1
    assert with_secrets(traveler, *lot, given=(WIM,)).status == 0
    finding = ("instrument", "out", "I1", "--finding", "reads low", "--by", "P2")
    assert with_secrets(traveler, *finding, given=(WIM,)).status == 0
    gone = ("instrument", "withdraw", "I1", "--because", "dropped", "--by", "P2")
    assert with_secrets(traveler, *gone, given=(WIM,)).status == 0
    told = [(event["kind"], event["by"]["how"]) for event in events(traveler.shop)]
    assert told[-6:] == [
        ("signing refused", "stated"),
        ("instrument calibrated", "signed"),
        ("signing refused", "stated"),
        ("lot received", "signed"),
        ("instrument found out of tolerance", "signed"),
        ("instrument withdrawn", "signed"),
    ]


def test_restoring_takes_the_secret_that_the_backup_has(traveler: Commands, tmp_path: Path) -> None:
    people(traveler)
    copy, aside = tmp_path / "copy", tmp_path / "aside"
    assert traveler("backup", copy, "--by", "P1").status == 0
    # Where it cannot be done anyway nobody is asked.
    assert "exists already" in refused(traveler("restore", copy, "--by", "P1"))
    traveler.shop.rename(aside)
    assert "--secret-fd" in refused(traveler("restore", copy, "--by", "P1"))
    for who, given in (("P1", "wrong one 1"), ("P2", WIM)):
        answer = with_secrets(traveler, "restore", copy, "--by", who, given=(given,))
        assert (answer.status, answer.out) == (1, "")
        assert answer.err.startswith("traveler: nothing was restored: ")
        assert not traveler.shop.exists()
    assert with_secrets(traveler, "restore", copy, "--by", "P1", given=(OLGA,)).status == 0
    restored = events(traveler.shop)[-1]
    assert (restored["kind"], restored["by"]["how"]) == ("shop restored", "signed")
    assert traveler("verify", traveler.shop).status == 0


# --- Zone ----------------------------------------------------------------------------------------------------------


@pytest.mark.slow
def test_two_shells_mean_the_same_instant(issued: Commands) -> None:
    assert issued("setting", "set", "zone", "Europe/Berlin").status == 0
    for place, zone in (("web", "America/New_York"), ("flange", "Asia/Tokyo")):
        answer = issued.process(
            "record", "B-101", 30, "preheat temperature", "350 F", "--place", place, "--at", "2026-01-15T14:30",
            environment={"TZ": zone},
        )  # fmt: skip
        assert answer.status == 0, answer
    shown = issued("show", "B-101", "--json").json
    readings = next(step for step in shown["steps"] if step["number"] == 30)["requirements"][0]["readings"]
    assert [reading["happened_at"] for reading in readings] == ["2026-01-15T14:30:00+01:00"] * 2
    assert shown["as_of"][-6:] in ("+01:00", "+02:00")
    twice = issued.process(
        "record", "B-101", 30, "preheat temperature", "350 F", "--at", "2025-10-26T02:30",
        environment={"TZ": "UTC"},
    )  # fmt: skip
    assert "ambiguous or skipped" in refused(twice)
