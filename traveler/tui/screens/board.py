"""The board: what stands at which step, what it waits for, what is due, and who did something last."""

import asyncio
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.widgets import Input, Static

from traveler.acts.board import board_object
from traveler.record.board import Line
from traveler.report.board_words import calibration_words, newest_words, part_dues_words, totals_words
from traveler.tui.board_data import BoardData, BoardFacts
from traveler.tui.board_wording import ROW_LINES, BoardHeading, BoardNumbers, Newest, job_lines
from traveler.tui.entered import Told
from traveler.tui.keys import BOARD_KEYS
from traveler.tui.layout import Laid, Lines
from traveler.tui.screens.page import KeyPage
from traveler.tui.session import Session
from traveler.tui.widgets.job_list import Drawn, JobList

EMPTY = (
    "No jobs yet.",
    "",
    "{new} puts one together, page by page.",
    "",
    "From a job sheet that is a file: leave with {leave} and type",
    "",
    "    traveler new SHEET.toml",
    "",
    "or look around in a demo shop with: traveler demo",
)
NONE_HERE = ("No job stands here. {view} shows the next view, {clear} finds nothing any more.",)
MOST_CALIBRATIONS = 2
MOST_PARTS = 2
IN_FIND = ("found", "clear", "page('up')", "page('down')", "help_while_finding", "move('up')", "move('down')")
"""All that keys of this screen do in the find line; every other key is text there."""


