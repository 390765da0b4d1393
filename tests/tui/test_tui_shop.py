"""What is to be known of the shop's file: another copy in its place, a backup that is due; and the shop's name."""

import os
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from textual.app import App
from textual.pilot import Pilot
from tui_kit import HEAD as SHEET_HEAD
from tui_kit import THREE_STEPS, TickingClock, app_on, one_line, press, put, screen_text, typed
from tui_people_kit import CHEAP, INES, JOB, WIM, found_shop, sign_as

from traveler.acts.settings import change_setting
from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.shop import Shop
from traveler.tui.app import REMIND_EVERY_S, UNDISTURBED_S
from traveler.tui.idle import Idle
from traveler.tui.layout import Sentence
from traveler.tui.screens.board import Board
from traveler.tui.screens.help import Help
from traveler.tui.screens.sign import Perform
from traveler.tui.screens.step import Step
from traveler.tui.session import Session

SIZE = (80, 24)
A_TICK = 1.3
"""Seconds of the test in which the app looks at least once."""
OTHER = SHEET_HEAD.format(number='"H-020"', title='"Another bracket, invented"') + THREE_STEPS
DUE = "no backup of this shop was ever made, and its first job is 40 days old"


class LaterClock(TickingClock):
    """Forty days after the shop of the kit was begun; goes on when told."""

    def __init__(self) -> None:
        super().__init__()
        self.later = timedelta(days=40)

    def now(self) -> datetime:
        return super().now() + self.later


class HandSeconds:
    """Seconds that go on only when told."""

    seconds = 0.0

    def __call__(self) -> float:
        return self.seconds


@pytest.fixture
def later(shop_path: Path) -> Iterator[Session]:
    """A session on a shop that was never backed up."""
    with Shop.open(shop_path) as shop:
        yield Session(shop, LaterClock(), Person("Ida Weld"))


@pytest.fixture
def older(shop_path: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shop file in whose place an older copy was put since this account had it open."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path_factory.mktemp("state")))
    copy = shop_path.with_name("copy")
    copy.write_bytes(shop_path.read_bytes())
    with Shop.open(shop_path) as shop:
        put(shop, OTHER)
    os.replace(copy, shop_path)
    return shop_path


def status(app: App[Any]) -> str:
    sentence = app.screen.query_one("#status").render()
    assert isinstance(sentence, Sentence)
    return one_line(sentence.text)


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (40, 12)])
async def test_an_older_copy_is_said_on_opening_and_stays_findable(
    older: Path, size: tuple[int, int]
) -> None:
    with Shop.open(older) as shop:
        app = app_on(Session(shop, LaterClock(), Person("Ida Weld")))
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            assert status(app).startswith("! this shop file has 2 events, the one seen here on")
            # The status line goes on to say other things; the board and the help still say this.
            await press(pilot, "enter", "q")
            assert isinstance(app.screen, Board)
            assert "! not the file that was seen here last: ? says more" in one_line(screen_text(app))
            app.screen.say("something else")
            await press(pilot, "question_mark")
            assert isinstance(app.screen, Help)
            text = one_line(str(app.screen.query_one("#text").render()))
            assert "this shop file has 2 events" in text
            assert "To accept it as it is, remove" in text
            # The backup that is due besides does not hide it, and is told behind it.
            assert text.index("this shop file has 2 events") < text.index(DUE)


async def test_opened_at_a_job_it_is_said_there(older: Path) -> None:
    with Shop.open(older) as shop:
        app = app_on(Session(shop, TickingClock(), Person("Ida Weld")), "H-014")
        async with app.run_test(size=SIZE) as pilot:
            await pilot.pause()
            assert "! this shop file has 2 events" in one_line(screen_text(app))
            await press(pilot, "f1")
            assert "this shop file has 2 events" in one_line(screen_text(app))


