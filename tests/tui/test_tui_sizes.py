"""From a phone to a wide window: the reason and the key that commits stay in view, nothing typed is lost."""

import pytest
from tui_kit import accept_step, app_on, one_line, press, screen_text, typed

from traveler.tui.screens.reading import Reading
from traveler.tui.screens.step import Step
from traveler.tui.session import Session


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (80, 23), (60, 20), (40, 12), (120, 40)])
async def test_the_reason_and_the_committing_key_are_in_view(session: Session, size: tuple[int, int]) -> None:
    accept_step(session, "H-014", 10)
    app = app_on(session, "H-014")
    async with app.run_test(size=size) as pilot:
        assert isinstance(app.screen, Step)
        text = one_line(screen_text(app))
        assert "Acceptance waits for: preheat temperature not shown: 2 readings needed" in text
        assert "- not shown" in text
        assert "Enter Record" in text
        await press(pilot, "enter", *typed("300"), "f10")
        text = one_line(screen_text(app))
        assert "F10 Record" in text
        assert "at least 300 °F (148.9 °C)" in text
        assert "the unit is missing" in text
        await press(pilot, "escape", "p", "end", *typed(" B"))
        text = one_line(screen_text(app))
        assert "F10 Sign as performed" in text
        assert "Ida Weld B" in text
        assert "2 readings needed" in text


@pytest.mark.slow
async def test_a_wide_window_shows_list_and_details_side_by_side(session: Session) -> None:
    app = app_on(session, "H-014")
    async with app.run_test(size=(120, 40)) as pilot:
        await press(pilot, "escape", "down", "enter")
        first = next(line for line in screen_text(app).splitlines() if "not shown" in line)
        assert "Limit:" in first


async def test_a_high_window_shows_the_step_at_hand_beneath_the_steps_and_pages_through_it(
    session: Session,
) -> None:
    app = app_on(session)
    async with app.run_test(size=(100, 28)) as pilot:
        await press(pilot, "enter", "down")
        assert "not shown: preheat temperature, at least 300 °F" in screen_text(app)
        assert "Waits for: not yet signed as performed" not in screen_text(app)
        await press(pilot, "pagedown")
        assert "Waits for: not yet signed as performed" in screen_text(app)
        await press(pilot, "up")
        assert "not shown: preheat temperature" not in screen_text(app), (
            "the details are those of the step before"
        )


@pytest.mark.slow
async def test_a_form_half_filled_survives_any_resize(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "enter", "down", "enter", "enter", *typed("31"))
        for width, height in ((40, 12), (1, 1), (120, 40), (80, 24)):
            await pilot.resize_terminal(width, height)
            await pilot.pause()
        await press(pilot, *typed("2 F"))
        assert isinstance(app.screen, Reading)
        assert app.screen.values()["value"] == "312 F"
        assert "312 F" in screen_text(app)


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (80, 23)])
async def test_no_horizontal_bar_and_no_line_beyond_the_width(
    session: Session, size: tuple[int, int]
) -> None:
    app = app_on(session)
    async with app.run_test(size=size) as pilot:
        for keys in ([], ["enter"], ["down", "enter"], ["w"], ["q", "enter"], ["escape", "p"]):
            await press(pilot, *keys)
            assert not any(widget.show_horizontal_scrollbar for widget in app.screen.query("*"))
            assert all(len(line) <= size[0] for line in screen_text(app).splitlines())
