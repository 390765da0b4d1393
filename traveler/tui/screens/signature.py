"""Sign an act on a step or a job as it is shown; what changed since then is to be looked at first."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from textual.content import Content
from textual.widgets import Static

from traveler.errors import TravelerError
from traveler.job.person import Person
from traveler.record.secrets import Secret
from traveler.report.words import visible
from traveler.tui.drafts import Draft
from traveler.tui.entered import Told
from traveler.tui.screens.signed_form import SignedForm
from traveler.tui.session import Session
from traveler.tui.signed_act import Asked, SignedAct
from traveler.tui.signed_wording import signed_matter
from traveler.tui.widgets.field import ChoiceField, Field, TextField

Json = Mapping[str, Any]

STALE = "stale: "
"""How every refusal begins that is about what was shown not being what stands there."""


class Signature(SignedForm):
    """An act on a step, with the fields that it asks for; ``traveler`` is what is shown and signed.

    ``make`` gives the act on a traveler: what it says and what it is about may change with that.
    """

    def __init__(
        self,
        session: Session,
        number: str,
        step_number: int,
        make: Callable[[Json], SignedAct],
        draft: str | None = None,
    ) -> None:
        self.number = number
        self.step_number = step_number
        self.make = make
        self.traveler = session.job(number)
        self.act = make(self.traveler)
        self.statement = _quoted(self.act)
        super().__init__(session, draft or f"{self.act.title} {number} {step_number}", number)

    form = ""
    """By what name the form is opened again; empty where the list of its step does that."""

    def draft(self) -> Draft:
        """About the step."""
        return replace(super().draft(), words=self.act.title, form=self.form, step=self.step_number or None)

    @property
    def step(self) -> Json:
        """The step as it is shown."""
        return step_of(self.traveler, self.step_number)

    def content_of(self, traveler: Json) -> str:
        """The digest that is signed."""
        return str(step_of(traveler, self.step_number)["content"])

    @property
    def proposed(self) -> str:
        """The name that stands in the form: who is at the keyboard."""
        return self.session.keyboard.name

    def make_fields(self) -> Sequence[Field]:
        """Those of the act, then who signs."""
        return [*self.asked_fields(), self.name_field(self.act.who, self.proposed), *self.secret_fields()]

    def asked_fields(self) -> list[Field]:
        """What the act asks for."""
        return [_field(asked) for asked in self.act.asks]

    def on_mount(self) -> None:
        """Show what is signed."""
        self.show()
        super().on_mount()

    def reload(self) -> None:
        """What is shown stays as it is, since that is what is signed, unless nothing of it has changed."""
        fresh = self.session.job(self.number)
        if self.content_of(fresh) == self.content_of(self.traveler) or not self.signable:
            self._put(fresh)

    def _put(self, traveler: Json) -> None:
        self.act, self.traveler = self.make(traveler), traveler
        self.query_one("#statement", Static).update(Content(_quoted(self.act)))
        self.show()

    @property
    def signable(self) -> bool:
        """Whether what is shown can be signed at all; else a change can only help."""
        return True

    def show(self) -> None:
        """Draw what is signed."""
        self.set_heading(visible(self.act.title), f"{visible(self.number)} step {self.step_number}")
        self.put_lines("matter", self.matter())
        self.refresh_bindings()

    def matter(self) -> list[str]:
        """What the act is about, then what its step holds."""
        return [*self.act.about, *signed_matter(self.traveler, self.step)]

    def sign(self, person: Person, typed: dict[str, str], secret: Secret | None) -> Told:
        """Sign what is shown."""
        return self.session.sign(self.number, self.act, person, typed, self.content_of(self.traveler), secret)

    def refuse(self, words: str, reasons: Sequence[str]) -> None:
        """Where it is stale, by whom and since when; then what stands there now is shown, to be signed or not."""
        if any(reason.startswith(STALE) for reason in reasons):
            words, reasons = self._what_changed(), ()
        super().refuse(words, reasons)

    def _what_changed(self) -> str:
        try:
            self._put(self.session.job(self.number))
            changed = self.news() or self.last_news or "changed since it was shown"
        except TravelerError as error:
            return str(error)
        return f"{changed}: look again"


def step_of(traveler: Json, number: int) -> Json:
    """A step by its number. Raises TravelerError where a revision dropped it."""
    found: Json | None = next((step for step in traveler["steps"] if step["number"] == number), None)
    if found is None:
        raise TravelerError(f"step {number} is no longer on this traveler")
    return found


def _quoted(act: SignedAct) -> str:
    return f'"{visible(act.says)}"'


def _field(asked: Asked) -> Field:
    if asked.options:
        field: Field = ChoiceField(asked.key, asked.label, asked.hint, asked.options)
    else:
        field = TextField(asked.key, asked.label, asked.hint, asked.value, asked.placeholder)
    return field
