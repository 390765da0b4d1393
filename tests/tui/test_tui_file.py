"""What happens to the shop's file while the app is open is said in words, and nothing typed is lost by it."""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

from tui_kit import app_on, one_line, press, screen_text, typed

from traveler.record.shop import Shop
from traveler.tui.screens.page import WAITING
from traveler.tui.screens.reading import Reading
from traveler.tui.screens.step import Step
from traveler.tui.session import Session

SIZE = (80, 24)
TO_A_READING = ("enter", "down", "enter", "enter", *typed("312 F"), "tab", *typed("plate"))


async def test_a_file_upgraded_by_a_newer_program_takes_nothing_more_and_the_form_stays(
    session: Session, shop_path: Path
) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, *TO_A_READING)
        with closing(sqlite3.connect(shop_path)) as other:
            other.execute("PRAGMA user_version=999")
        app._each_second()
        await pilot.pause()
        assert "nothing more can be recorded" in one_line(screen_text(app))
        assert "upgraded by a newer program" in one_line(screen_text(app))
        await press(pilot, "f10")
        assert isinstance(app.screen, Reading)
        assert "nothing was recorded" in one_line(screen_text(app))
        assert app.screen.values()["value"] == "312 F"
        await press(pilot, "escape")
        assert isinstance(app.screen, Step)
        assert "nothing more can be recorded" in one_line(screen_text(app))
    assert session.drafts
    assert session.job("H-014")["events"] == 1


async def test_a_file_that_is_deleted_or_replaced_takes_nothing_more(
    session: Session, shop_path: Path, tmp_path: Path
) -> None:
    shutil.copy(shop_path, tmp_path / "copy")
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, *TO_A_READING)
        shop_path.unlink()
        await press(pilot, "f10")
        assert isinstance(app.screen, Reading)
        assert "moved or deleted while it was open here" in one_line(screen_text(app))
        (tmp_path / "copy").rename(shop_path)
        app._each_second()
        await pilot.pause()
        assert "replaced by another file" in one_line(screen_text(app))
        await press(pilot, "f10")
        assert isinstance(app.screen, Reading)
        assert app.screen.values()["place"] == "plate"
    with Shop.open(shop_path, read_only=True) as shop:
        assert len(shop.events("job H-014")) == 1


async def test_moving_about_while_the_file_is_held_says_so_and_ends_nothing(
    session: Session, shop_path: Path
) -> None:
    session._shop.wait_at_most(0.01)
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "enter")
        with closing(sqlite3.connect(shop_path, isolation_level=None)) as other:
            other.execute("BEGIN EXCLUSIVE")
            await press(pilot, "down", "enter")
            assert WAITING in one_line(screen_text(app))
            await press(pilot, "r", "p", "a", "w", "down", "up")
            app._each_second()
            assert app.is_running
            other.execute("ROLLBACK")
        app._each_second()
        await pilot.pause()
        await press(pilot, "q")
        app._each_second()
        await pilot.pause()
        assert app.is_running
        assert not any(said in one_line(screen_text(app)) for said in ("in use by", WAITING))
