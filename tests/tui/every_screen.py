"""Every screen of the app by a maker, on the shop of this folder's ``session``. A new screen is added here, and every
check of test_tui_every_screen.py holds for it from then on; a test fails for a screen that is not here."""

from collections.abc import Callable, Mapping
from typing import Any

from textual.screen import Screen

from traveler.job.person import Person
from traveler.tui.decided_acts import not_applicable, open_nonconformance
from traveler.tui.drafts import Draft
from traveler.tui.outside_acts import receive, send
from traveler.tui.register_acts import new_instrument
from traveler.tui.screens.act import ActForm
from traveler.tui.screens.again import CompareWith, Differences, MakeAgain
from traveler.tui.screens.attach import AttachChart
from traveler.tui.screens.bench import Bench
from traveler.tui.screens.bench_forms import BenchCorrect, BenchTryAgain
from traveler.tui.screens.board import Board
from traveler.tui.screens.charts import ChartPage, Charts
from traveler.tui.screens.correct import Correct, TryAgain
from traveler.tui.screens.everything import Everything
from traveler.tui.screens.form import Form
from traveler.tui.screens.help import Help
from traveler.tui.screens.inventory import Fillers, Instruments, Material
from traveler.tui.screens.job import Job
from traveler.tui.screens.locked import Locked
from traveler.tui.screens.nonconformances import NonconformancePage, Nonconformances
from traveler.tui.screens.outside import Outside
from traveler.tui.screens.page import Page
from traveler.tui.screens.paper import AttachPaper
from traveler.tui.screens.papers import Papers
from traveler.tui.screens.parts import FindPart, Parts
from traveler.tui.screens.people import People
from traveler.tui.screens.pieces import Pieces, PiecesForm
from traveler.tui.screens.points import Points
from traveler.tui.screens.reading import Reading
from traveler.tui.screens.recovery_code import RecoveryCode
from traveler.tui.screens.register_form import RegisterForm
from traveler.tui.screens.register_list import EntryPage
from traveler.tui.screens.registers import Registers
from traveler.tui.screens.routes import Joints, Routes
from traveler.tui.screens.settings import Settings
from traveler.tui.screens.sheet_out import ReleaseSheet, SaveSheet
from traveler.tui.screens.sheet_page import SheetPage
from traveler.tui.screens.sheet_review import SheetReview
from traveler.tui.screens.shop_nonconformances import ShopNonconformances
from traveler.tui.screens.sign import Accept, Close, Perform
from traveler.tui.screens.signature import step_of
from traveler.tui.screens.step import Step
from traveler.tui.screens.unfinished import Unfinished
from traveler.tui.screens.where import Where, WhichHeat
from traveler.tui.screens.working import Working
from traveler.tui.session import Session
from traveler.tui.wording import requirement_key

JOB, STEP = "H-014", 40

Make = Callable[[Session], Screen[Any]]


def _requirement(session: Session) -> dict[str, Any]:
    step = next(step for step in session.job(JOB)["steps"] if step["number"] == STEP)
    found: dict[str, Any] = step["requirements"][0]
    return found


def _after_a_reading(session: Session) -> dict[str, Any]:
    session.record(JOB, STEP, _requirement(session), {"value": "212 F", "place": "plate"})
    return _requirement(session)


def _sent(session: Session) -> dict[str, Any]:
    """The step, sent to an invented vendor."""
    step = step_of(session.job(JOB), STEP)
    if "sendings" not in step:
        typed = dict.fromkeys(("order", "what", "pieces", "requirement", "papers", "expected"), "")
        act = send(step)
        typed |= {"vendor": "Alder Heat Treating [invented]"}
        told = session.sign(JOB, act, Person("Wim Two"), typed, step["content"])
        assert told.recorded
    return step_of(session.job(JOB), STEP)


def _away(session: Session) -> Session:
    _sent(session)
    return session


def _with_a_draft(session: Session) -> Session:
    session.drafts.keep(Draft("Record x", {"value": "31"}, "Record x", "Record", JOB, STEP, "x"))
    return session


