"""Where a heat or a lot went: the jobs, with joints, steps and runs."""

from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Static

from traveler.report.words import count_words, visible
from traveler.tui.keys import WHERE_OPEN
from traveler.tui.layout import Row, lead_width
from traveler.tui.register_wording import where_lines
from traveler.tui.screens.page import ListPage
from traveler.tui.session import Session
from traveler.tui.widgets.rows import Rows

Json = dict[str, Any]


class Where(ListPage[None]):
    """One row a job; ``lot`` is the id of a lot."""

    BINDINGS: ClassVar[list[BindingType]] = [WHERE_OPEN]

    def __init__(self, session: Session, lot: str) -> None:
        super().__init__(session)
        self.lot = lot

    def compose_body(self) -> ComposeResult:
        """The jobs, or that there is none."""
        yield Rows()
        yield Static("It is in no job.", id="empty", markup=False)

    def reload(self) -> None:
        """Look through the jobs."""
        found = self.session.registers.where(self.lot)
        jobs = found["jobs"]
        lots = ", ".join(f"{lot['lot']} {visible(lot['name'])}" for lot in found["lots"])
        self.set_heading(f"Where did it go: {lots}", count_words(len(jobs), "job"))
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
