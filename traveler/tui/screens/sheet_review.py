"""The review of a new job: the plan as it will be issued, and each part of its sheet to be changed before that."""

from collections.abc import Iterator, Mapping
from functools import partial
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from traveler.errors import TravelerError
from traveler.job.sheet_pages import pages_of
from traveler.job.sheet_write import Entered, write_sheet
from traveler.report.compare_text import differences_told
from traveler.report.words import Object, count_words, visible
from traveler.tui.compare_wording import carried_lines, counted_words
from traveler.tui.entered import Told
from traveler.tui.keys import REVIEW_KEYS
from traveler.tui.layout import Row, lead_width
from traveler.tui.screens.page import ListPage
from traveler.tui.session import Session
from traveler.tui.sheet_wording import faults_line, limits_lines, page_line, page_name
from traveler.tui.widgets.rows import Rows

WIDEST_LEAD = 14
HOW = "F10 signs and issues it; End and Enter change the sheet"
AMEND = "Enter leads to what is missing or wrong"
PLAIN_KEY = "-"
"""Begins the key of a row that is no part of the sheet: nothing opens from there."""

Json = Mapping[str, Any]
LineOf = tuple[str, str, tuple[str, ...]]


class SheetReview(ListPage[Told]):
    """``entered`` is the whole sheet, ``at`` the page that was changed last.

    What is shown is what is signed: the text is written once, here.
    """

    PURPOSE = (
        "The new job as it will be issued: conflicts, each step with its limits, cautions, "
        "and the parts of the sheet to change."
    )

    BINDINGS: ClassVar[list[BindingType]] = list(REVIEW_KEYS)

    def __init__(
        self, session: Session, entered: Entered, at: str | None = None, *, first: bool = False
    ) -> None:
        super().__init__(session)
        self.first = first
        self.at = at
        self.door = session.new_jobs
        self.entered = dict(entered)
        self.text = write_sheet(entered)
        self.faults = self.door.faults(entered)
        self.plan = None if self.faults else self.door.plan(self.text)
        self.made_from = entered.get("job.made_from", "").strip()
        self.against_comparing = ""
        self.compared = None if self.plan is None else self._compared()

    def _compared(self) -> Json | None:
        """The differences from the job that is made again; None where there is none, or it cannot be planned today."""
        if not self.made_from:
            return None
        try:
            return self.door.compared(self.made_from, self.text)
        except TravelerError as error:
            self.against_comparing = str(error)
            return None

    def compose_body(self) -> ComposeResult:
        """The list."""
        yield Rows()

    def on_mount(self) -> None:
        """Begin on what was changed, or with what is wrong."""
        super().on_mount()
        self.rows.go_to(None if self.faults else self.at)
        self.say(AMEND if self.faults else HOW)
        if self.first and self.compared is not None:
            self.call_later(self.action_differences)

    def reload(self) -> None:
        """Show the plan; a number that another program took meanwhile is a fault."""
        self.faults = self.door.faults(self.entered)
        number = visible(self.entered.get("job.number", ""))
        self.set_heading(f"New job {number}: review".replace(" :", ":"), self._state())
        lines = [*self._faults(), *self._differences(), *self._plan(), *self._parts()]
        width = lead_width([lead for _, lead, _ in lines], WIDEST_LEAD)
        self.rows.show([Row(key, lead, width, texts) for key, lead, texts in lines])

    def _state(self) -> str:
        if self.faults:
            return "not ready"
        assert self.plan is not None
        conflicts = len(self.plan["conflicts"])
        return count_words(conflicts, "conflict") if conflicts else "ready to be signed"

    def _faults(self) -> list[LineOf]:
        return [
            (f"{page}!{index}", "! amend", (f"{page_name(page, self.entered)}: {faults_line(key, words)}",))
            for page, faults in self.faults.items()
            for index, (key, words) in enumerate(faults)
        ]

    def _differences(self) -> list[LineOf]:
        """In a line; the page of them says which and why."""
        if self.compared is None:
            return []
        key = self.key_of("review.differences")
        told = f"beside {visible(self.made_from)}: {counted_words(self.compared)}; {key} shows them"
        lead = "! stricter" if differences_told(self.compared, "stricter") else "again"
        return [(f"{PLAIN_KEY}differences", lead, (told,))]

    def _plan(self) -> list[LineOf]:
        if self.plan is None:
            return []
        conflicts, cautions = self.plan["conflicts"], self.plan["cautions"]
        return [
            *(
                (f"{PLAIN_KEY}conflict{at}", "! conflict", (visible(text),))
                for at, text in enumerate(conflicts)
            ),
            *(line for step in self.plan["steps"] for line in _step_lines(step)),
            *((f"{PLAIN_KEY}caution{at}", "caution", (visible(text),)) for at, text in enumerate(cautions)),
        ]

    def _parts(self) -> list[LineOf]:
        return [
            (
                page,
                "sheet",
                (
                    f"{page_name(page, self.entered)}: {page_line(page, self.entered)}",
                    *carried_lines(self.entered, page),
                ),
            )
            for page in pages_of(self.entered)
        ]

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Only a part that is made again has a job that it can be laid beside."""
        if action == "differences" and not self.made_from:
            return False
        return super().check_action(action, parameters)

    def why_not(self, action: str) -> str:
        """What is wrong comes first; a step of the plan follows from the sheet and is not changed here."""
        if action == "release" and self.faults:
            return "something is missing or wrong: it stands on top, Enter leads there"
        if action == "change" and (self.rows.key or PLAIN_KEY).startswith(PLAIN_KEY):
            return "the plan follows from the sheet; its parts stand at the end of this list"
        if action == "differences" and self.compared is None:
            return self.against_comparing or "the differences are worked out once nothing is missing"
        if action == "save" and self.plan is None:
            return "a sheet is saved once nothing is missing"
        return ""

    async def action_change(self) -> None:
        """Open the page of what is under the cursor; it leads back here."""
        from traveler.tui.screens.sheet_page import SheetPage

        page = (self.rows.key or "").partition("!")[0]
        await self.app.switch_screen(SheetPage(self.session, self.entered, page, to_review=True))

    def action_back(self) -> None:
        """To the last page."""
        from traveler.tui.screens.sheet_page import SheetPage

        page = pages_of(self.entered)[-1]
        self.app.switch_screen(SheetPage(self.session, self.entered, page))

    async def action_differences(self) -> None:
        """What is asked otherwise than in the job that is made again, and why."""
        from traveler.tui.screens.again import Differences

        if self.compared is not None:
            await self.app.push_screen(Differences(self.session, self.compared, self.entered))

    async def action_save(self) -> None:
        """Ask for a name and save the sheet."""
        from traveler.tui.screens.sheet_out import SaveSheet

        await self.open_form(
            partial(SaveSheet, self.session, self.entered["job.number"], self.text), self.told
        )

    async def action_release(self) -> None:
        """Ask who signs, and issue. In place of this screen, so that no key behind it lands here once it is issued."""
        from traveler.tui.screens.sheet_out import ReleaseSheet

        assert self.plan is not None
        await self.app.switch_screen(ReleaseSheet(self.session, self.entered, self.plan, self.text))


def _step_lines(step: Object) -> Iterator[LineOf]:
    """The step, then each of its requirements in a row of its own: a row is never taller than a small screen."""
    number = step["number"]
    yield f"{PLAIN_KEY}step{number}", f"step {number}", (visible(step["title"]),)
    for at, line in enumerate(limits_lines(step)):
        yield f"{PLAIN_KEY}step{number}.{at}", "", (line,)
