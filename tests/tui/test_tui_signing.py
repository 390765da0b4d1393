"""Who is at the keyboard, what is signed, and secrets that are shown nowhere."""

import asyncio
import threading
from collections.abc import Iterator
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from rich.console import Console
from rich.traceback import Traceback
from textual.events import Paste
from textual.widgets import Input
from tui_kit import TickingClock, app_on, one_line, press, screen_text, typed
from tui_people_kit import (
    CARL,
    CHEAP,
    INES,
    JOB,
    OLGA,
    SECRETS,
    WIM,
    acts_of,
    checked,
    commit,
    everything,
    found_shop,
    preheated,
    secret,
    sign_as,
    step,
    to_name,
    type_secret,
)

from traveler.acts.people import set_active
from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.secrets import Secret, Verifier
from traveler.record.shop import Shop
from traveler.tui.screens.job import Job
from traveler.tui.screens.sign import Accept, Close, Perform
from traveler.tui.screens.step import Step
from traveler.tui.session import Session
from traveler.tui.signed_act import perform_step
from traveler.tui.widgets.secret import SecretEntry, SecretField

SIZE = (80, 24)


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    with Shop.open(found_shop(tmp_path / "people.traveler")) as opened:
        yield opened


@pytest.fixture
def at_wims(shop: Shop) -> Session:
    return Session(shop, TickingClock(), Person(WIM))


@pytest.mark.parametrize(
    ("by", "words"),
    [
        (WIM, "Wim Two (P2), welder"),
        ("p2", "Wim Two (P2), welder"),
        ("bench", "bench: not in the register, records and does not sign"),
        (OLGA, "Olga Vance (P1), owner, inspector"),
    ],
)
async def test_the_board_says_who_is_at_the_keyboard(shop: Shop, by: str, words: str) -> None:
    app = app_on(Session(shop, TickingClock(), Person(by)))
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert words in one_line(screen_text(app))
        assert "1 job in people.traveler" in screen_text(app)


@pytest.mark.slow
async def test_a_disabled_person_is_said_to_sign_nothing(shop: Shop, at_wims: Session) -> None:
    app = app_on(at_wims)
    async with app.run_test(size=SIZE) as pilot:
        set_active(shop, TickingClock(), Person(OLGA), WIM, "disable", "left", secret=secret(OLGA))
        await press(pilot, "enter", "enter", "p", *typed(WIM), "tab", "tab")
        await type_secret(pilot, SECRETS[WIM])
        await commit(pilot)
        assert "! Wim Two is disabled" in screen_text(app)
        await press(pilot, "escape", "q", "q")
        assert "Wim Two (P2): disabled, does not sign" in one_line(screen_text(app))


async def test_in_a_shop_without_a_register_a_name_is_as_stated(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        assert "Ida Weld, as stated" in screen_text(app)
        await press(pilot, "enter", "enter", "p")
        assert not app.screen.query(SecretField)


async def test_whoever_is_not_in_the_register_records_as_stated_and_signs_nothing(shop: Shop) -> None:
    session = Session(shop, TickingClock(), Person("Bench 2"))
    app = app_on(session, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "r", *typed("330 F"), "tab", *typed("plate"), "tab", *typed("I1"), "f10")
        assert "within its limit" in one_line(screen_text(app))
        reading = step(session, 40)["requirements"][0]["readings"][0]
        assert reading["by"] == {"name": "Bench 2", "how": "stated"}
        await press(pilot, "p")
        form = app.screen
        assert isinstance(form, Perform)
        assert form.values()["name"] == ""
        # Perhaps a secret typed into the wrong field: it is neither tried nor kept anywhere.
        await press(pilot, *typed("welder 4711"), "f10")
        assert "! this name is not in the register of people, so it signs nothing" in one_line(
            screen_text(app)
        )
    assert acts_of(shop, "shop", "signing refused") == []
    assert "welder 4711" not in "".join(event.body for event in shop.events("shop"))


async def test_what_is_signed_stands_above_the_name_and_the_signature_is_the_persons_own(
    shop: Shop, at_wims: Session
) -> None:
    preheated(at_wims)
    app = app_on(at_wims, JOB)
    async with app.run_test(size=(100, 40)) as pilot:
        await press(pilot, "p")
        assert isinstance(app.screen, Perform)
        text = one_line(screen_text(app))
        content = step(at_wims, 40)["content"]
        for words in (
            "preheat temperature, at least 300 °F (148.9 °C): met (2 standing readings)",
            "330 °F (165.6 °C) at plate 0 with I1 contact probe 1 (due 2027-01-05): met",
            "Hold 1 (customer): not released",
            "Witness 2 (engineer): not notified and witnessed",
            f"Revision 1, content {content}",
            '"I performed this step as written"',
            "Name Wim Two",
        ):
            assert words in text
        assert text.index("330 °F") < text.index("Name Wim Two") < text.index("Secret")
        await press(pilot, "shift+tab", *typed("Ines Okafor, Tom the Fitter"), "tab")
        await type_secret(pilot, SECRETS[WIM])
        assert "*" * len(SECRETS[WIM]) in screen_text(app)
        dump = everything(app, at_wims)
        assert "Tom the Fitter" in dump
        assert SECRETS[WIM] not in dump
        await commit(pilot)
        assert isinstance(app.screen, Step)
        assert "step 40 signed as performed by Wim Two" in one_line(screen_text(app))
    (signature,) = acts_of(shop, f"job {JOB}", "step performed")
    assert signature["by"] == {"name": WIM, "how": "signed", "person": "P2", "roles": ["welder"]}
    assert [other["name"] for other in signature["act"]["with"]] == [INES, "Tom the Fitter"]
    assert signature["act"]["content"] == content


@pytest.mark.slow
async def test_a_name_given_twice_stands_beneath_its_field(at_wims: Session) -> None:
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "p", "shift+tab", *typed("P2"), "tab")
        await type_secret(pilot, SECRETS[WIM])
        await commit(pilot)
        assert "! Wim Two is named twice" in screen_text(app)
        form = app.screen
        assert isinstance(form, Perform)
        assert form.focused is form.fields[1].query_one(Input)


