"""The locked screen: the work is hidden until somebody says who goes on, with their secret where people have some."""

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import BindingType

from traveler.job.person import Person
from traveler.record.secrets import Secret
from traveler.report.words import count_words
from traveler.tui.entered import Told
from traveler.tui.keys import commit
from traveler.tui.screens.signed_form import SignedForm
from traveler.tui.session import Session
from traveler.tui.widgets.field import Field


class Locked(SignedForm):
    """Lies over whatever was open, which comes back as it was. Says nothing of it."""

    PURPOSE = (
        "Nobody pressed a key for a while, so the work is hidden. Say who goes on; what was open comes back "
        "as it was."
    )

    BINDINGS: ClassVar[list[BindingType]] = [commit("Go on")]

    def __init__(self, session: Session) -> None:
        super().__init__(session, "locked")

    def make_fields(self) -> Sequence[Field]:
        """Who goes on."""
        return [self.name_field("who goes on", self.session.keyboard.name), *self.secret_fields()]

    @property
    def begins_at(self) -> Field:
        """Who it is comes first: at a terminal that was left alone it may be somebody else."""
        return self.fields[0]

    def reload(self) -> None:
        """Say that it is locked."""
        self.set_heading("Locked")
        super().reload()

    def matter(self) -> list[str]:
        """For how long nobody was here."""
        minutes = round((self.session.idle_lock_s or 0) / 60)
        return [f"No key for {count_words(minutes, 'minute')}. What was open, and what was typed, is kept."]

    def person(self, name: str) -> Person:
        """Where nobody has a secret, anybody may go on, known or not."""
        return self.session.signer(name) if self.session.secrets_in_use else self.session.somebody(name)

    def sign(self, person: Person, typed: dict[str, str], secret: Secret | None) -> Told:
        """Let them go on."""
        return self.session.go_on_as(person, secret)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """There is no way back but by name."""
        return False if action == "leave" else super().check_action(action, parameters)

    def keep_draft(self) -> None:
        """Nothing typed here is worth keeping."""
