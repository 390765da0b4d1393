"""From the events of the shop's own stream to its register: a pure fold, one small function an event kind."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime
from typing import Any, TypeVar

from traveler.errors import TravelerError
from traveler.job.instrument import Calibration, FoundOut, Instrument
from traveler.job.part_kinds import PART_KINDS
from traveler.job.person import moment_of, person_of
from traveler.job.quantity_act import quantity_from_act
from traveler.job.register import (
    Backup,
    Change,
    Lot,
    Opening,
    ProcessUse,
    Refused,
    Register,
    RegisteredPerson,
)
from traveler.quantity.quantity import Quantity
from traveler.quantity.units import Kind

Event = Mapping[str, Any]
T = TypeVar("T", RegisteredPerson, Instrument, Lot)

PERSON_REGISTERED = "person registered"
PERSON_CHANGED = "person changed"
PERSON_DISABLED = "person disabled"
PERSON_ENABLED = "person enabled"
PROCESS_USED = "process used"
SECRET_SET = "secret set"
RECOVERY_CODE = "recovery code issued"
SIGNING_REFUSED = "signing refused"
INSTRUMENT_REGISTERED = "instrument registered"
INSTRUMENT_CALIBRATED = "instrument calibrated"
INSTRUMENT_FOUND_OUT = "instrument found out of tolerance"
INSTRUMENT_WITHDRAWN = "instrument withdrawn"
LOT_RECEIVED = "lot received"
ELECTRODE_OPENED = "electrode opened"
ELECTRODE_REBAKED = "electrode rebaked"
SETTING_CHANGED = "setting changed"
BACKUP_MADE = "backup made"

OF_THE_FILE = ("shop founded", "shop restored")
"""What befell the file itself; the register does not change by it. Nor does it by what befell a part."""


def fold_register(events: Iterable[Event]) -> Register:
    """The register after ``events``, parsed bodies of the shop's stream in order of sequence.

    Raises TravelerError for events that no version of this program writes.
    """
    register = Register()
    for event in events:
        register = extend_register(register, event)
    return register


def extend_register(register: Register, event: Event) -> Register:
    """The register after one more event."""
    kind = event["kind"]
    if kind in OF_THE_FILE or kind in PART_KINDS:
        return register
    step = _STEPS.get(kind)
    if step is None:
        raise TravelerError(f'event {event["seq"]} of {event["stream"]}: "{kind}" cannot stand here')
    return step(register, event)


def _person_registered(register: Register, event: Event) -> Register:
    act = event["act"]
    if act["person"] != register.next_person:
        raise TravelerError(_odd(event, f"person {act['person']} where {register.next_person} comes next"))
    uses = tuple(
        ProcessUse(process, date.fromisoformat(on), "as registered")
        for process, on in act["processes"].items()
    )
    person = RegisteredPerson(
        act["person"], act["name"], tuple(act["roles"]), uses, changes=(_change(event, "registered"),)
    )
    return replace(register, people=(*register.people, person))


def _person_changed(register: Register, event: Event) -> Register:
    act = event["act"]
    person = _known(event, register.people, act["person"])
    changes, former = person.changes, person.former_names
    if act["name"] is not None:
        changes = (*changes, _change(event, f"name changed from {person.name} to {act['name']}"))
        former = (*former, person.name)
    if act["roles"] is not None:
        roles = (", ".join(person.roles) or "none", ", ".join(act["roles"]) or "none")
        changes = (*changes, _change(event, "roles changed from {} to {}".format(*roles)))
    changed = replace(
        person,
        name=person.name if act["name"] is None else act["name"],
        roles=person.roles if act["roles"] is None else tuple(act["roles"]),
        changes=changes,
        former_names=former,
    )
    return _with_person(register, changed)


def _person_disabled(register: Register, event: Event) -> Register:
    person = _known(event, register.people, event["act"]["person"])
    changes = (*person.changes, _change(event, "disabled"))
    return _with_person(register, replace(person, disabled=True, changes=changes))


def _person_enabled(register: Register, event: Event) -> Register:
    person = _known(event, register.people, event["act"]["person"])
    changes = (*person.changes, _change(event, "enabled again"))
    return _with_person(register, replace(person, disabled=False, changes=changes))


def _process_used(register: Register, event: Event) -> Register:
    act = event["act"]
    person = _known(event, register.people, act["person"])
    use = ProcessUse(act["process"], date.fromisoformat(act["on"]), act["shown_by"])
    return _with_person(register, replace(person, uses=(*person.uses, use)))


def _secret_set(register: Register, event: Event) -> Register:
    act = event["act"]
    person = _known(event, register.people, act["person"])
    changes = (*person.changes, _change(event, f"secret set ({act['by_whom']})"))
    return _with_person(register, replace(person, commitment=act["commitment"], changes=changes))


def _recovery_code(register: Register, event: Event) -> Register:
    act = event["act"]
    person = _known(event, register.people, act["person"])
    changes = (*person.changes, _change(event, "recovery code issued"))
    return _with_person(register, replace(person, recovery_commitment=act["commitment"], changes=changes))


def _signing_refused(register: Register, event: Event) -> Register:
    act = event["act"]
    refused = Refused(
        act["job"], act["step"], act["as"], act["person"], act["name"], act["reason"], moment_of(event)
    )
    return replace(register, refused=(*register.refused, refused))


def _instrument_registered(register: Register, event: Event) -> Register:
    act = event["act"]
    if act["instrument"] != register.next_instrument:
        expected = register.next_instrument
        raise TravelerError(_odd(event, f"instrument {act['instrument']} where {expected} comes next"))
    span = act["range"] or {}
    instrument = Instrument(
        id=act["instrument"],
        name=act["name"],
        type=act["type"],
        range_from=quantity_from_act(span.get("from")),
        range_to=quantity_from_act(span.get("to")),
        uncertainty=_uncertainty(event),
        serial=act["serial"],
    )
    return replace(register, instruments=(*register.instruments, instrument))


def _calibrated(register: Register, event: Event) -> Register:
    act = event["act"]
    instrument = _known(event, register.instruments, act["instrument"])
    calibration = Calibration(
        date.fromisoformat(act["on"]),
        date.fromisoformat(act["due"]),
        act["certificate"],
        _uncertainty(event),
    )
    calibrations = (*instrument.calibrations, calibration)
    return _with_instrument(register, replace(instrument, calibrations=calibrations))


def _found_out(register: Register, event: Event) -> Register:
    act = event["act"]
    instrument = _known(event, register.instruments, act["instrument"])
    found = FoundOut(date.fromisoformat(act["on"]), act["finding"], date.fromisoformat(act["since"]))
    return _with_instrument(register, replace(instrument, found_out=(*instrument.found_out, found)))


def _withdrawn(register: Register, event: Event) -> Register:
    act = event["act"]
    instrument = _known(event, register.instruments, act["instrument"])
    at = datetime.fromisoformat(event["happened_at"])
    gone = replace(instrument, withdrawn_at=at, withdrawn_because=act["because"])
    return _with_instrument(register, gone)


def _lot_received(register: Register, event: Event) -> Register:
    act = event["act"]
    if act["lot"] != register.next_lot:
        raise TravelerError(_odd(event, f"lot {act['lot']} where {register.next_lot} comes next"))
    lot = Lot(
        id=act["lot"],
        what=act["what"],
        name=act["grade" if act["what"] == "material" else "classification"],
        heat=act["heat"],
        certificate=act["certificate"],
        file=act["file"],
        supplier=act["supplier"],
        verified_by=act["verified_by"],
        remnant_of=act["remnant_of"],
        moment=moment_of(event),
    )
    return replace(register, lots=(*register.lots, lot))


def _electrode(register: Register, event: Event) -> Register:
    act = event["act"]
    lot = _known(event, register.lots, act["lot"])
    rebaked = event["kind"] == ELECTRODE_REBAKED
    opening = Opening(datetime.fromisoformat(act["at"]), rebaked, act["hours_allowed"])
    changed = replace(lot, openings=(*lot.openings, opening))
    return replace(register, lots=tuple(changed if entry.id == lot.id else entry for entry in register.lots))


def _setting_changed(register: Register, event: Event) -> Register:
    act = event["act"]
    return replace(register, settings={**register.settings, act["name"]: act["value"]})


def _backup_made(register: Register, event: Event) -> Register:
    act = event["act"]
    journal = act["journal"]
    backup = Backup(act["to"], journal["events"], journal["head"], moment_of(event))
    return replace(register, last_backup=backup)


def _change(event: Event, what: str) -> Change:
    return Change(what, person_of(event["by"]), moment_of(event), event["act"].get("because"))


def _uncertainty(event: Event) -> Quantity | None:
    """A difference of temperature, or a length, a hardness ...; "3 degF" would be read as nineteen below zero."""
    uncertainty = quantity_from_act(event["act"]["uncertainty"])
    if uncertainty is not None and uncertainty.unit.kind is Kind.TEMPERATURE:
        raise TravelerError(_odd(event, "an uncertainty that is a temperature and not a difference"))
    return uncertainty


def _known(event: Event, entries: Iterable[T], wanted: str) -> T:
    for entry in entries:
        if entry.id == wanted:
            return entry
    raise TravelerError(_odd(event, f"{wanted}, which nobody registered"))


def _odd(event: Event, what: str) -> str:
    return f'event {event["seq"]} of {event["stream"]}: "{event["kind"]}" names {what}'


def _with_person(register: Register, changed: RegisteredPerson) -> Register:
    people = tuple(changed if person.id == changed.id else person for person in register.people)
    return replace(register, people=people)


def _with_instrument(register: Register, changed: Instrument) -> Register:
    instruments = tuple(changed if entry.id == changed.id else entry for entry in register.instruments)
    return replace(register, instruments=instruments)


_STEPS: Mapping[str, Callable[[Register, Event], Register]] = {
    PERSON_REGISTERED: _person_registered,
    PERSON_CHANGED: _person_changed,
    PERSON_DISABLED: _person_disabled,
    PERSON_ENABLED: _person_enabled,
    PROCESS_USED: _process_used,
    SECRET_SET: _secret_set,
    RECOVERY_CODE: _recovery_code,
    SIGNING_REFUSED: _signing_refused,
    INSTRUMENT_REGISTERED: _instrument_registered,
    INSTRUMENT_CALIBRATED: _calibrated,
    INSTRUMENT_FOUND_OUT: _found_out,
    INSTRUMENT_WITHDRAWN: _withdrawn,
    LOT_RECEIVED: _lot_received,
    ELECTRODE_OPENED: _electrode,
    ELECTRODE_REBAKED: _electrode,
    SETTING_CHANGED: _setting_changed,
    BACKUP_MADE: _backup_made,
}