@pytest.mark.slow
async def test_a_wrong_secret_is_said_forgotten_and_asked_anew(shop: Shop, at_wims: Session) -> None:
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "p", "f10")
        assert "! it takes the secret of Wim Two (P2)" in screen_text(app)
        wrong = "welder 4712"
        await type_secret(pilot, wrong)
        await press(pilot, "shift+tab")
        await commit(pilot)
        text = one_line(screen_text(app))
        assert "! wrong secret for Wim Two" in text
        assert "! step 40 is not signed" in text
        assert isinstance(app.screen.focused, SecretEntry)
        assert len(app.screen.focused.letters) == 0
        assert wrong not in everything(app, at_wims)
        for _ in range(4):
            await type_secret(pilot, wrong)
            await commit(pilot)
        assert "the next try is admitted at 2026-03-14T" in one_line(screen_text(app))
        await type_secret(pilot, SECRETS[WIM])
        await commit(pilot)
        assert "! too many wrong secrets for Wim Two; the next try is admitted at" in one_line(
            screen_text(app)
        )
    assert step(at_wims, 40)["performed"] == []
    refused = acts_of(shop, "shop", "signing refused")
    assert [entry["act"]["as"] for entry in refused] == ["performed"] * 6


async def test_where_only_the_secret_is_missing_the_form_begins_there(shop: Shop, at_wims: Session) -> None:
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "p")
        await type_secret(pilot, SECRETS[WIM])
        await commit(pilot)
        assert isinstance(app.screen, Step)
    assert [entry["by"]["person"] for entry in acts_of(shop, f"job {JOB}", "step performed")] == ["P2"]


async def test_a_secret_typed_into_the_line_of_the_name_is_taken_off_the_screen(at_wims: Session) -> None:
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "p")
        await to_name(pilot)
        await press(pilot, "ctrl+u", *typed(SECRETS[WIM]), "f10")
        assert "! this name is not in the register of people" in screen_text(app)
        assert SECRETS[WIM] not in everything(app, at_wims)
        await press(pilot, "ctrl+u", *typed(SECRETS[WIM]), "escape")
        assert SECRETS[WIM] not in everything(app, at_wims)
        await press(pilot, "p")
        assert SECRETS[WIM] not in everything(app, at_wims)


@pytest.mark.slow
async def test_leaving_and_looking_elsewhere_forget_the_secret_and_keep_the_rest(at_wims: Session) -> None:
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "p", "shift+tab", *typed("Tom"), "tab")
        await type_secret(pilot, SECRETS[WIM])
        await press(pilot, "f1")
        assert SECRETS[WIM] not in everything(app, at_wims)
        await press(pilot, "q")
        entry = app.screen.query_one(SecretEntry)
        assert len(entry.letters) == 0
        await type_secret(pilot, SECRETS[WIM])
        await press(pilot, "escape")
        assert at_wims.drafts == {f"performed {JOB} 40": {"name": WIM, "with": "Tom", "secret": ""}}
        await press(pilot, "p")
        assert "Tom" in screen_text(app)
        await press(pilot, "f10")
        assert "! it takes the secret of Wim Two (P2)" in screen_text(app)