FORMS: Mapping[str, Callable[[Session], Form]] = {
    "Reading": lambda s: Reading(s, JOB, STEP, _requirement(s)),
    "Correct": lambda s: Correct(s, JOB, STEP, _after_a_reading(s)),
    "TryAgain": lambda s: TryAgain(s, JOB, STEP, _after_a_reading(s)),
    "Perform": lambda s: Perform(s, JOB, STEP),
    "Accept": lambda s: Accept(s, JOB, STEP),
    "Close": lambda s: Close(s, JOB),
    "PiecesForm": lambda s: PiecesForm(s, JOB, "join"),
    "PiecesForm, split": lambda s: PiecesForm(s, JOB, "split"),
    "PiecesForm, gone": lambda s: PiecesForm(s, JOB, "gone"),
    "ActForm": lambda s: ActForm(
        s, JOB, STEP, lambda traveler: open_nonconformance(STEP, "preheat temperature", "J1", ["J1"])
    ),
    "ActForm, not applicable": lambda s: ActForm(
        s, JOB, STEP, lambda traveler: not_applicable(STEP, _requirement(s))
    ),
    "AttachChart": lambda s: AttachChart(s, JOB, STEP),
    "AttachPaper": lambda s: AttachPaper(s, JOB, STEP),
    "ActForm, received": lambda s: ActForm(s, JOB, STEP, lambda traveler: receive(_sent(s))),
    "Locked": Locked,
    "BenchCorrect": lambda s: BenchCorrect(s, JOB, STEP, _after_a_reading(s), "inch"),
    "BenchTryAgain": lambda s: BenchTryAgain(s, JOB, STEP, _after_a_reading(s)),
    "RegisterForm": lambda s: RegisterForm(s, new_instrument),
    "WhichHeat": WhichHeat,
    "FindPart": lambda s: FindPart(s, ""),
    "MakeAgain": lambda s: MakeAgain(s, JOB),
    "CompareWith": lambda s: CompareWith(s, s.job(JOB)),
    "Papers": lambda s: Papers(s, s.job(JOB)),
    "SheetPage": SheetPage.begin_or_go_on,
    "SaveSheet": lambda s: SaveSheet(s, "N-100", "text"),
}
PAGES: Mapping[str, Make] = {
    "Board": Board,
    "Job": lambda s: Job(s, JOB),
    "Step": lambda s: Step(s, JOB, STEP),
    "Working": lambda s: Working(s, JOB, STEP, requirement_key(_requirement(s))),
    "Points": lambda s: Points(s, JOB, STEP),
    "Outside": lambda s: Outside(_away(s), JOB, STEP),
    "Nonconformances": lambda s: Nonconformances(s, JOB, STEP, "preheat temperature", "J1"),
    "Charts": lambda s: Charts(s, JOB, STEP),
    "Joints": lambda s: Joints(s, JOB, ("J1",)),
    "Pieces": lambda s: Pieces(s, JOB),
    "Unfinished": lambda s: Unfinished(_with_a_draft(s)),
    "Bench": lambda s: Bench(s, JOB, STEP),
    "Registers": Registers,
    "Parts": Parts,
    "Instruments": Instruments,
    "Material": Material,
    "Fillers": Fillers,
    "People": People,
    "Settings": Settings,
    "ShopNonconformances": ShopNonconformances,
    "Where": lambda s: Where(s, "A7731"),
    "EntryPage": lambda s: EntryPage(s, "I1 contact probe", lambda: ("registered by Ada Lund",)),
}
ELSEWHERE: Mapping[type[Page[Any]], str] = {
    ChartPage: "test_tui_charts.py: needs a chart that was recorded",
    NonconformancePage: "test_tui_points.py: needs a nonconformance that was opened",
    Help: "test_tui_keys.py and test_tui_truth.py: needs a screen beneath it",
    Everything: "test_tui_everything.py: needs a screen beneath it",
    ReleaseSheet: "test_tui_new_job.py: needs a plan",
    SheetReview: "test_tui_new_job.py: needs a sheet",
    RecoveryCode: "test_tui_register_people.py: needs a code that was made",
    Differences: "test_tui_again.py: needs two sheets",
    Routes: "test_tui_routes.py: needs the routes weighed",
}
"""Screens that need more than the shop of this folder, and where they are looked at instead."""
