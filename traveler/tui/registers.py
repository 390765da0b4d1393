"""The registers of the shop as the screens see them: objects to show, and acts on them."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from typing import Any

from traveler.acts.board import listed
from traveler.acts.clock import Clock
from traveler.acts.instruments import would_question
from traveler.acts.nonconformance_look import look_at_nonconformances
from traveler.acts.parts_look import one_part, part_objects
from traveler.acts.people_look import look_at_person
from traveler.acts.register import parts_of, register_of, shop_now
from traveler.acts.register_look import look_at_instrument, look_at_lot, look_at_setting
from traveler.acts.where import where_object, where_used
from traveler.job.inventory_view import instrument_object, lot_object
from traveler.job.lots import out_until
from traveler.job.person import Person
from traveler.job.register import SETTINGS, RegisteredPerson
from traveler.job.register_gate import RegisterAct as Wanted
from traveler.job.register_gate import may_register, secrets_in_use
from traveler.job.register_view import registered_object
from traveler.record.shop import Shop
from traveler.tui.entered import Told
from traveler.tui.register_act import Doubt, Entering, RegisterAct, Secrets, Typed
from traveler.tui.shop_for import shop_for

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Registers:
    """Each look reads the file anew; what is handed out changes nothing."""

    shop: Shop
    clock: Clock

    def people(self) -> list[Json]:
        """Everybody, disabled people too, in order of their ids; not what they weld, for which every job is read."""
        register, today = register_of(self.shop), shop_now(self.shop, self.clock).date()
        return [registered_object(register, entry, (), today) for entry in register.people]

    def person(self, person: str) -> Json:
        """One of them with what they may weld, and their history."""
        return look_at_person(self.shop, self.clock, person)

    def registered(self, person: str) -> RegisteredPerson:
        """One of them as the register has them."""
        return register_of(self.shop).person(person)

    @property
    def secrets_in_use(self) -> bool:
        """Whether anybody has a secret."""
        return secrets_in_use(register_of(self.shop))

    def instruments(self) -> list[Json]:
        """Every instrument with the calibration that counts today."""
        now = shop_now(self.shop, self.clock)
        return [instrument_object(entry, now) for entry in register_of(self.shop).instruments]

    def instrument(self, instrument: str) -> Json:
        """One of them with its history."""
        return look_at_instrument(self.shop, self.clock, instrument)

    def would_question(
        self, instrument: str, on: str | None, since: str | None
    ) -> tuple[str, list[tuple[str, tuple[int, ...]]]]:
        """Since when, and which readings of which jobs, a finding would put in question; enters nothing."""
        good, questioned = would_question(self.shop, self.clock, instrument, on, since)
        return good.isoformat(), questioned

    def lots(self, what: str) -> list[Json]:
        """Every lot of "material" or of "filler", each with ``out_until``: when opened electrodes are back, and
        ``over``: whether that has passed. None and False where nothing says how long they may be out.
        """
        now = shop_now(self.shop, self.clock)
        found = [lot_object(lot) for lot in register_of(self.shop).lots if lot.what == what]
        for lot in found:
            latest = max(lot["openings"], key=_opened, default=None)
            until = out_until(latest) if latest and latest["hours_allowed"] is not None else None
            lot["out_until"] = None if until is None else until.isoformat()
            lot["over"] = until is not None and now > until
        return found

    def lot(self, lot: str) -> Json:
        """One of them with its history."""
        return look_at_lot(self.shop, lot)

    def where(self, lot: str) -> Json:
        """In which jobs, joints, steps and runs a heat, a batch or a lot is."""
        return where_object(where_used(self.shop, lot))

    def parts(self, design: str | None = None) -> list[Json]:
        """Every part, or those of a design, with how each stands today."""
        return part_objects(self.shop, self.clock, design)

    def part(self, serial: str) -> Json:
        """One of them with its jobs and the spares of its design."""
        return one_part(self.shop, self.clock, serial)

    def closed_jobs_without_part(self) -> tuple[str, ...]:
        """The newest closed job no part of which has a serial; empty where there is none."""
        known = {part.job for part in parts_of(self.shop).values()}
        ended = listed(self.shop, shop_now(self.shop, self.clock), "ended")
        found = (row.number for row in ended if row.state == "closed" and row.number not in known)
        return tuple(islice(found, 1))

    def settings(self) -> list[Json]:
        """Every setting; its value is None where it was never set."""
        given = register_of(self.shop).settings
        return [{"setting": name, "value": given.get(name)} for name in SETTINGS]

    def setting(self, name: str) -> Json:
        """One of them with its history."""
        return look_at_setting(self.shop, name)

    def nonconformances(self) -> list[Json]:
        """Those of all jobs, the ones first that are not closed."""
        return look_at_nonconformances(self.shop)

    def why_not(self, wanted: Wanted, by: str | None = None) -> str:
        """What stands against an act on the register whoever would do it by their secret, or if ``by`` (an id) would;
        empty where somebody may.
        """
        register = register_of(self.shop)
        asked = [entry for entry in register.people if entry.id == by or (by is None and not entry.disabled)]
        people = [entry.acting("signed") for entry in asked] or [Person("")]
        against = [may_register(wanted, register, person).reasons for person in people]
        if not all(against):
            return ""
        of_all = [reason for reason in against[0] if all(reason in reasons for reasons in against)]
        return (of_all or against[0])[0]

    def look(self, act: RegisterAct, typed: Typed) -> Doubt | None:
        """What is wrong with what was typed, as a FieldFault, or is to be asked before the act is carried out."""
        return None if act.look is None else act.look(self.clock, typed)

    def do(self, act: RegisterAct, person: Person, typed: Typed, secrets: Secrets) -> Told:
        """Carry an act out. Raises FieldFault. With secrets it may be called in another thread."""
        with shop_for(self.shop, own_thread=bool(secrets)) as shop:
            return act.carry_out(Entering(shop, self.clock, person, secrets), typed)


def _opened(opening: Mapping[str, Any]) -> datetime:
    return datetime.fromisoformat(opening["at"])
