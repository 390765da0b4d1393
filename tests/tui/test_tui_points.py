"""Holds, witness points, nonconformances, questions and what does not apply: listed, signed, refused with reasons."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from tui_kit import TickingClock, app_on, one_line, press, screen_text, typed
from tui_people_kit import (
    CARL,
    CHEAP,
    EVA,
    INES,
    JOB,
    OLGA,
    PLAIN_STEP,
    SECRETS,
    SHEET,
    WIM,
    acts_of,
    commit,
    found_shop,
    preheated,
    probe_found_wrong,
    secret,
    sign_as,
    step,
    type_secret,
)

from traveler.acts.points import MEANINGS
from traveler.job.person import Person
from traveler.job.requirement import Point
from traveler.record import secrets
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop
from traveler.tui.decided_acts import propose
from traveler.tui.screens.act import ActForm
from traveler.tui.screens.nonconformances import NonconformancePage, Nonconformances
from traveler.tui.screens.points import Points
from traveler.tui.screens.step import Step
from traveler.tui.session import Session

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


async def test_a_step_shows_its_points_and_whose_they_are(at_wims: Session) -> None:
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        text = one_line(screen_text(app))
        assert "Points: hold 1 (customer) open; witness 2 (engineer) open" in text
        await press(pilot, "h")
        assert isinstance(app.screen, Points)
        text = one_line(screen_text(app))
        assert "! open Hold 1 (customer) hold 1 (customer) is not released" in text
        assert "Witness 2 (engineer), notice 24 h" in text
        # A hold is released or waived; only a witness is notified and attends.
        assert "r Release w Waive (n Notify) (a Attend)" in text
        await press(pilot, "n")
        assert (
            "! Notify: hold 1 (customer) is a hold: it is released or waived, and never lapses"
            in one_line(screen_text(app))
        )
        await press(pilot, "down")
        assert "(r Release) w Waive n Notify a Attend" in one_line(screen_text(app))


@pytest.mark.slow
async def test_a_hold_is_released_by_its_party_and_open_again_once_the_step_changes(
    shop: Shop, at_wims: Session
) -> None:
    preheated(at_wims, "330 F")
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "h", "r")
        form = app.screen
        assert isinstance(form, ActForm)
        text = one_line(screen_text(app))
        assert "Release hold 1 (customer)" in text
        said = MEANINGS["released"](Point(1, "hold", "customer"))
        assert f'"{said}"' in text
        assert "330 °F (165.6 °C) at plate 0 with I1 contact probe 1" in text
        await press(pilot, "tab")
        await sign_as(pilot, INES)
        assert (
            "! hold 1 (customer) is for the customer to settle; Ines Okafor is registered as inspector"
            in one_line(screen_text(app))
        )
        await press(pilot, "shift+tab")
        await sign_as(pilot, CARL)
        assert isinstance(app.screen, Points)
        text = one_line(screen_text(app))
        assert "step 40: hold 1 (customer) is released by Carl Kunde" in text
        assert "+ released Hold 1 (customer) released by Carl Kunde (P4, signed)" in text
        assert "(r Release)" in text
        await press(pilot, "q")
        assert "Points: hold 1 (customer) released" in one_line(screen_text(app))
        await press(pilot, "r", *typed("340 F"), "tab", *typed("rail"), "tab", *typed("I1"), "f10", "h")
        text = one_line(screen_text(app))
        assert "! changed Hold 1 (customer)" in text
        assert "it is to be released again" in text
    (released,) = acts_of(shop, f"job {JOB}", "hold released")
    assert released["act"]["meaning"] == said
    assert released["by"]["person"] == "P4"


@pytest.mark.slow
async def test_a_waiver_takes_a_reason_and_a_witness_is_told_and_comes(shop: Shop, at_wims: Session) -> None:
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "h", "w", "tab")
        await sign_as(pilot, CARL)
        assert "! a reason is needed: say in words why" in screen_text(app)
        await press(pilot, *typed("drove past, saw it"), "tab", "tab")
        await press(pilot, "shift+tab")
        await sign_as(pilot, CARL)
        assert "hold 1 (customer) is waived by Carl Kunde" in one_line(screen_text(app))
        await press(pilot, "down", "n", *typed("noon"), "tab", "tab")
        await sign_as(pilot, WIM)
        assert '! "noon" is no time' in screen_text(app)
        await press(pilot, "ctrl+u", *typed("2026-03-13T14:30+00:00"), "tab", "tab")
        await sign_as(pilot, WIM)
        text = one_line(screen_text(app))
        assert "> notified Witness 2 (engineer)" in text
        assert "the notice of 24 h runs until 2026-03-15T08:" in text
        await press(pilot, "a", "tab")
        await sign_as(pilot, EVA)
        assert "+ attended Witness 2 (engineer)" in one_line(screen_text(app))
        assert "witness 2 (engineer) is attended by Eva Lindqvist" in one_line(screen_text(app))
    kinds = [event.data["kind"] for event in shop.events(f"job {JOB}")]
    assert kinds[-3:] == ["hold waived", "witness notified", "witness attended"]
    assert verify_shop(shop.path).ok


async def test_a_step_without_points_says_so(tmp_path: Path) -> None:
    path = found_shop(
        tmp_path / "plain.traveler", sheet=SHEET.replace('hold = ["customer"]\n', "") + PLAIN_STEP
    )
    with Shop.open(path) as shop:
        app = app_on(Session(shop, TickingClock(), Person(WIM)), JOB)
        async with app.run_test(size=SIZE) as pilot:
            await press(pilot, "h")
            assert isinstance(app.screen, Points)
            assert "This step has no hold or witness point." in screen_text(app)
            await press(pilot, "r")
            assert "! Release: this step has no hold or witness point" in screen_text(app)


@pytest.mark.slow
async def test_a_nonconformance_from_opening_to_closing(shop: Shop, at_wims: Session) -> None:
    preheated(at_wims, "330 F", "290 F")
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "n")
        assert isinstance(app.screen, Nonconformances)
        assert "No nonconformance is listed." in screen_text(app)
        await press(pilot, "p")
        assert "! Propose: no nonconformance is listed" in screen_text(app)
        await press(pilot, "n", *typed("one place too cold"))
        # What was looked at is proposed; the reading outside its limit is taken with it.
        assert "About preheat temperature" in one_line(screen_text(app))
        await press(pilot, "tab", "tab", "tab")
        await sign_as(pilot, WIM)
        text = one_line(screen_text(app))
        assert "nonconformance 1 is open at step 40: one place too cold" in text
        assert "! open Nonconformance 1, step 40, preheat temperature, reading 2: open" in text
        assert "(a Approve) (f Refuse) (v Re-verify) (x Close) d Void" in text
        await press(pilot, "x")
        assert "! Close: nonconformance 1 is open: it is not ready to be closed" in one_line(screen_text(app))
        await press(pilot, "p", "3", "tab", *typed("no hydrogen risk at this thickness"), "tab")
        await sign_as(pilot, EVA)
        assert "nonconformance 1: to use it as is is proposed" in one_line(screen_text(app))
        await press(pilot, "f", "tab")
        await sign_as(pilot, OLGA)
        assert "! a reason is needed" in screen_text(app)
        await press(pilot, *typed("measure first"), "tab", "tab", "shift+tab")
        await sign_as(pilot, OLGA)
        assert "! refused Nonconformance 1" in one_line(screen_text(app))
        await press(pilot, "p", "2", "tab", *typed("heat the cold end again"), "tab")
        await sign_as(pilot, EVA)
        await press(pilot, "a", "tab")
        text = one_line(screen_text(app))
        assert '"I approve to repair it by the instruction"' in text
        await sign_as(pilot, EVA)
        assert "! Eva Lindqvist proposed to repair it; another person must approve it" in one_line(
            screen_text(app)
        )
        await press(pilot, "shift+tab")
        await sign_as(pilot, OLGA)
        assert "> approved Nonconformance 1" in one_line(screen_text(app))
        await press(pilot, "v", *typed("both ends at 330 F"), "tab", "1", "tab")
        await sign_as(pilot, INES)
        assert "> re-verified Nonconformance 1" in one_line(screen_text(app))
        await press(pilot, "x", "tab")
        await sign_as(pilot, INES)
        text = one_line(screen_text(app))
        assert "+ closed Nonconformance 1" in text
        assert "nonconformance 1: closed: what was approved is done" in text
        await press(pilot, "enter")
        assert isinstance(app.screen, NonconformancePage)
        text = one_line(screen_text(app))
        for words in (
            "Found: one place too cold; Wim Two (P2, signed)",
            "Proposed: use as is, no hydrogen risk at this thickness; Eva Lindqvist (P5, signed)",
            "Refused: I refuse to use it as is, because measure first; Olga Vance (P1, signed)",
            "Approved: I approve to repair it by the instruction; Olga Vance (P1, signed)",
            "Looked at again: both ends at 330 F, it complies; Ines Okafor (P3, signed)",
            "Closed: what was approved is done; Ines Okafor (P3, signed)",
        ):
            assert words in text
    assert verify_shop(shop.path).ok


@pytest.mark.slow
async def test_what_is_approved_is_what_was_read_even_where_it_was_proposed_anew_meanwhile(
    shop: Shop, at_wims: Session
) -> None:
    preheated(at_wims, "290 F")
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "n", "n", *typed("too cold"), "tab", "tab", "tab")
        await sign_as(pilot, WIM)
        await press(pilot, "p", "3", "tab", *typed("thin enough"), "tab")
        await sign_as(pilot, WIM)
        await press(pilot, "a", "tab")
        assert '"I approve to use it as is"' in screen_text(app)
        with Shop.open(shop.path) as other:
            elsewhere = Session(other, TickingClock(), Person(EVA))
            act = propose(elsewhere.job(JOB)["nonconformances"][0])
            told = elsewhere.sign(
                JOB,
                act,
                elsewhere.signer(EVA),
                {"disposition": "repair", "instruction": "weld on a strap"},
                step(elsewhere, 40)["content"],
                secret(EVA),
            )
            assert told.recorded
        await sign_as(pilot, OLGA)
        text = one_line(screen_text(app))
        assert "! changed by Eva Lindqvist at" in text
        assert ": look again" in text
        # It is now another thing that would be approved, and that is what is said.
        assert '"I approve to repair it by the instruction"' in text
        assert "use it as is" not in text
        assert acts_of(shop, f"job {JOB}", "disposition approved") == []
        await type_secret(pilot, SECRETS[OLGA])
        await commit(pilot)
        assert isinstance(app.screen, Nonconformances)
    (approved,) = acts_of(shop, f"job {JOB}", "disposition approved")
    assert approved["act"]["meaning"] == "I approve to repair it by the instruction"


@pytest.mark.slow
async def test_one_opened_in_error_is_void_and_one_may_be_about_the_step_as_a_whole(
    shop: Shop, at_wims: Session
) -> None:
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "n", "n", "tab", "tab", "tab")
        await sign_as(pilot, WIM)
        assert "! say what does not comply" in screen_text(app)
        await press(pilot, *typed("plate is scratched"), "tab", "ctrl+u", "tab", *typed("9"), "tab")
        await sign_as(pilot, WIM)
        assert "! step 40 has no standing reading 9" in one_line(screen_text(app))
        await press(pilot, "shift+tab", "shift+tab", "ctrl+u", "tab")
        await sign_as(pilot, WIM)
        assert "! open Nonconformance 1, step 40: open" in one_line(screen_text(app))
        await press(pilot, "d", *typed("it was dust"), "tab")
        await sign_as(pilot, INES)
        assert "~ void Nonconformance 1, step 40: void" in one_line(screen_text(app))
    (opened,) = acts_of(shop, f"job {JOB}", "nonconformance opened")
    assert opened["act"] | {"what": ""} == {
        "nonconformance": 1, "step": 40, "quantity": None, "joint": None, "what": "", "readings": [],
    } | {key: opened["act"][key] for key in ("session",)}  # fmt: skip


@pytest.mark.slow
async def test_readings_in_question_are_answered_for_at_their_step(shop: Shop, at_wims: Session) -> None:
    preheated(at_wims)
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "i")
        assert "! In question: no reading of this step is in question" in one_line(screen_text(app))
        probe_found_wrong(shop)
        app.screen.look_again()
        await pilot.pause()
        assert "i In question" in screen_text(app)
        await press(pilot, "i")
        assert isinstance(app.screen, ActForm)
        text = one_line(screen_text(app))
        assert "Readings 1, 2: I1 was found out of tolerance, reads 12 F high" in text
        assert "Readings 1, 2 " in text[text.index('"I answer for these readings"') :]
        await press(pilot, "ctrl+u", *typed("1, 7"), "tab", "1", "tab", *typed("far inside"), "tab")
        await sign_as(pilot, INES)
        assert "! expected numbers of readings in question: 1, 2" in one_line(screen_text(app))
        await press(pilot, "ctrl+u", *typed("1"), "tab", "tab", "tab")
        await sign_as(pilot, INES)
        assert isinstance(app.screen, Step)
        assert "reading 1 stands, says Ines Okafor" in one_line(screen_text(app))
        await press(pilot, "i", "tab", "2", "tab", *typed("too near the limit"), "tab")
        await sign_as(pilot, INES)
        assert "reading 2 does not stand, says Ines Okafor" in one_line(screen_text(app))
    answers = [
        (event["act"]["readings"], event["act"]["answer"])
        for event in acts_of(shop, f"job {JOB}", "question answered")
    ]
    assert answers == [([1], "stands"), ([2], "does not stand")]


@pytest.mark.slow
async def test_what_does_not_apply_is_signed_by_who_may_say_so(shop: Shop, at_wims: Session) -> None:
    app = app_on(at_wims, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "d")
        assert isinstance(app.screen, ActForm)
        assert "Not applicable: preheat temperature of J1" in one_line(screen_text(app))
        await press(pilot, *typed("laser job, no preheat"), "tab")
        await sign_as(pilot, WIM)
        assert "! Wim Two is registered as welder; what does not apply takes engineer or owner" in one_line(
            screen_text(app)
        )
        await press(pilot, "shift+tab")
        await sign_as(pilot, EVA)
        assert isinstance(app.screen, Step)
        text = one_line(screen_text(app))
        assert "step 40: preheat temperature does not apply, says Eva Lindqvist" in text
        assert "Not applicable: laser job, no preheat; Eva Lindqvist (P5, signed)" in text
        await press(pilot, "d")
        assert "! Not applicable: preheat temperature is said not to apply already" in one_line(
            screen_text(app)
        )


@pytest.mark.slow
async def test_without_a_register_the_same_forms_take_a_name_alone(tmp_path: Path) -> None:
    from traveler.acts.issue import issue

    with Shop.create(tmp_path / "stated.traveler") as shop:
        issue(shop, TickingClock(), Person("Otto Plan"), SHEET.encode())
        app = app_on(Session(shop, TickingClock(), Person("Ida Weld")), JOB)
        async with app.run_test(size=SIZE) as pilot:
            await press(pilot, "h", "r", *typed("fine"), "tab", "ctrl+u", *typed("Carl Kunde"), "f10")
            assert isinstance(app.screen, Points)
            assert "hold 1 (customer) is released by Carl Kunde" in one_line(screen_text(app))


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (60, 20), (40, 12)])
async def test_names_reasons_and_the_signing_key_are_in_view(at_wims: Session, size: tuple[int, int]) -> None:
    preheated(at_wims, "290 F")
    app = app_on(at_wims, JOB)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "h")
        assert "hold 1 (customer) is not released" in one_line(screen_text(app))
        assert "q Back" in screen_text(app)
        await press(pilot, "r", *typed("[A36] [/]"), "tab", "ctrl+u", *typed("nobody"), "tab", "x", "f10")
        await app.workers.wait_for_complete()
        await pilot.pause()
        text = one_line(screen_text(app))
        assert "F10 Sign" in text
        assert "! this name is not in the register of people" in text
        await press(pilot, "escape", "q", "n", "n", *typed("[A36] [/]"), "f10")
        text = one_line(screen_text(app))
        assert "F10 Sign" in text
        assert "! it takes the secret of Wim Two (P2)" in text
