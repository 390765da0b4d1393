"""The line of keys, the help and the list of everything tell the truth: on every screen, in several states."""

from collections.abc import Callable

import pytest
from textual.pilot import Pilot
from tui_kit import accept_step, app_on, comply, one_line, press, screen_text, sign, typed

from traveler.tui.here import doable_here
from traveler.tui.key_file import _kinds
from traveler.tui.screens.form import Form
from traveler.tui.screens.help import Help
from traveler.tui.screens.page import ListPage, Page
from traveler.tui.session import Session
from traveler.tui.signed_act import perform_step

pytestmark = pytest.mark.slow

BARE = {
    "Page",
    "RegisterList",
    "KeyPage",
    "Lots",
    "BenchQuestions",
    "BenchPage",
    "ListPage",
    "TextPage",
    "Form",
    "SignedForm",
    "RequirementForm",
    "Signature",
    "DecidedList",
    "FromStep",
}
"""What several screens have in common; none is shown by itself."""


def nothing(session: Session) -> None:
    """As issued."""


def a_reading(session: Session) -> None:
    """One reading that complies and one that is too cold."""
    requirement = session.job("H-014")["steps"][1]["requirements"][0]
    for value in ("312 F", "150 F"):
        session.record("H-014", 40, requirement, {"value": value, "place": value})


def performed(session: Session) -> None:
    """Everything complies and is signed as performed."""
    accept_step(session, "H-014", 10)
    comply(session, "H-014", 40)
    assert sign(session, "H-014", 40, perform_step(40, "other"), "Ida Weld").recorded


def accepted(session: Session) -> None:
    """Every step accepted."""
    for step in (10, 40, 90):
        accept_step(session, "H-014", step)


STEP = ["enter", "home", "down", "enter"]
WAYS: dict[str, list[str]] = {
    "board": [],
    "job": ["enter"],
    "pieces": ["enter", "p"],
    "pieces split": ["enter", "p", "i"],
    "step": STEP,
    "working": [*STEP, "w"],
    "points": [*STEP, "h"],
    "nonconformances": [*STEP, "n"],
    "charts": [*STEP, "g"],
    "routes": [*STEP, "o"],
    "record": [*STEP, "enter"],
    "perform": [*STEP, "p"],
}
CASES = [
    *((way, a_reading) for way in WAYS),
    *((way, accepted) for way in ("job", "step", "points", "nonconformances")),
    ("step", nothing),
    ("step", performed),
]
AT_AN_END = ("move", "page", "part", "fault", "whole", "commit", "help_quit")
"""Acts that may rightly show nothing new: at an end, of a chart that fits, of the wish to leave."""


@pytest.mark.slow
@pytest.mark.parametrize(("way", "state"), CASES, ids=lambda part: getattr(part, "__name__", part))
async def test_a_key_that_is_shown_does_something_and_one_in_brackets_says_why(
    session: Session, way: str, state: Callable[[Session], None]
) -> None:
    state(session)
    app = app_on(session)
    async with app.run_test(size=(160, 50)) as pilot:
        await press(pilot, *WAYS[way])
        page = app.screen
        assert isinstance(page, Page)
        for key, active in list(page.active_bindings.items()):
            name, words = active.binding.id, active.binding.description
            if name is None or name in ("app.quit", "board.quit") or active.node is not page:
                continue
            before = screen_text(app)
            await press(pilot, key)
            if not active.enabled:
                assert app.screen is page
                reason = page.why_not(active.binding.action)
                assert reason, f"{way}: {key} is in brackets without a reason"
                assert one_line(f"{words}: {reason}") in one_line(screen_text(app)), f"{way}: {key}"
                continue
            moved = app.screen is not page or screen_text(app) != before
            unseen = active.binding.action.partition("(")[0].rpartition(".")[2] in AT_AN_END
            assert moved or unseen, f"{way}: {key} {words} does nothing"
            await _back_to(pilot, page, WAYS[way])
            page = app.screen
            assert isinstance(page, Page)


async def _back_to(pilot: Pilot[int], page: Page[object], way: list[str]) -> None:
    """To the screen again, whatever a key has opened or closed."""
    app = pilot.app
    for _ in range(6):
        if app.screen is page:
            return
        if page not in app.screen_stack:
            break
        await press(pilot, "escape")
    while len(app.screen_stack) > 1:
        await press(pilot, "escape")
    await press(pilot, *way)
    assert type(app.screen) is type(page)


@pytest.mark.slow
@pytest.mark.parametrize("way", WAYS)
async def test_the_help_begins_with_the_screen(session: Session, way: str) -> None:
    a_reading(session)
    app = app_on(session)
    async with app.run_test(size=(40, 12)) as pilot:
        await press(pilot, *WAYS[way])
        page = app.screen
        assert isinstance(page, Page)
        entries = doable_here(page)
        await press(pilot, "f1")
        assert isinstance(app.screen, Help)
        first = one_line(screen_text(app))
        assert page.PURPOSE[:50] in first
        await pilot.resize_terminal(140, 200)
        await pilot.pause()
        text = one_line(screen_text(app))
        for entry in entries:
            if not entry.moves:
                assert one_line(f"{entry.key} {entry.words}") in text.replace("(", "").replace(")", "") or (
                    one_line(f"({entry.key}) {entry.words}") in text
                )
                assert f"not now: {one_line(entry.reason)}" in text if entry.reason else True
        if isinstance(page, Form):
            for field in page.fields:
                assert one_line(f"{field.label}: {field.hint}") in text


def test_every_screen_says_what_it_is_for() -> None:
    kinds = [kind for kind in _kinds("screens", Page) if kind.__name__ not in BARE]
    assert len(kinds) > 15
    for kind in kinds:
        assert len(vars(kind).get("PURPOSE", "")) > 20, f"{kind.__name__} has no PURPOSE of its own"


async def test_the_main_act_that_is_not_possible_has_its_reason_in_view(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=(40, 12)) as pilot:
        await press(pilot, *STEP)
        assert isinstance(app.screen, ListPage)
        assert "Acceptance waits for:" in one_line(screen_text(app))


async def test_enter_on_the_last_field_names_the_key_that_records(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, *STEP, "enter", *typed("312 F"), *(["enter"] * 4))
        assert "F10: Record" in screen_text(app)
