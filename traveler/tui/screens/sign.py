"""Sign: a step as performed, a step as accepted, a job as closed. Shows what the signature stands for."""

from collections.abc import Mapping, Sequence
from typing import Any, ClassVar

from textual.binding import BindingType

from traveler.report.outside_words import last_standing
from traveler.report.words import visible
from traveler.tui.keys import commit
from traveler.tui.screens.signature import Signature, step_of
from traveler.tui.session import Session
from traveler.tui.signed_act import SignedAct, accept_step, close_job, perform_step
from traveler.tui.signed_wording import job_matter
from traveler.tui.widgets.field import Field
from traveler.tui.wording import first_of, step_name

Json = Mapping[str, Any]


class Perform(Signature):
    """Whoever did the step says so. What happened may be signed before everything complies."""

    form = "performed"
    PURPOSE = (
        "Whoever did the work signs that it was done, also where a reading does not comply. It accepts "
        "nothing."
    )

    BINDINGS: ClassVar[list[BindingType]] = [commit("Sign as performed")]

    def __init__(self, session: Session, number: str, step_number: int) -> None:
        super().__init__(
            session,
            number,
            step_number,
            lambda traveler: _perform(step_of(traveler, step_number)),
            f"performed {number} {step_number}",
        )

    def make_fields(self) -> Sequence[Field]:
        """Who, for a weld how many runs, and with whom."""
        return [self.name_field(self.act.who, self.proposed), *self.asked_fields(), *self.secret_fields()]

    def show(self) -> None:
        """Name the step."""
        super().show()
        self.set_heading(f"Sign as performed: step {step_name(self.step)}", visible(self.number))


class Accept(Signature):
    """Another person looked at the readings and accepts the step."""

    form = "accepted"
    PURPOSE = (
        "Another person accepts the step: everything it asks for complies. What stands against it is listed "
        "before anything is signed."
    )

    BINDINGS: ClassVar[list[BindingType]] = [commit("Sign as accepted")]

    def __init__(self, session: Session, number: str, step_number: int) -> None:
        act = accept_step(step_number)
        super().__init__(session, number, step_number, lambda _: act, f"accepted {number} {step_number}")

    @property
    def proposed(self) -> str:
        """Whoever is at the keyboard, where the register knows them and nothing stands against them; else nobody."""
        keyboard = self.session.keyboard
        against = keyboard.person.id is None or self.session.why_not_person(self.number, self.act.gate)
        return "" if against else keyboard.name

    @property
    def signable(self) -> bool:
        """Not while the step does not comply."""
        return not self.step["blocked_by"]

    def show(self) -> None:
        """Name the step."""
        super().show()
        self.set_heading(f"Sign as accepted: step {step_name(self.step)}", visible(self.number))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Not while the step does not comply; the reasons stand above the field."""
        if action == "commit" and not self.signable:
            return None
        return super().check_action(action, parameters)


class Close(Signature):
    """The whole job is complete."""

    form = "close"
    PURPOSE = (
        "The job is closed by signature once every step is accepted. Nothing is recorded on it after that."
    )

    BINDINGS: ClassVar[list[BindingType]] = [commit("Close the job")]

    def __init__(self, session: Session, number: str) -> None:
        super().__init__(
            session, number, 0, lambda traveler: close_job(traveler.get("quantity", 1)), f"close {number}"
        )

    def content_of(self, traveler: Json) -> str:
        """The code of the job's last event."""
        return str(traveler["head"])

    def show(self) -> None:
        """Name the job."""
        self.set_heading(f"Close job {visible(self.number)}", "for good")
        self.put_lines("matter", self.matter())

    def matter(self) -> list[str]:
        """What closing means, what stands against it, and what it covers."""
        against = first_of(self.session.why_not(self.number, [self.act.gate])[0])
        return [
            "A closed job takes no more readings, signatures or revisions. Its traveler is complete and exports "
            "without the word DRAFT.",
            f"Closing waits for: {against}" if against else "Every step is accepted.",
            *job_matter(self.traveler),
        ]


def _perform(step: Json) -> SignedAct:
    sending = last_standing(step)
    return perform_step(step["number"], step["kind"], sending["vendor"] if sending else None)
