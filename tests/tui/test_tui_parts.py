"""Parts in the app: each act by its form, what is due, and the page of a part's life."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from closed_kit import BY, IDA, build_with_part
from shop_copies import copied
from textual.pilot import Pilot
from tui_kit import TickingClock, app_on, one_line, press, screen_text, typed

from traveler.acts.parts import Amount, crash, install, register_part, set_interval
from traveler.acts.parts_look import one_part, part_objects
from traveler.record.shop import Shop
from traveler.tui.screens.parts import FindPart, Parts
from traveler.tui.screens.register_form import RegisterForm
from traveler.tui.session import Session

SIZE = (80, 24)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    path = tmp_path / "parts.traveler"
    copied(path, build_with_part)
    with Shop.open(path) as opened:
        yield opened


@pytest.fixture
def session(shop: Shop) -> Session:
    return Session(shop, TickingClock(), IDA)


def part(shop: Shop) -> dict[str, Any]:
    return one_part(shop, TickingClock(), "RU-7")


def last(shop: Shop) -> str:
    return str(part(shop)["history"][-1]["what"])


async def fill(pilot: Pilot[Any], *values: str) -> None:
    """Fields from the first on, then the key that records. A digit by itself takes that option."""
    for value in values:
        await (pilot.press(value) if len(value) == 1 else press(pilot, *typed(value)))
        await pilot.press("tab")
    await pilot.press("f10")
    await pilot.pause()


@pytest.mark.slow
async def test_from_an_interval_to_an_inspection_that_is_due(shop: Shop, session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await app.push_screen(Parts(session))
        assert "~ no interval" in screen_text(app)
        await press(pilot, "e")
        await fill(pilot, "10", "40 h", "", "12", "half of what the rules allow")
        text = one_line(screen_text(app))
        assert "+ fit" in text
        assert "to be inspected every 10 events, 40 h, 12 months, by 2027-03-14 at the latest" in text
        await press(pilot, "i")
        await fill(pilot, "car 7")
        assert part(shop)["car"] == "car 7"
        await press(pilot, "d")
        await fill(pilot, "two days of testing", "2", "39.5 h", "")
        assert "hours: 39.5 h of 40 h, 0.5 h left" in one_line(screen_text(app))
        assert part(shop)["nearest"] == "0.5 h left of 40 h"
        await press(pilot, "d")
        await fill(pilot, "a morning", "1", "0.5 h", "")
        text = one_line(screen_text(app))
        assert "! due" in text
        assert "40 h of 40 h since 2026-03-14" in text
        await press(pilot, "s")
        await fill(pilot, "dye penetrant, no indications", "1", "38.1 mm")
        assert part(shop)["state"] == "fit"
        assert part(shop)["measured"][0]["words"] == "D1 38.1 mm, as built 37.7 mm: +0.4 mm"


async def test_what_the_interval_counts_has_to_be_said(shop: Shop, session: Session) -> None:
    amount = Amount(hours="40 h")
    assert set_interval(shop, TickingClock(), BY, "RU-7", amount, "rule").recorded
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await app.push_screen(Parts(session))
        await press(pilot, "d")
        await fill(pilot, "a race", "2")
        assert isinstance(app.screen, RegisterForm)
        assert "the part is inspected by hours: say how many, 0 h for none" in one_line(screen_text(app))
        assert last(shop).startswith("inspection every")


@pytest.mark.slow
async def test_a_crash_an_odd_size_and_the_end_of_a_part(shop: Shop, session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await app.push_screen(Parts(session))
        await press(pilot, "c")
        await fill(pilot, "hit the wall")
        assert "! inspect now" in screen_text(app)
        await press(pilot, "s")
        await fill(pilot, "bent", "2", "12 mm")
        assert "12 mm is far from 37.7 mm as built" in one_line(screen_text(app))
        assert last(shop) == "crash: hit the wall"
        await press(pilot, "f10")
        assert last(shop) == "inspected, not fit: bent; D1 12 mm, as built 37.7 mm: -25.7 mm"
        await press(pilot, "x")
        await fill(pilot, "bent beyond repair")
        assert "- withdrawn" in screen_text(app)
        await press(pilot, "s")
        assert "RU-7 is withdrawn" in one_line(screen_text(app))


async def test_a_serial_is_given_once_the_job_is_closed(shop: Shop, session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await app.push_screen(Parts(session))
        await press(pilot, "n")
        await fill(pilot, "A-102", "RU-8")
        assert "job A-102 is not closed" in one_line(screen_text(app))
        assert len(part_objects(shop, TickingClock())) == 1


async def test_parts_are_found_and_their_lives_read(shop: Shop, session: Session) -> None:
    clock = TickingClock()
    assert register_part(shop, clock, BY, "A-101", "RU-[8]").recorded
    assert install(shop, clock, BY, "RU-[8]", "car 9").recorded
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await app.push_screen(Parts(session))
        await press(pilot, "slash")
        assert isinstance(app.screen, FindPart)
        await fill(pilot, "car 9 link")
        text = screen_text(app)
        assert 'found "car 9 link": 1 part' in text
        assert "RU-7" not in text
        await press(pilot, "enter")
        text = one_line(screen_text(app))
        assert "D1 hole to edge: 37.7 mm" in text
        await press(pilot, "end")
        text = one_line(screen_text(app))
        assert "made in A-101, Link tab, invented: closed" in text
        assert "Spares of the design RU-7: no interval set, on no car, made in A-101" in text
        await press(pilot, "q", "h")
        text = one_line(screen_text(app))
        assert "RU-[8] 2026-03-14 entry 4 installed on car 9 (Ida Weld)" in text
        assert "RU-7 2026-03-14 entry 2 made in job A-101 (Ida Weld)" in text


async def test_what_is_due_of_parts_stands_on_the_board(shop: Shop, session: Session) -> None:
    assert crash(shop, TickingClock(), BY, "RU-7", "hit the wall").recorded
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert "! parts: RU-7 inspect now" in screen_text(app)


async def test_a_wrong_entry_counts_no_more_and_stays(shop: Shop, session: Session) -> None:
    assert crash(shop, TickingClock(), BY, "RU-7", "hit the wall").recorded
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await app.push_screen(Parts(session))
        await press(pilot, "w")
        assert "entry 3 crash: hit the wall" in one_line(screen_text(app))
        await press(pilot, *typed("2"), "tab", *typed("it was another part"), "f10")
        assert "no entry 32" in one_line(screen_text(app))
        await press(pilot, "end", "backspace", "f10")
        await press(pilot, "enter")
        text = one_line(screen_text(app))
        assert "inspect now" not in text
        assert "entry 3 crash: hit the wall (Ida Weld); SUPERSEDED by entry 4: it was another part" in text
