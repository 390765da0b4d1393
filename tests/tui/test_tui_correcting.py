"""Correcting a reading that somebody signed over is signed in the app as well."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from tui_kit import TickingClock, app_on, one_line, press, screen_text, typed
from tui_people_kit import CHEAP, INES, JOB, WIM, found_shop, preheated, secret, sign_as

from traveler.acts.change import load_job
from traveler.acts.sign import perform
from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.shop import Shop
from traveler.tui.screens.act import ActForm
from traveler.tui.screens.correct import Correct
from traveler.tui.session import Session

SIZE = (80, 24)


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    with Shop.open(found_shop(tmp_path / "people.traveler")) as opened:
        preheated(Session(opened, TickingClock(), Person(WIM)))
        yield opened


async def test_before_it_is_signed_over_an_entry_is_corrected_as_stated(shop: Shop) -> None:
    app = app_on(Session(shop, TickingClock(), Person(WIM)), JOB)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        await press(pilot, "c")
        assert isinstance(app.screen, Correct)


@pytest.mark.slow
async def test_once_it_is_signed_over_another_person_corrects_it_by_their_secret(shop: Shop) -> None:
    perform(shop, TickingClock(), Person(WIM), JOB, 40, secret=secret(WIM))
    app = app_on(Session(shop, TickingClock(), Person(WIM)), JOB)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        await press(pilot, "c")
        assert isinstance(app.screen, ActForm)
        text = one_line(screen_text(app))
        assert "I correct this entry; the wrong one stays on record" in text
        await press(pilot, "tab", *typed("333 F"), "tab", *typed("misread"), "tab", "tab")
        await sign_as(pilot, WIM)
        assert "another person must correct it" in one_line(screen_text(app))
        assert not any(reading.superseded for reading in load_job(shop, JOB).readings)
        await press(pilot, "shift+tab")
        await sign_as(pilot, INES)
        latest = load_job(shop, JOB).readings[-1]
        assert (latest.typed, latest.by.name, latest.by.how) == ("333 F", INES, "signed")