async def test_a_file_as_it_was_left_is_not_remarked_on(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert "!" not in screen_text(app)
        assert not app.screen.query_one("#remarks").display
        await press(pilot, "question_mark")
        assert "The shop's file" not in screen_text(app)


async def test_a_backup_that_is_due_is_said_on_opening_and_on_the_board(later: Session) -> None:
    app = app_on(later)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert f"! {DUE}" in one_line(screen_text(app))
        assert "! backup is due: ? says more" in screen_text(app)


@pytest.mark.slow
async def test_it_is_said_again_after_a_day_where_nobody_is_disturbed(later: Session) -> None:
    app, day, quiet = app_on(later), HandSeconds(), HandSeconds()
    app.since_reminded, app.idle = Idle((day,)), Idle((quiet,))
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "enter", "enter")
        page = app.screen
        assert isinstance(page, Step)
        assert "H-014" in screen_text(app)
        day.seconds = REMIND_EVERY_S
        page.say("1 reading recorded")
        await pilot.pause(A_TICK)
        assert DUE not in status(app)  # somebody just read that
        quiet.seconds = UNDISTURBED_S
        page.say("outside its limit", alarm=True)
        await pilot.pause(A_TICK)
        assert status(app) == "! outside its limit"
        page.say("seen")
        await pilot.pause(A_TICK)
        assert DUE in status(app)
        page.say("and once a day is enough")
        await pilot.pause(A_TICK)
        assert status(app) == "and once a day is enough"


async def test_it_is_said_again_on_the_board_too(later: Session) -> None:
    app, day = app_on(later), HandSeconds()
    app.since_reminded, app.idle = Idle((day,)), Idle((day,))
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        page = app.screen
        assert isinstance(page, Board)
        page.say("seen")
        day.seconds = REMIND_EVERY_S
        await pilot.pause(A_TICK)
        assert DUE in status(app)


async def test_a_form_is_left_alone(later: Session) -> None:
    app, day = app_on(later), HandSeconds()
    app.since_reminded, app.idle = Idle((day,)), Idle((day,))
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "enter", "enter", "p")
        day.seconds = REMIND_EVERY_S
        await pilot.pause(A_TICK)
        assert DUE not in status(app)


async def test_the_board_bears_the_name_of_the_shop(session: Session) -> None:
    shop = session._shop
    change_setting(shop, TickingClock(), Person("Ida Weld"), "shop name", "Brackets [A36] [/], invented")
    app = app_on(session)
    async with app.run_test(size=SIZE):
        assert "1 job in Brackets [A36] [/], invented" in screen_text(app)


async def test_local_times_typed_into_the_form_are_the_shops(session: Session) -> None:
    change_setting(session._shop, TickingClock(), Person("Ida Weld"), "zone", "Asia/Tokyo")
    requirement = next(s for s in session.job("H-014")["steps"] if s["number"] == 40)["requirements"][0]
    typed_in = {"value": "320 F", "place": "plate", "at": "2026-03-14T16:30"}
    assert session.record("H-014", 40, requirement, typed_in).recorded
    reading = next(s for s in session.job("H-014")["steps"] if s["number"] == 40)["requirements"][0][
        "readings"
    ][0]
    assert (reading["happened_at"], reading["recorded_at"][-6:]) == ("2026-03-14T16:30:00+09:00", "+09:00")


@pytest.mark.slow
async def test_an_emptied_name_is_no_draft(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """After a wrong secret somebody empties the name and leaves: who is proposed comes back, nothing is unrecorded."""
    monkeypatch.setattr(secrets, "USUAL", CHEAP)
    with Shop.open(found_shop(tmp_path / "people.traveler")) as shop:
        session = Session(shop, TickingClock(), Person(WIM))
        app = app_on(session, JOB)
        async with app.run_test(size=SIZE) as pilot:
            await press(pilot, "p")
            await sign_as(pilot, WIM, "not his own")
            assert "wrong secret for Wim Two" in one_line(screen_text(app))
            await empty_the_name(pilot)
            await press(pilot, "escape")
            assert session.drafts == {}
            await press(pilot, "p")
            assert shown_form(app).values()["name"] == WIM
            # Another person's name that was typed is one that was typed.
            await empty_the_name(pilot)
            await press(pilot, *typed(INES), "escape", "p")
            assert shown_form(app).values()["name"] == INES


def shown_form(app: App[Any]) -> Perform:
    assert isinstance(app.screen, Perform)
    return app.screen


async def empty_the_name(pilot: Pilot[Any]) -> None:
    form = shown_form(pilot.app)
    name = next(field for field in form.fields if field.key == "name")
    form.set_focus(name.entry)
    await press(pilot, "ctrl+u")
    assert name.value == ""
