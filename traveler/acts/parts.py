"""Parts after their job: registered with a serial, installed, used, inspected, withdrawn."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from traveler.acts.change import state_of, stream_of
from traveler.acts.clock import Clock
from traveler.acts.entry import Entry, Refusal
from traveler.acts.instrument_typed import day_typed
from traveler.acts.register import Entered, parts_of, register_of, shop_now
from traveler.acts.signed_entry import enter_signed
from traveler.acts.typed import needed, printable, reason_given
from traveler.errors import BadInput
from traveler.job.as_built import as_built
from traveler.job.balance import balance, is_batch, serials_here
from traveler.job.part import Correction, Part, Standing, standing
from traveler.job.part_fold import (
    INTERVAL_SET,
    PART_CORRECTED,
    PART_CRASHED,
    PART_INSPECTED,
    PART_INSTALLED,
    PART_REGISTERED,
    PART_REMOVED,
    PART_USED,
    PART_WITHDRAWN,
    part_of,
)
from traveler.job.person import Person, plain_name
from traveler.job.quantity_act import quantity_to_act
from traveler.job.register import Register
from traveler.job.register_gate import EnterWithName, RegisterAct, VouchForPart
from traveler.job.state import JobState
from traveler.quantity.parse import echo, parse_quantity
from traveler.quantity.quantity import Quantity
from traveler.quantity.units import Kind
from traveler.record.secrets import Secret
from traveler.record.shop import Shop, Writing

NOTHING = {"events": "--events 0", "hours": '--hours "0 h"', "distance": '--distance "0 km"'}
MOST = 1_000_000
"""More events or months than this are a slip of the finger."""


@dataclass(frozen=True, slots=True)
class Amount:
    """Events, hours ("2.5 h"), distance ("180 km") and months as typed; None where not said."""

    events: int | None = None
    hours: str | None = None
    distance: str | None = None
    months: int | None = None


@dataclass(frozen=True, slots=True)
class Signing:
    """Who enters it, with their secret where people have some."""

    person: Person
    secret: Secret | None = None


def register_part(
    shop: Shop, clock: Clock, by: Signing, number: str, serial: str, design: str | None = None
) -> Entered:
    """Give the part of a closed job its serial, with its dimensions as built; refused where the job is not closed.

    ``design``: what its spares are known by; left out, the part number of the sheet, else its title.
    """
    called = needed(serial, "the serial of the part", "what is marked on it")
    given = printable(design, "the design")

    def decide(register: Register, now: datetime, writing: Writing) -> Entry | Refusal:
        events = writing.events(stream_of(number))
        if not events:
            raise BadInput(f'there is no job "{echo(number)}" in this shop')
        state = state_of(events)
        if state.closed is None:
            return Refusal((f"job {state.plan.number} is not closed; only what is complete gets a serial",))
        parts = parts_of(writing)
        if plain_name(called) in parts:
            raise BadInput(f'there is a part "{echo(called)}" already; expected a serial of its own')
        if no_piece := _no_piece(state, called, [part for part in parts.values() if part.job == number]):
            return Refusal((no_piece,))
        return Entry(PART_REGISTERED, _registered(state, called, given))

    return _entered(shop, clock, by, EnterWithName(), PART_REGISTERED, decide, called, always=True)


def _no_piece(state: JobState, serial: str, parts: Sequence[Part]) -> str:
    """Why a batch has no such piece to become a part, in words; empty where it has, or is none."""
    if not is_batch(state):
        return ""
    here = serials_here(state)
    if state.plan.serials and plain_name(serial) not in map(plain_name, here):
        return f"{serial} is no piece that job {state.plan.number} was closed with: {', '.join(here)}"
    if len(parts) >= balance(state).here:
        return f"all pieces of job {state.plan.number} have a serial: {balance(state).words}"
    return ""


def _registered(state: JobState, serial: str, design: str | None) -> dict[str, Any]:
    """Its first inspection is the closing of the job, on the shop's day."""
    assert state.closed is not None
    built = as_built(state).values()
    return {
        "serial": serial,
        "design": design or state.plan.part or state.plan.title,
        "job": state.plan.number,
        "revision": state.revision,
        "code": state.head,
        "on": _day_of(state.closed.moment.happened_at),
        "as_built": [
            {"dimension": entry.id, "title": entry.title, "value": entry.value, "unit": entry.unit}
            for entry in built
        ],
    }


