"""Look at the people of the shop."""

from datetime import date
from typing import Any

from traveler.acts.clock import Clock
from traveler.acts.register import register_of, shop_now
from traveler.acts.welds import Welds
from traveler.job.register import Register, RegisteredPerson
from traveler.job.register_view import history_object, registered_object
from traveler.record.shop import Shop

Json = dict[str, Any]


def look_at_people(shop: Shop, clock: Clock) -> list[Json]:
    """Everybody in the register, disabled people too, in order of their ids."""
    register, welds, today = register_of(shop), Welds(shop), shop_now(shop, clock).date()
    return [_person(register, entry, welds, today) for entry in register.people]


def look_at_person(shop: Shop, clock: Clock, who: str) -> Json:
    """One person with their history. Raises BadInput where the register has nobody of that name or id."""
    register, today = register_of(shop), shop_now(shop, clock).date()
    entry = register.person(who)
    person = _person(register, entry, Welds(shop), today)
    return {**person, **history_object(register, entry)}


def _person(register: Register, entry: RegisteredPerson, welds: Welds, today: date) -> Json:
    """A weld in production keeps a qualification alive, whatever job it was for."""
    return registered_object(register, entry, welds.of(entry.acting("stated")), today)
