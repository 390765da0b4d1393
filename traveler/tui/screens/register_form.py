"""The form of any act on the register: the act says what it asks for, and whose secrets it takes."""

import asyncio
from collections.abc import Callable, Sequence
from dataclasses import replace

from traveler.job.person import Person
from traveler.record.secrets import Secret
from traveler.report.words import visible
from traveler.tui.drafts import Draft
from traveler.tui.entered import FieldFault, Told
from traveler.tui.register_act import RegisterAct, Secrets
from traveler.tui.screens.signed_form import SignedForm
from traveler.tui.session import Session
from traveler.tui.signed_act import Asked
from traveler.tui.widgets.field import ChoiceField, Field, TextField
from traveler.tui.widgets.secret import SecretField

_PRESENT = {"Present": "the present secret", "Code": "the recovery code that was written down"}
TWICE = "the two are not the same; type it twice anew"


class RegisterForm(SignedForm):
    """``make`` gives the act as it stands when the form is opened, and anew when others write."""

    PURPOSE = "One entry in a register. It is never changed, only followed by another."

    def __init__(self, session: Session, make: Callable[[], RegisterAct]) -> None:
        self.make = make
        self.act = make()
        self.statement = f'"{visible(self.act.says)}"'
        self.shown_with_question: tuple[str, ...] = ()
        super().__init__(session, self.act.title)

    def make_fields(self) -> Sequence[Field]:
        """Those of the act, the secrets that it sets, then who enters it."""
        act = self.act
        fields = [_field(asked) for asked in act.asks]
        if act.new_secret is not None:
            whose, present = act.new_secret.whose, act.new_secret.present
            if present:
                fields.append(SecretField("present", present, f"{_PRESENT[present]}; it is not shown"))
            optional = "; empty: none yet" if act.new_secret.may_wait else ""
            fields.append(SecretField("new", "New secret", f"{whose} new secret{optional}; it is not shown"))
            fields.append(SecretField("again", "Once more", "the same once more, against slips"))
        if act.by is None:
            fields.append(self.name_field("who enters it", self.session.keyboard.name))
            if act.signed:
                fields += self.secret_fields()
        return fields

    def draft(self) -> Draft:
        """In memory only: it is about no job, and a secret may have been typed into a wrong field of it."""
        return replace(super().draft(), private=frozenset(self.values()))

    def reload(self) -> None:
        """What it is about, as it stands now."""
        self.act = self.make()
        self.set_heading(visible(self.act.title))
        super().reload()

    def matter(self) -> list[str]:
        """What the act is about; once a question was asked, what that is about."""
        return [visible(line) for line in self.shown_with_question or self.act.about]

    def doubt(self, typed: dict[str, str]) -> tuple[str, str] | None:
        """What the act would do is shown before it is asked about; a secret that is missing is asked about, too."""
        try:
            found = self.session.registers.look(self.act, typed)
        except FieldFault:
            return None  # said when it is begun
        if found is not None:
            self.shown_with_question = found.lines
            self.put_lines("matter", self.matter())
            return found.field, found.question
        new = self.act.new_secret
        waits = new is not None and new.may_wait and {"new", "again"} <= self._empty()
        return ("new", new.without) if new is not None and waits else None

    def commit(self, typed: dict[str, str]) -> Told:
        """Carry it out without any secret."""
        return self.session.registers.do(self.act, self._who(typed), typed, Secrets())

    def sign(self, person: Person, typed: dict[str, str], secret: Secret | None) -> Told:
        """Carry it out by who enters it."""
        return self.session.registers.do(self.act, person, typed, Secrets(own=secret))

    async def begin(self, typed: dict[str, str]) -> None:
        """With secrets go on drawing while they are checked and hashed; what else is wrong is said before that."""
        try:
            person = self._who(typed)
            self.session.registers.look(self.act, typed)
            self._refuse_missing(person)
            secrets = self._take()
        except FieldFault as fault:
            self._fault(fault.field, str(fault))
            return
        if not secrets:
            await self.settle(self._committed(typed))
            return
        self.heeding.deaf = True
        self.run_worker(self._carry_out(person, typed, secrets))

    async def _carry_out(self, person: Person, typed: dict[str, str], secrets: Secrets) -> None:
        try:
            await self.settle(self._carried_out(person, typed, secrets))
        finally:
            self.heeding.hear_again()

    async def _carried_out(self, person: Person, typed: dict[str, str], secrets: Secrets) -> Told:
        self.say("the secret is being worked on ...")
        return await asyncio.to_thread(self.session.registers.do, self.act, person, typed, secrets)

    def _who(self, typed: dict[str, str]) -> Person:
        if self.act.by is not None:
            return self.act.by
        return self.person(typed["name"]) if self.act.signed else self.session.somebody(typed["name"])

    def _refuse_missing(self, person: Person) -> None:
        new, empty = self.act.new_secret, self._empty()
        if new is not None and new.present and "present" in empty:
            raise FieldFault("present", f"{_PRESENT[new.present]} is missing")
        if new is not None and not new.may_wait and "new" in empty:
            raise FieldFault("new", "type the new secret, twice")
        asks_own = self.act.signed and self.act.by is None
        if asks_own and "secret" in empty and (whose := self.session.secret_needed_of(person)):
            raise FieldFault("secret", f"it takes the secret of {whose}")

    def _take(self) -> Secrets:
        """What was typed into the fields of secrets, which are empty then; the new one is looked at before."""
        taken = {field.key: field.take() for field in self._secrets()}
        new, again = taken.get("new"), taken.get("again")
        if new is not None or again is not None:
            if new is None or again is None or new.reveal() != again.reveal():
                raise FieldFault("new", TWICE)
            if weakness := new.weakness():
                raise FieldFault("new", f"this secret is {weakness}")
        return Secrets(taken.get("secret"), taken.get("present"), new)

    def _empty(self) -> set[str]:
        """Keys of the fields of secrets into which nothing is typed; one that is not on the form counts as empty."""
        typed = {field.key for field in self._secrets() if not field.empty}
        return {"secret", "present", "new", "again"} - typed


def _field(asked: Asked) -> Field:
    if asked.options:
        return ChoiceField(asked.key, asked.label, asked.hint, asked.options)
    return TextField(asked.key, asked.label, asked.hint, asked.value, asked.placeholder)
