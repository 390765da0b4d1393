"""Instruments, material, fillers, settings and nonconformances over all jobs, in the app."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from textual.events import Key
from textual.pilot import Pilot
from tui_kit import BRACKET, TickingClock, app_on, one_line, press, put, screen_text, typed
from tui_people_kit import (
    CHEAP,
    JOB,
    OLGA,
    SECRETS,
    WIM,
    acts_of,
    commit,
    everything,
    found_shop,
    preheated,
    type_secret,
)

from traveler.acts.instruments import found_out, withdraw
from traveler.acts.lots import NewLot, open_electrodes, receive_lot
from traveler.acts.register import register_of
from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.shop import Shop
from traveler.tui.decided_acts import open_nonconformance, void
from traveler.tui.screens.inventory import Fillers, Instruments, Material
from traveler.tui.screens.job import Job
from traveler.tui.screens.nonconformances import Nonconformances
from traveler.tui.screens.register_form import RegisterForm
from traveler.tui.screens.registers import SCREENS
from traveler.tui.screens.settings import Settings
from traveler.tui.screens.shop_nonconformances import ShopNonconformances
from traveler.tui.screens.where import Where
from traveler.tui.session import Session

pytestmark = pytest.mark.slow

SIZE = (80, 24)
SIZES = [(80, 24), (40, 12)]


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Two probes, I1 good and I2 overdue; five people without secrets; one job."""
    with Shop.open(found_shop(tmp_path / "people.traveler", with_secrets=False)) as opened:
        yield opened


@pytest.fixture
def with_secrets(tmp_path: Path) -> Iterator[Session]:
    """The same with their secrets, the owner at the keyboard."""
    with Shop.open(found_shop(tmp_path / "secrets.traveler")) as opened:
        yield Session(opened, TickingClock(), Person(OLGA))


@pytest.fixture
def at_olgas(shop: Shop) -> Session:
    return Session(shop, TickingClock(), Person(OLGA))


@pytest.fixture
def stated(tmp_path: Path) -> Iterator[Session]:
    """A shop without people, with one job."""
    with Shop.create(tmp_path / "stated.traveler") as made:
        put(made, BRACKET)
        yield Session(made, TickingClock(), Person("Ida Weld"))


async def to(pilot: Pilot[Any], register: str) -> None:
    await press(pilot, "r", *["down"] * list(SCREENS).index(register), "enter")
    assert isinstance(pilot.app.screen, SCREENS[register])


@pytest.mark.parametrize("size", SIZES)
async def test_each_empty_register_says_what_to_do(stated: Session, size: tuple[int, int]) -> None:
    app = app_on(stated)
    async with app.run_test(size=size) as pilot:
        for register, words in (
            ("Nonconformances", "No nonconformances. One is opened from its step in the job"),
            ("Instruments", "No instruments yet: n enters the first."),
            ("Material", "No material yet: n receives the first lot"),
            ("Fillers", "No fillers yet: n receives the first lot"),
        ):
            await to(pilot, register)
            text = one_line(screen_text(app))
            assert words in text
            assert "q Back" in text
            await press(pilot, "q", "q")


async def test_the_list_of_registers_says_what_matters_of_each(shop: Shop, at_olgas: Session) -> None:
    receive_lot(shop, TickingClock(), Person(OLGA), NewLot("material", "4130", "A7731", verified_by="spark"))
    app = app_on(at_olgas)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "r")
        text = one_line(screen_text(app))
        for words in (
            "Nonconformances none",
            "Instruments 2 instruments, 1 overdue",
            "Material 1 lot, 1 with a grade in doubt",
            "Fillers none yet",
            "People 5 people, 0 with a secret",
            "Settings none set",
        ):
            assert words in text
        assert "Olga Vance (P1), owner, inspector" in text


