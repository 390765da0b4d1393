"""Who did a step beside the person who signs it, and whether somebody may look at their own work."""

from collections.abc import Sequence
from typing import Any

from traveler.acts.register import known
from traveler.acts.typed import by_of, identified
from traveler.errors import BadInput
from traveler.job.four_eyes import work_done
from traveler.job.person import MAY_ACCEPT, Person
from traveler.job.register import Register
from traveler.job.requirement import StepPlan
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


def own_inspection(register: Register, state: JobState, step: StepPlan, person: Person) -> str:
    """Why somebody who works with others may not accept their own work, in words; empty where nothing is against it.

    A sheet may allow self-inspection for whoever works alone: where another person of the register may accept, they do.
    """
    if not state.plan.self_inspection or person.id is None or not work_done(state, step, person):
        return ""
    able = [
        f"{entry.name} ({entry.id})"
        for entry in register.people
        if entry.id != person.id
        and not entry.disabled
        and any(role in MAY_ACCEPT for role in entry.roles)
        and not work_done(state, step, entry.acting("stated"))
    ]
    if not able:
        return ""
    return f"self-inspection is for whoever works alone: {' or '.join(able)} may accept this step"
