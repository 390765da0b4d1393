"""What becomes of a sheet that was put together: saved as a file, and signed and issued."""

from collections.abc import Awaitable, Sequence
from typing import Any, ClassVar

from textual.binding import BindingType

from traveler.job.person import Person
from traveler.job.sheet_write import Entered
from traveler.record.secrets import Secret
from traveler.report.words import count_words, visible
from traveler.tui.entered import Told, in_field
from traveler.tui.keys import commit
from traveler.tui.screens.board import Board
from traveler.tui.screens.form import Form
from traveler.tui.screens.page import Page
from traveler.tui.screens.signed_form import SignedForm
from traveler.tui.session import Session
from traveler.tui.sheet_wording import limits_lines
from traveler.tui.widgets.field import Field, TextField
from traveler.tui.wording import step_name

Json = dict[str, Any]


class SaveSheet(Form):
    """The sheet as a new file; one that is there already stays as it is."""

    PURPOSE = "Save the job sheet as a text file. A file that exists is never replaced."

    BINDINGS: ClassVar[list[BindingType]] = [commit("Save sheet")]

    def __init__(self, session: Session, number: str, text: str) -> None:
        self.number = number.strip()
        self.text = text
        super().__init__(session, f"save sheet {self.number}")

    def make_fields(self) -> Sequence[Field]:
        """Where it goes."""
        return [TextField("file", "File", "name of a new file on this machine", f"{self.number}.toml")]

    def reload(self) -> None:
        """Name the job."""
        self.set_heading("Save the job sheet", visible(self.number))
        super().reload()

    def matter(self) -> list[str]:
        """What it is good for."""
        return [
            "A text file, to be read, edited and kept. The job keeps the same sheet in its record once it is issued."
        ]

    def commit(self, typed: dict[str, str]) -> Told:
        """Save it."""
        return in_field("file", lambda: self.session.new_jobs.save(typed["file"], self.text))


class ReleaseSheet(SignedForm):
    """Somebody releases the job as its plan was shown. Esc leads back to the review of what was ``entered``."""

    PURPOSE = "Release the job for work: its plan is frozen as revision 1, signed."

    BINDINGS: ClassVar[list[BindingType]] = [commit("Sign and issue")]

    def __init__(self, session: Session, entered: Entered, plan: Json, text: str) -> None:
        self.entered = entered
        self.plan = plan
        self.text = text
        self.statement = f'"job {visible(plan["job"])} is released for work as revision 1"'
        super().__init__(session, f"release {plan['job']}")

    def make_fields(self) -> Sequence[Field]:
        """Who signs."""
        return [self.name_field("who releases the job", self.session.keyboard.name), *self.secret_fields()]

    def reload(self) -> None:
        """Name the job."""
        self.set_heading("Sign and issue", visible(self.plan["job"]))
        super().reload()

    def matter(self) -> list[str]:
        """Conflicts, then each step with its limits."""
        conflicts = self.plan["conflicts"]
        return [
            f"{visible(self.plan['title'])}: {count_words(len(self.plan['steps']), 'step')}, "
            f"{count_words(len(conflicts), 'conflict')}",
            *(f"! conflict: {visible(text)}" for text in conflicts),
            *(line for step in self.plan["steps"] for line in (step_name(step), *_indented(step))),
        ]

    def sign(self, person: Person, typed: dict[str, str], secret: Secret | None) -> Told:
        """Issue it."""
        return self.session.new_jobs.issue(person, self.text, secret)

    async def settle(self, answer: Awaitable[Told]) -> None:
        """Once it is issued, back to where the jobs stand."""
        await super().settle(self._issued(answer))

    async def _issued(self, answer: Awaitable[Told]) -> Told:
        told = await answer
        if told.recorded:
            self.session.new_jobs.forget()
            below = self.app.screen_stack[-2]
            if isinstance(below, Board):
                below.issued(self.plan["job"], told)
            elif isinstance(below, Page):
                below.told(told)
        return told

    async def action_leave(self) -> None:
        """Back to the review; no secret waits in a form that was left."""
        from traveler.tui.screens.sheet_review import SheetReview

        await self._keys_before()
        self.forget()
        self.keep_draft()
        await self.app.switch_screen(SheetReview(self.session, self.entered))


def _indented(step: Json) -> list[str]:
    return [f"  {line}" for line in limits_lines(step)]