async def test_an_instrument_is_registered_calibrated_and_withdrawn(shop: Shop, at_olgas: Session) -> None:
    app = app_on(at_olgas)
    async with app.run_test(size=SIZE) as pilot:
        await to(pilot, "Instruments")
        assert screen_text(app).index("! overdue  I2 old probe") < screen_text(app).index("+ good     I1")
        await press(pilot, "n", *typed("pen [b]"), "tab", "f10")
        assert "! choose one of them" in screen_text(app)
        await press(pilot, "2", "tab", *typed("S-9"), "tab", *typed("0 F"), "tab", *typed("750"), "f10")
        assert "range: 750: the unit is missing" in one_line(screen_text(app))
        await press(pilot, *typed(" C"), "tab", *typed("-3 F"), "f10")
        assert "is below zero; expected the amount" in one_line(screen_text(app))
        await press(pilot, "ctrl+u", *typed("3 F"), "f10")
        assert isinstance(app.screen, Instruments)
        assert app.screen.rows.key == "I3"
        text = one_line(screen_text(app))
        assert "I3 pen [b] (thermocouple) is registered" in text
        assert "! never I3 pen [b], thermocouple" in text
        await press(pilot, "c", *typed("2026-03-01"), "tab", *typed("2026-02-01"), "tab")
        await press(pilot, *typed("C-8"), "f10")
        assert "the calibration of 2026-03-01 is due again on 2026-02-01, which is earlier" in one_line(
            screen_text(app)
        )
        await press(pilot, "ctrl+u", *typed("2027-03-01"), "f10")
        assert "I3 pen [b] was calibrated on 2026-03-01: good until 2027-03-01" in one_line(screen_text(app))
        await press(pilot, "enter")
        text = one_line(screen_text(app))
        assert "Olga Vance (P1): registered as pen [b], thermocouple" in text
        assert "calibrated on 2026-03-01, due 2027-03-01, certificate C-8" in text
        await press(pilot, "q", "x", "f10")
        assert "! a reason is needed" in screen_text(app)
        await press(pilot, *typed("dropped"), "f10")
        assert "- withdrawn  I3 pen [b]" in screen_text(app)
        for key in ("c", "x"):
            await press(pilot, key)
            assert "I3 is withdrawn" in screen_text(app)
    found = register_of(shop).instrument("I3")
    assert [(str(c.on), str(c.due), c.certificate) for c in found.calibrations] == [
        ("2026-03-01", "2027-03-01", "C-8")
    ]
    assert found.withdrawn_because == "dropped"


async def test_a_refusal_of_an_act_is_shown_with_its_reason(shop: Shop, at_olgas: Session) -> None:
    app = app_on(at_olgas)
    async with app.run_test(size=SIZE) as pilot:
        await to(pilot, "Instruments")
        await press(pilot, "x", *typed("lost"))
        # Somebody else was faster.
        with Shop.open(shop.path) as other:
            withdraw(other, TickingClock(), Person(WIM), "I2", "fell down")
        await press(pilot, "f10")
        text = one_line(screen_text(app))
        assert "! not withdrawn" in text
        assert "! I2 old probe is withdrawn: fell down" in text
    assert len(acts_of(shop, "shop", "instrument withdrawn")) == 1


