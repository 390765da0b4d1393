"""A screen that nobody uses hides the work, and gives it back to whoever says who they are."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from tui_kit import TickingClock, app_on, one_line, press, screen_text, typed
from tui_people_kit import (
    CHEAP,
    INES,
    JOB,
    SECRETS,
    WIM,
    acts_of,
    commit,
    found_shop,
    set_idle_lock,
    sign_as,
    step,
    type_secret,
)

from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.shop import Shop
from traveler.tui.app import TravelerApp
from traveler.tui.idle import Idle
from traveler.tui.screens.help import Help
from traveler.tui.screens.locked import Locked
from traveler.tui.screens.reading import Reading
from traveler.tui.screens.sign import Perform
from traveler.tui.screens.step import Step
from traveler.tui.session import Session
from traveler.tui.widgets.secret import SecretEntry, SecretField

SIZE = (80, 24)
A_TICK = 1.3
"""Seconds of the test in which the app looks at least once."""


class HandClock:
    """Seconds that go on only when told."""

    def __init__(self) -> None:
        self.seconds = 0.0

    def __call__(self) -> float:
        return self.seconds


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    with Shop.open(found_shop(tmp_path / "people.traveler")) as opened:
        set_idle_lock(opened, "15 min")
        yield opened


def idle_app(shop: Shop, by: str = WIM) -> tuple[TravelerApp, HandClock, Session]:
    session = Session(shop, TickingClock(), Person(by))
    app, clock = app_on(session, JOB), HandClock()
    app.idle = Idle((clock,))
    return app, clock, session


def test_of_two_clocks_the_one_that_went_further_counts() -> None:
    awake, of_day = HandClock(), HandClock()
    idle = Idle((awake, of_day))
    of_day.seconds = 900.0  # the machine slept, or somebody set the clock
    assert idle.seconds == 900.0
    idle.heard()
    awake.seconds, of_day.seconds = 60.0, 0.0  # set back
    assert idle.seconds == 60.0


@pytest.mark.slow
async def test_the_work_is_hidden_until_somebody_gives_their_secret(shop: Shop) -> None:
    app, clock, session = idle_app(shop)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "r", *typed("298 F"), "tab", *typed("plate"))
        clock.seconds += 899.0
        await pilot.pause(A_TICK)
        assert isinstance(app.screen, Reading)
        # Any key begins the time anew.
        await press(pilot, "tab")
        clock.seconds += 899.0
        await pilot.pause(A_TICK)
        assert isinstance(app.screen, Reading)
        clock.seconds += 1.0
        await pilot.pause(A_TICK)
        assert isinstance(app.screen, Locked)
        text = screen_text(app)
        assert "No key for 15 minutes." in text
        for hidden in (JOB, "298", "plate", "preheat", "bracket"):
            assert hidden not in text
        # No other way back, whatever is pressed.
        await press(pilot, "escape", "q", "ctrl+c", "f10")
        assert isinstance(app.screen, Locked)
        assert "! this name is not in the register" in screen_text(app)
        await sign_as(pilot, WIM, "welder 4712")
        assert isinstance(app.screen, Locked)
        assert "! wrong secret for Wim Two" in screen_text(app)
        await type_secret(pilot, SECRETS[WIM])
        await commit(pilot)
        form = app.screen
        assert isinstance(form, Reading)
        assert form.values()["value"] == "298 F"
        assert "Wim Two goes on" in screen_text(app)
        await press(pilot, "f10")
        assert isinstance(app.screen, Step)
    (refused,) = acts_of(shop, "shop", "signing refused")
    assert refused["act"]["as"] == "go on at the keyboard"
    assert step(session, 40)["requirements"][0]["readings"][0]["by"]["person"] == "P2"


@pytest.mark.slow
async def test_whoever_goes_on_is_the_person_at_the_keyboard_from_then_on(shop: Shop) -> None:
    app, clock, session = idle_app(shop)
    async with app.run_test(size=SIZE) as pilot:
        clock.seconds += 901.0
        await pilot.pause(A_TICK)
        assert isinstance(app.screen, Locked)
        assert app.screen.values()["name"] == WIM
        await sign_as(pilot, INES)
        assert isinstance(app.screen, Step)
        await press(pilot, "q", "q")
        assert "Ines Okafor (P3), inspector" in one_line(screen_text(app))
    assert session.keyboard.person.id == "P3"


@pytest.mark.slow
async def test_a_half_typed_secret_is_gone_and_the_help_is_hidden_too(shop: Shop) -> None:
    app, clock, session = idle_app(shop)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "p")
        form = app.screen
        assert isinstance(form, Perform)
        await type_secret(pilot, "weld")
        clock.seconds += 901.0
        await pilot.pause(A_TICK)
        assert isinstance(app.screen, Locked)
        assert len(form.query_one(SecretEntry).letters) == 0
        # Left alone again with a secret half typed: it goes as well.
        app.screen.set_focus(app.screen.query_one(SecretEntry))
        await type_secret(pilot, "weld")
        clock.seconds += 901.0
        await pilot.pause(A_TICK)
        assert [type(screen) for screen in app.screen_stack].count(Locked) == 1
        assert len(app.screen.query_one(SecretEntry).letters) == 0
        # The help over it leads back to it, and it does not lock what is locked.
        await press(pilot, "f1")
        assert isinstance(app.screen, Help)
        clock.seconds += 901.0
        await pilot.pause(A_TICK)
        await press(pilot, "q")
        assert isinstance(app.screen, Locked)
        await type_secret(pilot, SECRETS[WIM])
        await commit(pilot)
        assert app.screen is form
        assert form.values() == {"name": WIM, "with": "", "secret": ""}
    assert session.drafts == {}


@pytest.mark.slow
async def test_it_never_locks_unless_the_shop_says_so(shop: Shop) -> None:
    set_idle_lock(shop, "never")
    app, clock, _ = idle_app(shop)
    async with app.run_test(size=SIZE) as pilot:
        clock.seconds += 1e6
        await pilot.pause(A_TICK)
        assert isinstance(app.screen, Step)
        # What another program sets counts at once.
        with Shop.open(shop.path) as other:
            set_idle_lock(other, "1 min")
        await pilot.pause(A_TICK)
        assert isinstance(app.screen, Locked)
        assert "No key for 1 minute." in screen_text(app)


async def test_nobody_from_outside_the_register_goes_on_where_people_have_secrets(shop: Shop) -> None:
    app, clock, _ = idle_app(shop, "Bench 2")
    async with app.run_test(size=SIZE) as pilot:
        clock.seconds += 901.0
        await pilot.pause(A_TICK)
        await press(pilot, *typed("Bench 2"), "f10")
        assert isinstance(app.screen, Locked)
        assert "! this name is not in the register of people" in one_line(screen_text(app))
        await press(pilot, "ctrl+q")
    assert app.return_value == 0


@pytest.mark.slow
async def test_where_nobody_has_a_secret_a_name_is_enough(tmp_path: Path) -> None:
    with Shop.open(found_shop(tmp_path / "open.traveler", with_secrets=False)) as shop:
        set_idle_lock(shop, "2 min", with_secrets=False)
        app, clock, session = idle_app(shop)
        async with app.run_test(size=(40, 12)) as pilot:
            clock.seconds += 121.0
            await pilot.pause(A_TICK)
            assert isinstance(app.screen, Locked)
            await pilot.pause()
            assert not app.screen.query(SecretField)
            assert "F10 Go on" in screen_text(app)
            await press(pilot, "ctrl+u", *typed("Bench 2"), "f10")
            assert isinstance(app.screen, Step)
        assert session.person == Person("Bench 2")
