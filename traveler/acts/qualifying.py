"""Were those who welded qualified on the day of the weld? What a signature on a weld step keeps of it."""

from collections.abc import Iterator, Mapping
from datetime import date, datetime
from typing import Any

from traveler.acts.register import known
from traveler.acts.welds import Welds as WeldsInJobs
from traveler.job.person import Person
from traveler.job.qualification import (
    Weld,
    process_of,
    qualification,
    weld_days,
    welders_since_rework,
)
from traveler.job.register import Register
from traveler.job.requirement import StepPlan
from traveler.job.state import JobState
from traveler.record.shop import Shop

Welds = Mapping[str, tuple[Weld, ...]]
"""What a person (an id) welded in the jobs of the shop."""


def qualified(
    register: Register, state: JobState, step: StepPlan, signer: Person, now: datetime, welds: Welds
) -> dict[str, Any]:
    """The key ``qualification`` of the act: the first welder who was not qualified, else the last of them.

    Nothing for other steps, and nothing in a shop without registered people.
    """
    found = list(_qualifications(register, state, step, signer, now, welds))
    if not found:
        return {}
    return {"qualification": next((kept for kept in found if not kept["valid"]), found[-1])}


def known_welds(
    shop: Shop, register: Register, state: JobState, step: StepPlan, signer: Person, now: datetime
) -> Welds:
    """Welds of those whom the register alone does not show to be qualified; for them the jobs are looked through."""
    asked = [
        kept for kept in _qualifications(register, state, step, signer, now, {}) if kept["person"] is not None
    ]
    doubtful = {kept["person"] for kept in asked if not kept["valid"]}
    process = process_of(state, step)
    if not doubtful or process is None:
        return {}
    days, welds = [date.fromisoformat(kept["on"]) for kept in asked], WeldsInJobs(shop)
    return {person: welds.that_count(register.person(person), process, days) for person in doubtful}


def _qualifications(
    register: Register, state: JobState, step: StepPlan, signer: Person, now: datetime, welds: Welds
) -> Iterator[dict[str, Any]]:
    process = process_of(state, step)
    if process is None or not register.people:
        return
    for welder in _welders(register, state, step, signer):
        for day in weld_days(state, step) or (now.date(),):
            named = {"name": welder.name, "person": welder.id}
            if welder.id is None:
                yield {**named, **_unknown(welder.name, process, day)}
            else:
                yield {
                    **named,
                    **qualification(register, welder.id, process, day, welds.get(welder.id, ())),
                }


def _welders(register: Register, state: JobState, step: StepPlan, signer: Person) -> list[Person]:
    """Those named in the step as welders; where nobody is, whoever signs that it was performed.

    After rework those of the runs that were laid anew: who welded before it has no part in them.
    """
    named = [known(register, Person(text)) for text in welders_since_rework(state, step)]
    return named or [signer]


def _unknown(name: str, process: str, day: date) -> dict[str, Any]:
    return {
        "process": process,
        "on": day.isoformat(),
        "valid": False,
        "until": None,
        "reason": f"{name} is not in the register of people, so nothing shows it",
    }