async def test_what_a_finding_would_question_is_shown_first_and_then_asked(
    shop: Shop, at_olgas: Session
) -> None:
    preheated(at_olgas)
    app = app_on(at_olgas)
    async with app.run_test(size=SIZE) as pilot:
        await to(pilot, "Instruments")
        await press(pilot, "end", "f")
        text = one_line(screen_text(app))
        assert "I1 contact probe 1, last good on 2026-01-05. What it read since would be in question:" in text
        assert f"job {JOB}: readings 1, 2" in text
        await press(pilot, "f10")
        assert "! say what was found" in one_line(screen_text(app))
        await press(pilot, *typed("reads 12 F [high]"), "tab", *typed("2026-01-04"), "f10")
        assert "was never calibrated; say since when" in one_line(screen_text(app))
        await press(pilot, "ctrl+u", *typed("2026-03-14"), "f10")
        text = one_line(screen_text(app))
        assert "2 readings, listed above, will be in question; commit again to enter it" in text
        assert text.count(f"job {JOB}: readings 1, 2") == 1
        assert acts_of(shop, "shop", "instrument found out of tolerance") == []
        # What is typed after the question is asked about anew.
        await press(pilot, "tab", "tab", *typed("2025-12-01"), "f10")
        assert "last good on 2025-12-01" in one_line(screen_text(app))
        assert acts_of(shop, "shop", "instrument found out of tolerance") == []
        await press(pilot, "f10")
        assert isinstance(app.screen, Instruments)
        text = one_line(screen_text(app))
        assert "2 readings in 1 job in question; job H-016: readings 1, 2" in text
        assert "! found wrong I1 contact probe 1" in text
    (finding,) = acts_of(shop, "shop", "instrument found out of tolerance")
    act = finding["act"]
    assert (act["instrument"], act["on"], act["finding"], act["since"]) == (
        "I1",
        "2026-03-14",
        "reads 12 F [high]",
        "2025-12-01",
    )
    assert at_olgas.in_question(JOB, 40) == [1, 2]


async def test_a_lot_is_received_with_its_certificate_and_says_where_it_went(
    stated: Session, tmp_path: Path
) -> None:
    paper = tmp_path / "certificate [1].txt"
    paper.write_bytes(b"heat A7731, invented")
    app = app_on(stated)
    async with app.run_test(size=SIZE) as pilot:
        await to(pilot, "Material")
        await press(pilot, "n", "f10")
        assert "! the grade of the lot is missing" in screen_text(app)
        await press(pilot, *typed("4130"), "tab", *typed("A7731"), "tab", "3", "tab", *typed("/no/such"))
        await press(pilot, "f10")
        assert "/no/such cannot be read: No such file or directory" in one_line(screen_text(app))
        await press(pilot, "ctrl+u", *typed(str(paper)), "tab", *typed("Steel [/] Co"), "tab", "1", "f10")
        text = one_line(screen_text(app))
        assert "lot L1: 4130, heat A7731 is received" in text
        assert "certificate [1].txt, SHA-256" in text
        await press(pilot, "t", "tab", "tab", "tab", "tab", "tab", "3", "f10")
        text = one_line(screen_text(app))
        assert "~ in doubt L2 4130, heat A7731, remnant of L1 the grade was verified by spark only" in text
        assert isinstance(app.screen, Material)
        app.screen.rows.go_to("L1")
        await press(pilot, "w")
        assert isinstance(app.screen, Where)
        text = one_line(screen_text(app))
        assert "Where did it go: L1 4130, L2 4130" in text
        assert "H-014 released: Upright bracket, invented" in text
        assert "material plate, 4130: joint J1; steps 10, 40, 90" in text
        await press(pilot, "enter")
        assert isinstance(app.screen, Job)
        assert app.screen.number == "H-014"
        await press(pilot, "q", "q", "enter")
        assert "Ida Weld: received" in one_line(screen_text(app))
    first, second = register_of(stated.registers.shop).lots
    assert (first.supplier, first.verified_by, first.certificate) == ("Steel [/] Co", "certificate", "3.1")
    assert (second.remnant_of, second.verified_by) == ("L1", "spark")


async def test_a_lot_that_is_nowhere_says_so(stated: Session) -> None:
    app = app_on(stated)
    async with app.run_test(size=SIZE) as pilot:
        await to(pilot, "Fillers")
        await press(pilot, "n", *typed("E8018-B2"), "tab", *typed("B-77"), "f10", "w")
        assert "It is in no job." in screen_text(app)
        await press(pilot, "enter")
        assert "Open job: it is in no job" in screen_text(app)


async def test_a_heat_that_was_never_received_is_found_in_the_jobs(stated: Session) -> None:
    app = app_on(stated)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "r", "w", "f10")
        assert "! say which heat, batch or lot" in screen_text(app)
        await press(pilot, *typed("a7731"), "f10")
        text = one_line(screen_text(app))
        assert "Where did it go: a7731 1 job" in text
        assert "material plate, 4130: joint J1; steps 10, 40, 90" in text
        await press(pilot, "enter")
        assert isinstance(app.screen, Job)
        await press(pilot, "q", "q", "w", *typed("Z [/] 1"), "f10")
        text = one_line(screen_text(app))
        assert "Where did it go: Z [/] 1 0 jobs" in text
        assert "It is in no job." in text


