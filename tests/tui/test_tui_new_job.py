"""A new job from the app: page by page, back and forth, refused at its field, reviewed, saved, signed and issued."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from sheet_kit import BY_HAND, ENTERED, FROM_NOTHING
from textual.app import App
from textual.pilot import Pilot
from textual.widgets import Input
from tui_kit import BRACKET, TickingClock, app_on, one_line, press, put, screen_text, typed
from tui_people_kit import CHEAP, OLGA, SECRETS, WIM, found_shop, sign_as

from traveler.acts.change import stream_of
from traveler.acts.issue import plan_sheet
from traveler.acts.lots import NewLot, receive_lot
from traveler.job.person import Person
from traveler.job.sheet_write import write_sheet
from traveler.job.view import plan_object
from traveler.record import secrets
from traveler.record.shop import Shop
from traveler.report.requirement_words import limit_words
from traveler.tui.screens.board import Board
from traveler.tui.screens.sheet_out import ReleaseSheet, SaveSheet
from traveler.tui.screens.sheet_page import SheetPage
from traveler.tui.screens.sheet_review import SheetReview
from traveler.tui.session import Session

pytestmark = pytest.mark.slow

SIZES = [(80, 24), (40, 12)]


@pytest.fixture
def empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Session]:
    """A session on a shop without a job; files are saved beside it."""
    monkeypatch.chdir(tmp_path)
    with Shop.create(tmp_path / "empty.traveler") as shop:
        yield Session(shop, TickingClock(), Person("Ida Weld"))


async def walk(pilot: Pilot[Any]) -> None:
    """From the board through the pages to the review, as somebody types it."""
    await press(pilot, "n")
    for page, keys in FROM_NOTHING.items():
        assert page_of(pilot.app) == page
        await press(pilot, *keys)
    assert isinstance(pilot.app.screen, SheetReview)


async def entered_up_to(pilot: Pilot[Any], session: Session, page: str) -> None:
    """From the board to a page, everything before it entered; "" for the review, everything entered."""
    pages = [*FROM_NOTHING, ""]
    before = pages[: pages.index(page)]
    entered = {place: value for place, value in ENTERED.items() if place.rpartition(".")[0] in before}
    session.new_jobs.keep(entered, page or "site")
    await press(pilot, "n", *(() if page else ("f10",)))
    assert page_of(pilot.app) == page


def page_of(app: App[Any]) -> str:
    """The place of the page that is open; empty for the review."""
    screen = app.screen
    assert isinstance(screen, SheetPage | SheetReview)
    return screen.page if isinstance(screen, SheetPage) else ""


@pytest.mark.parametrize("size", SIZES)
async def test_from_nothing_to_an_issued_job_whose_plan_is_that_of_the_same_sheet_by_hand(
    empty: Session, tmp_path: Path, size: tuple[int, int]
) -> None:
    app = app_on(empty)
    async with app.run_test(size=size) as pilot:
        await walk(pilot)
        await press(pilot, "s", "f10")
        assert isinstance(app.screen, SheetReview)
        assert "the sheet is saved as" in one_line(screen_text(app))
        await press(pilot, "f10")
        assert isinstance(app.screen, ReleaseSheet)
        await press(pilot, "f10")
        assert isinstance(app.screen, Board)
        assert app.screen.rows.key == "N-100"
        assert "job N-100: revision 1 issued" in one_line(screen_text(app))
    saved = (tmp_path / "N-100.toml").read_bytes()
    by_hand, issued = plan_object(plan_sheet(BY_HAND.encode())), empty.job("N-100")
    assert limits_of(plan_object(plan_sheet(saved))) == limits_of(by_hand) == limits_of(issued)
    assert empty._shop.events(stream_of("N-100"))[0].data["act"]["sheet"] == saved.decode()
    assert not empty.drafts


def limits_of(plan: dict[str, Any]) -> list[tuple[str, list[str]]]:
    """Every limit of every step, in words."""
    return [
        (
            f"{step['number']} {step['kind']} {step['title']}",
            [f"{entry['quantity']} {limit_words(entry)}" for entry in step["requirements"]],
        )
        for step in plan["steps"]
    ]


async def test_the_review_shows_each_step_and_each_limit_of_the_plan(empty: Session) -> None:
    app = app_on(empty)
    async with app.run_test(size=(160, 200)) as pilot:
        await entered_up_to(pilot, empty, "")
        shown = one_line(screen_text(app))
    assert "ready to be signed" in shown
    plan = plan_object(plan_sheet(BY_HAND.encode()))
    for step in plan["steps"]:
        assert f"step {step['number']} {step['title']}" in shown
        for entry in step["requirements"]:
            assert f"{entry['quantity']}: {limit_words(entry)}" in shown
    assert "preheat temperature: at least 300 °F (148.9 °C)" in shown
    assert "Joint J1, member 2: M2, plate, 3/16 in" in shown


async def test_conflicts_come_first_and_are_issued_as_conflicts(empty: Session) -> None:
    app = app_on(empty)
    async with app.run_test(size=(80, 24)) as pilot:
        empty.new_jobs.keep({**ENTERED, "material[0].condition": "quenched and tempered"}, "site")
        await press(pilot, "n", "f10")
        review = app.screen
        assert isinstance(review, SheetReview)
        assert review.plan is not None
        first = review.plan["conflicts"][0]
        assert one_line(screen_text(app)).split("! conflict ")[1].startswith(first[:40])
        await press(pilot, "f10")
        assert f"! conflict: {first[:30]}" in one_line(screen_text(app))
        await press(pilot, "f10")
        assert "! job N-100: revision 1 issued, 8 steps; still open" in one_line(screen_text(app))
    assert empty.job("N-100")["conflicts"][0] == first


async def test_the_review_says_on_a_phone_too_what_goes_on_from_there(empty: Session) -> None:
    app = app_on(empty)
    async with app.run_test(size=(40, 12)) as pilot:
        await entered_up_to(pilot, empty, "")
        assert "F10 signs and issues it" in one_line(screen_text(app))
        await press(pilot, "enter")
        assert "its parts stand at the end of this list" in one_line(screen_text(app))
        await press(pilot, "end", "enter")
        assert page_of(app) == "site"
        await press(pilot, *typed("cold"), "escape")
        assert "Enter leads to what is missing or wrong" in one_line(screen_text(app))
        assert "! amend" in screen_text(app)
        await press(pilot, "f10")
        assert "Sign and issue: something is missing or wrong" in one_line(screen_text(app))
        await press(pilot, "enter")
        assert page_of(app) == "site"


async def test_a_draft_whose_page_is_none_opens_at_the_first(empty: Session) -> None:
    app = app_on(empty)
    async with app.run_test(size=(80, 24)) as pilot:
        empty.drafts["new job"] = {"at": "bogus[7]", "job.title": "Kept, invented"}
        await press(pilot, "n")
        page = app.screen
        assert isinstance(page, SheetPage)
        assert (page.page, page.values()["title"]) == ("job", "Kept, invented")


async def test_a_fault_of_the_reader_stands_beneath_its_field_and_the_focus_goes_there(
    empty: Session,
) -> None:
    app = app_on(empty)
    async with app.run_test(size=(80, 24)) as pilot:
        await entered_up_to(pilot, empty, "joint[0].member[0]")
        await press(pilot, "enter", "1", "enter", *typed("6.4"), "f10")
        page = app.screen
        assert isinstance(page, SheetPage)
        assert page.page == "joint[0].member[0]"
        text = one_line(screen_text(app))
        assert "! read 6.4: the unit is missing; expected a length" in text
        assert page.focused is page.fields[2].query_one(Input)
        await press(pilot, *typed(" mm"), "f10")
        page = app.screen
        assert isinstance(page, SheetPage)
        assert page.page == "joint[0].member[1]"


async def test_on_a_small_screen_what_is_wrong_with_a_long_choice_is_in_view(empty: Session) -> None:
    app = app_on(empty)
    async with app.run_test(size=(40, 12)) as pilot:
        await entered_up_to(pilot, empty, "material[0]")
        await press(pilot, "enter", *typed("4130"), "f10")
        await pilot.pause()
        assert "! missing; expected one of" in one_line(screen_text(app))


async def test_back_to_the_first_page_and_forth_again_loses_nothing(empty: Session) -> None:
    app = app_on(empty)
    async with app.run_test(size=(80, 24)) as pilot:
        await entered_up_to(pilot, empty, "filler[0]")
        await press(pilot, "enter", *typed("ER70S-2"), "escape", "escape", "escape")
        page = app.screen
        assert isinstance(page, SheetPage)
        assert page.page == "job"
        assert page.values()["title"] == "Damper bracket, invented"
        await press(pilot, "f10", "f10", "f10")
        page = app.screen
        assert isinstance(page, SheetPage)
        assert (page.page, page.values()["classification"]) == ("filler[0]", "ER70S-2")


async def test_a_job_half_made_is_kept_and_offered_again_where_it_was_left(empty: Session) -> None:
    app = app_on(empty)
    async with app.run_test(size=(80, 24)) as pilot:
        await entered_up_to(pilot, empty, "joint[0]")
        await press(pilot, "enter", "2", "enter", *typed("TIG"), "ctrl+q")
        assert "something you typed is not recorded" in one_line(screen_text(app))
    again = app_on(empty)
    async with again.run_test(size=(80, 24)) as pilot:
        await press(pilot, "escape", "n")
        page = again.screen
        assert isinstance(page, SheetPage)
        assert page.page == "joint[0]"
        assert page.values() | {"type": "T fillet", "process": "TIG"} == page.values()
        assert "what you entered before is back" in one_line(screen_text(again))


async def test_what_is_thrown_away_is_asked_twice(empty: Session) -> None:
    app = app_on(empty)
    async with app.run_test(size=(80, 24)) as pilot:
        await entered_up_to(pilot, empty, "material[0]")
        await press(pilot, "escape", *["tab"] * 13, "2", "f10")
        assert "everything entered for this job goes" in one_line(screen_text(app))
        assert empty.drafts
        await press(pilot, "f10")
        page = app.screen
        assert isinstance(page, SheetPage)
        assert page.values()["title"] == ""
        assert not empty.drafts


async def test_a_part_changed_from_the_review_leads_back_there_with_what_follows_from_it(
    empty: Session,
) -> None:
    app = app_on(empty)
    async with app.run_test(size=(80, 24)) as pilot:
        await entered_up_to(pilot, empty, "")
        await press(pilot, "end", "up", "enter")
        page = app.screen
        assert isinstance(page, SheetPage)
        assert page.page == "joint[0].member[1]"
        await press(pilot, "enter", "6", "f10")
        review = app.screen
        assert isinstance(review, SheetReview)
        assert review.rows.key == "joint[0].member[1]"
        assert "M2, casting, 3/16 in" in one_line(screen_text(app))


async def test_another_joint_from_the_review_leads_through_its_members(empty: Session) -> None:
    app = app_on(empty)
    async with app.run_test(size=(80, 24)) as pilot:
        await entered_up_to(pilot, empty, "")
        await press(pilot, "end", "up", "enter", "enter", "enter", "enter", "3", "f10")
        for page, keys in list(FROM_NOTHING.items())[4:7]:
            screen = app.screen
            assert isinstance(screen, SheetPage)
            assert screen.page == page.replace("joint[0]", "joint[1]")
            await press(pilot, *keys)
        assert isinstance(app.screen, SheetReview)
        assert {step["joint"] for step in _welds(app.screen)} == {"J1", "J2"}
        # And out again: what is behind it moves up, and nothing is left of it.
        await press(pilot, "end", "up", "enter", "enter", "enter", "enter", "5", "f10")
        assert isinstance(app.screen, SheetReview)
        assert {step["joint"] for step in _welds(app.screen)} == {"J1"}


def _welds(review: SheetReview) -> list[dict[str, str]]:
    assert review.plan is not None
    return [
        {"joint": joint}
        for step in review.plan["steps"]
        if step["kind"] == "weld"
        for joint in step["joints"]
    ]


async def test_an_id_that_changes_is_followed_by_the_joint(empty: Session) -> None:
    app = app_on(empty)
    async with app.run_test(size=(80, 24)) as pilot:
        await entered_up_to(pilot, empty, "")
        review = app.screen
        assert isinstance(review, SheetReview)
        review.rows.go_to("material[1]")
        await press(pilot, "enter", "end", *typed(" tab"), "f10")
        assert isinstance(app.screen, SheetReview)
        assert not app.screen.faults
        assert app.screen.entered["joint[0].member[1].material"] == "M2 tab"


async def test_a_number_that_the_shop_has_is_refused_on_the_first_page_and_the_next_is_proposed(
    session: Session,
) -> None:
    app = app_on(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "n")
        page = app.screen
        assert isinstance(page, SheetPage)
        assert page.values()["number"] == "H-015"
        assert (page.values()["units"], page.values()["decides"]) == ("inch", "welding engineer")
        await press(pilot, "ctrl+u", *typed("H-014"), "enter", *typed("Second, invented"), "f10")
        assert isinstance(app.screen, SheetPage)
        assert 'job "H-014" is in this shop already' in one_line(screen_text(app))


async def test_a_saved_sheet_replaces_no_file(empty: Session, tmp_path: Path) -> None:
    mine = tmp_path / "N-100.toml"
    mine.write_text("mine")
    app = app_on(empty)
    async with app.run_test(size=(80, 24)) as pilot:
        await entered_up_to(pilot, empty, "")
        await press(pilot, "s", "f10")
        assert isinstance(app.screen, SaveSheet)
        assert "is there already and stays as it is" in one_line(screen_text(app))
        await press(pilot, "ctrl+u", *typed(str(tmp_path)), "f10")
        assert "is a folder" in one_line(screen_text(app))
        await press(pilot, "ctrl+u", *typed("no/such/folder.toml"), "f10")
        assert "cannot be written" in one_line(screen_text(app))
        await press(pilot, "ctrl+u", *typed("other.toml"), "f10")
        assert isinstance(app.screen, SheetReview)
    assert mine.read_text() == "mine"
    assert (tmp_path / "other.toml").read_bytes().startswith(b"# A job sheet")


async def test_a_lot_of_the_register_fills_in_grade_heat_and_certificate(empty: Session) -> None:
    new = NewLot("material", "4130", "X77", "3.1", "invented mill", "certificate")
    receive_lot(empty._shop, TickingClock(), Person("Ida Weld"), new)
    app = app_on(empty)
    async with app.run_test(size=(80, 24)) as pilot:
        await entered_up_to(pilot, empty, "material[0]")
        await press(pilot, *typed("nonesuch"), "f10")
        assert "no lot of the register reads so" in one_line(screen_text(app))
        await press(pilot, "ctrl+u", *typed("x77"), "enter")
        page = app.screen
        assert isinstance(page, SheetPage)
        values = page.values()
        assert (values["grade"], values["heat_number"], values["certificate"]) == ("4130", "X77", "3.1")


async def test_where_people_have_secrets_the_release_takes_one_of_somebody_who_may(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)
    with Shop.open(found_shop(tmp_path / "people.traveler")) as shop:
        session = Session(shop, TickingClock(), Person(OLGA))
        app = app_on(session)
        async with app.run_test(size=(80, 24)) as pilot:
            await entered_up_to(pilot, session, "")
            await press(pilot, "f10", "f10")
            assert isinstance(app.screen, ReleaseSheet)
            assert f"it takes the secret of {OLGA}" in one_line(screen_text(app))
            assert not shop.has_job("N-100")
            await press(pilot, "shift+tab")
            await sign_as(pilot, WIM)
            assert isinstance(app.screen, ReleaseSheet)
            assert not shop.has_job("N-100")
            await press(pilot, "shift+tab")
            await sign_as(pilot, OLGA)
            assert isinstance(app.screen, Board)
            assert shop.has_job("N-100")
        issued = shop.events(stream_of("N-100"))[0].data
        assert issued["by"]["name"] == OLGA
        assert SECRETS[OLGA] not in str(issued)


async def test_hostile_text_goes_through_as_text_or_is_refused(empty: Session) -> None:
    app = app_on(empty)
    async with app.run_test(size=(80, 24)) as pilot:
        await entered_up_to(pilot, empty, "job")
        title = '[/] "[A36]" \\u0041 日本語 \\ #'
        await press(pilot, *typed("N-1"), "enter", *typed(title), "f10", "1", "enter")
        await press(pilot, *typed("[b]who[/]"), "f10")
        page = app.screen
        assert isinstance(page, SheetPage)
        assert page.page == "material[0]"
        assert page.entered["job.title"] == title
        for hostile in ("\x1b[2J", "\u202egrade", "x" * 10_000):
            await press(pilot, "enter", *typed(hostile), "f10")
            assert app.screen is page
            assert next(field.key for field in page.fields if field.query(".fault.-shown")) == "grade"
            await press(pilot, "ctrl+u", "shift+tab")


async def test_resize_to_nothing_and_back_keeps_page_and_text(empty: Session) -> None:
    app = app_on(empty)
    async with app.run_test(size=(80, 24)) as pilot:
        await entered_up_to(pilot, empty, "material[0]")
        await press(pilot, "enter", *typed("413"), "enter")
        await pilot.resize_terminal(1, 1)
        await pilot.resize_terminal(40, 12)
        await press(pilot, "1", "enter")
        page = app.screen
        assert isinstance(page, SheetPage)
        assert page.values()["grade"] == "4130"


async def test_a_job_that_another_took_meanwhile_is_not_issued_twice(empty: Session) -> None:
    app = app_on(empty)
    async with app.run_test(size=(80, 24)) as pilot:
        await entered_up_to(pilot, empty, "")
        await press(pilot, "f10")
        put(empty._shop, BRACKET.replace("H-014", "N-100"))
        await press(pilot, "f10")
        assert isinstance(app.screen, ReleaseSheet)
        assert 'job "N-100" is in this shop already' in one_line(screen_text(app))
        await press(pilot, "escape")
        assert isinstance(app.screen, SheetReview)
        assert app.screen.faults
        assert empty.drafts


async def test_the_first_page_asks_for_checks_and_straightening(empty: Session) -> None:
    """What is typed with commas comes out as the list of the sheet; a wrong word is told at its page."""
    app = app_on(empty)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "n", *["tab"] * 9, *typed("marking, arc strikes"), "enter", "3", "f10")
        kept = empty.new_jobs.begun
        assert (kept["job.checks"], kept["job.straightening"]) == ("marking, arc strikes", "cold")
    plan = empty.new_jobs.plan(write_sheet({**ENTERED, "job.checks": kept["job.checks"]}))
    assert "marking of M1" in [entry["quantity"] for entry in plan["steps"][0]["requirements"]]
    wrong = empty.new_jobs.faults({**ENTERED, "job.checks": "marking, wall"})
    assert [key for key, _ in wrong["job"]] == ["checks"]