class Board(KeyPage[None]):
    """The first screen."""

    PURPOSE = (
        "Every job of the shop, with the step it stands at and what it waits for, those that need somebody first. "
        "Views and the find line show some of them."
    )

    BINDINGS: ClassVar[list[BindingType]] = list(BOARD_KEYS)
    AUTO_FOCUS = "JobList"
    STYLED_AS_IT_COMES = True

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.finding = False
        self._facts: BoardFacts | None = None
        self._shown: dict[str, Laid] = {}

    @property
    def data(self) -> BoardData:
        """What is looked at."""
        return self.session.board

    @property
    def rows(self) -> JobList:
        """The list."""
        return self.query_one(JobList)

    def compose_body(self) -> ComposeResult:
        """The numbers, the list with the newest acts under it or beside it, the find line."""
        # Said before anything is styled: with the first look every widget would be styled a second time.
        self.update_classes({"-remarked": bool(self.session.remarks())}, update=False)
        yield Static("", id="remarks", markup=False)
        yield Static("", id="board-facts", markup=False)
        with Container(id="board"):
            yield JobList(self.data, self._drawn, ROW_LINES)
            yield Static("", id="newest", markup=False)
        yield Static("", id="empty", markup=False)
        find = Input(placeholder="number, title, part, person, heat or lot", id="find", compact=True)
        find.cursor_blink = False
        with Container(id="find-line"):
            yield Static("/", markup=False)
            yield find

    def _drawn(self, line: Line, width: int) -> list[Drawn]:
        job = board_object(line.row, self.data.now)
        return list(job_lines(job, width, self.data.now, plain=self.plain))

    def reload(self) -> None:
        """Read what is in view, and the facts."""
        self.data.look()
        self.rows.reload()
        self._show_remarks()
        self._show_facts()
        self._show_view()

    def over(self) -> bool:
        """Whether something came due since the last look."""
        return self.data.over()

    def _show_remarks(self) -> None:
        """What is to be known of the file itself, as long as it is so."""
        remarks = self.session.remarks()
        says_more = f"{self.key_of('app.help')} says more"
        self._put("remarks", Lines(tuple(f"! {remark.brief}: {says_more}" for remark in remarks)))
        self.set_class(bool(remarks), "-remarked")

    def _show_facts(self) -> None:
        facts = self.data.facts()
        self._facts = facts
        dues = (
            calibration_words(facts.calibrations, MOST_CALIBRATIONS),
            part_dues_words(facts.parts, MOST_PARTS),
        )
        named = totals_words(facts.totals, self.session.shop_name)
        self._put("board-facts", BoardNumbers(named, totals_words(facts.totals), dues))
        self._put("newest", Newest(tuple(newest_words(job, facts.now) for job in facts.newest)))

    def _show_view(self) -> None:
        """Which jobs stand here and how many; what to do where there are none."""
        count, jobs = self.data.count(), self._jobs()
        person = self.session.keyboard.words
        self._put("heading", BoardHeading(self.data.view, self.data.find, count, person))
        self._put("empty", Lines(self._empty(jobs)))
        self.set_class(not jobs, "-no-jobs")
        self.set_class(not count, "-empty")

    def _empty(self, jobs: int) -> tuple[str, ...]:
        ids = {"new": "board.new", "leave": "board.quit", "view": "board.view", "clear": "find.clear"}
        named = {name: self.key_of(key) for name, key in ids.items()}
        return tuple(line.format(**named) for line in (NONE_HERE if jobs else EMPTY))

    def _jobs(self) -> int:
        return 0 if self._facts is None else self._facts.jobs

    def _put(self, name: str, matter: Laid) -> None:
        """Draw it in the Static of that name, where it is not what stands there."""
        if self._shown.get(name) != matter:
            self._shown[name] = matter
            self.query_one(f"#{name}", Static).update(matter)

    def why_not(self, action: str) -> str:
        """Nothing can be opened on an empty board."""
        if action == "open" and self.rows.key is None:
            return "there is no job here" if self._jobs() else "there is no job yet"
        return ""

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """In the find line letters are text. There is no screen before this one: Escape only ends a search."""
        if action == "back":
            return False
        if action == "found":
            return self.finding
        if action == "clear":
            return self.finding or bool(self.data.find)
        pressed = f"{action}({', '.join(map(repr, parameters))})" if parameters else action
        if self.finding and pressed not in IN_FIND:
            return False
        return super().check_action(action, parameters)

    async def action_open(self) -> None:
        """Open the job under the cursor."""
        from traveler.tui.screens.job import Job

        if self.rows.key is not None:
            await self.app.push_screen(Job(self.session, self.rows.key), self.told)

    def action_view(self) -> None:
        """The next view, from its first job on."""
        self.data.next_view()
        self._from_the_start()

    def action_find(self) -> None:
        """Into the find line; keys behind this one in the same burst are text already."""
        self.finding = True
        find = self.query_one("#find", Input)
        self.add_class("-finding")
        self.set_focus(find, scroll_visible=False)
        self.refresh_bindings()

    async def action_found(self) -> None:
        """To the list, with what was found."""
        await self._typed_before()
        self._seek(self.query_one("#find", Input).value)
        self._leave_find()

    async def action_clear(self) -> None:
        """All jobs of the view again, the cursor on the job it was on."""
        await self._typed_before()
        key = self.rows.key
        self.query_one("#find", Input).value = ""
        self._seek("")
        if key is not None:
            self.rows.go_to(key)
        self._leave_find()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Find while typing."""
        event.stop()
        # What stands there now: the event may be older than a key that was taken since.
        self._seek(self.query_one("#find", Input).value)

    async def action_help_while_finding(self) -> None:
        """The help, where a question mark is text."""
        await self.action_help()

    async def action_new(self) -> None:
        """Put a new job together, or go on with one that was begun."""
        from traveler.tui.screens.sheet_page import SheetPage

        await self.open_form(lambda: SheetPage.begin_or_go_on(self.session), self.told)

    def issued(self, number: str, told: Told) -> None:
        """A job was put together and issued over this screen: the cursor goes there."""
        self.look_again()
        self.rows.go_to(number)
        self.told(told)

    async def action_registers(self) -> None:
        """Open the registers of the shop."""
        from traveler.tui.screens.registers import Registers

        await self.app.push_screen(Registers(self.session))

    async def action_quit(self) -> None:
        """Leave the program."""
        await self.app.action_quit()

    def _seek(self, text: str) -> None:
        if text != self.data.find:
            self.data.find = text
            self._from_the_start()

    def _from_the_start(self) -> None:
        self.data.look()
        self.rows.start()
        self._show_view()
        self.refresh_bindings()

    def _leave_find(self) -> None:
        self.finding = False
        self.set_class(bool(self.data.find), "-finding")
        self.set_focus(self.rows, scroll_visible=False)
        self.refresh_bindings()

    async def _typed_before(self) -> None:
        """Wait until the find line has taken the keys pressed before this one, which may still stand in its queue."""
        taken = asyncio.Event()
        if self.finding and self.query_one("#find", Input).call_later(taken.set):
            await taken.wait()