async def test_electrodes_are_opened_rebaked_and_out_too_long(stated: Session) -> None:
    shop, clock = stated.registers.shop, TickingClock()
    receive_lot(shop, clock, Person("Ida Weld"), NewLot("filler", "E8018-B2", "B-77"))
    receive_lot(shop, clock, Person("Ida Weld"), NewLot("filler", "ER70S-2", "B-78"))
    app = app_on(stated)
    async with app.run_test(size=SIZE) as pilot:
        await to(pilot, "Fillers")
        assert isinstance(app.screen, Fillers)
        app.screen.rows.go_to("L1")
        await press(pilot, "o", *typed("2026-03-14T03:00Z"), "tab", *typed("4"), "f10")
        assert "! 4: the unit is missing" in one_line(screen_text(app))
        await press(pilot, *typed(" h"), "f10")
        text = one_line(screen_text(app))
        assert "! out too long L1 E8018-B2, batch B-77 might be out until 2026-03-14 07:00:00" in text
        await press(pilot, "b", "tab", *typed("4 h"), "f10")
        assert "+ out L1 E8018-B2, batch B-77 may be out until 2026-03-14 12:00" in one_line(screen_text(app))
        await press(pilot, "b", *typed("2030-01-01T00:00Z"), "f10")
        assert "is still to come" in one_line(screen_text(app))
        await press(pilot, "ctrl+u", "f10")
        text = one_line(screen_text(app))
        assert "it was rebaked 2 times, and once is allowed" in text
        assert text.startswith("Fillers")
    assert [opening.rebaked for opening in register_of(shop).lot("L1").openings] == [False, True, True]


async def test_a_setting_is_changed_by_an_owner_with_their_secret(with_secrets: Session) -> None:
    app = app_on(with_secrets)
    async with app.run_test(size=SIZE) as pilot:
        await to(pilot, "Settings")
        assert isinstance(app.screen, Settings)
        app.screen.rows.go_to("paper")
        await press(pilot, "c", "2", "tab", "ctrl+u", *typed(WIM), "f10")
        assert "! it takes the secret of Wim Two (P2)" in screen_text(app)
        await type_secret(pilot, SECRETS[WIM])
        await commit(pilot)
        text = one_line(screen_text(app))
        assert "! paper is not changed" in text
        assert "Wim Two is registered as welder; changing a setting takes owner" in text
        assert SECRETS[WIM] not in everything(app, with_secrets)
        await press(pilot, "shift+tab", "ctrl+u", *typed(OLGA), "tab")
        await type_secret(pilot, "not hers 123")
        await commit(pilot)
        assert "! wrong secret for Olga Vance" in screen_text(app)
        await type_secret(pilot, SECRETS[OLGA])
        await commit(pilot)
        assert "paper: letter" in screen_text(app)
        assert "1 of 6 set" in screen_text(app)
        await press(pilot, "enter")
        assert "Olga Vance (P1, signed): set to letter" in one_line(screen_text(app))
    assert register_of(with_secrets.registers.shop).settings == {"paper": "letter"}
    assert with_secrets.drafts == {}


