"""Instruments of the shop: registered, calibrated, found out of tolerance, withdrawn."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from traveler.acts.change import append, state_of, stream_of
from traveler.acts.clock import Clock
from traveler.acts.consequences import tell_others
from traveler.acts.entry import Entry, Refusal
from traveler.acts.instrument_typed import day_typed, range_typed, uncertainty_typed
from traveler.acts.register import Entered, append_to_shop, register_of, shop_now
from traveler.acts.signed_entry import enter_signed, signed
from traveler.acts.signing import Meant, signing
from traveler.acts.typed import needed, printable, reason_given
from traveler.errors import BadInput
from traveler.job.board import as_recorded
from traveler.job.fold import extend
from traveler.job.fold_settling import QUESTIONED
from traveler.job.instrument import (
    CRAYON,
    IN_CALIBRATION,
    INSTRUMENT_TYPES,
    FoundOut,
    Instrument,
    calibration_at,
    readings_since_last_good,
    state_on,
)
from traveler.job.person import Person
from traveler.job.quantity_act import quantity_to_act
from traveler.job.register import Register
from traveler.job.register_fold import (
    INSTRUMENT_CALIBRATED,
    INSTRUMENT_FOUND_OUT,
    INSTRUMENT_REGISTERED,
    INSTRUMENT_WITHDRAWN,
)
from traveler.job.register_gate import EnterWithName, TrustInstrument
from traveler.quantity.parse import echo
from traveler.record.chain import code
from traveler.record.secrets import Secret
from traveler.record.shop import Shop, StoredEvent, Writing
from traveler.report.words import count_words


@dataclass(frozen=True, slots=True)
class NewInstrument:
    """An instrument as entered; range and uncertainty as typed with their unit ("0 F", "3 F")."""

    name: str
    type: str
    range_from: str | None = None
    range_to: str | None = None
    uncertainty: str | None = None
    serial: str | None = None


def register_instrument(
    shop: Shop, clock: Clock, person: Person, entered: NewInstrument, *, secret: Secret | None = None
) -> Entered:
    """Give an instrument an id that is never used again. Raises BadInput for what cannot be read.

    ``secret``, here and below: that of ``person``, where people of the shop have secrets.
    """
    name = needed(entered.name, "the instrument's name", 'one such as "contact probe 2"')
    if entered.type not in INSTRUMENT_TYPES:
        offered = ", ".join(INSTRUMENT_TYPES)
        raise BadInput(f'"{echo(entered.type)}" is no type of instrument; expected one of: {offered}')
    low, high = range_typed(entered.type, entered.range_from, entered.range_to)
    uncertainty = quantity_to_act(uncertainty_typed(entered.type, entered.uncertainty))
    serial = printable(entered.serial, "serial number")

    def decide(register: Register, now: datetime, writing: Writing) -> Entry | Refusal:
        _refuse_taken(register, name, serial)
        act: dict[str, Any] = {
            "instrument": register.next_instrument,
            "name": name,
            "type": entered.type,
            "range": None
            if low is None and high is None
            else {"from": quantity_to_act(low), "to": quantity_to_act(high)},
            "uncertainty": uncertainty,
            "serial": serial,
        }
        return Entry(INSTRUMENT_REGISTERED, act)

    act = TrustInstrument("registering an instrument")
    register, refused = enter_signed(shop, clock, person, secret, act, INSTRUMENT_REGISTERED, decide)
    if refused:
        return Entered(False, False, f"{name} is not registered", register, refused)
    made = register.instruments[-1]
    waits = "" if made.type == CRAYON else "; its readings show something once a calibration is entered"
    return Entered(True, True, f"{named(made)} ({made.type}) is registered{waits}", register)


def calibrated(
    shop: Shop,
    clock: Clock,
    person: Person,
    instrument: str,
    on: str,
    due: str,
    certificate: str,
    uncertainty: str | None = None,
    *,
    secret: Secret | None = None,
) -> Entered:
    """Enter a calibration: good from ``on`` to the end of ``due``, both days. Refused for a withdrawn instrument."""
    papers = needed(certificate, "the certificate of the calibration", "its number, or where it is kept")

    def decide(register: Register, now: datetime, writing: Writing) -> Entry | Refusal:
        found = register.instrument(instrument)
        if found.withdrawn_at is not None:
            return Refusal((_withdrawn(found),))
        made, until = day_typed(on, "day of the calibration"), day_typed(due, "day it is due")
        _refuse_to_come(made, now, "calibrated")
        if until < made:
            raise BadInput(f"the calibration of {made} is due again on {until}, which is earlier")
        act = {
            "instrument": found.id,
            "on": made.isoformat(),
            "due": until.isoformat(),
            "certificate": papers,
            "uncertainty": quantity_to_act(uncertainty_typed(found.type, uncertainty)),
        }
        return Entry(INSTRUMENT_CALIBRATED, act)

    act = TrustInstrument("entering a calibration")
    register, refused = enter_signed(shop, clock, person, secret, act, INSTRUMENT_CALIBRATED, decide)
    if refused:
        return Entered(False, False, "not entered", register, refused)
    found = register.instrument(instrument)
    made, today = found.calibrations[-1], shop_now(shop, clock)
    counts = calibration_at(found, today.date()) or made
    good = state_on(found, today) == IN_CALIBRATION
    state = f"good until {counts.due}" if good else f"it is overdue (due {counts.due})"
    return Entered(True, good, f"{named(found)} was calibrated on {made.on}: {state}", register)


def found_out(
    shop: Shop,
    clock: Clock,
    person: Person,
    instrument: str,
    finding: str,
    on: str | None = None,
    since: str | None = None,
    *,
    secret: Secret | None = None,
) -> Entered:
    """An instrument was found out of tolerance: what it read since the last good calibration is in question.

    One transaction: the finding, and in each job that has such readings, closed ones too, that they are questioned.
    ``since``: the day of the last good calibration where that is not the latest one.
    """
    what = needed(finding, "the finding", 'what was found, such as "reads 12 F low at 300 F"')
    signer = signing(shop, clock, person, secret, Meant(INSTRUMENT_FOUND_OUT))
    if isinstance(signer, Refusal):
        return Entered(False, False, "not entered", register_of(shop), signer.reasons)
    person = signer.person

    def decide(register: Register, now: datetime, writing: Writing) -> Entry | Refusal:
        asked = register.instrument(instrument)
        day = now.date() if on is None else day_typed(on, "day of the finding")
        _refuse_to_come(day, now, "found out of tolerance")
        good = _last_good(asked, day, since)
        act = {"instrument": asked.id, "on": day.isoformat(), "finding": what, "since": good.isoformat()}
        return Entry(INSTRUMENT_FOUND_OUT, act)

    with shop.write() as writing:
        now = shop_now(writing, clock)
        entry = signed(signer, EnterWithName(), decide)(register_of(writing), now, writing)
        if isinstance(entry, Refusal):
            return Entered(False, False, "not entered", register_of(writing), entry.reasons)
        append_to_shop(writing, person, entry, now)
        register = register_of(writing)
        found = register.instrument(entry.act["instrument"])
        good = found.found_out[-1].since
        questioned = _question(shop, writing, person, found, found.found_out[-1], now)
    readings = sum(len(numbers) for _, numbers in questioned)
    jobs = count_words(len(questioned), "job")
    message = f"{named(found)} found out of tolerance, last good on {good}: "
    message += (
        f"{count_words(readings, 'reading')} in {jobs} in question" if readings else "it read nothing since"
    )
    told = [f"job {number}: reading{'s' if len(n) > 1 else ''} {_listed(n)}" for number, n in questioned]
    return Entered(True, True, message, register, tuple(told))


def withdraw(
    shop: Shop, clock: Clock, person: Person, instrument: str, because: str, *, secret: Secret | None = None
) -> Entered:
    """Take an instrument out of use for good; what it read before stands as it is."""
    reason = reason_given(because)

    def decide(register: Register, now: datetime, writing: Writing) -> Entry | Refusal:
        found = register.instrument(instrument)
        if found.withdrawn_at is not None:
            return Refusal((_withdrawn(found),))
        return Entry(INSTRUMENT_WITHDRAWN, {"instrument": found.id, "because": reason})

    register, refused = enter_signed(
        shop, clock, person, secret, EnterWithName(), INSTRUMENT_WITHDRAWN, decide
    )
    if refused:
        return Entered(False, False, "not withdrawn", register, refused)
    return Entered(True, True, f"{named(register.instrument(instrument))} is withdrawn", register)


def named(instrument: Instrument) -> str:
    """ "I1 contact probe"."""
    return f"{instrument.id} {instrument.name}"


def would_question(
    shop: Shop, clock: Clock, instrument: str, on: str | None = None, since: str | None = None
) -> tuple[date, list[tuple[str, tuple[int, ...]]]]:
    """What ``found_out`` would put in question, and enters nothing: the day of the last good calibration, and of each
    job that has such readings its number and theirs.
    """
    asked, now = register_of(shop).instrument(instrument), shop_now(shop, clock)
    day = now.date() if on is None else day_typed(on, "day of the finding")
    _refuse_to_come(day, now, "found out of tolerance")
    found = FoundOut(day, "", _last_good(asked, day, since))
    jobs = (shop.events(stream_of(number)) for number in shop.job_numbers())
    named_in = [state_of(events) for events in jobs if _names(events, asked)]
    return found.since, readings_since_last_good(asked, found, named_in)


def _question(
    shop: Shop, writing: Writing, person: Person, instrument: Instrument, found: FoundOut, now: datetime
) -> list[tuple[str, tuple[int, ...]]]:
    """Question the readings of each job, and refresh its row on the board."""
    questioned = []
    for number in shop.job_numbers():
        events = writing.events(stream_of(number))
        if not _names(events, instrument):
            continue
        state = state_of(events)
        for _, readings in readings_since_last_good(instrument, found, [state]):
            act = {"instrument": instrument.id, "finding": found.finding, "readings": list(readings)}
            stored = append(writing, number, person, Entry(QUESTIONED, act), now)
            after = extend(state, stored.data, code(stored.hash))
            writing.put_board_row(as_recorded(after))
            tell_others(writing, person, now, after, [stored])
            questioned.append((number, readings))
    return questioned


def _names(events: Iterable[StoredEvent], instrument: Instrument) -> bool:
    """A job that never names the instrument need not be worked out."""
    return any(f'"instrument":"{instrument.id}"' in event.body for event in events)


def _last_good(instrument: Instrument, on: date, since: str | None) -> date:
    """The day of the last good calibration: an earlier one may be named, never a later one.

    A calibration on the day of the finding is the one that found it, or that put it right: the one before counts.
    """
    last = calibration_at(instrument, on)
    if since is None:
        last = calibration_at(instrument, on - timedelta(days=1)) or last
        if last is None:
            raise BadInput(
                f"{named(instrument)} was never calibrated; say since when its readings are in question (--since)"
            )
        return last.on
    good = day_typed(since, "day it was last good")
    if last is not None and good > last.on:
        raise BadInput(
            f"{named(instrument)} was last calibrated on {last.on}; expected that day or an earlier one"
        )
    if good > on:
        raise BadInput(f"it was found on {on}; expected a day before, not {good}")
    return good


def _refuse_taken(register: Register, name: str, serial: str | None) -> None:
    for entry in register.instruments:
        if serial is not None and entry.serial is not None and entry.serial.casefold() == serial.casefold():
            raise BadInput(f'{named(entry)} has the serial number "{entry.serial}" already')
        if entry.name.casefold() == name.casefold() and None in (serial, entry.serial):
            raise BadInput(
                f'{entry.id} is called "{entry.name}" already; tell the two apart by a name or by serial numbers'
            )
    if name.upper().startswith("I") and name[1:].isdigit():
        raise BadInput(
            f'"{name}" reads like an id of the register; expected a name such as "contact probe 2"'
        )


def _refuse_to_come(day: date, now: datetime, what: str) -> None:
    if day > now.date():
        raise BadInput(f"{what} on {day}: that day is still to come")


def _withdrawn(instrument: Instrument) -> str:
    return f"{named(instrument)} is withdrawn: {instrument.withdrawn_because}"


def _listed(numbers: tuple[int, ...]) -> str:
    return ", ".join(map(str, numbers))
