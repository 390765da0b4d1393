"""Sign: a step as performed, a step as accepted, a job as closed. Shows what the signature stands for."""

from collections.abc import Sequence
from typing import Any, ClassVar

from textual.binding import BindingType

from traveler.acts.sign import ACCEPTED_MEANING, PERFORMED_MEANING
from traveler.report.words import visible
from traveler.tui.keys import commit
from traveler.tui.screens.form import Form
from traveler.tui.session import Session, Told
from traveler.tui.widgets.field import Field, TextField
from traveler.tui.wording import first_of, signed_matter, signing_lines, step_name

Json = dict[str, Any]


class StepSignature(Form):
    """What both signatures of a step have."""

    WORD = ""

    def __init__(self, session: Session, number: str, step_number: int) -> None:
        self.number = number
        self.step_number = step_number
        self.step = _step(session, number, step_number)
        super().__init__(session, f"{self.WORD} {number} {step_number}")

    def reload(self) -> None:
        """Read the step anew: the signature is for what is shown."""
        self.step = _step(self.session, self.number, self.step_number)
        self.set_heading(f"Sign as {self.WORD}: step {step_name(self.step)}", visible(self.number))
        super().reload()
        self.refresh_bindings()

    def matter(self) -> list[str]:
        """What is signed: the verdicts, and the signatures so far."""
        return [*signed_matter(self.step), *signing_lines(self.step)]


class Perform(StepSignature):
    """Whoever did the step says so. What happened may be signed before everything complies."""

    WORD = "performed"
    statement = f'"{PERFORMED_MEANING}"'
    BINDINGS: ClassVar[list[BindingType]] = [commit("Sign as performed")]

    def make_fields(self) -> Sequence[Field]:
        """Who; for a weld how many runs."""
        name = TextField("name", "Name", "who performed the step", self.at_the_keyboard)
        if self.step["kind"] != "weld":
            return (name,)
        hint = "how many runs were laid; empty: those recorded"
        return name, TextField("runs", "Runs", hint, placeholder="those recorded")

    def __init__(self, session: Session, number: str, step_number: int) -> None:
        self.at_the_keyboard = session.person.name
        super().__init__(session, number, step_number)

    def commit(self, typed: dict[str, str]) -> Told:
        """Sign."""
        return self.session.perform(self.number, self.step_number, typed["name"], typed.get("runs", ""))


class Accept(StepSignature):
    """Another person looked at the readings and accepts the step."""

    WORD = "accepted"
    statement = f'"{ACCEPTED_MEANING}"'
    BINDINGS: ClassVar[list[BindingType]] = [commit("Sign as accepted")]

    def make_fields(self) -> Sequence[Field]:
        """Who: nobody is proposed, since it must be another person."""
        return (TextField("name", "Name", "who accepts the step: not who performed it"),)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Not while the step does not comply; the reasons stand above the field."""
        if action == "commit" and self.step["blocked_by"]:
            return None
        return super().check_action(action, parameters)

    def commit(self, typed: dict[str, str]) -> Told:
        """Sign what was shown; refused as stale where it has changed since."""
        return self.session.accept(self.number, self.step_number, typed["name"], self.step["content"])


class Close(Form):
    """The whole job is complete."""

    BINDINGS: ClassVar[list[BindingType]] = [commit("Close the job")]

    def __init__(self, session: Session, number: str) -> None:
        self.number = number
        self.at_the_keyboard = session.person.name
        super().__init__(session, f"close {number}")

    def make_fields(self) -> Sequence[Field]:
        """Who closes it."""
        return (TextField("name", "Name", "who closes the job", self.at_the_keyboard),)

    def reload(self) -> None:
        """Name the job."""
        self.set_heading(f"Close job {visible(self.number)}", "for good")
        super().reload()

    def matter(self) -> list[str]:
        """What closing means, and what stands against it."""
        against = first_of(self.session.why_not_close(self.number))
        return [
            "A closed job takes no more readings, signatures or revisions. Its traveler is complete and exports "
            "without the word DRAFT.",
            f"Closing waits for: {against}" if against else "Every step is accepted.",
        ]

    def commit(self, typed: dict[str, str]) -> Told:
        """Close it."""
        return self.session.close(self.number, typed["name"])


def _step(session: Session, number: str, step_number: int) -> Json:
    steps = session.job(number)["steps"]
    found: Json = next(step for step in steps if step["number"] == step_number)
    return found