@pytest.mark.slow
async def test_a_secret_can_be_pasted_corrected_and_cleared(at_wims: Session) -> None:
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "p")
        entry = app.screen.query_one(SecretEntry)
        await type_secret(pilot, "oops")
        await press(pilot, "ctrl+u")
        assert len(entry.letters) == 0
        app.post_message(Paste("welder 471x\nnot this"))
        await pilot.pause()
        assert len(entry.letters) == 11
        await press(pilot, "backspace", "1")
        await commit(pilot)
        assert isinstance(app.screen, Step)
    assert len(step(at_wims, 40)["performed"]) == 1


@pytest.mark.slow
async def test_the_screen_lives_while_a_secret_is_checked_and_keys_fall(
    at_wims: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    began, may_go_on = threading.Event(), threading.Event()
    matches = Verifier.matches

    def slow(self: Verifier, given: Secret) -> bool:
        began.set()
        assert may_go_on.wait(10)
        return matches(self, given)

    monkeypatch.setattr(Verifier, "matches", slow)
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "p")
        await type_secret(pilot, SECRETS[WIM])
        await press(pilot, "f10")
        await asyncio.to_thread(began.wait, 10)
        await pilot.pause()
        assert "checking the secret of Wim Two ..." in screen_text(app)
        assert isinstance(app.screen, Perform)
        # What is pressed now would be keys of the step beneath, or letters of a name.
        await press(pilot, "a", "x", "f10", "escape", "q", "ctrl+q")
        app.post_message(Paste("welder 4711"))
        await pilot.resize_terminal(60, 20)
        await pilot.pause()
        assert "checking the secret" in screen_text(app)
        assert isinstance(app.screen, Perform)
        assert app.screen.values() == {"name": WIM, "with": "", "secret": ""}
        may_go_on.set()
        await checked(app)
        await pilot.pause()
        assert isinstance(app.screen, Step)
        assert "signed as performed by Wim Two" in one_line(screen_text(app))
        await press(pilot, "q")
        assert isinstance(app.screen, Job)
    assert len(step(at_wims, 40)["performed"]) == 1
    assert at_wims.drafts == {}


@pytest.mark.slow
async def test_who_performed_a_step_does_not_accept_it_and_whoever_may_is_proposed(shop: Shop) -> None:
    session = Session(shop, TickingClock(), Person(INES))
    app = app_on(session, JOB)
    async with app.run_test(size=SIZE) as pilot:
        preheated(session)
        step_screen = app.screen
        assert isinstance(step_screen, Step)
        await press(pilot, "p")
        await sign_as(pilot, INES)
        await press(pilot, "h", "w", *typed("waits for nobody"), "tab")
        await sign_as(pilot, CARL)
        await press(pilot, "down", "n", "tab", "tab")
        await sign_as(pilot, WIM)
        await press(pilot, "w", *typed("trusts us"), "tab")
        await sign_as(pilot, "Eva Lindqvist")
        await press(pilot, "q", "a")
        form = app.screen
        assert isinstance(form, Accept)
        assert form.values()["name"] == ""
        await sign_as(pilot, INES)
        assert "Ines Okafor performed this step; another person must accept it" in one_line(screen_text(app))
        await sign_as(pilot, CARL)
        assert "Carl Kunde is registered as customer; an acceptance takes inspector" in one_line(
            screen_text(app)
        )
        await press(pilot, "escape")
        session.drafts.clear()
        session.person = Person(OLGA)
        await press(pilot, "a")
        assert isinstance(app.screen, Accept)
        assert app.screen.values()["name"] == OLGA
        await type_secret(pilot, SECRETS[OLGA])
        await commit(pilot)
        assert isinstance(app.screen, Job)
        assert "step 40 accepted by Olga Vance" in one_line(screen_text(app))


@pytest.mark.slow
async def test_a_job_is_closed_by_secret_on_what_it_holds(shop: Shop, at_wims: Session) -> None:
    app = app_on(at_wims)
    async with app.run_test(size=(80, 40)) as pilot:
        await press(pilot, "enter")
        screen = app.screen
        assert isinstance(screen, Job)
        await screen.action_close_job()
        await pilot.pause()
        form = app.screen
        assert isinstance(form, Close)
        text = one_line(screen_text(app))
        assert f"record {at_wims.job(JOB)['head']}" in text
        assert "Step 40 preheat: ready, 0 readings" in text
        assert '"every step was accepted and the traveler is complete"' in text
        await sign_as(pilot, INES)
        assert f"! job {JOB} is not closed" in screen_text(app)
        assert "step 40 preheat is not accepted" in one_line(screen_text(app))
    refused = acts_of(shop, "shop", "signing refused")
    assert [(entry["act"]["as"], entry["act"]["person"]) for entry in refused] == [("closed", "P3")]


