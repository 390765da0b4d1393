"""Forms that take a name, and where people have secrets the secret that goes with it."""

import asyncio
from abc import abstractmethod
from collections.abc import Sequence
from dataclasses import replace

from traveler.job.person import Person
from traveler.record.secrets import Secret
from traveler.tui.drafts import Draft
from traveler.tui.entered import FieldFault, Told
from traveler.tui.screens.form import Form
from traveler.tui.widgets.field import Field, TextField
from traveler.tui.widgets.secret import SecretField


class SignedForm(Form):
    """The fields of who signs stand last. A secret is checked in another thread, and what is pressed meanwhile falls:
    it was meant for nothing that stands on the screen by then."""

    @abstractmethod
    def sign(self, person: Person, typed: dict[str, str], secret: Secret | None) -> Told:
        """Sign, with a secret from another thread. Raises FieldFault."""

    def draft(self) -> Draft:
        """Where people have secrets the name stays in memory: a secret may have been typed into its field."""
        private = frozenset({"name"} if self.session.secrets_in_use else ())
        return replace(super().draft(), private=private)

    @property
    def begins_at(self) -> Field:
        """The secret, where only that is missing: typed into the line of the name it would be read by all."""
        first, secrets = self.fields[0], self._secrets()
        return secrets[0] if secrets and first.key == "name" and self.initial["name"] else first

    def person(self, name: str) -> Person:
        """Who signs. Raises FieldFault; what is no name of the register is then taken off the screen."""
        try:
            return self.session.signer(name)
        except FieldFault:
            if self.session.secrets_in_use:
                self.put_values({**self.values(), "name": self.initial["name"]})
            raise

    def name_field(self, hint: str, proposed: str) -> Field:
        """Who signs."""
        return TextField("name", "Name", hint, proposed)

    def secret_fields(self) -> list[Field]:
        """The secret where people have some; it stands last."""
        return [SecretField()] if self.session.secrets_in_use else []

    def to_keep(self) -> dict[str, str]:
        """An emptied name is none that was typed: who is proposed comes back with the form. So it is with what is no
        name of the register where people have secrets: it may be one.
        """
        values = self.values()
        if "name" not in values or self._keeps(values["name"]):
            return values
        return {**values, "name": self.initial["name"]}

    def _keeps(self, name: str) -> bool:
        if not self.session.secrets_in_use:
            return bool(name.strip())
        try:
            self.session.signer(name)
        except FieldFault:
            return False
        return True

    def commit(self, typed: dict[str, str]) -> Told:
        """Sign without a secret, where none is needed."""
        person = self.person(typed["name"])
        if whose := self.session.secret_needed_of(person):
            raise FieldFault("secret", f"it takes the secret of {whose}")
        return self.sign(person, typed, None)

    async def begin(self, typed: dict[str, str]) -> None:
        """With a secret go on drawing while it is checked."""
        secret = self._secrets()[0].take() if self._secrets() else None
        if secret is None:
            await super().begin(typed)
            return
        self.heeding.deaf = True
        self.run_worker(self._check(typed, secret))

    async def _check(self, typed: dict[str, str], secret: Secret) -> None:
        try:
            await self.settle(self._checked(typed, secret))
        finally:
            self.heeding.hear_again()

    async def _checked(self, typed: dict[str, str], secret: Secret) -> Told:
        person = self.person(typed["name"])
        self.say(f"checking the secret of {person.name} ...")
        return await asyncio.to_thread(self.sign, person, typed, secret)

    def refuse(self, words: str, reasons: Sequence[str]) -> None:
        """The secret is typed anew, so the focus goes there."""
        for field in self._secrets()[:1]:
            self.go_to(field)
        super().refuse(words, reasons)

    async def action_leave(self) -> None:
        """No secret waits in a form that was left."""
        self.forget()
        await super().action_leave()

    def on_screen_suspend(self) -> None:
        """Nor beneath another screen."""
        self.forget()

    def forget(self) -> None:
        """Empty the secret's field."""
        for field in self._secrets():
            field.forget()

    def _secrets(self) -> Sequence[SecretField]:
        return [field for field in self.fields if isinstance(field, SecretField)]
