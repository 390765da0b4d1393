"""One step: its requirements with limit and verdict, the readings, and who performed and accepted it."""

from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import OptionList, Static

from traveler.job.gate import RetryHeat, SetNotApplicable
from traveler.report.decided_words import question_lines
from traveler.report.words import visible
from traveler.tui.arc_wording import arc_lines
from traveler.tui.entered import Told
from traveler.tui.keys import STEP_KEYS
from traveler.tui.layout import Row, lead_width
from traveler.tui.screens.page import ListPage
from traveler.tui.session import Session
from traveler.tui.signed_wording import decided_lines, points_line, questions_of
from traveler.tui.theme import marked, tone
from traveler.tui.widgets.rows import Rows
from traveler.tui.wording import (
    first_of,
    requirement_detail,
    requirement_key,
    requirement_lines,
    signing_lines,
    step_name,
    step_notes,
)

Json = dict[str, Any]


class Step(ListPage[Told]):
    """The step at the bench. Returns what was told when it was accepted, so that the job goes on to the next."""

    BINDINGS: ClassVar[list[BindingType]] = list(STEP_KEYS)

    def __init__(self, session: Session, number: str, step_number: int) -> None:
        super().__init__(session)
        self.number = number
        self.step_number = step_number
        self.traveler: Json = {}
        self.step: Json = {}
        self.in_question: list[int] = []
        self.against_retry: tuple[str, ...] = ()
        self.against_not_applicable: tuple[str, ...] = ()

    def compose_body(self) -> ComposeResult:
        """Requirements, the details of the one under the cursor, the signatures."""
        with Horizontal(id="both"):
            yield Rows()
            with VerticalScroll(id="details", can_focus=False):
                yield Static("", id="detail", markup=False)
        yield Static("", id="signing", markup=False)

    def reload(self) -> None:
        """Read the step."""
        first = not self.step
        self.traveler = self.session.job(self.number)
        found = next((s for s in self.traveler["steps"] if s["number"] == self.step_number), None)
        if found is None:
            self.say(f"step {self.step_number} is no longer on this traveler", alarm=True)
            return
        self.step = found
        self.in_question = self.session.in_question(self.number, self.step_number)
        attempt = f", attempt {found['attempt']}" if found["attempt"] > 1 else ""
        self.set_heading(
            f"{visible(self.number)}  step {step_name(found)}", f"{marked(found['state'])}{attempt}"
        )
        requirements = found["requirements"]
        width = lead_width([marked(r["verdict"]) for r in requirements], 14)
        self.rows.show([_row(found, r, width, plain=self.plain) for r in requirements])
        if first:
            self.go_to_open()
        self.put_lines("signing", self._signing())
        self._show_detail()

    def go_to_open(self) -> None:
        """Put the cursor on the first requirement that is not met, where the one under it is."""
        here = self.requirement
        if here is not None and here["verdict"] not in ("met", "conditional"):
            return
        for requirement in self.step["requirements"]:
            if requirement["verdict"] not in ("met", "conditional"):
                self.rows.go_to(requirement_key(requirement))
                return

    @property
    def requirement(self) -> Json | None:
        """The requirement under the cursor."""
        key = self.rows.key
        return next((r for r in self.step.get("requirements", ()) if requirement_key(r) == key), None)

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """The details follow the cursor."""
        self._show_detail()
        self.query_one("#details", VerticalScroll).scroll_home(animate=False)

    def _show_detail(self) -> None:
        requirement = self.requirement
        if requirement is None:
            self.against_retry = self.against_not_applicable = ("there is no requirement here",)
            self.put_lines(
                "detail",
                [
                    "This step asks for nothing but its signatures.",
                    *step_notes(self.step),
                    *decided_lines(self.traveler, self.step),
                ],
            )
        else:
            key = (self.step_number, requirement["quantity"], requirement["joint"])
            self.against_retry, self.against_not_applicable = self.session.why_not(
                self.number, [RetryHeat(key), SetNotApplicable(key)]
            )
            decided = decided_lines(self.traveler, self.step)
            self.put_lines("detail", [*requirement_detail(self.step, requirement), *decided])
        self.refresh_bindings()

    def why_not(self, action: str) -> str:
        """Why a key cannot be used now; the same reasons stand on the screen."""
        ended = self._ended()
        match action:
            case "accept":
                return ended or self._against_acceptance()
            case "record":
                return ended or ("" if self.requirement else "there is no requirement here")
            case "perform":
                return ended or ("the step is accepted already" if self._accepted() else "")
            case "working":
                return "" if self.requirement else "there is no requirement here"
            case "correct":
                return ended or (
                    "" if standing(self.requirement) else "no reading stands here to be corrected"
                )
            case "retry":
                return ended or first_of(self.against_retry)
            case "not_applicable":
                return ended or first_of(self.against_not_applicable)
            case "answer":
                return "" if self.in_question else "no reading of this step is in question"
            case "routes":
                return self.session.why_not_routes(self.traveler)
        return ""

    def _joints(self) -> list[str]:
        """The joint of the requirement under the cursor, else those of the step."""
        here = self.requirement
        return [here["joint"]] if here is not None and here["joint"] else list(self.step.get("joints", ()))

    def _signing(self) -> list[str]:
        """Until when the heat is good, then the signatures, and where its points stand."""
        heat = [] if self._ended() else arc_lines(self.step)
        return [*heat, *signing_lines(self.step), *points_line(self.step)]

    def _ended(self) -> str:
        word = self.traveler.get("state", "")
        if word in ("scrapped", "returned"):
            return f"the part is {word}"
        return f"the job is {word}" if word in ("closed", "cancelled") else ""

    def _accepted(self) -> bool:
        return bool(self.step.get("state") == "accepted")

    def _against_acceptance(self) -> str:
        if self._accepted():
            return "the step is accepted already"
        return "waits for " + first_of(self.step["blocked_by"]) if self.step.get("blocked_by") else ""

    def told(self, told: Told | None) -> None:
        """After a reading the cursor goes on: to the next of the readings of a run, else to what is still open."""
        super().told(told)
        if told is None:
            return
        self.look_again()
        here = self.requirement
        if told.complies and here is not None and here["evidence"]["per_run"]:
            self.go_round_the_runs(here)
        else:
            self.go_to_open()

    def go_round_the_runs(self, here: Json) -> None:
        """The requirement that is read next in the course of a run."""
        by_run = [r for r in self.step["requirements"] if r["evidence"]["per_run"]]
        following = by_run[(by_run.index(here) + 1) % len(by_run)]
        self.rows.go_to(requirement_key(following))

    def told_accepted(self, told: Told | None) -> None:
        """Accepted: back to the job, which shows the next step."""
        if told is not None and told.recorded:
            self.dismiss(told)

    def action_page(self, where: str) -> None:
        """Page through the details."""
        details = self.query_one("#details", VerticalScroll)
        if where == "up":
            details.scroll_page_up(animate=False)
        else:
            details.scroll_page_down(animate=False)

    async def action_record(self) -> None:
        """Open the form for a reading."""
        from traveler.tui.screens.reading import Reading

        if self.requirement is not None:
            form = Reading(self.session, self.number, self.step_number, self.requirement)
            await self.app.push_screen(form, self.told)

    async def action_perform(self) -> None:
        """Open the signature "performed"."""
        from traveler.tui.screens.sign import Perform

        await self.open_form(lambda: Perform(self.session, self.number, self.step_number), self.told)

    async def action_accept(self) -> None:
        """Open the signature "accepted"."""
        from traveler.tui.screens.sign import Accept

        await self.open_form(lambda: Accept(self.session, self.number, self.step_number), self.told_accepted)

    async def action_points(self) -> None:
        """Open the hold and witness points."""
        from traveler.tui.screens.points import Points

        await self.app.push_screen(Points(self.session, self.number, self.step_number))

    async def action_nonconformances(self) -> None:
        """Open the nonconformances; a new one is proposed about the requirement under the cursor."""
        from traveler.tui.screens.nonconformances import Nonconformances

        here = self.requirement or {"quantity": "", "joint": None}
        await self.app.push_screen(
            Nonconformances(
                self.session, self.number, self.step_number, here["quantity"], here["joint"] or ""
            )
        )

    async def action_not_applicable(self) -> None:
        """Sign that the requirement under the cursor does not apply."""
        from traveler.tui.decided_acts import not_applicable
        from traveler.tui.screens.act import ActForm

        if self.requirement is not None:
            act = not_applicable(self.step_number, self.requirement)
            await self.open_form(lambda: ActForm(self.session, self.number, self.step_number, act), self.told)

    async def action_answer(self) -> None:
        """Answer for the readings of the step that are in question."""
        from traveler.tui.decided_acts import answer
        from traveler.tui.screens.act import ActForm

        about = [line for q in questions_of(self.traveler, self.step) for line in question_lines(q)]
        act = answer(self.in_question, about)
        await self.open_form(lambda: ActForm(self.session, self.number, self.step_number, act), self.told)

    async def action_working(self) -> None:
        """Open the working behind the limit."""
        from traveler.tui.screens.working import Working

        if self.requirement is not None:
            await self.app.push_screen(
                Working(self.session, self.number, self.step_number, requirement_key(self.requirement))
            )

    async def action_routes(self) -> None:
        """Open the routes of the joint at hand, or the list of the step's joints."""
        from traveler.tui.screens.routes import open_routes

        await open_routes(self, self.traveler, self._joints())

    async def action_charts(self) -> None:
        """Open the recorded charts of the step."""
        from traveler.tui.screens.charts import Charts

        await self.app.push_screen(Charts(self.session, self.number, self.step_number))

    async def action_correct(self) -> None:
        """Open the correction of a reading."""
        from traveler.tui.screens.correct import Correct

        if self.requirement is not None:
            form = Correct(self.session, self.number, self.step_number, self.requirement)
            await self.app.push_screen(form, self.told)

    async def action_retry(self) -> None:
        """Open another attempt."""
        from traveler.tui.screens.correct import TryAgain

        if self.requirement is not None:
            form = TryAgain(self.session, self.number, self.step_number, self.requirement)
            await self.app.push_screen(form, self.told)


def standing(requirement: Json | None) -> list[Json]:
    """The readings of a requirement that were not superseded."""
    return [] if requirement is None else [r for r in requirement["readings"] if not r["superseded"]]


def _row(step: Json, requirement: Json, width: int, *, plain: bool) -> Row:
    verdict = requirement["verdict"]
    return Row(
        requirement_key(requirement),
        marked(verdict),
        width,
        requirement_lines(step, requirement),
        tone(verdict, plain=plain),
    )
