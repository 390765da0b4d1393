"""What a reading names in the register, frozen as it stood: the instrument that took it, the lot that it is of."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from traveler.acts.register import register_of
from traveler.acts.typed import printable
from traveler.errors import BadInput
from traveler.job.instrument import IN_CALIBRATION, RECORDER, Instrument, instrument_state
from traveler.job.lots import lot_kept, names_lot
from traveler.job.outside import last_sending
from traveler.job.person import plain_name
from traveler.job.register import Register
from traveler.job.requirement import Requirement
from traveler.job.state import JobState, Reading
from traveler.record.shop import Writing


def taken_with(
    writing: Writing, requirement: Requirement, text: str | None, happened_at: datetime
) -> dict[str, Any]:
    """The keys ``instrument`` and, where there is something to keep, ``instrument_state`` of a reading.

    ``text`` is an instrument's id, name or serial number, and is kept as typed; words that the register does not know
    stay words. In a shop that has registered instruments of a kind that the requirement asks for, a reading that
    names none of the register says so by an ``instrument_state`` of None. Raises BadInput where the text may be one
    of several.
    """
    typed = printable(text, "instrument")
    kept: dict[str, Any] = {"instrument": typed}
    if typed is None and not requirement.evidence.instruments:
        return kept
    register = register_of(writing)
    found = instrument_meant(register, typed)
    if found is not None:
        return {**kept, "instrument_state": instrument_state(found, happened_at)}
    if _has_such(register, requirement):
        return {**kept, "instrument_state": None}
    return kept


def still_taken_with(
    writing: Writing, requirement: Requirement, old: Reading, text: str | None
) -> dict[str, Any]:
    """The same of the correction of ``old``, which speaks of the time of the entry that it corrects.

    ``text``: the instrument where that was entered wrong. Else it stays the one it was, as it stood; where that was no
    good at the time, what is known of it today counts: a calibration may have been entered late. A reading from before
    the shop had a register keeps its words.
    """
    happened_at = datetime.fromisoformat(old.moment.happened_at)
    if text is not None:
        kept = taken_with(writing, requirement, text, happened_at)
        return {"instrument_state": None, **kept} if old.names_instrument else kept
    used = old.instrument_state
    if used is None:
        return {"instrument": old.instrument, **({"instrument_state": None} if old.names_instrument else {})}
    if used.state == IN_CALIBRATION:
        return {"instrument": old.instrument, "instrument_state": dict(used.act)}
    found = register_of(writing).instrument(used.instrument)
    return {"instrument": old.instrument, "instrument_state": instrument_state(found, happened_at)}


def recorded_with(writing: Writing, text: str | None, reading: Mapping[str, Any]) -> dict[str, Any]:
    """What the recorder of a chart adds to a reading out of it; nothing where none is named."""
    typed = printable(text, "instrument")
    if typed is None:
        return {}
    kept: dict[str, Any] = {"instrument": f"{reading['instrument']}, {typed}"}
    found = instrument_meant(register_of(writing), typed)
    if found is None:
        return kept
    happened_at = datetime.fromisoformat(reading["happened_at"])
    return {**kept, "instrument_state": instrument_state(found, happened_at)}


def reported_by(state: JobState, step: int, from_vendor: bool) -> dict[str, Any]:
    """The key ``reported_by`` of what stands in a vendor's papers; nothing of what was read here.

    Raises BadInput where the work of the step is at no vendor.
    """
    if not from_vendor:
        return {}
    sending = last_sending(state, step)
    if sending is None:
        raise BadInput(f"step {step} was not sent to a vendor, so no vendor reports a reading of it")
    return {"reported_by": sending.vendor}


def lot_named(
    writing: Writing, requirement: Requirement, value: str, happened_at: datetime
) -> dict[str, Any]:
    """The key ``lot`` of a reading that names a heat or a filler lot of the register; nothing of any other."""
    if names_lot(requirement.quantity) is None:
        return {}
    kept = lot_kept(register_of(writing), requirement.quantity, value, happened_at)
    return {} if kept is None else {"lot": kept}


def instrument_meant(register: Register, text: str | None) -> Instrument | None:
    """The instrument of that id, name or serial number; None for other words. Raises BadInput for several."""
    if text is None:
        return None
    wanted = plain_name(text)
    known = {
        plain_name(name)
        for entry in register.instruments
        for name in (entry.id, entry.name, entry.serial)
        if name is not None
    }
    return register.instrument(text) if wanted in known else None


def _has_such(register: Register, requirement: Requirement) -> bool:
    asked = set(requirement.evidence.instruments)
    if "thermocouple" in asked:
        asked.add(RECORDER)
    return any(entry.type in asked for entry in register.instruments)
