"""By when the arc must start after a preheat reading: never later than the metal stays hot."""

import re
from datetime import datetime, timedelta

import pytest
from tui_kit import accept_step, app_on, one_line, press, screen_text, typed

from traveler.library.load import load_library
from traveler.metals.arc_clock import preheat_stays_good_s
from traveler.tui.arc_wording import GOOD_FOR_AT_C, seconds_left
from traveler.tui.session import Session


def left(reading_c: float, minimum_c: float, good_for_s: int) -> int:
    return seconds_left(
        {"value": f"{reading_c:.2f}", "unit": "degC"},
        {"value": f"{minimum_c:.2f}", "unit": "degC"},
        good_for_s,
    )


def test_the_convention_is_that_of_the_planner() -> None:
    printed = load_library().printed["arc clock above minimum"]
    assert {float(printed.for_units(units).canonical) for units in ("inch", "metric")} == {GOOD_FOR_AT_C}


@pytest.mark.parametrize("thickness_mm", [1.5, 3.05, 6.35, 25.4])
@pytest.mark.parametrize("radius_mm", [None, 25.0, 75.0])
@pytest.mark.parametrize("minimum_c", [66.0, 148.9, 260.0])
def test_a_share_of_the_time_is_never_longer_than_the_metal_stays_hot(
    thickness_mm: float, radius_mm: float | None, minimum_c: float
) -> None:
    # Cooling by free convection, radiation and conduction, tests/metals/test_preheat_loss.py.
    def good_s(above_c: float) -> float:
        value = preheat_stays_good_s(minimum_c + above_c, minimum_c, thickness_mm, radius_mm).value
        assert value is not None
        return value

    good_for_s = int(good_s(GOOD_FOR_AT_C) // 5) * 5
    for above_c in (1, 3, 6.7, 12, 20, 25, 40, 100):
        assert left(minimum_c + above_c, minimum_c, good_for_s) <= good_s(above_c)
    assert left(minimum_c, minimum_c, good_for_s) == 0
    assert left(minimum_c + GOOD_FOR_AT_C, minimum_c, good_for_s) == good_for_s


async def test_on_a_phone_it_stands_before_the_signatures(session: Session) -> None:
    accept_step(session, "H-014", 10)
    requirement = session.job("H-014")["steps"][1]["requirements"][0]
    for place in ("plate", "rail"):
        session.record("H-014", 40, requirement, {"value": "345 F", "place": place})
    app = app_on(session, "H-014")
    async with app.run_test(size=(40, 12)) as pilot:
        await pilot.pause()
        text = one_line(screen_text(app))
        assert "40 s after reading 3, or read again." in text
        assert "Performed: not signed" in text
        assert "Enter Record" in text


@pytest.mark.slow
async def test_after_the_last_complying_reading_the_step_says_by_when(session: Session) -> None:
    accept_step(session, "H-014", 10)
    app = app_on(session, "H-014")
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "enter", *typed("345 F"), "tab", *typed("plate"), "f10")
        assert "Start the arc" not in screen_text(app)  # one of two readings
        assert "stays good for about 40 s where it is 25 C° (45 F°) above" in one_line(
            await details(pilot, app)
        )
        await press(pilot, "enter", *typed("345 F"), "tab", *typed("rail"), "f10")
        text = one_line(screen_text(app))
        reading = session.job("H-014")["steps"][1]["requirements"][0]["readings"][-1]
        taken = datetime.fromisoformat(reading["happened_at"])
        by = (taken + timedelta(seconds=40)).strftime("%H:%M:%S")
        assert (
            f"Start the arc by {by} +00:00, 40 s after reading {reading['reading']}, or read again." in text
        )
        await press(pilot, "p", "f10", "a", *typed("Otto Plan"), "f10", "up", "enter")
        assert "+ accepted" in screen_text(app)
        assert "Start the arc" not in screen_text(app)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("value", "words"), [("312 F", "10 s after reading"), ("300 F", "at once or read again")]
)
async def test_a_reading_near_the_minimum_is_good_for_less(session: Session, value: str, words: str) -> None:
    accept_step(session, "H-014", 10)
    app = app_on(session, "H-014")
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "enter", *typed("345 F"), "tab", *typed("plate"), "f10")
        await press(pilot, "enter", *typed(value), "tab", *typed("rail"), "f10")
        assert words in one_line(screen_text(app))


async def test_a_reading_taken_back_no_longer_counts(session: Session) -> None:
    accept_step(session, "H-014", 10)
    requirement = session.job("H-014")["steps"][1]["requirements"][0]
    for place, value in (("plate", "345 F"), ("rail", "345 F"), ("rail, end", "400 F")):
        session.record("H-014", 40, requirement, {"value": value, "place": place})
    session.supersede("H-014", 4, {"value": "", "because": "wrong job"})
    app = app_on(session, "H-014")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        found = re.search(r"40 s after reading (\d+),", one_line(screen_text(app)))
        assert found
        assert found[1] == "3"


async def details(pilot, app) -> str:
    """The details beneath the requirement, paged to their end."""
    seen = []
    for _ in range(6):
        seen.append(screen_text(app))
        await press(pilot, "pagedown")
    return "\n".join(seen)
