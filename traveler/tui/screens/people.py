"""The people of the shop: who signs, what stands against it, their secrets and roles."""

from collections.abc import Callable, Mapping, Sequence
from typing import ClassVar

from textual.binding import BindingType

from traveler.job.person import Person
from traveler.job.register import RegisteredPerson
from traveler.job.register_gate import ChangePerson, SetActive, SetSecret, ShowProcess
from traveler.tui.entered import Told
from traveler.tui.keys_registers import PEOPLE_KEYS, REGISTER_READ
from traveler.tui.person_acts import (
    give_roles,
    register_another,
    register_first,
    rename,
    shown_to_weld,
    switch,
)
from traveler.tui.register_act import RegisterAct
from traveler.tui.register_wording import Entry, people_brief, person_entry, person_lines, ranked
from traveler.tui.screens.register_list import EntryPage, RegisterList
from traveler.tui.secret_acts import by_recovery_code, own_secret, set_with_second

Make = Callable[[], RegisterAct]


class People(RegisterList):
    """Those first who cannot sign, the disabled ones last."""

    PURPOSE = (
        "Who works here, with their roles and the processes they were shown to weld by. Secrets are set here."
    )

    BINDINGS: ClassVar[list[BindingType]] = [REGISTER_READ, *PEOPLE_KEYS]
    TITLE = "People"
    NOTHING = (
        "Nobody is registered: names stand as they are stated, so anybody may sign by any name.\n\n"
        "n registers the first person, yourself, as the owner. From then on only people of the register sign, and "
        "with secrets of their own once the owner has set one."
    )

    def read(self) -> Sequence[Entry]:
        """Everybody."""
        registers = self.session.registers
        secrets = registers.secrets_in_use
        return ranked([person_entry(person, secrets=secrets) for person in registers.people()])

    def brief(self) -> str:
        """How many, how many with a secret."""
        return people_brief(self.session.registers.people())

    def whole(self, key: str) -> EntryPage:
        """With what they may weld, and their history."""
        return EntryPage(
            self.session, f"Person {key}", lambda: person_lines(self.session.registers.person(key))
        )

    def new(self) -> Mapping[str, Make]:
        """The first one registers themselves, the others are registered by an owner."""
        registers = self.session.registers
        if not registers.people():
            return {"new_person": lambda: register_first(self.session.person)}
        return {"new_person": lambda: register_another(secrets=registers.secrets_in_use)}

    def acts(self, key: str) -> Mapping[str, Make]:
        """Secrets, name, roles, what they weld, whether they sign."""

        def on(make: Callable[[RegisteredPerson], RegisterAct]) -> Make:
            return lambda: make(self.session.registers.registered(key))

        return {
            "secret": on(own_secret),
            "reset": on(set_with_second),
            "recover": on(by_recovery_code),
            "process": on(shown_to_weld),
            "roles": on(give_roles),
            "rename": on(rename),
            "disable": on(lambda person: switch(person, enable=False)),
            "enable": on(lambda person: switch(person, enable=True)),
        }

    def against_acts(self, key: str) -> Mapping[str, str]:
        """The gate's reasons, whoever would do it."""
        why_not = self.session.registers.why_not
        return {
            "secret": why_not(SetSecret(key, "own"), key),
            "reset": why_not(SetSecret(key, "reset")),
            "recover": why_not(SetSecret(key, "recovery"), key),
            "process": why_not(ShowProcess(key)),
            "roles": why_not(ChangePerson(key)),
            "rename": why_not(ChangePerson(key)),
            "disable": why_not(SetActive(key, "disable")),
            "enable": why_not(SetActive(key, "enable")),
        }

    def told_after(self, told: Told | None) -> None:
        """Whoever registered themselves as the first one is at the keyboard by that name."""
        if told is not None and told.recorded and len(self.entries) == 0:
            self.session.person = Person(self.session.registers.people()[0]["person"])
        super().told_after(told)
