"""Who did a step beside the person who signs it, and whether somebody may look at their own work."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from traveler.acts.register import known
from traveler.acts.typed import by_of, identified
from traveler.errors import BadInput
from traveler.job.four_eyes import work_done
from traveler.job.person import Person
from traveler.job.register import Register
from traveler.job.state import JobState


def others_in(register: Register, signer: Person, names: Sequence[str]) -> dict[str, Any]:
    """The key ``with`` of the act: those who did it together with the signer, each by name, and id where registered.

    Nothing where nobody is named. Raises BadInput for somebody named twice, or the signer themselves.
    """
    found: list[Person] = []
    for name in names:
        person = known(register, identified(Person(name)))
        if person.is_same_as(signer) or any(person.is_same_as(other) for other in found):
            raise BadInput(f"{person.name} is named twice; name each of those who did it once")
        found.append(person)
    return {"with": [by_of(person) for person in found]} if found else {}


@dataclass(frozen=True, slots=True)
class Inspection:
    """A decision about the work of some steps: ``roles`` that may take it, ``what`` they may do, as it ends a sentence.

    ``besides``: another person who may not take it either, the one who proposed what is to be approved.
    """

    steps: tuple[int, ...]
    roles: tuple[str, ...]
    what: str
    besides: Person | None = None


def own_inspection(register: Register, state: JobState, person: Person, asked: Inspection) -> str:
    """Why somebody who works with others may not look at their own work, in words; empty where nothing is against it.

    A sheet may allow self-inspection for whoever works alone: where another person of the register may decide, they do.
    """
    if not state.plan.self_inspection or person.id is None or not work_in(state, asked.steps, person):
        return ""
    able = [
        f"{entry.name} ({entry.id})"
        for entry in register.people
        if entry.id != person.id
        and not entry.disabled
        and any(role in asked.roles for role in entry.roles)
        and not _is_besides(asked, entry.acting("stated"))
        and not work_in(state, asked.steps, entry.acting("stated"))
    ]
    if not able:
        return ""
    return f"self-inspection is for whoever works alone: {' or '.join(able)} may {asked.what}"


def work_in(state: JobState, steps: Sequence[int], person: Person) -> str:
    """What of the work of these steps a person did, in words; empty where nothing."""
    done = (work_done(state, step, person) for number in steps if (step := state.step(number)) is not None)
    return next(filter(None, done), "")


def _is_besides(asked: Inspection, person: Person) -> bool:
    return asked.besides is not None and asked.besides.is_same_as(person)
