"""Who reads at a bench that several share: in view, and another one of the register by a digit."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from tui_kit import TickingClock, app_on, one_line, press, screen_text
from tui_people_kit import CHEAP, JOB, OLGA, WIM, found_shop, step

from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.shop import Shop
from traveler.tui.screens.bench import Bench
from traveler.tui.session import Session

PREHEAT = 40


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    """Secrets cost no time."""
    monkeypatch.setattr(secrets, "USUAL", CHEAP)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """A shop of five people with secrets."""
    with Shop.open(found_shop(tmp_path / "people.traveler")) as opened:
        yield opened


@pytest.mark.parametrize(("size", "wim", "olga"), [((80, 24), WIM, OLGA), ((40, 12), "P2", "P1")])
async def test_who_reads_is_in_view_and_another_takes_over_by_digits(
    shop: Shop, size: tuple[int, int], wim: str, olga: str
) -> None:
    session = Session(shop, TickingClock(), Person(WIM))
    app = app_on(session)
    async with app.run_test(size=size) as pilot:
        await app.push_screen(Bench(session, JOB, PREHEAT))
        await press(pilot, "1", "enter")  # with which instrument
        assert wim in screen_text(app)
        await press(pilot, *"330", "enter", "1", "enter")
        await press(pilot, "enter", "8", "enter")
        assert "Who is at the bench?" in screen_text(app)
        assert f"1 {WIM}, welder" in one_line(screen_text(app))
        await press(pilot, "9", "enter")
        assert "there is no 9; expected 1 to 5" in one_line(screen_text(app))
        await press(pilot, "2", "enter")
        assert olga in screen_text(app).splitlines()[0 if size[1] < 24 else 4]
        await press(pilot, *"340", "enter", "2", "enter")
    readings = step(session, PREHEAT)["requirements"][0]["readings"]
    assert [reading["by"]["name"] for reading in readings] == [WIM, OLGA]


async def test_a_name_that_the_register_does_not_know_is_said_to_be_none_of_it(shop: Shop) -> None:
    session = Session(shop, TickingClock(), Person("Bench 2"))
    app = app_on(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await app.push_screen(Bench(session, JOB, PREHEAT))
        await press(pilot, "1", "enter")
        assert "by Bench 2: not in the register" in one_line(screen_text(app))


async def test_where_nobody_is_registered_nobody_is_offered(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await app.push_screen(Bench(session, "H-014", 40))
        await press(pilot, "enter", "8", "enter")
        assert "8 is not offered now" in one_line(screen_text(app))
