"""What holds for every screen and every form there is, by the list of makers in every_screen.py."""

import importlib
import inspect
import pkgutil
from pathlib import Path
from typing import Any

import pytest
from every_screen import ELSEWHERE, FORMS, JOB, PAGES
from textual.events import Paste
from textual.widgets import Input
from tui_kit import app_on, one_line, press, screen_text

from traveler.acts.typed import LONGEST
from traveler.tui import screens
from traveler.tui.screens.form import Form
from traveler.tui.screens.page import Page
from traveler.tui.session import Session
from traveler.tui.widgets.field import TextField
from traveler.tui.widgets.line import Line

pytestmark = pytest.mark.slow

SIZE = (80, 24)
FUNCTION_KEYS = tuple(f"f{number}" for number in range(1, 25) if number != 10)
MASHED = ("ctrl+c", "ctrl+z", "ctrl+backslash", "ctrl+l", "ctrl+d", "insert", "ctrl+up")
ACTING = "a\x1b[2Jb"
NASTY = ("[/] [A36] [@click=app.quit]x[/]", "עברית ١٢", "溶接 支架 🔧", "e\u0301\u202ex")


@pytest.fixture(autouse=True)
def _a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Forms that write files are filled in with anything, and some of it is a name for a file."""
    monkeypatch.chdir(tmp_path)


def _subclasses(base: type[Any]) -> set[type[Any]]:
    return {base} | {found for child in base.__subclasses__() for found in _subclasses(child)}


async def test_every_screen_is_in_the_list(session: Session) -> None:
    for module in pkgutil.iter_modules(screens.__path__):
        importlib.import_module(f"{screens.__name__}.{module.name}")
    async with app_on(session).run_test():
        made = {type(make(session)) for make in (*FORMS.values(), *PAGES.values())}
    looked_at = made | set(ELSEWHERE)
    opened = {
        found
        for found in _subclasses(Page)
        if found.__module__.startswith("traveler.") and not inspect.isabstract(found) and not _base(found)
    }
    missing = opened - looked_at
    assert not missing, f"add to every_screen.py: {sorted(found.__name__ for found in missing)}"


def _base(found: type[Any]) -> bool:
    """Whether it only serves others: whatever is opened is at the end of its line."""
    return any(child.__module__.startswith("traveler.") for child in found.__subclasses__())


@pytest.mark.parametrize("name", [*FORMS, *PAGES])
async def test_function_keys_and_mashed_ones_end_nothing_and_record_nothing(
    session: Session, name: str
) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        screen = {**FORMS, **PAGES}[name](session)
        await app.push_screen(screen)
        before = session.events(JOB)
        for key in (*FUNCTION_KEYS, *MASHED):
            app.simulate_key(key)
        await pilot.pause()
        await press(pilot, "escape", "escape", "escape", "escape")
        assert app.is_running
        assert session.events(JOB) == before


@pytest.mark.parametrize("name", [*FORMS, *PAGES])
async def test_any_size_and_back_draws_it_again_as_it_was(session: Session, name: str) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        screen = {**FORMS, **PAGES}[name](session)
        await app.push_screen(screen)
        await pilot.pause()
        if isinstance(screen, Form):
            for field in screen.fields:
                field.put("half typed")
            await pilot.pause()
        before, typed = screen_text(app), screen.values() if isinstance(screen, Form) else {}
        for size in ((40, 12), (1, 1), (5, 1), (3, 24), (200, 2), (60, 20), SIZE):
            await pilot.resize_terminal(*size)
            await pilot.pause()
            screen_text(app)
        assert one_line(screen_text(app)) == one_line(before)
        assert not isinstance(screen, Form) or screen.values() == typed


@pytest.mark.parametrize("name", FORMS)
async def test_tab_goes_down_the_form_and_the_focus_is_seen(session: Session, name: str) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        form = FORMS[name](session)
        await app.push_screen(form)
        await pilot.pause()
        rows = []
        for field in form.fields:
            assert form.focused is field.entry
            rows.append(field.entry.region.y + form.query_one("#form").scroll_offset.y)
            region = field.entry.region
            assert 0 <= region.y < SIZE[1]
            await press(pilot, "tab")
        assert rows == sorted(rows)
        assert form.focused is form.fields[0].entry


@pytest.mark.parametrize("name", FORMS)
async def test_what_cannot_be_pasted_is_refused_in_a_sentence_and_nothing_typed_is_lost(
    session: Session, name: str
) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        form = FORMS[name](session)
        await app.push_screen(form)
        await pilot.pause()
        for field in [field for field in form.fields if isinstance(field, TextField)]:
            field.entry.focus()
            await pilot.pause()
            field.put("before ")
            app.post_message(Paste("x" * 10_240))
            await pilot.pause()
            await (
                pilot.pause()
            )  # the sentence beneath the last field in view is scrolled to once it is laid out
            assert field.value == "before "
            assert "10247 characters are too many; expected at most" in one_line(screen_text(app))
            app.post_message(Paste(ACTING))
            await pilot.pause()
            await pilot.pause()
            assert field.value == "before "
            assert "the character U+001B acts on a terminal" in one_line(screen_text(app))
            app.post_message(Paste("y" * 20))
            await pilot.pause()
            assert field.value == "before " + "y" * 20


@pytest.mark.parametrize("name", FORMS)
async def test_a_paste_with_tabs_and_lines_is_taken_as_if_it_were_typed(session: Session, name: str) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        form = FORMS[name](session)
        await app.push_screen(form)
        await pilot.pause()
        lines = [field for field in form.fields if isinstance(field, TextField)]
        together = 1
        while together < len(form.fields) and all(
            isinstance(f, TextField) for f in form.fields[: together + 1]
        ):
            together += 1
        if not isinstance(form.fields[0], TextField):
            return
        for field in lines:
            field.put("")
        app.post_message(Paste("\t".join(f"part {number}" for number in range(together)) + "\r\n"))
        await pilot.pause()
        assert [field.value for field in form.fields[:together]] == [f"part {n}" for n in range(together)]
        if together < len(form.fields):
            assert form.focused is form.fields[together].entry


@pytest.mark.parametrize("name", FORMS)
async def test_any_text_in_any_field_is_shown_as_it_is(session: Session, name: str) -> None:
    app = app_on(session)
    async with app.run_test(size=(120, 40)) as pilot:
        form = FORMS[name](session)
        await app.push_screen(form)
        await pilot.pause()
        lines = [field for field in form.fields if isinstance(field, TextField)]
        for nasty in NASTY:
            for field in lines:
                field.put(nasty)
            await pilot.pause()
            if nasty == NASTY[0] and lines:
                assert screen_text(app).count(nasty) == len(lines)
            await press(pilot, "f10")
            assert app.is_running
            if app.screen is not form:
                break


async def test_what_is_typed_beyond_the_end_is_said_once(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        form = FORMS["Reading"](session)
        await app.push_screen(form)
        form.fields[1].put("x" * (LONGEST - 1))
        form.fields[1].entry.focus()
        await press(pilot, "y", "z", "z")
        assert form.fields[1].value == "x" * (LONGEST - 1) + "y"
        assert f"no more characters are taken; expected at most {LONGEST}" in one_line(screen_text(app))


@pytest.mark.parametrize(
    ("typed", "beside"),
    [
        ("300 F", "= 148.9 °C"),
        ("150 C", "= 302.0 °F"),
        ("melts 300 F", "= 148.9 °C"),
        ("446F", "= 230.0 °C"),
        ("300", ""),
        ("plate", ""),
    ],
)
async def test_a_value_that_was_left_is_read_back_in_the_other_unit(
    session: Session, typed: str, beside: str
) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        form = FORMS["Reading"](session)
        await app.push_screen(form)
        entry = form.fields[0].entry
        assert isinstance(entry, Line)
        assert isinstance(entry, Input)
        entry.insert_text_at_cursor(typed)
        await press(pilot, "enter")
        shown = next(line for line in screen_text(app).splitlines() if line.strip().startswith("Value"))
        assert shown.endswith(beside or typed)
        assert ("=" in shown) == bool(beside)
        # Typed on, it is no longer so.
        await press(pilot, "shift+tab", "9")
        assert "=" not in next(line for line in screen_text(app).splitlines() if "Value" in line)