@pytest.mark.slow
@pytest.mark.usefixtures("looks_often")
async def test_a_change_by_somebody_else_is_said_and_a_signature_on_what_is_gone_is_refused(
    shop: Shop, at_wims: Session
) -> None:
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "p")
        with Shop.open(shop.path) as other:
            preheated(Session(other, TickingClock(), Person(INES)), "350 F")
        await pilot.pause(0.8)
        changed = "! changed by Ines Okafor at 2026-03-14 08:"
        assert changed in screen_text(app)
        # What is shown stays until somebody has signed or looked: it is what the signature would be for.
        assert "350 °F" not in screen_text(app)
        await type_secret(pilot, SECRETS[WIM])
        await commit(pilot)
        text = one_line(screen_text(app))
        assert changed in text
        assert ": look again" in text
        assert "350 °F (176.7 °C) at plate 0" in text
        assert step(at_wims, 40)["performed"] == []
        await type_secret(pilot, SECRETS[WIM])
        await commit(pilot)
        assert isinstance(app.screen, Step)
    assert len(step(at_wims, 40)["performed"]) == 1


@pytest.mark.slow
@pytest.mark.usefixtures("looks_often")
async def test_a_change_elsewhere_in_the_job_is_said_and_hinders_no_signature(
    shop: Shop, at_wims: Session
) -> None:
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "p")
        with Shop.open(shop.path) as other:
            elsewhere = Session(other, TickingClock(), Person(INES))
            requirement = step(elsewhere, 90)["requirements"][0]
            value = (requirement["accepts"] or requirement["options"] or ["as agreed"])[0]
            assert elsewhere.record(JOB, 90, requirement, {"value": value}).recorded
        await pilot.pause(0.8)
        assert "changed by Ines Okafor" in screen_text(app)
        await type_secret(pilot, SECRETS[WIM])
        await commit(pilot)
        assert isinstance(app.screen, Step)


@pytest.mark.slow
@pytest.mark.usefixtures("looks_often")
async def test_readings_go_beside_those_of_somebody_else(shop: Shop, at_wims: Session) -> None:
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "r", *typed("330 F"), "tab", *typed("rail"))
        with Shop.open(shop.path) as other:
            preheated(Session(other, TickingClock(), Person(INES)), "350 F")
        await pilot.pause(0.8)
        assert "! changed by Ines Okafor at 2026-03-14 08:" in screen_text(app)
        assert "2 readings needed, 1 taken" in one_line(screen_text(app))
        await press(pilot, "f10")
        assert isinstance(app.screen, Step)
    readings = step(at_wims, 40)["requirements"][0]["readings"]
    assert [reading["typed"] for reading in readings] == ["350 F", "330 F"]


@pytest.mark.slow
async def test_the_form_offers_the_instruments_and_an_overdue_one_is_said_at_once(at_wims: Session) -> None:
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "r", *typed("330 F"), "tab", *typed("rail"), "tab")
        hint = "what it was read with: I1 contact probe 1, I2 old probe (overdue)"
        assert hint in one_line(screen_text(app))
        await press(pilot, *typed("old probe"), "f10")
        said = "! reading 1 recorded, not evaluable: I2 old probe was overdue (due 2026-02-01): 330 °F"
        assert said in one_line(screen_text(app))
        # The instrument was named wrong: it alone is corrected.
        await press(pilot, "c", "tab", "tab", *typed("it was probe 1"), "tab", *typed("I1"), "f10")
        assert "reading 2 stands in place of reading 1: 330 °F (165.6 °C): within its limit" in one_line(
            screen_text(app)
        )
    readings = step(at_wims, 40)["requirements"][0]["readings"]
    assert [reading["instrument_state"]["instrument"] for reading in readings] == ["I2", "I1"]


@pytest.mark.slow
def test_no_secret_is_in_a_traceback_with_all_its_variables(
    at_wims: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*args: Any, **kwargs: Any) -> None:
        raise RuntimeError("disk on fire")

    monkeypatch.setattr("traveler.record.shop.secret_table.end_try", broken)
    drawn = Console(file=StringIO(), width=200)
    person, content = at_wims.signer(WIM), step(at_wims, 40)["content"]
    field = SecretField()
    field.entry.letters.add(SECRETS[WIM])
    with pytest.raises(RuntimeError) as raised:
        at_wims.sign(JOB, perform_step(40, "preheat"), person, {}, content, field.entry.letters.secret())
    found = Traceback.from_exception(raised.type, raised.value, raised.tb, show_locals=True)
    drawn.print(found)
    text = drawn.file.getvalue()
    assert "disk on fire" in text
    assert "Secret(...)" in text
    assert SECRETS[WIM] not in text
