"""Forms: faults stand beneath their fields, nothing typed is lost, and what can hardly be meant is asked twice."""

from pathlib import Path

import pytest
from textual.widgets import Input
from tui_kit import ROUTE, accept_step, app_on, one_line, press, put, screen_text, sign, typed

from traveler.record.shop import Shop
from traveler.tui.screens.board import Board
from traveler.tui.screens.help import Help
from traveler.tui.screens.reading import Reading
from traveler.tui.screens.sign import Accept
from traveler.tui.screens.step import Step
from traveler.tui.session import Session
from traveler.tui.signed_act import perform_step
from traveler.tui.widgets.field import Choices

SIZE = (80, 24)
TO_PREHEAT = ("enter", "down", "enter", "enter")


async def test_a_value_without_its_unit_is_refused_beneath_its_field_and_the_focus_goes_there(
    session: Session,
) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, *TO_PREHEAT, *typed("300"), "tab", *typed("plate"), "f10")
        assert isinstance(app.screen, Reading)
        assert "! 300: the unit is missing; expected a temperature such as 300 F" in one_line(
            screen_text(app)
        )
        assert app.screen.focused is app.screen.fields[0].query_one(Input)
        await press(pilot, *typed(" F"), "f10")
        assert isinstance(app.screen, Step)
        assert "300 °F (148.9 °C): within its limit" in one_line(screen_text(app))
    assert session.job("H-014")["steps"][1]["requirements"][0]["readings"][0]["place"] == "plate"


@pytest.mark.slow
async def test_a_time_that_is_none_is_refused_beneath_its_own_field(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, *TO_PREHEAT, *typed("300 F"), "tab", "tab", "tab", *typed("noon"), "f10")
        text = screen_text(app)
        assert '! "noon" is no time' in text
        assert text.index("When") < text.index('! "noon"')
        assert app.screen.focused is app.screen.fields[3].query_one(Input)
    assert session.job("H-014")["events"] == 1


