"""The register of people in the app: the first one, the others, secrets and the recovery code, roles, refusals."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from tui_kit import TickingClock, app_on, one_line, press, screen_text, typed
from tui_people_kit import (
    CHEAP,
    EVA,
    INES,
    OLGA,
    SECRETS,
    WIM,
    acts_of,
    commit,
    everything,
    found_shop,
    secret,
    type_secret,
)

from traveler.acts.people_look import look_at_people, look_at_person
from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.secret_table import Accepted, Refused
from traveler.record.secrets import Secret
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop
from traveler.tui.screens.people import People
from traveler.tui.screens.recovery_code import RecoveryCode
from traveler.tui.screens.register_form import RegisterForm
from traveler.tui.screens.registers import Registers
from traveler.tui.session import Session

pytestmark = pytest.mark.slow

SIZE = (80, 24)
NEW = "quite new 77"


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    with Shop.open(found_shop(tmp_path / "people.traveler")) as opened:
        yield opened


@pytest.fixture
def at_olgas(shop: Shop) -> Session:
    return Session(shop, TickingClock(), Person(OLGA))


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Session]:
    with Shop.create(tmp_path / "empty.traveler") as made:
        yield Session(made, TickingClock(), Person("bench"))


async def to_people(pilot: Pilot[Any]) -> None:
    await press(pilot, "r", "down", "down", "down", "down", "enter")
    assert isinstance(pilot.app.screen, People)


def at(pilot: Pilot[Any], person: str) -> None:
    """Put the cursor on somebody by their id."""
    screen = pilot.app.screen
    assert isinstance(screen, People)
    screen.rows.go_to(person)


async def twice(pilot: Pilot[Any], text: str, again: str | None = None) -> None:
    """A new secret and the same once more, from the first of the two fields on."""
    await type_secret(pilot, text)
    await press(pilot, "tab")
    await type_secret(pilot, text if again is None else again)


async def test_a_shop_without_people_says_what_that_means_and_how_to_begin(empty: Session) -> None:
    app = app_on(empty)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "r")
        assert "People nobody: names stand as they are stated" in one_line(screen_text(app))
        await press(pilot, "q")
        await to_people(pilot)
        text = one_line(screen_text(app))
        assert (
            "Nobody is registered: names stand as they are stated, so anybody may sign by any name." in text
        )
        assert "n registers the first person, yourself, as the owner" in text
        await press(pilot, "s")
        assert "Own secret: nothing is listed yet" in screen_text(app)


async def test_the_first_person_registers_themselves_and_the_code_is_shown_once(empty: Session) -> None:
    app = app_on(empty)
    async with app.run_test(size=SIZE) as pilot:
        await to_people(pilot)
        await press(pilot, "n", *typed("Olga [A36] Vance"), "tab", "tab", "tab")
        await twice(pilot, "beam 40x40", "beam 40x41")
        await commit(pilot)
        assert "the two are not the same; type it twice anew" in one_line(screen_text(app))
        await twice(pilot, "12345678")
        await commit(pilot)
        assert "this secret is one of the first that anybody tries" in one_line(screen_text(app))
        assert empty.registers.people() == []
        await twice(pilot, "beam 40x40")
        await commit(pilot)
        page = app.screen
        assert isinstance(page, RecoveryCode)
        code = page.code.reveal()
        assert f"  {code}" in screen_text(app)
        assert "Write this code on paper now. It is shown this once" in one_line(screen_text(app))
        # No key of a list or a form leaves it by accident.
        await press(pilot, "q", "escape", "enter", "n", "space")
        assert app.screen is page
        await press(pilot, "f10")
        assert isinstance(app.screen, People)
        text = screen_text(app)
        assert "P1 Olga [A36] Vance is registered as owner" in text
        assert "1 person, 1 with a secret" in text
        dumped = everything(app, empty)
        assert code not in dumped
        assert "beam 40x40" not in dumped
        await press(pilot, "q", "q")
        # Who registered themselves is at the keyboard.
        assert "Olga [A36] Vance (P1), owner" in screen_text(app)
    assert empty.drafts == {}
    (person,) = look_at_people(empty.registers.shop, TickingClock())
    assert (person["name"], person["roles"], person["secret"], person["recovery_code"]) == (
        "Olga [A36] Vance",
        ["owner"],
        True,
        True,
    )
    assert verify_shop(empty.registers.shop.path).ok


async def test_without_a_secret_the_first_person_is_asked_once_and_sets_it_later(empty: Session) -> None:
    app = app_on(empty)
    async with app.run_test(size=SIZE) as pilot:
        await to_people(pilot)
        await press(pilot, "n", *typed("Olga Vance"), "f10")
        assert "without a secret names stay as they are stated; commit again" in one_line(screen_text(app))
        assert empty.registers.people() == []
        await press(pilot, "f10")
        assert isinstance(app.screen, RecoveryCode)
        await press(pilot, "f10")
        assert "~ as stated  P1 Olga Vance: owner" in screen_text(app)
        # Another one can have no secret before the owner has one: the form asks for none.
        await press(pilot, "n", *typed("Wim Two"), "tab", *typed("welder, no such"), "f10")
        assert '! "no such" is no role; expected some of: owner, welder' in one_line(screen_text(app))
        await press(pilot, "ctrl+u", *typed("welder"), "f10")
        assert "P2 Wim Two is registered as welder" in screen_text(app)
        await press(pilot, "s")
        assert "Wim Two is registered as welder; the first secret of a shop takes owner" in one_line(
            screen_text(app)
        )
        at(pilot, "P1")
        await press(pilot, "s", "tab")
        await twice(pilot, "beam 40x40")
        await commit(pilot)
        assert "the secret of P1 Olga Vance is set" in screen_text(app)
        assert "! no secret  P2 Wim Two: welder" in screen_text(app)


async def test_another_person_takes_the_owners_secret_and_a_wrong_one_is_refused(
    shop: Shop, at_olgas: Session
) -> None:
    app = app_on(at_olgas)
    async with app.run_test(size=SIZE) as pilot:
        await to_people(pilot)
        await press(pilot, "n", *typed("Nora New"), "tab", *typed("welder"), "tab", *typed("141"), "tab")
        await twice(pilot, NEW)
        # What else is wrong is said before a secret is used up.
        await press(pilot, "f10")
        assert '! "141" is no process with its day; expected one such as 141=2026-08-01' in one_line(
            screen_text(app)
        )
        await press(pilot, *typed("=2026-03-01"), "f10")
        assert "it takes the secret of Olga Vance (P1)" in one_line(screen_text(app))
        await type_secret(pilot, "not hers 123")
        await commit(pilot)
        text = one_line(screen_text(app))
        assert "! Nora New is not registered" in text
        assert "! wrong secret for Olga Vance" in text
        assert isinstance(app.screen, RegisterForm)
        dumped = everything(app, at_olgas)
        assert NEW not in dumped
        assert "not hers 123" not in dumped
        await twice(pilot, NEW)
        await press(pilot, "tab", "tab")
        await type_secret(pilot, SECRETS[OLGA])
        await commit(pilot)
        assert "P6 Nora New is registered as welder" in screen_text(app)
        await press(pilot, "enter")
        text = one_line(screen_text(app))
        assert "P6 Nora New: welder" in text
        assert "process 141: good until 2026-09-01" in text
        assert "Olga Vance (P1, signed): registered" in text
        assert "Olga Vance (P1, signed): secret set (reset)" in text
    assert at_olgas.drafts == {}
    assert [entry["act"]["name"] for entry in acts_of(shop, "shop", "signing refused")] == [OLGA]
    assert look_at_person(shop, TickingClock(), "P6")["secret"]


async def test_a_welder_registers_nobody(shop: Shop) -> None:
    session = Session(shop, TickingClock(), Person(WIM))
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await to_people(pilot)
        await press(pilot, "n", *typed("Nora New"), "tab", *typed("welder"))
        await press(pilot, "tab", "tab", "tab", "tab", "tab")
        await type_secret(pilot, SECRETS[WIM])
        await commit(pilot)
        assert "commit again to register without one" in one_line(screen_text(app))
        await commit(pilot)
        assert "Wim Two is registered as welder; registering a person takes owner" in one_line(
            screen_text(app)
        )
        await press(pilot, "escape")
        assert "not recorded; what you typed is kept" in one_line(screen_text(app))
        assert session.drafts["Register a person"]["called"] == "Nora New"
        assert SECRETS[WIM] not in everything(app, session)
    assert len(session.registers.people()) == 5


async def test_ones_own_secret_takes_the_present_one(shop: Shop, at_olgas: Session) -> None:
    app = app_on(at_olgas)
    async with app.run_test(size=SIZE) as pilot:
        await to_people(pilot)
        at(pilot, "P2")
        await press(pilot, "s")
        await type_secret(pilot, "not his own 1")
        await press(pilot, "tab")
        await twice(pilot, NEW)
        await commit(pilot)
        assert "! wrong secret for Wim Two" in one_line(screen_text(app))
        await type_secret(pilot, SECRETS[WIM])
        await press(pilot, "tab")
        await twice(pilot, NEW)
        await commit(pilot)
        assert "the secret of P2 Wim Two is set" in screen_text(app)
        assert NEW not in everything(app, at_olgas)
    assert isinstance(shop.check_secret("P2", secret(WIM), TickingClock().now()), Refused)
    assert isinstance(shop.check_secret("P2", Secret(NEW), TickingClock().now()), Accepted)
    assert acts_of(shop, "shop", "secret set")[-1]["act"]["by_whom"] == "own"


async def test_an_owner_may_have_a_new_recovery_code(shop: Shop, at_olgas: Session) -> None:
    app = app_on(at_olgas)
    async with app.run_test(size=SIZE) as pilot:
        await to_people(pilot)
        at(pilot, "P1")
        await press(pilot, "s", "2", "tab")
        await type_secret(pilot, SECRETS[OLGA])
        await press(pilot, "tab")
        await twice(pilot, NEW)
        await commit(pilot)
        page = app.screen
        assert isinstance(page, RecoveryCode)
        code = page.code.reveal()
        await press(pilot, "f10")
        # The code in lower case and without dashes is the same one; the secret that it sets is another.
        await press(pilot, "p")
        await type_secret(pilot, "AAAA BBBB CCCC DDDD")
        await press(pilot, "tab")
        await twice(pilot, "third one 33")
        await commit(pilot)
        assert "! wrong recovery code for Olga Vance" in one_line(screen_text(app))
        await type_secret(pilot, code.lower().replace("-", " "))
        await press(pilot, "tab")
        await twice(pilot, "third one 33")
        await commit(pilot)
        page = app.screen
        assert isinstance(page, RecoveryCode)
        assert page.code.reveal() != code
        await press(pilot, "f10")
        assert "the secret of P1 Olga Vance is set" in screen_text(app)
    assert [entry["act"]["by_whom"] for entry in acts_of(shop, "shop", "secret set")[-2:]] == [
        "own",
        "recovery",
    ]


async def test_a_secret_is_set_with_a_second_person(shop: Shop, at_olgas: Session) -> None:
    app = app_on(at_olgas)
    async with app.run_test(size=SIZE) as pilot:
        await to_people(pilot)
        at(pilot, "P1")
        await press(pilot, "t")
        assert isinstance(app.screen, RegisterForm)  # Eva, an engineer, may stand beside her
        await press(pilot, "escape")
        at(pilot, "P3")
        await press(pilot, "t", *typed("forgot it"), "tab")
        await twice(pilot, NEW)
        await press(pilot, "tab", "ctrl+u", *typed(INES), "tab")
        await type_secret(pilot, SECRETS[INES])
        await commit(pilot)
        assert "it takes a second person to reset the secret of Ines Okafor" in one_line(screen_text(app))
        await twice(pilot, NEW)
        await press(pilot, "tab", "ctrl+u", *typed(EVA), "tab")
        await type_secret(pilot, SECRETS[EVA])
        await commit(pilot)
        assert "the secret of P3 Ines Okafor is set" in screen_text(app)
    entry = acts_of(shop, "shop", "secret set")[-1]
    assert (entry["by"]["person"], entry["act"]["by_whom"], entry["act"]["because"]) == (
        "P5",
        "reset",
        "forgot it",
    )


async def test_names_roles_welding_and_leaving(shop: Shop, at_olgas: Session) -> None:
    app = app_on(at_olgas)
    async with app.run_test(size=SIZE) as pilot:
        await to_people(pilot)
        at(pilot, "P1")
        await press(pilot, "d")
        assert "Disable: Olga Vance is the only owner; make somebody else an owner first" in one_line(
            screen_text(app)
        )
        at(pilot, "P2")
        await press(pilot, "e")
        assert "Enable: Wim Two is enabled already" in one_line(screen_text(app))
        for key, fields, words in (
            ("m", ["Wim [/] Third", "married"], "P2 Wim Two is Wim [/] Third now, welder"),
            ("o", ["welder, inspector", "passed"], "is Wim [/] Third now, welder, inspector"),
            ("w", ["141", "2026-03-10", "test piece 12"], "was shown to weld by process 141 on 2026-03-10"),
            ("d", ["left"], "P2 Wim [/] Third is disabled"),
        ):
            await press(pilot, key)
            for text in fields:
                await press(pilot, "ctrl+u", *typed(text), "tab")
            await press(pilot, "tab")
            await type_secret(pilot, SECRETS[OLGA])
            await commit(pilot)
            assert isinstance(app.screen, People), one_line(screen_text(app))
            assert words in one_line(screen_text(app))
        assert "5 people" not in screen_text(app)
        assert "4 people, 4 with a secret, 1 disabled" in screen_text(app)
        assert one_line(screen_text(app)).index("P5") < one_line(screen_text(app)).index("- disabled")
        await press(pilot, "enter")
        text = one_line(screen_text(app))
        assert "formerly Wim Two" in text
        assert "name changed from Wim Two to Wim [/] Third: married" in text
    shown = look_at_person(shop, TickingClock(), "P2")
    assert shown["disabled"]
    assert shown["roles"] == ["welder", "inspector"]
    assert [change["because"] for change in shown["history"]][-3:] == ["married", "passed", "left"]


async def test_what_others_write_is_seen_without_a_key(shop: Shop, at_olgas: Session) -> None:
    from traveler.acts.people import set_active

    app = app_on(at_olgas)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "r")
        assert isinstance(app.screen, Registers)
        assert "5 people, 5 with a secret" in screen_text(app)
        with Shop.open(shop.path) as other:
            set_active(other, TickingClock(), Person(OLGA), WIM, "disable", "left", secret=secret(OLGA))
        await pilot.pause(2.2)
        assert "4 people, 4 with a secret, 1 disabled" in screen_text(app)