def set_interval(shop: Shop, clock: Clock, by: Signing, serial: str, every: Amount, because: str) -> Entered:
    """When the part is to be inspected again, whichever comes first; what is not given does not count."""
    reason = reason_given(because)
    act = {
        **_amounts(every, above_zero=True),
        "months": whole_typed(every.months, "months", least=1),
        "because": reason,
    }
    if all(act[key] is None for key in ("events", "hours", "distance", "months")):
        raise BadInput("no interval was given; expected events, hours, a distance or months")
    gate = VouchForPart("setting the interval of a part")
    return _happened(shop, clock, by, gate, INTERVAL_SET, serial, None, lambda part: act, always=True)


def install(shop: Shop, clock: Clock, by: Signing, serial: str, car: str, on: str | None = None) -> Entered:
    """The part is on a car. Recorded whatever its state; the answer says whether it may be relied on."""
    where = needed(car, "the car", "its name or number")
    return _happened(
        shop, clock, by, EnterWithName(), PART_INSTALLED, serial, on, lambda part: {"car": where}
    )


def remove(
    shop: Shop, clock: Clock, by: Signing, serial: str, because: str, on: str | None = None
) -> Entered:
    """The part was taken off its car."""
    reason = reason_given(because)
    gate = EnterWithName()
    return _happened(
        shop, clock, by, gate, PART_REMOVED, serial, on, lambda part: {"because": reason}, always=True
    )


def use(
    shop: Shop, clock: Clock, by: Signing, serial: str, what: str, amount: Amount, on: str | None = None
) -> Entered:
    """The part was driven. What its interval counts must be said, be it as zero: nothing is taken as nothing."""
    words = needed(what, "what it was used for", "an event in words")
    act = {**_amounts(amount, above_zero=False), "what": words}
    if all(act[key] is None for key in ("events", "hours", "distance")):
        raise BadInput("how much it was used is missing; expected events, hours or a distance")

    def checked(part: Part) -> dict[str, Any]:
        for key in ("events", "hours", "distance"):
            if getattr(part.interval, key) is not None and act[key] is None:
                told = f"part {part.serial} is inspected by {key}, and no {key} were given"
                raise BadInput(f"{told}; expected {NOTHING[key]} where it was nothing")
        return act

    return _happened(shop, clock, by, EnterWithName(), PART_USED, serial, on, checked)


def crash(shop: Shop, clock: Clock, by: Signing, serial: str, what: str, on: str | None = None) -> Entered:
    """The part was in a crash: it is to be inspected now. Anybody of the register may say so."""
    words = needed(what, "what happened", "the crash in words")
    return _happened(shop, clock, by, EnterWithName(), PART_CRASHED, serial, on, lambda part: {"what": words})


def inspect(
    shop: Shop,
    clock: Clock,
    by: Signing,
    serial: str,
    finding: str,
    fit: bool,
    measured: Mapping[str, str],
    on: str | None = None,
) -> Entered:
    """The part was inspected: fit for use or not, with what was found and measured (dimension: size with its unit)."""
    words = needed(finding, "what was found", "the finding in words")
    sizes = [_size(name, size) for name, size in measured.items()]
    act = {"finding": words, "fit": fit, "measured": sizes}
    gate = VouchForPart("inspecting a part")
    return _happened(shop, clock, by, gate, PART_INSPECTED, serial, on, lambda part: act)


def withdraw(
    shop: Shop, clock: Clock, by: Signing, serial: str, because: str, on: str | None = None
) -> Entered:
    """The part goes out of use for good. Anybody of the register may say so."""
    reason = reason_given(because)
    gate = EnterWithName()
    return _happened(
        shop, clock, by, gate, PART_WITHDRAWN, serial, on, lambda part: {"because": reason}, always=True
    )


def correct(shop: Shop, clock: Clock, by: Signing, serial: str, entry: int, because: str) -> Entered:
    """A wrong entry of the part counts no more; it stays in its history with the reason. The right one is entered anew.

    Its registration is not corrected so: the serial, the job and the sizes as built are the closed job's.
    """
    reason = reason_given(because)

    def decide(register: Register, now: datetime, writing: Writing) -> Entry | Refusal:
        part = part_of(parts_of(writing), serial)
        found = next((told for told in part.history if told.moment.seq == entry), None)
        if found is None:
            known = ", ".join(str(told.moment.seq) for told in part.history[1:]) or "none yet"
            raise BadInput(f"part {part.serial} has no entry {entry}; expected one of: {known}")
        if found is part.history[0]:
            return Refusal((f"entry {entry} gave the part its serial, and stays",))
        if found.superseded is not None:
            return Refusal((f"entry {entry} is superseded already: {found.superseded}",))
        if isinstance(found, Correction):
            return Refusal((f"entry {entry} is a correction itself; enter anew what it took back",))
        return Entry(
            PART_CORRECTED,
            {"serial": part.serial, "on": now.date().isoformat(), "entry": entry, "because": reason},
        )

    gate = VouchForPart("correcting the life of a part")
    return _entered(shop, clock, by, gate, PART_CORRECTED, decide, serial, always=False)


