"""Keep a paper with a step as it came: a certificate, a report, a photo."""

from collections.abc import Sequence
from dataclasses import replace
from typing import ClassVar

from textual.binding import BindingType

from traveler.report.outside_words import outside_lines
from traveler.report.words import visible
from traveler.tui.drafts import Draft
from traveler.tui.entered import Told
from traveler.tui.keys import commit
from traveler.tui.screens.form import Form
from traveler.tui.screens.signature import step_of
from traveler.tui.session import Session
from traveler.tui.widgets.field import ChoiceField, Field, TextField

ROLES = ("certificate", "photo", "chart")


class AttachPaper(Form):
    """A file for one step, kept and not read."""

    PURPOSE = (
        "A paper that came with the part is kept with the step as it is, under its SHA-256. A chart of a heat "
        "treatment is judged where it is attached among the charts of its step."
    )

    BINDINGS: ClassVar[list[BindingType]] = [commit("Attach")]
    statement = "The file is kept with the step as it is."

    def __init__(self, session: Session, number: str, step_number: int) -> None:
        self.number = number
        self.step_number = step_number
        super().__init__(session, f"paper {number} {step_number}", number)

    def draft(self) -> Draft:
        """About the step."""
        return replace(super().draft(), words="Attach a paper", form="paper", step=self.step_number)

    def make_fields(self) -> Sequence[Field]:
        """The file, and what it is."""
        return [
            TextField("file", "File", "path on this machine, such as papers/furnace-4471.pdf"),
            ChoiceField("role", "As", "a digit picks, or the arrows", ROLES),
        ]

    def reload(self) -> None:
        """Name the step."""
        self.set_heading("Attach a paper", f"{visible(self.number)} step {self.step_number}")
        super().reload()

    def matter(self) -> list[str]:
        """What went out and what is to come back."""
        return list(outside_lines(step_of(self.session.job(self.number), self.step_number)))

    def commit(self, typed: dict[str, str]) -> Told:
        """Keep it."""
        return self.session.attach_paper(self.number, self.step_number, typed)
