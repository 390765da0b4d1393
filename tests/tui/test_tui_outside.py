"""Work at a vendor in the app: one key leads to the form of what the step waits for, over the page of all its acts."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from tui_kit import TickingClock, app_on, one_line, press, screen_text, typed
from tui_people_kit import (
    CHEAP,
    INES,
    JOB,
    PLAIN_STEP,
    SHEET,
    WIM,
    acts_of,
    found_shop,
    secret,
    sign_as,
    step,
)

from traveler.acts.outside import NewReceipt, NewSending, receive, send
from traveler.acts.signed_change import Signing
from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop
from traveler.tui.screens.act import ActForm
from traveler.tui.screens.bench import Bench
from traveler.tui.screens.outside import Outside
from traveler.tui.screens.paper import AttachPaper
from traveler.tui.screens.reading import Reading
from traveler.tui.screens.step import Step
from traveler.tui.session import Session

SIZE = (80, 24)
VENDOR = "Alder [A36] [/]"
GIVEN = f'outside = {{ vendor = "{VENDOR}", order = "A-55", returns = ["certificate of conformity"] }}\n'
ALONE = SHEET.partition("\n[[step]]")[0] + PLAIN_STEP + GIVEN
PREHEAT = 40


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)


@pytest.fixture
def given(tmp_path: Path) -> Iterator[Shop]:
    """A job whose only step the sheet gives to a vendor."""
    with Shop.open(found_shop(tmp_path / "given.traveler", sheet=ALONE)) as opened:
        yield opened


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """A job none of whose steps is given to anybody."""
    with Shop.open(found_shop(tmp_path / "people.traveler")) as opened:
        yield opened


def at_wims(shop: Shop) -> Session:
    return Session(shop, TickingClock(), Person(WIM))


def signing(shop: Shop, name: str = WIM) -> Signing:
    return Signing(shop, TickingClock(), Person(name), JOB, None, secret(name))


async def test_a_step_that_nobody_gives_away_keeps_the_key_in_brackets_and_can_be_sent(shop: Shop) -> None:
    app = app_on(at_wims(shop), JOB)
    async with app.run_test(size=(140, 40)) as pilot:
        await pilot.pause()
        assert "(v Vendor)" in one_line(screen_text(app))
        await press(pilot, "v")
        assert isinstance(app.screen, Step)
        assert "Vendor: no vendor has this step; s sends it to one" in one_line(screen_text(app))
        await press(pilot, "s")
        assert isinstance(app.screen, ActForm)
        await sign_as(pilot, WIM)
        assert "! say who does the work" in screen_text(app)
        await press(pilot, *typed("Cinder"))
        await sign_as(pilot, WIM)
        assert isinstance(app.screen, Outside)
        assert "~ at vendor" in screen_text(app)
    (sent,) = acts_of(shop, f"job {JOB}", "outside work sent")
    assert (sent["act"]["vendor"], sent["act"]["returns"]) == ("Cinder", ["certificate of conformity"])


@pytest.mark.slow
async def test_one_key_leads_through_what_a_vendor_does(given: Shop, tmp_path: Path) -> None:
    paper = tmp_path / "certificate.pdf"
    paper.write_bytes(b"conforms, invented")
    app = app_on(at_wims(given), JOB)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert f"Done by a vendor: {VENDOR}, order A-55" in one_line(screen_text(app))
        await press(pilot, "v")
        assert isinstance(app.screen, ActForm)
        text = one_line(screen_text(app))
        assert "Send to a vendor" in text
        assert f"Vendor {VENDOR} Order A-55" in text
        await press(pilot, *["tab"] * 6, *typed("soon"))
        await sign_as(pilot, WIM)
        assert '"soon" is no day' in one_line(screen_text(app))
        await press(pilot, "ctrl+u", *typed("2099-12-05"))
        await sign_as(pilot, WIM)
        assert f"Sent to {VENDOR}, order A-55: AT THE VENDOR" in one_line(screen_text(app))
        assert "(s Send) r Receive (c Certificate) d Call off f File" in one_line(screen_text(app))
        await press(pilot, "q")
        assert f"Acceptance waits for: at {VENDOR} since" in one_line(screen_text(app))
        await press(pilot, "v")
        assert "Receive from the vendor" in screen_text(app)
        await press(pilot, "tab", *typed("clean"), "tab", "1")
        await sign_as(pilot, WIM)
        assert "> received" in screen_text(app)
        await press(pilot, "q", "v")
        assert isinstance(app.screen, Outside)
        assert "no paper is attached yet: f attaches what came, then c reviews it" in one_line(
            screen_text(app)
        )
        await press(pilot, "f")
        assert isinstance(app.screen, AttachPaper)
        await press(pilot, "tab", "1", "f10")
        assert "the name of the file is empty" in one_line(screen_text(app))
        await press(pilot, *typed(str(paper)), "f10")
        assert "certificate.pdf kept with step 10" in one_line(screen_text(app))
        await press(pilot, "q", "p")
        assert f'"this step was performed by {VENDOR}; I received what came back' in one_line(
            screen_text(app)
        )
        await sign_as(pilot, WIM)
        await press(pilot, "v")
        text = one_line(screen_text(app))
        assert "File 1: certificate.pdf Paper 1: certificate of conformity" in text
        await press(pilot, "tab", *typed("2"), "tab", *typed("heat number"), "tab", "1")
        await sign_as(pilot, INES)
        assert "! expected numbers from 1 to 1" in screen_text(app)
        await press(pilot, "ctrl+u")
        await sign_as(pilot, WIM)
        assert "another person must review the certificate" in one_line(screen_text(app))
        await press(pilot, "shift+tab")
        await sign_as(pilot, INES)
        assert "+ accepted" in screen_text(app)
        await press(pilot, "q", "enter", "1", "tab", "2", "f10", "a")
        await sign_as(pilot, INES)
    assert step(at_wims(given), 10)["state"] == "accepted"
    (review,) = acts_of(given, f"job {JOB}", "outside certificate reviewed")
    assert [file["name"] for file in review["act"]["files"]] == ["certificate.pdf"]
    assert verify_shop(given.path).ok


async def test_a_refusal_takes_a_reason_and_a_sending_is_called_off(given: Shop) -> None:
    send(signing(given), 10, NewSending())
    receive(signing(given), 10, NewReceipt("clean", "legible"))
    session = at_wims(given)
    app = app_on(session, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "v", "c", "tab", *typed("1"), "tab", *typed("nothing came"), "tab", "2")
        await sign_as(pilot, INES)
        assert "! a reason is needed: say in words why" in screen_text(app)
        await press(pilot, "escape", "d", *typed("wrong order"))
        await sign_as(pilot, WIM)
        assert "~ called off" in screen_text(app)
    assert step(session, 10)["blocked_by"][0].startswith(f"not sent to {VENDOR}")


async def test_a_reading_of_a_step_that_was_away_says_whose_it_is(shop: Shop) -> None:
    session = at_wims(shop)
    app = app_on(session, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "enter")
        assert isinstance(app.screen, Reading)
        assert "Whose" not in screen_text(app)
        await press(pilot, "escape")
        send(signing(shop), PREHEAT, NewSending(VENDOR))
        await press(pilot, "enter", *typed("330 F"), "tab", *typed("web"), "tab", *typed("I1"), "f10")
        assert "! say who read it" in screen_text(app)
        await press(pilot, "2", "f10")
        assert f"reported by {VENDOR}" in one_line(screen_text(app))
        await press(pilot, "b")
        assert isinstance(app.screen, Bench)
        assert f"Sent to {VENDOR}: enter here what was read here" in one_line(screen_text(app))
    assert step(session, PREHEAT)["requirements"][0]["readings"][0]["reported_by"] == VENDOR


async def test_what_was_half_typed_about_a_paper_is_taken_up_again(given: Shop) -> None:
    send(signing(given), 10, NewSending())
    app = app_on(at_wims(given), JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "v", "escape", "f", *typed("/nowhere/a.pdf"), "escape", "q", "u", "enter")
        assert isinstance(app.screen, AttachPaper)
        assert "/nowhere/a.pdf" in screen_text(app)
        await press(pilot, "tab", "1", "f10")
        assert "/nowhere/a.pdf cannot be read" in one_line(screen_text(app))
