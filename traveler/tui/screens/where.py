"""Where a heat or a lot went: the jobs, with joints, steps and runs."""

from collections.abc import Sequence
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Static

from traveler.report.words import count_words, visible
from traveler.tui.entered import Told, said
from traveler.tui.keys import commit
from traveler.tui.keys_registers import WHERE_OPEN
from traveler.tui.layout import Row, lead_width
from traveler.tui.register_wording import where_lines
from traveler.tui.screens.form import Form
from traveler.tui.screens.page import ListPage
from traveler.tui.session import Session
from traveler.tui.widgets.field import Field, TextField
from traveler.tui.widgets.rows import Rows

Json = dict[str, Any]


class WhichHeat(Form):
    """Asks which heat. Nothing is recorded by it; what it returns is the heat as typed."""

    PURPOSE = "Ask for a heat or a batch: in which jobs, steps, joints and runs it is."

    BINDINGS: ClassVar[list[BindingType]] = [commit("Look")]

    def __init__(self, session: Session) -> None:
        super().__init__(session, "where did it go")

    def make_fields(self) -> Sequence[Field]:
        """The heat."""
        return [TextField("heat", "Heat", "a heat number, a batch number of filler, or the id of a lot")]

    def reload(self) -> None:
        """Say what is asked."""
        self.set_heading("Where did it go?")
        super().reload()

    def matter(self) -> list[str]:
        """What is looked through."""
        return ["Every job is looked through: what its sheets plan and what its readings name."]

    def commit(self, typed: dict[str, str]) -> Told:
        """What to look for."""
        return Told(True, True, said(typed, "heat", "say which heat, batch or lot"))


class Where(ListPage[None]):
    """One row a job; ``asked`` is a heat number, a batch number or the id of a lot."""

    PURPOSE = "In which jobs, steps, joints and runs a heat or batch is."

    BINDINGS: ClassVar[list[BindingType]] = [WHERE_OPEN]

    def __init__(self, session: Session, asked: str) -> None:
        super().__init__(session)
        self.asked = asked

    def compose_body(self) -> ComposeResult:
        """The jobs, or that there is none."""
        yield Rows()
        yield Static("It is in no job.", id="empty", markup=False)

    def reload(self) -> None:
        """Look through the jobs."""
        found = self.session.registers.where(self.asked)
        jobs = found["jobs"]
        lots = ", ".join(f"{lot['lot']} {visible(lot['name'])}" for lot in found["lots"])
        self.set_heading(f"Where did it go: {lots or visible(self.asked)}", count_words(len(jobs), "job"))
        width = lead_width([visible(job["job"]) for job in jobs], 14)
        self.rows.show([Row(job["job"], visible(job["job"]), width, tuple(where_lines(job))) for job in jobs])
        self.set_class(not jobs, "-empty")

    def why_not(self, action: str) -> str:
        """No job, none to open."""
        return "it is in no job" if action == "open" and self.rows.key is None else ""

    async def action_open(self) -> None:
        """Open the job under the cursor."""
        from traveler.tui.screens.job import Job

        if self.rows.key is not None:
            await self.app.push_screen(Job(self.session, self.rows.key), self.told)