async def test_enter_goes_on_to_the_next_field_and_records_nothing(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await press(
            pilot, *TO_PREHEAT, *typed("300 F"), "enter", *typed("rail"), "enter", "enter", "enter", "enter"
        )
        form = app.screen
        assert isinstance(form, Reading)
        assert form.values() == {"value": "300 F", "place": "rail", "instrument": "", "at": ""}
        await press(pilot, "shift+tab")
        assert form.focused is form.fields[2].query_one(Input)
    assert session.job("H-014")["events"] == 1


async def test_escape_keeps_what_was_typed_and_says_so(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, *TO_PREHEAT, *typed("298 F"), "tab", *typed("plate"), "escape")
        assert isinstance(app.screen, Step)
        assert "what you typed is kept" in screen_text(app)
        await press(pilot, "r")
        form = app.screen
        assert isinstance(form, Reading)
        assert form.values()["value"] == "298 F"
        assert form.values()["place"] == "plate"
        assert "not recorded yet" in screen_text(app)
        # Leaving the program asks once.
        await press(pilot, "ctrl+q")
        assert app.is_running
        assert "not recorded; press the key again" in one_line(screen_text(app))
        await press(pilot, "f10")
        assert session.drafts == {}
    assert len(session.job("H-014")["steps"][1]["requirements"][0]["readings"]) == 1


async def test_a_temperature_that_can_hardly_be_meant_is_asked_about_twice(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, *TO_PREHEAT, *typed("300305 F"), "f10")
        assert "is that meant?" in one_line(screen_text(app))
        assert session.job("H-014")["events"] == 1
        # Another value is another question.
        await press(pilot, "ctrl+u", *typed("-40 C"), "f10")
        assert "-40 °C (-40.0 °F), is that meant?" in one_line(screen_text(app))
        assert session.job("H-014")["events"] == 1
        await press(pilot, "f10")
        assert isinstance(app.screen, Step)
    assert session.job("H-014")["events"] == 2


async def test_a_run_that_would_be_laid_without_its_temperature_is_asked_about(
    session: Session, shop_path: Path
) -> None:
    """What is recorded after a run is no evidence of the metal before it: this is the last moment to say so."""
    with Shop.open(shop_path) as shop:
        put(shop, ROUTE)
    weld = next(step for step in session.job("H-015")["steps"] if step["kind"] == "weld")
    energy, interpass = (
        next(r for r in weld["requirements"] if r["quantity"] == quantity)
        for quantity in ("arc energy", "interpass temperature")
    )
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await app.push_screen(Reading(session, "H-015", weld["number"], energy))
        await press(pilot, *typed("1.0 kJ/mm"), "f10")
        assert "! run 1: no interpass temperature recorded before the run: record that first" in one_line(
            screen_text(app)
        )
        assert session.job("H-015")["events"] == 1
        assert session.record("H-015", weld["number"], interpass, {"value": "320 F", "place": "J1"}).recorded
        await press(pilot, "f10")
        assert session.job("H-015")["events"] == 3
        # The next one again, and who commits twice means it.
        await app.push_screen(Reading(session, "H-015", weld["number"], energy))
        await press(pilot, *typed("1.0 kJ/mm"), "f10")
        assert "run 2: no interpass temperature recorded before the run" in one_line(screen_text(app))
        await press(pilot, "f10")
        assert session.job("H-015")["events"] == 4
        # So it is where the run is named; more of one that is laid changes nothing, and is recorded at once.
        for run, asked in (("3", True), ("1", False)):
            await app.push_screen(Reading(session, "H-015", weld["number"], energy))
            await press(pilot, *typed("1.0 kJ/mm"), "tab", "tab", *typed(run), "f10")
            assert isinstance(app.screen, Reading) is asked
            assert (f"run {run}: no interpass" in one_line(screen_text(app))) is asked
            await press(pilot, *["f10"] * asked)
    assert session.job("H-015")["events"] == 6


async def test_a_choice_is_taken_by_its_digit_or_by_the_arrows(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "enter", "enter", "enter", "f10")
        assert isinstance(app.screen, Reading)
        assert "nothing was entered" in screen_text(app)
        await press(pilot, "2")
        assert "> 2 no" in screen_text(app)
        await press(pilot, "up")
        assert "> 1 yes" in screen_text(app)
        await press(pilot, "9", "7")
        assert app.screen.query_one(Choices).chosen == 0
        await press(pilot, "f10")
        assert isinstance(app.screen, Step)
        assert "+ met" in screen_text(app)


@pytest.mark.slow
async def test_taking_a_reading_back_needs_a_reason_and_a_second_key_press(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await press(
            pilot, *TO_PREHEAT, *typed("312 F"), "f10", "c", "tab", "tab", *typed("wrong part"), "f10"
        )
        assert "reading 1 is taken back; commit again" in one_line(screen_text(app))
        await press(pilot, "f10")
        assert "Reading 1 (retracted: wrong part)" in one_line(screen_text(app))


@pytest.mark.slow
async def test_a_correction_without_its_reason_is_refused(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, *TO_PREHEAT, *typed("312 F"), "f10", "c", "tab", *typed("302 F"), "f10")
        assert "! a reason is needed" in one_line(screen_text(app))
        await press(pilot, "shift+tab", "shift+tab", "ctrl+u", "7", "f10")
        assert "expected the number of a reading listed above" in one_line(screen_text(app))
    assert session.job("H-014")["events"] == 2


async def test_an_acceptance_is_refused_as_stale_where_the_step_has_changed_since_it_was_shown(
    session: Session,
) -> None:
    accept_step(session, "H-014", 10)
    app = app_on(session, "H-014")
    async with app.run_test(size=SIZE) as pilot:
        step = app.screen
        assert isinstance(step, Step)
        requirement = step.step["requirements"][0]
        for place in ("plate", "rail"):
            session.record("H-014", 40, requirement, {"value": "300 F", "place": place})
        sign(session, "H-014", 40, perform_step(40, "preheat"), "Ida Weld")
        step.look_again()
        await press(pilot, "a", *typed("Otto"))
        assert isinstance(app.screen, Accept)
        session.record("H-014", 40, requirement, {"value": "330 F", "place": "rail"})
        await press(pilot, "f10")
        assert isinstance(app.screen, Accept)
        text = one_line(screen_text(app))
        assert "! changed by Ida Weld at 2026-03-14" in text
        assert "look again" in text
        # What stands there now is shown; signed again, it is that.
        assert "330 °F" in text
        await press(pilot, "f10")
        assert session.job("H-014")["steps"][1]["state"] == "accepted"


async def test_help_opens_from_a_form_and_gives_the_form_back_as_it_was(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, *TO_PREHEAT, *typed("30"), "f1")
        assert isinstance(app.screen, Help)
        assert "Keys and words" in screen_text(app)
        await press(pilot, "q", *typed("1 F"))
        assert isinstance(app.screen, Reading)
        assert app.screen.values()["value"] == "301 F"


@pytest.mark.slow
async def test_letters_are_text_in_a_field(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, *TO_PREHEAT, "tab", *"qxrctwpa?")
        assert isinstance(app.screen, Reading)
        assert app.screen.values()["place"] == "qxrctwpa?"
        await press(pilot, "escape", "q", "q")
        assert isinstance(app.screen, Board)
