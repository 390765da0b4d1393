"""The register of a shop: people, instruments, lots and settings, as its own stream of events says."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, Literal, TypeVar

from traveler.errors import BadInput
from traveler.job.instrument import Instrument
from traveler.job.person import Moment, Person, plain_name
from traveler.quantity.parse import echo

SETTINGS = ("shop name", "zone", "paper", "decision rule", "idle lock", "backup reminder")
VERIFIED_BY = ("certificate", "analysis", "spark", "hardness", "owner's word")

T = TypeVar("T", "RegisteredPerson", Instrument, "Lot")


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that happened to a person's entry, in words; ``because`` where a reason was given."""

    what: str
    by: Person
    moment: Moment
    because: str | None = None


@dataclass(frozen=True, slots=True)
class ProcessUse:
    """A welding process (ISO 4063 number) shown outside the jobs: a test piece, an earlier record, other work."""

    process: str
    on: date
    shown_by: str


@dataclass(frozen=True, slots=True)
class RegisteredPerson:
    """A person by an id that is never used again. ``former_names`` in order; a disabled person stays in the register.

    ``commitment`` and ``recovery_commitment`` are digests of what the file keeps of the secret and of the recovery
    code, never these themselves.
    """

    id: str
    name: str
    roles: tuple[str, ...]
    uses: tuple[ProcessUse, ...] = ()
    disabled: bool = False
    former_names: tuple[str, ...] = ()
    changes: tuple[Change, ...] = ()
    commitment: str | None = None
    recovery_commitment: str | None = None

    def acting(self, how: str) -> Person:
        """The person as an event names them, and with the names that they had before."""
        return Person(self.name, how, self.id, self.roles, self.former_names)

    def last_used(self, process: str) -> date | None:
        """The latest day on which a process was shown outside the jobs."""
        return max((use.on for use in self.uses if use.process == process), default=None)


@dataclass(frozen=True, slots=True)
class Opening:
    """A package of electrodes opened, or rebaked, and for how long it may be out; None where nobody said."""

    at: datetime
    rebaked: bool
    hours_allowed: int | str | None


@dataclass(frozen=True, slots=True)
class Lot:
    """A lot of material or of filler. ``name`` is its grade or its classification; ``heat`` the heat or batch number.

    ``remnant_of``: id of the lot that it was cut from.
    """

    id: str
    what: Literal["material", "filler"]
    name: str
    heat: str | None
    certificate: str | None
    file: Mapping[str, Any] | None
    supplier: str | None
    verified_by: str | None
    remnant_of: str | None
    moment: Moment
    openings: tuple[Opening, ...] = ()


@dataclass(frozen=True, slots=True)
class Refused:
    """A signature that was refused: to whom, for what, and why. ``job`` and ``step`` where it was about one."""

    job: str | None
    step: int | None
    meant: str
    person: str | None
    name: str
    reason: str
    moment: Moment


@dataclass(frozen=True, slots=True)
class Backup:
    """The last backup: the file's name and the head of the journal that it holds."""

    to: str
    events: int
    head: str
    moment: Moment


@dataclass(frozen=True, slots=True)
class Register:
    """Everything that the shop's own events say. Entries stand in the order in which they came."""

    people: tuple[RegisteredPerson, ...] = ()
    instruments: tuple[Instrument, ...] = ()
    lots: tuple[Lot, ...] = ()
    settings: Mapping[str, str] = field(default_factory=dict)
    refused: tuple[Refused, ...] = ()
    last_backup: Backup | None = None

    def person(self, text: str) -> RegisteredPerson:
        """The person of that id or name, disabled ones too. Raises BadInput for none and for several."""
        by_name = [(person.name, person) for person in self.people]
        return _found("person", text, self.people, by_name)

    def instrument(self, text: str) -> Instrument:
        """The instrument of that id, name or serial number. Raises BadInput for none and for several."""
        names = [(instrument.name, instrument) for instrument in self.instruments]
        names += [(entry.serial, entry) for entry in self.instruments if entry.serial is not None]
        return _found("instrument", text, self.instruments, names)

    def lot(self, text: str) -> Lot:
        """The lot of that id, heat or batch number. Raises BadInput for none and for several."""
        heats = [(lot.heat, lot) for lot in self.lots if lot.heat is not None]
        return _found("lot", text, self.lots, heats)

    @property
    def next_person(self) -> str:
        """Id for the next person."""
        return f"P{len(self.people) + 1}"

    @property
    def next_instrument(self) -> str:
        """Id for the next instrument."""
        return f"I{len(self.instruments) + 1}"

    @property
    def next_lot(self) -> str:
        """Id for the next lot."""
        return f"L{len(self.lots) + 1}"


def _found(what: str, text: str, entries: Iterable[T], names: Iterable[tuple[str, T]]) -> T:
    wanted = plain_name(text)
    by_id = [entry for entry in entries if entry.id.casefold() == wanted]
    found = {
        entry.id: entry for entry in by_id or [entry for name, entry in names if plain_name(name) == wanted]
    }
    if len(found) == 1:
        return next(iter(found.values()))
    if found:
        raise BadInput(f'{what} "{echo(text)}" may be {" or ".join(found)}; say which by its id')
    known = ", ".join(f"{entry.id} {entry.name}" for entry in entries) or "none yet"
    raise BadInput(f'there is no {what} "{echo(text)}" in the register; it has: {known}')
