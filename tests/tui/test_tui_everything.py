"""The list of everything: what can be done here, why the rest cannot, found by letters, done by a digit or Enter."""

import pytest
from tui_kit import app_on, one_line, press, screen_text, typed

from traveler.tui.screens.everything import Everything
from traveler.tui.screens.help import Help
from traveler.tui.screens.job import Job
from traveler.tui.screens.reading import Reading
from traveler.tui.screens.sign import Perform
from traveler.tui.screens.step import Step
from traveler.tui.screens.working import Working
from traveler.tui.session import Session

pytestmark = pytest.mark.slow


async def test_it_lists_what_can_be_done_then_what_cannot_with_the_reason(session: Session) -> None:
    app = app_on(session, "H-014")
    async with app.run_test(size=(80, 260)) as pilot:
        await press(pilot, "escape", "down", "enter", "f2")
        text = one_line(screen_text(app))
    assert "1 Enter or r Record a reading of the requirement" in text
    first, second = text.index("Sign the step as performed"), text.index("(a) Sign the step as accepted")
    assert first < second
    assert "waits for preheat temperature not shown" in text
    assert "not here, on: Hold and witness points" in text
    assert "Move up" not in text


async def test_letters_find_and_enter_does_it(session: Session) -> None:
    app = app_on(session, "H-014")
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "escape", "down", "enter", "f2", *"working", "enter")
        assert isinstance(app.screen, Working)
        await press(pilot, "q", "f2", "3")
        assert isinstance(app.screen, Perform)


async def test_a_burst_goes_on_in_the_form_that_it_opens(session: Session) -> None:
    app = app_on(session, "H-014")
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "escape", "down", "enter")
        await pilot.press("f2", *"record a", "enter", *"312")
        assert isinstance(app.screen, Reading)
        assert app.screen.values()["value"] == "312"


async def test_what_cannot_be_done_says_why_and_stays(session: Session) -> None:
    app = app_on(session, "H-014")
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "escape", "down", "enter", "f2", *"accepted", "enter")
        assert isinstance(app.screen, Everything)
        assert "waits for preheat temperature not shown" in one_line(screen_text(app))
        await press(pilot, *(["backspace"] * 8), *"zzz", "enter")
        assert isinstance(app.screen, Everything)
        assert "nothing has these letters" in screen_text(app)
        await press(pilot, "escape")
        assert isinstance(app.screen, Step)


@pytest.mark.parametrize("size", [(80, 24), (40, 12)])
async def test_above_a_form_nothing_typed_is_lost(session: Session, size: tuple[int, int]) -> None:
    app = app_on(session, "H-014")
    async with app.run_test(size=size) as pilot:
        await press(pilot, "escape", "down", "enter", "enter", *typed("31"), "f2")
        assert isinstance(app.screen, Everything)
        assert "Find:" in screen_text(app)
        await press(pilot, "escape", *typed("2 F"))
        assert isinstance(app.screen, Reading)
        assert app.screen.values()["value"] == "312 F"
        await press(pilot, "f2", *"help", "enter")
        assert isinstance(app.screen, Help)
        await press(pilot, "escape", "f2", *"record", "enter")
        assert isinstance(app.screen, Step)
        assert "reading 1 recorded" in one_line(screen_text(app))


async def test_it_leads_back_and_closes_on_its_own_key(session: Session) -> None:
    app = app_on(session, "H-014")
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "f2", "f1")
        assert isinstance(app.screen, Help)
        await press(pilot, "escape", "escape", "f2", *"back to", "enter")
        assert isinstance(app.screen, Job)


@pytest.mark.parametrize("over", ["f1", "f2"])
async def test_leaving_from_above_a_form_asks_about_what_was_typed_in_it(session: Session, over: str) -> None:
    app = app_on(session, "H-014")
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "escape", "down", "enter", "enter", *typed("31"), over, "ctrl+q")
        assert app.is_running
        assert "something you typed is not recorded" in one_line(screen_text(app))
        await press(pilot, "ctrl+q")
    assert app.return_value == 0


async def test_on_the_board_it_names_what_other_screens_do(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "f2", *"release hold", "enter")
        assert isinstance(app.screen, Everything)
        assert "not here, on: Hold and witness points" in one_line(screen_text(app))
