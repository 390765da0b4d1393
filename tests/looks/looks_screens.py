"""Every screen by a maker, on the demo shop. One line more, and a new screen has its golden files and its checks."""

from collections.abc import Callable, Mapping
from typing import Any

from textual.screen import Screen

from traveler.tui.decided_acts import open_nonconformance
from traveler.tui.screens.act import ActForm
from traveler.tui.screens.attach import AttachChart
from traveler.tui.screens.board import Board
from traveler.tui.screens.charts import ChartPage, Charts
from traveler.tui.screens.correct import Correct, TryAgain
from traveler.tui.screens.help import Help
from traveler.tui.screens.job import Job
from traveler.tui.screens.locked import Locked
from traveler.tui.screens.nonconformances import NonconformancePage, Nonconformances
from traveler.tui.screens.points import Points
from traveler.tui.screens.reading import Reading
from traveler.tui.screens.routes import Joints, Routes
from traveler.tui.screens.sign import Accept, Close, Perform
from traveler.tui.screens.step import Step
from traveler.tui.screens.working import Working
from traveler.tui.session import Session
from traveler.tui.wording import requirement_key

PREHEAT, WELD, RELIEF, CLOSED = ("DEMO-2", 30), ("DEMO-3", 40), ("DEMO-6", 60), "DEMO-1"


def _first(session: Session, step: tuple[str, int]) -> dict[str, Any]:
    job, number = step
    steps = session.job(job)["steps"]
    found: dict[str, Any] = next(s for s in steps if s["number"] == number)["requirements"][0]
    return found


def _soak(step: int) -> Any:
    return open_nonconformance(step, "soak temperature", "J1", ["J1"])


SCREENS: Mapping[str, Callable[[Session], Screen[Any]]] = {
    "accept": lambda s: Accept(s, *PREHEAT),
    "act": lambda s: ActForm(s, *RELIEF, lambda _: _soak(RELIEF[1])),
    "attach": lambda s: AttachChart(s, *RELIEF),
    "board": Board,
    "chart": lambda s: ChartPage(s, *RELIEF, 1),
    "charts": lambda s: Charts(s, *RELIEF),
    "charts-none": lambda s: Charts(s, *WELD),
    "close": lambda s: Close(s, PREHEAT[0]),
    "correct": lambda s: Correct(s, *PREHEAT, _first(s, PREHEAT)),
    "help": Help,
    "job": lambda s: Job(s, PREHEAT[0]),
    "job-closed": lambda s: Job(s, CLOSED),
    "job-conflict": lambda s: Job(s, "DEMO-5"),
    "joints": lambda s: Joints(s, PREHEAT[0], ("J1",)),
    "locked": Locked,
    "nonconformance": lambda s: NonconformancePage(s, RELIEF[0], 1),
    "nonconformances": lambda s: Nonconformances(s, *RELIEF, "soak temperature", "J1"),
    "perform": lambda s: Perform(s, *WELD),
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

PRESSED: Mapping[str, tuple[str, ...]] = {"reading-choice": ("2",), "reading-refused": ("3", "0", "0", "f10")}
"""Keys that bring a screen into the state that is to be seen; nothing is recorded by them."""
