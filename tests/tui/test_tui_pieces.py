"""The pieces of a job in the app: split off, gone, joined, taken out, counted at the closing."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from tui_kit import (
    BRACKET,
    PLAIN_STEEL,
    TickingClock,
    accept_step,
    app_on,
    comply,
    one_line,
    press,
    put,
    screen_text,
    sign,
    typed,
)

from traveler.job.state import Person
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop
from traveler.tui.decided_acts import open_nonconformance
from traveler.tui.pieces_acts import acts_of
from traveler.tui.screens.job import Job
from traveler.tui.screens.pieces import Pieces, PiecesForm
from traveler.tui.session import Session
from traveler.tui.signed_act import perform_step

SIZE = (80, 24)
JOB, HINGE = "H-014", "P-1"
BATCH = BRACKET.replace("[job]\n", '[job]\nquantity = 3\nserials = ["RU-1", "RU-2", "RU-3"]\n')
FRAME = BRACKET.replace(JOB, "F-1").replace("Upright bracket", "Frame")


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    """A batch of three brackets, and a frame that they go into."""
    with Shop.create(tmp_path / "shop.traveler") as shop:
        put(shop, BATCH)
        put(shop, FRAME)
        yield Session(shop, TickingClock(), Person("Ida Weld"))


def _sign(session: Session, job: str, name: str, component: str | None = None, **said: str) -> str:
    traveler = session.job(job)
    act = acts_of(traveler, component)[name]
    told = session.sign(job, act, Person("Ida Weld"), said, traveler["head"])
    assert told.recorded, told
    return told.sentence


async def test_pieces_are_split_off_and_the_job_says_how_many_are_left(
    session: Session, tmp_path: Path
) -> None:
    app = app_on(session, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "q")
        assert "Pieces: 3 in = 3 in process" in one_line(screen_text(app))
        await press(pilot, "p")
        assert isinstance(app.screen, Pieces)
        assert "serials  here: RU-1, RU-2, RU-3" in screen_text(app)
        await press(pilot, "s")
        assert isinstance(app.screen, PiecesForm)
        await press(
            pilot, *typed("1"), "tab", *typed("RU-9"), "tab", *typed("H-014-2"), "tab", *typed("rush")
        )
        await press(pilot, "f10")
        assert "there is no piece RU-9 to take" in one_line(screen_text(app))
        await press(pilot, "escape", "s", "tab", "ctrl+u", *typed("RU-2"), "f10")
        text = one_line(screen_text(app))
        assert isinstance(app.screen, Pieces), text
        assert "job H-014-2: 1 piece (RU-2) split off from H-014" in text
        assert "2 pieces here" in text
        await press(pilot, "q")
        assert isinstance(app.screen, Job)
    child = session.job("H-014-2")["pieces"]
    assert (child["serials"], child["came_from"][0]["job"]) == (["RU-2"], JOB)
    assert verify_shop(tmp_path / "shop.traveler").faults == ()


async def test_a_number_that_is_taken_is_told_at_its_field(session: Session) -> None:
    app = app_on(session, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "q", "p", "s", *typed("1"), "tab", *typed("RU-2"), "tab", *typed("F-1"))
        await press(pilot, "tab", *typed("rush"), "f10")
        assert isinstance(app.screen, PiecesForm)
        assert 'job "F-1" is in this shop already' in one_line(screen_text(app))
        assert not session.job(JOB)["pieces"]["gone"]


async def test_a_component_is_joined_and_taken_out_under_the_cursor(session: Session) -> None:
    app = app_on(session, "F-1")
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "q", "p")
        assert "One piece, and nothing is joined in it." in screen_text(app)
        await press(pilot, "i", *typed("Z-9"), "f10")
        assert 'there is no job "Z-9"' in one_line(screen_text(app))
        await press(pilot, "ctrl+u", *typed(JOB), "tab", "tab", *typed("RU-1"), "f10")
        text = one_line(screen_text(app))
        assert "step 90: 1 piece (RU-1) of H-014 joined in F-1" in text
        assert "component H-014 is not closed: close it, or take it out" in text
        assert "(t Take out)" in text
        await press(pilot, "down", "t", *typed("the wrong one"), "f10")
        assert "H-014 is taken out of F-1" in one_line(screen_text(app))
    assert session.job(JOB)["pieces"]["used"] == 0


async def test_pieces_that_are_gone_are_said_so(session: Session) -> None:
    app = app_on(session, JOB)
    async with app.run_test(size=SIZE) as pilot:
        await press(
            pilot, "q", "p", "g", "2", "tab", *typed("1"), "tab", *typed("RU-3"), "tab", *typed("not found")
        )
        await press(pilot, "f10")
        assert "1 piece (RU-3) lost" in one_line(screen_text(app))


@pytest.mark.slow
async def test_a_batch_is_closed_by_counting_it(session: Session, tmp_path: Path) -> None:
    with Shop.open(tmp_path / "shop.traveler") as shop:
        put(shop, PLAIN_STEEL.replace("[job]\n", "[job]\nquantity = 3\n"))
    _sign(session, HINGE, "gone", way="scrapped", pieces="1", because="bent")
    for step in session.job(HINGE)["steps"]:
        comply(session, HINGE, step["number"])
        sign(session, HINGE, step["number"], perform_step(step["number"], step["kind"]), "Ida Weld")
        accept_step(session, HINGE, step["number"])
    app = app_on(session, HINGE)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "x", *typed("3"), "tab", "ctrl+u", *typed("Ben Check"), "f10")
        text = one_line(screen_text(app))
        assert "3 in, 3 counted as accepted, 1 rejected, 0 lost, 0 split off: 1 piece is too many" in text
        await press(pilot, "shift+tab", "ctrl+u", *typed("2"), "f10")
    assert session.job(HINGE)["state"] == "closed"
    assert session.job(HINGE)["pieces"]["accepted"] == 2


async def test_a_hold_of_the_batch_stands_on_the_job_that_was_split_off(session: Session) -> None:
    _sign(session, JOB, "split", pieces="1", serials="RU-2", because="rush", **{"as": "H-014-2"})
    act = open_nonconformance(10, "", "", ["J1"])
    content = session.job(JOB)["steps"][0]["content"]
    typed_in = {"what": "a lap at the toe", "quantity": "", "readings": ""}
    assert session.sign(JOB, act, Person("Ida Weld"), typed_in, content).recorded
    app = app_on(session, "H-014-2")
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "q")
        text = one_line(screen_text(app))
        assert "held: nonconformance 1 of H-014 is open: a lap at the toe" in text
        assert "from H-014" in text