async def test_nonconformances_of_all_jobs_stand_open_first_and_open_in_their_job(stated: Session) -> None:
    put(stated.registers.shop, BRACKET.replace("H-014", "H-015"))
    for job, what in (("H-014", "scratch [A36]"), ("H-014", "a second one"), ("H-015", "too cold")):
        new = open_nonconformance(40, "", "", ["J1"])
        entry = next(s for s in stated.job(job)["steps"] if s["number"] == 40)
        fields = {"what": what, "quantity": "", "readings": ""}
        told = stated.sign(job, new, stated.signer("Ida Weld"), fields, entry["content"])
        assert told.recorded, told
    traveler = stated.job("H-015")
    entry = next(s for s in traveler["steps"] if s["number"] == 40)
    act = void(traveler["nonconformances"][0])
    stated.sign("H-015", act, stated.signer("Ida Weld"), {"because": "misread"}, entry["content"])
    app = app_on(stated)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "r")
        assert "Nonconformances 2 open of 3" in one_line(screen_text(app))
        await press(pilot, "q")
        await to(pilot, "Nonconformances")
        assert isinstance(app.screen, ShopNonconformances)
        assert [entry.key for entry in app.screen.entries] == ["2 H-014", "1 H-014", "1 H-015"]
        await press(pilot, "down")
        assert "Found: scratch [A36]" in one_line(screen_text(app))
        await press(pilot, "enter")
        opened = app.screen
        assert isinstance(opened, Nonconformances)
        assert (opened.number, opened.step_number, opened.rows.key) == ("H-014", 40, "1")
        await press(pilot, "q")
        assert isinstance(app.screen, ShopNonconformances)


async def test_a_burst_of_keys_enters_each_into_its_own_field(shop: Shop, at_olgas: Session) -> None:
    app = app_on(at_olgas)
    async with app.run_test(size=SIZE) as pilot:
        await to(pilot, "Instruments")
        for number in (3, 4, 5):
            for key in ["n", *f"probe{number}", "tab", "2", "tab", *f"S{number}", "f10"]:
                app.post_message(Key(key, key if len(key) == 1 else None))
        for _ in range(40):
            await pilot.pause(0.05)
            if len(at_olgas.registers.instruments()) == 5:
                break
    found = at_olgas.registers.instruments()[2:]
    assert [(entry["name"], entry["type"], entry["serial"]) for entry in found] == [
        (f"probe{number}", "thermocouple", f"S{number}") for number in (3, 4, 5)
    ]


async def test_what_was_typed_comes_back_and_what_others_write_is_seen(shop: Shop, at_olgas: Session) -> None:
    app = app_on(at_olgas)
    async with app.run_test(size=SIZE) as pilot:
        await to(pilot, "Instruments")
        await press(pilot, "n", *typed("half"), "escape", "n")
        assert isinstance(app.screen, RegisterForm)
        assert app.screen.values()["called"] == "half"
        await press(pilot, "escape")
        with Shop.open(shop.path) as other:
            found_out(other, TickingClock(), Person(OLGA), "I1", "reads 12 F high")
        await pilot.pause(2.2)
        assert "! found wrong  I1 contact probe 1" in screen_text(app)


@pytest.mark.parametrize("size", [(80, 24), (80, 23), (40, 12), (100, 30), (160, 50)])
async def test_every_register_shows_its_first_entry_and_its_keys_at_any_size(
    shop: Shop, at_olgas: Session, size: tuple[int, int]
) -> None:
    clock, olga = TickingClock(), Person(OLGA)
    receive_lot(shop, clock, olga, NewLot("material", "4130", "A7731", verified_by="spark"))
    receive_lot(shop, clock, olga, NewLot("filler", "E8018-B2", "B-77"))
    open_electrodes(shop, clock, olga, "B-77", at="2026-03-14T03:00Z", allowed="4 h")
    app = app_on(at_olgas)
    async with app.run_test(size=size) as pilot:
        for register, words in (
            ("Instruments", "! overdue I2 old probe"),
            ("Material", "~ in doubt L1 4130"),
            ("Fillers", "! out too long L2 E8018-B2"),
            ("People", "~ as stated P1 Olga Vance"),
            ("Settings", "- shop name: not set"),
        ):
            await to(pilot, register)
            text = one_line(screen_text(app))
            assert words in text, register
            assert "Enter Read" in text or "c Change" in text
            assert "q Back" in text
            assert all(len(line) <= size[0] for line in screen_text(app).splitlines())
            await press(pilot, "enter", "q", "q", "q")