def _happened(
    shop: Shop,
    clock: Clock,
    by: Signing,
    gate: RegisterAct,
    kind: str,
    serial: str,
    on: str | None,
    act: Callable[[Part], Mapping[str, Any]],
    *,
    always: bool = False,
) -> Entered:
    """Append what befell a part; a day before the part was made or still to come is refused."""

    def decide(register: Register, now: datetime, writing: Writing) -> Entry | Refusal:
        part = part_of(parts_of(writing), serial)
        day = now.date() if on is None else day_typed(on, "the day")
        if day > now.date():
            raise BadInput(f"{day} is still to come")
        if day < part.looks[0].on:
            raise BadInput(f"{day} is before part {part.serial} was made, on {part.looks[0].on}")
        if part.withdrawn is not None and kind in (PART_WITHDRAWN, PART_INSPECTED, INTERVAL_SET):
            return Refusal((f"part {part.serial} is withdrawn: {part.withdrawn}",))
        return Entry(kind, {"serial": part.serial, "on": day.isoformat(), **act(part)})

    return _entered(shop, clock, by, gate, kind, decide, serial, always=always)


def _entered(
    shop: Shop,
    clock: Clock,
    by: Signing,
    gate: RegisterAct,
    kind: str,
    decide: Callable[[Register, datetime, Writing], Entry | Refusal],
    serial: str,
    *,
    always: bool,
) -> Entered:
    """``always``: the answer is yes once it is entered, however the part stands."""
    register, refused = enter_signed(shop, clock, by.person, by.secret, gate, kind, decide)
    if refused:
        return Entered(False, False, f"{kind}: not entered", register, refused)
    part = part_of(parts_of(shop), serial)
    stands = standing(part, shop_now(shop, clock).date())
    message = f"{kind}: {part.serial} ({part.design}); {stands.state}"
    return Entered(True, always or stands.state == "fit", message, register_of(shop), _told(stands))


def _told(stands: Standing) -> tuple[str, ...]:
    due = () if stands.due_on is None or stands.state != "fit" else (f"to be inspected by {stands.due_on}",)
    return (*stands.reasons, *due)


def _amounts(amount: Amount, *, above_zero: bool) -> dict[str, Any]:
    return {
        "events": whole_typed(amount.events, "events", least=1 if above_zero else 0),
        "hours": quantity_to_act(hours_typed(amount.hours, above_zero=above_zero)),
        "distance": quantity_to_act(distance_typed(amount.distance, above_zero=above_zero)),
    }


def hours_typed(text: str | None, *, above_zero: bool) -> Quantity | None:
    """Running time such as "2.5 h". Raises BadInput."""
    return _quantity(text, Kind.TIME, "hours", above_zero=above_zero)


def distance_typed(text: str | None, *, above_zero: bool) -> Quantity | None:
    """How far, such as "180 km". Raises BadInput."""
    return _quantity(text, Kind.LENGTH, "distance", above_zero=above_zero)


def size_typed(text: str) -> Quantity:
    """A measured size, such as "38.4 mm". Raises BadInput."""
    return parse_quantity(text, Kind.LENGTH)


def far_off(size: str, as_built: str) -> bool:
    """Whether a measured size is hardly that dimension: more than 1 mm and a tenth of it from what was built (our own
    rule, to ask by and not to judge by). Raises BadInput.
    """
    measured, built = size_typed(size).canonical, size_typed(as_built).canonical
    off = abs(measured - built)
    return off > 1 and off > abs(built) / 10


def whole_typed(number: int | None, what: str, *, least: int) -> int | None:
    """So many events or months. Raises BadInput."""
    if number is not None and not least <= number <= MOST:
        raise BadInput(f"{what}: read {number}; expected a whole number from {least} to {MOST}")
    return number


def _quantity(text: str | None, kind: Kind, what: str, *, above_zero: bool) -> Quantity | None:
    if text is None:
        return None
    quantity = parse_quantity(text, kind)
    if quantity.canonical < 0 or (above_zero and quantity.canonical == 0):
        raise BadInput(
            f'{what}: "{echo(text)}"; expected {"more than zero" if above_zero else "zero or more"}'
        )
    return quantity


def _size(name: str, text: str) -> dict[str, str]:
    dimension = needed(name, "the dimension", "its id, such as D1")
    size = size_typed(text)
    return {"dimension": dimension, "value": size.text, "unit": size.unit.symbol}


def _day_of(instant: str) -> str:
    day: date = datetime.fromisoformat(instant).date()
    return day.isoformat()
