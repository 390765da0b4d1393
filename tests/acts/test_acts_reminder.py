"""It is said when a backup is due, and not otherwise. All is invented."""

from pathlib import Path

import pytest
from acts_kit import ADA, Bench, HandClock

from traveler.acts.clock import written
from traveler.acts.reminder import backup_reminder
from traveler.acts.settings import change_setting
from traveler.record.backup import backup
from traveler.record.shop import Shop

BY = {"name": "Ada Lund", "how": "stated"}
DAY = 24 * 60


def said(bench: Bench) -> str:
    return backup_reminder(bench.shop, bench.clock)


def back_up(bench: Bench, name: str) -> None:
    backup(bench.shop, bench.shop.path.with_name(name), BY, written(bench.clock.now()))


def remind_after(bench: Bench, value: str) -> None:
    assert change_setting(bench.shop, bench.clock, ADA, "backup reminder", value).recorded


def test_a_shop_without_jobs_is_left_in_peace(tmp_path: Path) -> None:
    with Shop.create(tmp_path / "shop.traveler") as shop:
        clock = HandClock()
        clock.pass_by(400 * DAY)
        assert backup_reminder(shop, clock) == ""


def test_never_backed_up_is_said_a_month_after_the_first_job(bench: Bench) -> None:
    bench.clock.pass_by(29 * DAY)
    assert said(bench) == ""
    bench.clock.pass_by(DAY)
    assert said(bench) == (
        "no backup of this shop was ever made, and its first job is 30 days old; make one with: traveler backup FILE"
    )


@pytest.mark.parametrize(("setting", "days"), [("7 days", 7), ("1 day", 1), (None, 30)])
def test_an_old_backup_is_said_on_the_day(bench: Bench, setting: str | None, days: int) -> None:
    if setting is not None:
        remind_after(bench, setting)
    back_up(bench, "copy")
    bench.preheated()
    bench.clock.pass_by(days * DAY - 1)
    assert said(bench) == ""
    bench.clock.pass_by(1)
    plural = "" if days == 1 else "s"
    assert said(bench) == f"the last backup is {days} day{plural} old; make one with: traveler backup FILE"
    back_up(bench, "second")
    assert said(bench) == ""


def test_nothing_is_due_where_nothing_was_entered_since(bench: Bench) -> None:
    back_up(bench, "copy")
    bench.clock.pass_by(100 * DAY)
    assert said(bench) == ""
    bench.preheated()
    assert "100 days old" in said(bench)


def test_never_is_never(bench: Bench) -> None:
    remind_after(bench, "never")
    bench.clock.pass_by(1000 * DAY)
    assert said(bench) == ""


def test_a_backup_dated_ahead_is_no_reason_to_be_calm(bench: Bench) -> None:
    bench.clock.pass_by(40 * DAY)
    back_up(bench, "copy")
    bench.clock.pass_by(-39 * DAY)
    bench.preheated()
    assert said(bench).startswith(
        "the last backup is dated 2026-04-11T07:00:00+01:00, which is still to come;"
    )
