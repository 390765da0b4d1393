"""The board: every job of the shop, the step it stands at and what it waits for."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Static

from traveler.record.shop import BoardRow
from traveler.report.words import count_words, visible
from traveler.tui.entered import Told
from traveler.tui.keys import BOARD_KEYS
from traveler.tui.layout import Row, lead_width
from traveler.tui.screens.page import ListPage
from traveler.tui.theme import tone
from traveler.tui.widgets.rows import Rows
from traveler.tui.wording import brief

EMPTY = (
    "No jobs yet.\n\nn puts one together, page by page.\n\nFrom a job sheet that is a file: leave with q and type\n\n"
    "    traveler new SHEET.toml\n\nor look around in a demo shop with: traveler demo"
)


class Board(ListPage[None]):
    """The first screen."""

    BINDINGS: ClassVar[list[BindingType]] = list(BOARD_KEYS)

    def compose_body(self) -> ComposeResult:
        """The list, or what to do where it is empty."""
        yield Rows()
        yield Static(EMPTY, id="empty", markup=False)

    def reload(self) -> None:
        """Read the board."""
        jobs = self.session.board()
        where = f"{count_words(len(jobs), 'job')} in {visible(self.session.file_name)}"
        self.set_heading(where, self.session.keyboard.words)
        width = lead_width([visible(job.number) for job in jobs], 14)
        self.rows.show([_row(job, width, plain=self.plain) for job in jobs])
        self.set_class(not jobs, "-empty")

    def why_not(self, action: str) -> str:
        """Nothing can be opened on an empty board; Escape leaves nothing from here."""
        if action == "open" and self.rows.key is None:
            return "there is no job yet"
        return ""

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """There is no screen before this one."""
        return False if action == "back" else super().check_action(action, parameters)

    async def action_open(self) -> None:
        """Open the job under the cursor."""
        from traveler.tui.screens.job import Job

        if self.rows.key is not None:
            await self.app.push_screen(Job(self.session, self.rows.key), self.told)

    async def action_new(self) -> None:
        """Put a new job together, or go on with one that was begun."""
        from traveler.tui.screens.sheet_page import SheetPage

        await self.open_form(lambda: SheetPage.begin_or_go_on(self.session), self.told)

    def issued(self, number: str, told: Told) -> None:
        """A job was put together and issued over this screen: the cursor goes there."""
        self.look_again()
        self.rows.go_to(number)
        self.told(told)

    async def action_quit(self) -> None:
        """Leave the program."""
        await self.app.action_quit()


def _row(job: BoardRow, width: int, *, plain: bool) -> Row:
    lines = [f"{job.state}: {visible(job.title)}"]
    if job.step:
        lines.append(f"at {visible(job.step)}")
    if job.blocked_by:
        lines.append(f"waits for: {brief(job.blocked_by)}")
    return Row(job.number, visible(job.number), width, tuple(lines), tone(job.state, plain=plain))
