"""Every screen by a maker, on the demo shop. One line more, and a new screen has its golden files and its checks."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from textual.screen import Screen

from traveler.job.again import Asked
from traveler.job.sheet_write import write_sheet
from traveler.tui.decided_acts import open_nonconformance
from traveler.tui.drafts import Draft
from traveler.tui.outside_acts import send
from traveler.tui.part_acts import correct, inspect
from traveler.tui.part_wording import part_entries, part_entry, part_lines
from traveler.tui.register_acts import new_instrument
from traveler.tui.register_wording import Entry
from traveler.tui.screens.act import ActForm
from traveler.tui.screens.again import CompareWith, Differences, MakeAgain
from traveler.tui.screens.attach import AttachChart
from traveler.tui.screens.bench import Bench
from traveler.tui.screens.bench_forms import BenchCorrect, BenchTryAgain
from traveler.tui.screens.board import Board
from traveler.tui.screens.charts import ChartPage, Charts
from traveler.tui.screens.correct import Correct, TryAgain
from traveler.tui.screens.inventory import Fillers, Instruments, Material
from traveler.tui.screens.job import Job
from traveler.tui.screens.locked import Locked
from traveler.tui.screens.nonconformances import NonconformancePage, Nonconformances
from traveler.tui.screens.outside import Outside
from traveler.tui.screens.paper import AttachPaper
from traveler.tui.screens.papers import Papers
from traveler.tui.screens.parts import FindPart, Parts
from traveler.tui.screens.people import People
from traveler.tui.screens.pieces import Pieces, PiecesForm
from traveler.tui.screens.points import Points
from traveler.tui.screens.reading import Reading
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

PREHEAT, WELD, RELIEF, CLOSED = ("DEMO-2", 30), ("DEMO-3", 40), ("DEMO-6", 60), "DEMO-1"
AT_VENDOR, REPAIRED = ("DEMO-7", 60), "DEMO-8"


def _first(session: Session, step: tuple[str, int]) -> dict[str, Any]:
    job, number = step
    steps = session.job(job)["steps"]
    found: dict[str, Any] = next(s for s in steps if s["number"] == number)["requirements"][0]
    return found


def _soak(step: int) -> Any:
    return open_nonconformance(step, "soak temperature", "J1", ["J1"])


NEW_JOB = {
    "job.number": "N-100",
    "job.title": "Damper bracket, invented",
    "job.units": "inch",
    "job.decides": "welding engineer",
    "material[0].id": "plate",
    "material[0].grade": "4130",
    "material[0].condition": "normalized",
    "material[0].composition": "C 0.30, Si 0.27, Mn 0.51, Cr 0.96, Mo 0.19",
    "material[1].id": "tab",
    "material[1].grade": "S355J2",
    "material[1].condition": "as rolled",
    "filler[0].id": "rod",
    "filler[0].classification": "ER70S-2",
    "filler[0].hydrogen": "H5",
    "joint[0].id": "J1",
    "joint[0].type": "T fillet",
    "joint[0].process": "141",
    "joint[0].filler": "rod",
    "joint[0].arc_energy": "1.0 kJ/mm",
    "joint[0].member[0].material": "plate",
    "joint[0].member[0].form": "plate",
    "joint[0].member[0].thickness": "1/4 in",
    "joint[0].member[1].material": "tab",
    "joint[0].member[1].form": "plate",
    "joint[0].member[1].thickness": "3/16 in",
}
"""What somebody entered for an invented job, page by page."""


def _release(session: Session) -> ReleaseSheet:
    text = write_sheet(NEW_JOB)
    return ReleaseSheet(session, NEW_JOB, session.new_jobs.plan(text), text)


RICHER = {
    "material[0].heat_number": "DEMO-H301",
    "material[0].certificate": "3.1",
    "material[0].composition": "C 0.33, Si 0.30, Mn 0.60, Cr 1.10, Mo 0.24",
    "joint[0].member[1].thickness": "1/4 in",
}


def _again(session: Session) -> tuple[dict[str, Any], dict[str, str]]:
    """The closed job once more from a richer heat and thicker sheet: the differences, and what was entered."""
    asked = Asked("DEMO-9", same_heat=("tab", "rod"), as_built=("D1",))
    entered = {**session.new_jobs.again(CLOSED, asked), **RICHER}
    return session.new_jobs.compared(CLOSED, write_sheet(entered)), entered


def _counter(counter: str, used: str, limit: str | None = None, left: str | None = None) -> dict[str, Any]:
    return {"counter": counter, "used": used, "limit": limit, "left": left, "reached": False, "unknown": 0}


def _befell(entry: int, on: str, what: str, superseded: str | None = None) -> dict[str, Any]:
    by = {"name": "Nell Fettle (demo)", "how": "stated", "id": None}
    return {"on": on, "what": what, "by": by, "entry": entry, "superseded": superseded}


PART: dict[str, Any] = {
    "serial": "RU-7",
    "design": "invented demo part PB-12, left",
    "job": CLOSED,
    "revision": 1,
    "code": "DTUC-UVI4-LN36-67DM",
    "car": "car 7",
    "state": "inspect now",
    "why": ["crash: hit the wall (demo) on 2026-03-12"],
    "interval": "10 events, 40 h, 12 months",
    "due_on": "2027-03-09",
    "since_inspection": [
        _counter("events", "4 events", "10 events", "6 events"),
        _counter("hours", "31 h", "40 h", "9 h"),
        _counter("distance", "0"),
    ],
    "nearest": "9 h left of 40 h",
    "in_all": [_counter("events", "4 events"), _counter("hours", "31 h"), _counter("distance", "0")],
    "as_built": [{"dimension": "D1", "title": "tab hole to tube centreline", "size": "1.384 in"}],
    "measured": [
        {"dimension": "D1", "on": "2026-03-10", "words": "D1 1.39 in, as built 1.384 in: +0.006 in"}
    ],
    "history": [
        _befell(2, "2026-03-09", f"made in job {CLOSED}"),
        _befell(3, "2026-03-09", "installed on car 7"),
        _befell(5, "2026-03-11", "used: three days of testing (demo) (4 events, 31 h)"),
        _befell(8, "2026-03-12", "crash: hit the wall (demo)"),
    ],
    "jobs": [{"job": CLOSED, "title": "Pedal-box brace, tube to tab", "state": "closed", "made_here": True}],
    "spares": [{"serial": "RU-8", "state": "fit", "car": None, "job": CLOSED}],
}
"""An invented part, as a look at the register gives it."""


class NoParts(Parts):
    """The register of a shop in which no part has a serial yet."""

    def read(self) -> Sequence[Entry]:
        """Nothing."""
        return []


class ThreeParts(Parts):
    """The register with three parts that are made up for the look."""

    def read(self) -> Sequence[Entry]:
        """One fit, one withdrawn, one that was in a crash."""
        fit = {**PART, "serial": "RU-8", "state": "fit", "why": [], "car": None}
        gone = {
            **PART,
            "serial": "RU-6",
            "state": "withdrawn",
            "why": ["withdrawn: bent (demo)"],
            "car": None,
        }
        return part_entries([fit, gone, PART])

    def against_acts(self, key: str) -> Mapping[str, str]:
        """The shop of the look knows none of them."""
        return {}


def _half_typed(session: Session) -> Session:
    session.drafts.keep(Draft("Record x", {"value": "31"}, "Record x", "Record", *PREHEAT, "x"))
    return session


ELSEWHERE = {
    "Everything": "opened on a step by its key, as everything",
    "Help": "opened on a step by its key, as help",
    "RecoveryCode": "test_tui_register_people.py: needs a code that was made",
}
"""Screens that need more than the demo shop, and where they are looked at instead."""

SCREENS: Mapping[str, Callable[[Session], Screen[Any]]] = {
    "accept": lambda s: Accept(s, *PREHEAT),
    "bench": lambda s: Bench(s, *PREHEAT),
    "bench-correct": lambda s: BenchCorrect(s, *PREHEAT, _first(s, PREHEAT), "inch"),
    "bench-try-again": lambda s: BenchTryAgain(s, *PREHEAT, _first(s, PREHEAT)),
    "fillers-none": Fillers,
    "instruments-none": Instruments,
    "material-none": Material,
    "parts-none": NoParts,
    "parts": ThreeParts,
    "part": lambda s: EntryPage(s, "Part RU-7", lambda: part_lines(PART)),
    "part-find": lambda s: FindPart(s, ""),
    "part-wrong-entry": lambda s: RegisterForm(s, lambda: correct(PART, part_entry(PART).details)),
    "part-inspect": lambda s: RegisterForm(s, lambda: inspect(PART, part_entry(PART).details)),
    "people-none": People,
    "register-entry": lambda s: EntryPage(s, "I1 contact probe", lambda: ("registered by Ada Lund",)),
    "register-form": lambda s: RegisterForm(s, new_instrument),
    "registers": Registers,
    "settings": Settings,
    "make-again": lambda s: MakeAgain(s, CLOSED),
    "compare": lambda s: CompareWith(s, s.job(CLOSED)),
    "differences": lambda s: Differences(s, *_again(s)),
    "sheet-again": lambda s: SheetPage(s, _again(s)[1], "material[0]"),
    "sheet-review-again": lambda s: SheetReview(s, _again(s)[1]),
    "papers": lambda s: Papers(s, s.job(CLOSED)),
    "sheet-page": lambda s: SheetPage.begin_or_go_on(s),
    "sheet-release": _release,
    "sheet-review": lambda s: SheetReview(s, NEW_JOB),
    "sheet-save": lambda s: SaveSheet(s, "N-100", "text"),
    "shop-nonconformances": ShopNonconformances,
    "unfinished": lambda s: Unfinished(_half_typed(s)),
    "where": lambda s: Where(s, "DEMO-H201"),
    "which-heat": WhichHeat,
    "act": lambda s: ActForm(s, *RELIEF, lambda _: _soak(RELIEF[1])),
    "attach": lambda s: AttachChart(s, *RELIEF),
    "board": Board,
    "chart": lambda s: ChartPage(s, *RELIEF, 1),
    "charts": lambda s: Charts(s, *RELIEF),
    "charts-none": lambda s: Charts(s, *WELD),
    "close": lambda s: Close(s, PREHEAT[0]),
    "correct": lambda s: Correct(s, *PREHEAT, _first(s, PREHEAT)),
    "everything": lambda s: Step(s, *PREHEAT),
    "help": lambda s: Step(s, *PREHEAT),
    "job": lambda s: Job(s, PREHEAT[0]),
    "job-closed": lambda s: Job(s, CLOSED),
    "job-conflict": lambda s: Job(s, "DEMO-5"),
    "joints": lambda s: Joints(s, PREHEAT[0], ("J1",)),
    "locked": Locked,
    "nonconformance": lambda s: NonconformancePage(s, RELIEF[0], 1),
    "nonconformances": lambda s: Nonconformances(s, *RELIEF, "soak temperature", "J1"),
    "perform": lambda s: Perform(s, *WELD),
    "outside": lambda s: Outside(s, *AT_VENDOR),
    "outside-none": lambda s: Outside(s, *RELIEF),
    "outside-send": lambda s: ActForm(s, *RELIEF, lambda traveler: send(step_of(traveler, RELIEF[1]))),
    "paper": lambda s: AttachPaper(s, *RELIEF),
    "pieces": lambda s: Pieces(s, AT_VENDOR[0]),
    "pieces-of-repair": lambda s: Pieces(s, REPAIRED),
    "pieces-none": lambda s: Pieces(s, PREHEAT[0]),
    "pieces-join": lambda s: PiecesForm(s, PREHEAT[0], "join"),
    "points-none": lambda s: Points(s, *RELIEF),
    "reading": lambda s: Reading(s, *PREHEAT, _first(s, PREHEAT)),
    "reading-choice": lambda s: Reading(s, "DEMO-2", 10, _first(s, ("DEMO-2", 10))),
    "reading-refused": lambda s: Reading(s, *PREHEAT, _first(s, PREHEAT)),
    "retry": lambda s: TryAgain(s, *PREHEAT, _first(s, PREHEAT)),
    "routes": lambda s: Routes(s, s.job(PREHEAT[0]), "J1", s.routes(s.job(PREHEAT[0]), "J1")),
    "step": lambda s: Step(s, *PREHEAT),
    "step-relief": lambda s: Step(s, *RELIEF),
    "step-weld": lambda s: Step(s, *WELD),
    "working": lambda s: Working(s, *PREHEAT, requirement_key(_first(s, PREHEAT))),
}

PRESSED: Mapping[str, tuple[str, ...]] = {
    "everything": ("f2",),
    "help": ("question_mark",),
    "reading-choice": ("2",),
    "reading-refused": ("3", "0", "0", "f10"),
}
"""Keys that bring a screen into the state that is to be seen; nothing is recorded by them."""
