"""One step: its requirements with limit and verdict, the readings, and who performed and accepted it."""

from collections.abc import Mapping
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container, VerticalScroll
from textual.widgets import OptionList, Static

from traveler.job.gate import RetryHeat, SetNotApplicable
from traveler.report.outside_words import outside_line
from traveler.report.words import visible
from traveler.tui.arc_wording import arc_lines
from traveler.tui.entered import Told
from traveler.tui.keys import STEP_KEYS
from traveler.tui.layout import Row, lead_width
from traveler.tui.screens.from_step import FromStep
from traveler.tui.session import Session
from traveler.tui.signed_wording import decided_lines, points_line
from traveler.tui.theme import marked, tone
from traveler.tui.unfinished_wording import waiting_words
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

Json = Mapping[str, Any]


class Step(FromStep):
    """The step at the bench. Returns what was told when it was accepted, so that the job goes on to the next."""

    PURPOSE = (
        "What this step must show before it is accepted: each requirement with its limit, its readings and "
        "the verdict. Readings are recorded here as they are taken; then the step is signed as performed, "
        "and by another person as accepted."
    )

    BINDINGS: ClassVar[list[BindingType]] = list(STEP_KEYS)

    def __init__(self, session: Session, number: str, step_number: int) -> None:
        super().__init__(session, number, step_number)
        self.against_retry: tuple[str, ...] = ()
        self.against_not_applicable: tuple[str, ...] = ()

    def compose_body(self) -> ComposeResult:
        """Requirements, the details of the one under the cursor, the signatures."""
        with Container(id="both"):
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
            case "bench":
                return ended
            case "outside":
                away = self.step.get("outside") or self.step.get("sendings")
                return (
                    "" if away else f"no vendor has this step; {self.key_of('step.send_out')} sends it to one"
                )
            case "send_out":
                return ended
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

    def _signing(self) -> list[str]:
        """What is half typed, until when the heat is good, then the signatures, where its points and vendor stand."""
        heat = [] if self._ended() else arc_lines(self.step)
        waiting = self.session.drafts.of(self.number, self.step_number)
        return [
            *waiting_words(waiting, self.session.now(), self.key_of("list.unfinished")),
            *heat,
            *signing_lines(self.step),
            *points_line(self.step),
            *outside_line(self.step),
        ]

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

    def action_page(self, where: str) -> None:
        """Page through the details."""
        details = self.query_one("#details", VerticalScroll)
        if where == "up":
            details.scroll_page_up(animate=False)
        else:
            details.scroll_page_down(animate=False)


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
