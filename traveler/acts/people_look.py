"""Look at the people of the shop."""

from datetime import date
from typing import Any

from traveler.acts.change import load_job
from traveler.acts.clock import Clock
from traveler.acts.register import register_of, shop_now
from traveler.job.qualification import welds_of
from traveler.job.register import Register, RegisteredPerson
from traveler.job.register_view import history_object, registered_object
from traveler.job.state import JobState
from traveler.record.shop import Shop

Json = dict[str, Any]


def look_at_people(shop: Shop, clock: Clock) -> list[Json]:
    """Everybody in the register, disabled people too, in order of their ids."""
    register, states, today = register_of(shop), _jobs(shop), shop_now(shop, clock).date()
    return [_person(register, entry, states, today) for entry in register.people]


def look_at_person(shop: Shop, clock: Clock, who: str) -> Json:
    """One person with their history. Raises BadInput where the register has nobody of that name or id."""
    register = register_of(shop)
    entry = register.person(who)
    today = shop_now(shop, clock).date()
    return {**_person(register, entry, _jobs(shop), today), **history_object(register, entry)}


def _person(register: Register, entry: RegisteredPerson, states: list[JobState], today: date) -> Json:
    welds = welds_of(states, entry.acting("stated"))
    return registered_object(register, entry, welds, today)


def _jobs(shop: Shop) -> list[JobState]:
    """Every job: a weld in production keeps a qualification alive, whatever job it was for."""
    return [load_job(shop, number) for number in shop.job_numbers()]
