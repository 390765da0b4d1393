"""Every key is named once, explained, listed in docs/keys.md, and does something."""

import re
import subprocess
import sys
from pathlib import Path

from textual.binding import Binding
from tui_kit import app_on, one_line, press, screen_text

from traveler.tui.app import TravelerApp
from traveler.tui.keys import GROUPS, listed
from traveler.tui.screens.act import ActForm
from traveler.tui.screens.bench_page import BenchPage
from traveler.tui.screens.board import Board
from traveler.tui.screens.charts import ChartPage, Charts
from traveler.tui.screens.correct import Correct, TryAgain
from traveler.tui.screens.form import Form
from traveler.tui.screens.help import Help
from traveler.tui.screens.inventory import Fillers, Instruments, Material
from traveler.tui.screens.job import Job
from traveler.tui.screens.locked import Locked
from traveler.tui.screens.nonconformances import Nonconformances
from traveler.tui.screens.page import ListPage
from traveler.tui.screens.people import People
from traveler.tui.screens.pieces import Pieces, PiecesForm
from traveler.tui.screens.points import Points
from traveler.tui.screens.reading import Reading
from traveler.tui.screens.recovery_code import RecoveryCode
from traveler.tui.screens.register_form import RegisterForm
from traveler.tui.screens.registers import Registers
from traveler.tui.screens.routes import Joints, Routes
from traveler.tui.screens.settings import Settings
from traveler.tui.screens.shop_nonconformances import ShopNonconformances
from traveler.tui.screens.sign import Accept, Close, Perform
from traveler.tui.screens.step import Step
from traveler.tui.screens.unfinished import Unfinished
from traveler.tui.screens.where import Where, WhichHeat
from traveler.tui.screens.working import Working
from traveler.tui.session import Session
from traveler.tui.widgets.field import Choices

DOCS = Path(__file__).parents[2] / "docs" / "keys.md"
BINDERS = (
    TravelerApp, ListPage, Board, Job, Step, Working, Routes, Joints, Help, Points, Nonconformances, Charts, ChartPage,
    BenchPage,
    Unfinished,
    Form, Reading, Correct, TryAgain, Perform, Accept, Close, ActForm, Locked, Choices,
    Registers, Instruments, Material, Fillers, People, Settings, ShopNonconformances, Where, WhichHeat, RegisterForm,
    RecoveryCode, Pieces, PiecesForm,
)  # fmt: skip
QUEUED = {"page('up')", "page('down')", "quit", "help_quit"}
"""Actions that change nothing another key of the same burst relies on."""


def _own(binder: type) -> list[Binding]:
    return [binding for binding in vars(binder).get("BINDINGS", ()) if isinstance(binding, Binding)]


def test_every_binding_has_an_id_a_tooltip_and_a_place_in_the_groups() -> None:
    grouped = {binding.id for group in GROUPS for binding in group.keys}
    for binder in BINDERS:
        for binding in _own(binder):
            assert binding.id, binding
            assert binding.tooltip, binding
            assert binding.id in grouped, binding
    ids = [binding.id for group in GROUPS for binding in group.keys]
    assert len(ids) == len(set(ids))


def test_on_forms_every_key_is_taken_in_its_turn_that_a_later_one_relies_on() -> None:
    forms = (
        BenchPage,
        Form, Reading, Correct, TryAgain, Perform, Accept, Close, ActForm, RegisterForm, RecoveryCode, WhichHeat,
        Locked, Choices, TravelerApp,
    )  # fmt: skip
    for binder in forms:
        for binding in _own(binder):
            assert binding.priority == (binding.action not in QUEUED), binding


def test_the_documentation_lists_the_keys_as_they_are() -> None:
    written = re.findall(r"^\| (.+?) \| (.+?) \|$", DOCS.read_text("utf-8"), flags=re.MULTILINE)
    rows = [(keys.replace("`", ""), words) for keys, words in written if not keys.startswith(("Key", "---"))]
    assert rows == [row for group in GROUPS for row in listed(group, {})]
    for group in GROUPS:
        assert f"## {group.title}" in DOCS.read_text("utf-8")


async def test_the_help_lists_them_too(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=(120, 340)) as pilot:
        await press(pilot, "question_mark")
        text = one_line(screen_text(app))
    for group in GROUPS:
        for keys, words in listed(group, {}):
            assert one_line(f"{keys} {words}") in text


async def test_a_key_that_cannot_be_used_stands_in_brackets_and_says_why(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "enter", "down", "enter")
        text = screen_text(app)
        for words in ("(a Accept)", "(c Correct)", "(t Try again)"):
            assert words in text
        for key, reason in (
            ("c", "no reading stands here"),
            ("t", "no standing reading is too cold"),
            ("a", "waits for preheat temperature not shown"),
        ):
            await press(pilot, key)
            assert isinstance(app.screen, Step)
            assert reason in one_line(screen_text(app))


def test_opening_the_app_loads_nothing_that_first_paint_does_not_need() -> None:
    heavy = (
        "pint",
        "sqlite_utils",
        "typst",
        "textual.widgets._markdown",
        "traveler.job.plan",
        "traveler.library.load",
    )
    asked = f"import sys; import traveler.tui.app; print([name for name in {heavy!r} if name in sys.modules])"
    ran = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"
