"""A shop's own stream, event by event: what the register is asked about. All names are invented."""

from dataclasses import dataclass, field
from typing import Any

from traveler.job.register import Register
from traveler.job.register_fold import fold_register

OWNER = {"name": "Olga Vance", "how": "stated"}
AT = "2026-01-05T08:00:00+01:00"


@dataclass
class ShopStory:
    """Events of a shop, written as they happen; each helper returns the id it gave."""

    events: list[dict[str, Any]] = field(default_factory=list)

    def tell(self, kind: str, happened: str = AT, **act: Any) -> None:
        seq = len(self.events) + 1
        self.events.append(
            {"stream": "shop", "seq": seq, "id": str(seq), "kind": kind, "happened_at": happened,
             "recorded_at": happened, "by": OWNER, "act": act}
        )  # fmt: skip

    @property
    def register(self) -> Register:
        return fold_register(self.events)

    def person(self, name: str, *roles: str, **processes: str) -> str:
        """Register somebody; processes as p141="2026-01-01"."""
        number = self.register.next_person
        used = {process.removeprefix("p"): on for process, on in processes.items()}
        self.tell("person registered", person=number, name=name, roles=list(roles), processes=used)
        return number

    def changed(self, person: str, name: str | None = None, roles: list[str] | None = None) -> None:
        self.tell("person changed", person=person, name=name, roles=roles, because="married")

    def instrument(
        self,
        name: str = "contact probe",
        type: str = "contact thermometer",
        uncertainty: str | None = "3 delta_degF",
        range: tuple[str, str] | None = None,
        serial: str | None = None,
    ) -> str:
        number = self.register.next_instrument
        span = None if range is None else {"from": amount(range[0]), "to": amount(range[1])}
        self.tell(
            "instrument registered", instrument=number, name=name, type=type, range=span,
            uncertainty=amount(uncertainty), serial=serial,
        )  # fmt: skip
        return number

    def calibrated(self, instrument: str, on: str, due: str, uncertainty: str | None = None) -> None:
        self.tell(
            "instrument calibrated", instrument=instrument, on=on, due=due, certificate="C-1",
            uncertainty=amount(uncertainty),
        )  # fmt: skip

    def found_out(self, instrument: str, on: str, since: str) -> None:
        self.tell(
            "instrument found out of tolerance", instrument=instrument, on=on, finding="reads 12 F low",
            since=since,
        )  # fmt: skip

    def lot(self, heat: str | None = "A7731", what: str = "material", **more: Any) -> str:
        number = self.register.next_lot
        named = {"grade": "4130"} if what == "material" else {"classification": "E8018-B2"}
        act = {
            "lot": number, "what": what, **named, "heat": heat, "certificate": "3.1", "file": None,
            "supplier": None, "verified_by": "certificate", "remnant_of": None, **more,
        }  # fmt: skip
        self.tell("lot received", **act)
        return number


def amount(text: str | None) -> dict[str, str] | None:
    """ "3 delta_degF" as an event keeps it."""
    if text is None:
        return None
    value, symbol = text.split()
    return {"value": value, "unit": symbol}
