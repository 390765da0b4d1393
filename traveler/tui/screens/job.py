"""One job: its steps in order, the state of each and what blocks it."""

from collections.abc import Mapping
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container, VerticalScroll
from textual.widgets import OptionList, Static

from traveler.errors import TravelerError
from traveler.job.gate import JobAct
from traveler.report.words import code_words, count_words, visible
from traveler.tui.entered import Told
from traveler.tui.keys import JOB_KEYS
from traveler.tui.layout import Row, lead_width
from traveler.tui.pieces_wording import pieces_brief
from traveler.tui.screens.page import ListPage
from traveler.tui.session import Session
from traveler.tui.theme import marked, tone
from traveler.tui.unfinished_wording import waiting_words
from traveler.tui.widgets.rows import Rows
from traveler.tui.wording import brief, first_of, step_detail, step_name

Json = Mapping[str, Any]


class Job(ListPage[Told]):
    """The traveler of one job; ``number`` is the job's."""

    PURPOSE = (
        "The traveler of one job: its steps in the order of the work, and what blocks each. A step is "
        "opened from here; once all are accepted the job is closed here."
    )

    BINDINGS: ClassVar[list[BindingType]] = list(JOB_KEYS)

    def __init__(self, session: Session, number: str) -> None:
        super().__init__(session)
        self.number = number
        self.traveler: Json = {}
        self.against_closing: tuple[str, ...] = ()

    def compose_body(self) -> ComposeResult:
        """The steps, the step at hand where there is room for it, and what concerns the whole job."""
        with Container(id="both"):
            yield Rows()
            with VerticalScroll(id="details", can_focus=False):
                yield Static("", id="detail", markup=False)
            yield Static("", id="facts", markup=False)

    def reload(self) -> None:
        """Read the job."""
        first = not self.traveler
        self.traveler = self.session.job(self.number)
        (self.against_closing,) = self.session.why_not(self.number, [JobAct("close")])
        traveler = self.traveler
        self.set_heading(f"{visible(traveler['job'])}  {visible(traveler['title'])}", traveler["state"])
        steps = traveler["steps"]
        width = lead_width([marked(step["state"]) for step in steps], 14)
        self.rows.show([_row(step, width, plain=self.plain) for step in steps])
        if first:
            self.go_to_current()
        self.put_lines("facts", self._facts())
        self._show_detail()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """The details follow the cursor."""
        self._show_detail()
        self.query_one("#details", VerticalScroll).scroll_home(animate=False)

    def action_page(self, where: str) -> None:
        """Page through the details where the window has room for them, else through the steps."""
        details = self.query_one("#details", VerticalScroll)
        if not details.display:
            super().action_page(where)
        elif where == "up":
            details.scroll_page_up(animate=False)
        else:
            details.scroll_page_down(animate=False)

    def _show_detail(self) -> None:
        step = next((s for s in self.traveler["steps"] if str(s["number"]) == self.rows.key), None)
        self.put_lines("detail", step_detail(step) if step else [])

    def go_to_current(self) -> None:
        """Put the cursor on the step at which the job stands."""
        current = current_step(self.traveler)
        if current is not None:
            self.rows.go_to(str(current))

    def _facts(self) -> list[str]:
        traveler = self.traveler
        lines = [f"CONFLICT: {brief(conflict)}" for conflict in traveler["conflicts"][:3]]
        hidden = len(traveler["conflicts"]) - 3
        if hidden > 0:
            lines.append(f"and {hidden} more conflicts: traveler show {visible(self.number)}")
        waiting = self.session.drafts.of(self.number)
        lines += waiting_words(waiting, self.session.now(), self.key_of("list.unfinished"))
        if traveler["closed"] or traveler["cancelled"]:
            return [*lines, *pieces_brief(traveler), code_words(traveler)[0]]
        closing = first_of(self.against_closing)
        lines += pieces_brief(traveler)
        events = count_words(traveler["events"], "event")
        closes = f"Every step is accepted: {self.key_of('job.close')} closes the job."
        return [
            *lines,
            f"Closing waits for: {closing}" if closing else closes,
            f"Revision {traveler['revision']}, {events}, record {traveler['head']}",
        ]

    def why_not(self, action: str) -> str:
        """A job is closed once every step is accepted; its joints have routes where its sheet can be planned."""
        match action:
            case "close_job":
                return first_of(self.against_closing)
            case "bench" if self.traveler:
                return "" if current_step(self.traveler) is not None else "every step is accepted"
            case "routes":
                return self.session.why_not_routes(self.traveler)
        return ""

    def told(self, told: Told | None) -> None:
        """After an acceptance the cursor goes to the step at which the job now stands."""
        super().told(told)
        if told is not None:
            self.look_again()
            self.go_to_current()

    async def action_open(self) -> None:
        """Open the step under the cursor."""
        from traveler.tui.screens.step import Step

        if self.rows.key is not None:
            await self.app.push_screen(Step(self.session, self.number, int(self.rows.key)), self.told)

    async def action_bench(self) -> None:
        """Open bench mode on the step that is to be done."""
        from traveler.tui.screens.bench import Bench

        step = self.session.bench.step_to_do(self.number)
        if step is not None:
            await self.open_form(lambda: Bench(self.session, self.number, step), self._back_from_bench)

    def _back_from_bench(self, told: Told | None) -> None:
        """The cursor goes to the step at which the job now stands."""
        self.told(told)
        self.look_again()
        self.go_to_current()

    async def action_routes(self) -> None:
        """Open the routes of the joint, or the list of joints."""
        from traveler.tui.screens.routes import open_routes

        await open_routes(self, self.traveler, [joint["id"] for joint in self.traveler["joints"]])

    async def action_pieces(self) -> None:
        """Open the pieces of the job."""
        from traveler.tui.screens.pieces import Pieces

        await self.app.push_screen(Pieces(self.session, self.number), self.told)

    async def action_again(self) -> None:
        """Make the part again under another number."""
        from traveler.tui.screens.again import MakeAgain

        await self.open_form(lambda: MakeAgain(self.session, self.number), self.told)

    async def action_compare(self) -> None:
        """Ask which job to lay this one beside, and show the differences."""
        from traveler.tui.screens.again import CompareWith

        await self.open_form(lambda: CompareWith(self.session, self.traveler), self._beside)

    def _beside(self, told: Told | None) -> None:
        from traveler.tui.screens.again import Differences

        if told is None or not told.recorded:
            self.told(told)
            return
        try:
            found = self.session.new_jobs.compared_jobs(told.words, self.number)
        except TravelerError as error:
            self.say(str(error), alarm=True)
            return
        self.app.push_screen(Differences(self.session, found))

    async def action_papers(self) -> None:
        """Write the traveler or paper for the shop as a file."""
        from traveler.tui.screens.papers import Papers

        await self.open_form(lambda: Papers(self.session, self.traveler), self.told)

    async def action_close_job(self) -> None:
        """Close the job by signature."""
        from traveler.tui.screens.sign import Close

        await self.open_form(lambda: Close(self.session, self.number), self.told)


def current_step(traveler: Json) -> int | None:
    """The first step that is not accepted; None where all are."""
    return next((step["number"] for step in traveler["steps"] if step["state"] != "accepted"), None)


def _row(step: Json, width: int, *, plain: bool) -> Row:
    lines = [f"{step_name(step)}"]
    if step["blocked_by"] and step["state"] != "not ready":
        lines.append(first_of(step["blocked_by"]))
    return Row(
        str(step["number"]), marked(step["state"]), width, tuple(lines), tone(step["state"], plain=plain)
    )
