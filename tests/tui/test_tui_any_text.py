"""Text that people typed is never read as markup and never acts on the terminal, on no screen."""

import json
from pathlib import Path

import pytest
from closed_kit import close_job
from tui_kit import HEAD, THREE_STEPS, TickingClock, app_on, one_line, press, put, screen_text, typed

from traveler.acts.clock import SystemClock
from traveler.acts.instruments import NewInstrument, calibrated, found_out, register_instrument
from traveler.acts.lots import NewLot, open_electrodes, receive_lot
from traveler.acts.parts import Signing, crash, register_part
from traveler.acts.people import NewPerson, register_person
from traveler.acts.settings import change_setting
from traveler.job.state import Person
from traveler.record.shop import Shop
from traveler.tui.decided_acts import open_nonconformance
from traveler.tui.screens.registers import SCREENS, Registers
from traveler.tui.session import Session
from traveler.tui.wording import requirement_lines

pytestmark = pytest.mark.slow

NASTY = (
    "[A36] plate [/] end",
    "[@click=app.quit]x[/]",
    "[red]hot[/red] $primary {x}",
    "支架 Träger крюк",
    "W" * 200,
)


@pytest.mark.parametrize("nasty", NASTY)
async def test_a_title_reads_the_same_on_every_screen(tmp_path, nasty: str) -> None:
    sheet = HEAD.format(number='"N-1"', title=json.dumps(nasty, ensure_ascii=True)) + THREE_STEPS.replace(
        '"Preheat the bracket joint"', json.dumps(nasty, ensure_ascii=True)
    )
    with Shop.create(tmp_path / "shop.traveler") as shop:
        put(shop, sheet)
        app = app_on(Session(shop, SystemClock(), Person(nasty)))
        async with app.run_test(size=(80, 40)) as pilot:
            assert _holds(screen_text(app), nasty)
            await press(pilot, "enter", "down")
            assert screen_text(app).count("W" * 30) >= 3 if "W" in nasty else _holds(screen_text(app), nasty)
            await press(pilot, "enter")
            assert _holds(screen_text(app), nasty)
            await press(pilot, "enter", *typed("300 F"), "tab", *typed("[/] [A36]"), "f10")
            assert "[/] [A36]" in screen_text(app)
            await press(pilot, "w")
            assert _holds(screen_text(app), nasty)
            await press(pilot, "end")
            assert "[/] [A36]" in screen_text(app)
            await press(pilot, "q", "c", "tab", *typed("[b]"), "tab", *typed("[x"), "f10")
            assert "[b]" in screen_text(app)
            await press(pilot, "escape", "p")
            assert _holds(screen_text(app), nasty)
            await press(pilot, "f10")
            assert "signed as performed" in one_line(screen_text(app))
            await press(pilot, "q", "q")
            assert app.is_running


async def test_what_would_act_on_the_terminal_is_refused_in_words(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "enter", "down", "enter", "enter", *typed("300 F"), "tab")
        for text, name in (("a\tb", "U+0009"), ("a\x1b[31mb", "U+001B")):
            app.screen.focused.value = text
            await press(pilot, "f10")
            assert f"the character {name} cannot be recorded" in one_line(screen_text(app))
    assert session.job("H-014")["events"] == 1


def test_what_acts_on_a_terminal_is_spelled_out_where_it_is_shown() -> None:
    # Nobody can record such text through the acts; a file altered by other means could hold it.
    requirement = {"quantity": "x\x1b[2J", "joint": None, "type": "text", "verdict_reason": "tab\there"}
    assert requirement_lines({"joints": []}, requirement) == (
        "x\\x1b[2J: to be recorded; no limit",
        "tab\\there",
    )


def _holds(screen: str, nasty: str) -> bool:
    """The text stands there, whatever the lines were broken at."""
    return "".join(nasty.split()) in "".join(screen.split())


@pytest.mark.parametrize("nasty", NASTY)
async def test_what_was_entered_reads_the_same_in_every_register(tmp_path: Path, nasty: str) -> None:
    name = nasty[:90]
    clock, by = TickingClock(), Person("Ida Weld")
    with Shop.create(tmp_path / "shop.traveler") as shop:
        sheet = HEAD.format(number='"N-1"', title=json.dumps(nasty, ensure_ascii=True)) + THREE_STEPS
        put(shop, sheet)
        close_job(shop, clock)
        register_part(shop, clock, Signing(by), "A-101", "RU-7", name)
        crash(shop, clock, Signing(by), "RU-7", nasty)
        probe = NewInstrument(name, "contact thermometer", serial=nasty)
        register_instrument(shop, clock, by, probe)
        calibrated(shop, clock, by, "I1", "2026-01-05", "2027-01-05", nasty)
        found_out(shop, clock, by, "I1", nasty)
        lot = NewLot("material", "4130", "A7731", supplier=nasty)
        receive_lot(shop, clock, by, lot, (nasty, b"invented"))
        receive_lot(shop, clock, by, NewLot("filler", nasty, nasty, supplier=nasty))
        open_electrodes(shop, clock, by, "L2")
        change_setting(shop, clock, by, "shop name", name)
        session = Session(shop, clock, by)
        entry = next(step for step in session.job("N-1")["steps"] if step["number"] == 10)
        fields = {"what": nasty, "quantity": "", "readings": ""}
        opened = session.sign(
            "N-1", open_nonconformance(10, "", "", []), session.signer(nasty), fields, entry["content"]
        )
        assert opened.recorded, opened
        register_person(shop, clock, None, NewPerson(name, ["owner"]))
        app = app_on(session)
        async with app.run_test(size=(80, 60)) as pilot:
            await press(pilot, "r")
            for register in SCREENS:
                screen = app.screen
                assert isinstance(screen, Registers)
                screen.rows.go_to(register)
                await press(pilot, "enter")
                assert _holds(screen_text(app), name), register
                await press(pilot, "enter")
                assert _holds(screen_text(app), name), register
                await press(pilot, "q")
                for key in {"Instruments": "cfx", "Material": "wt", "Fillers": "wob", "People": "mow"}.get(
                    register, ""
                ):
                    await press(pilot, key)
                    assert app.screen is not screen
                    # A form is about the entry; where a lot went names the jobs.
                    assert _holds(screen_text(app), name) or key == "w", (register, key)
                    if key != "w" or register == "People":
                        await press(pilot, *typed("[/] [A36]"), "f10")
                    await press(pilot, "escape")
                await press(pilot, "q")
            assert app.is_running
