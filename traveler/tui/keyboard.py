"""Who is at the keyboard: the name that was stated, held against the shop's register of people."""

from dataclasses import dataclass

from traveler.acts.register import known
from traveler.errors import BadInput
from traveler.job.person import Person
from traveler.job.register import Register
from traveler.report.words import visible


@dataclass(frozen=True, slots=True)
class Keyboard:
    """``person`` as the register has them, or as stated; ``name`` for a field that asks who signs, empty where they
    could not; ``words`` for a heading."""

    person: Person
    name: str
    words: str


def at_keyboard(register: Register, stated: Person) -> Keyboard:
    """Who the stated name is in this shop. Whoever is not in the register may record as stated, and not sign."""
    shown = visible(stated.name)
    if not register.people:
        return Keyboard(stated, stated.name, f"{shown}, as stated")
    try:
        found = known(register, stated)
    except BadInput:
        return Keyboard(stated, "", f"{shown}: several bear that name, say which by the id")
    if found.id is None:
        return Keyboard(stated, "", f"{shown}: not in the register, records and does not sign")
    if register.person(found.id).disabled:
        return Keyboard(found, "", f"{visible(found.name)} ({found.id}): disabled, does not sign")
    roles = ", ".join(found.roles) or "no role"
    return Keyboard(found, found.name, f"{visible(found.name)} ({found.id}), {roles}")
