"""Lots of material and filler: received with their papers, cut down to remnants, electrodes opened and rebaked."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from traveler.acts.clock import Clock, in_zone, when, written
from traveler.acts.entry import Entry, Refusal
from traveler.acts.register import Entered, enter, zone_of
from traveler.acts.signed_entry import enter_signed
from traveler.acts.typed import needed, printable
from traveler.errors import BadInput
from traveler.job.lots import grade_in_doubt, once_is_allowed
from traveler.job.person import Person, plain_name
from traveler.job.register import VERIFIED_BY, Lot, Register
from traveler.job.register_fold import ELECTRODE_OPENED, ELECTRODE_REBAKED, LOT_RECEIVED
from traveler.job.register_gate import EnterWithName
from traveler.job.sheet_metal import CERTIFICATES
from traveler.library.load import load_library
from traveler.library.model import Library
from traveler.quantity.parse import echo, parse_quantity
from traveler.quantity.show import finite_decimal, rounded_down
from traveler.quantity.units import Kind
from traveler.record.secrets import Secret
from traveler.record.shop import Shop, Writing

_SECONDS_AN_HOUR = 3600


@dataclass(frozen=True, slots=True)
class NewLot:
    """A lot of "material" or of "filler" as entered.

    ``name``: its grade or its classification; ``heat``: the heat or batch number as marked. ``certificate``: document
    type of EN 10204, or "none". ``remnant_of``: the lot that it was cut from, by its id or heat number; then what is
    not given is as of that lot.
    """

    what: str
    name: str | None = None
    heat: str | None = None
    certificate: str | None = None
    supplier: str | None = None
    verified_by: str | None = None
    remnant_of: str | None = None


def receive_lot(
    shop: Shop,
    clock: Clock,
    person: Person,
    entered: NewLot,
    file: tuple[str, Iterable[bytes] | bytes] | None = None,
    *,
    secret: Secret | None = None,
) -> Entered:
    """Give a lot an id, with its certificate's file (name and content) kept by SHA-256. Raises BadInput.

    Anybody of the register may, with their ``secret`` where people have some: a lot is what its papers say, so who
    vouches for them is to be true. How the grade was verified is said, or None where nobody did: without a certificate
    or an analysis every limit is for the worst composition of the grade.
    """
    if entered.what not in ("material", "filler"):
        raise BadInput(f'"{echo(entered.what)}" is no kind of lot; expected material or filler')
    if entered.certificate is not None and entered.certificate not in CERTIFICATES:
        offered = ", ".join(CERTIFICATES)
        raise BadInput(f'"{echo(entered.certificate)}" is no type of EN 10204; expected one of: {offered}')
    if entered.verified_by is not None and entered.verified_by not in VERIFIED_BY:
        raise BadInput(f'"{echo(entered.verified_by)}": expected one of: {", ".join(VERIFIED_BY)}')
    if entered.verified_by == "certificate" and entered.certificate == "none":
        raise BadInput("the grade cannot be verified by a certificate where there is none")
    heat = printable(entered.heat, "heat or batch number")
    supplier = printable(entered.supplier, "supplier")
    name = None if entered.name is None else _as_filed(entered.what, entered.name)
    file_name = None if file is None else needed(file[0], "the name of the certificate's file", "one")

    def decide(register: Register, now: datetime, writing: Writing) -> Entry | Refusal:
        parent = None if entered.remnant_of is None else register.lot(entered.remnant_of)
        if parent is not None:
            _refuse_other_than(parent, entered, name, heat)
        called = name or (parent.name if parent else None)
        if called is None:
            missing = "grade" if entered.what == "material" else "classification"
            raise BadInput(f"the {missing} of the lot is missing")
        kept = None
        if file is not None:
            sha256, size = writing.put_attachment(file[1])
            kept = {"sha256": sha256, "size": size, "name": file_name}
        elif parent is not None and parent.file is not None:
            kept = dict(parent.file)
        act: dict[str, Any] = {
            "lot": register.next_lot,
            "what": entered.what,
            "grade" if entered.what == "material" else "classification": called,
            "heat": heat or (parent.heat if parent else None),
            "certificate": entered.certificate or (parent.certificate if parent else None),
            "file": kept,
            "supplier": supplier or (parent.supplier if parent else None),
            "verified_by": entered.verified_by or (parent.verified_by if parent else None),
            "remnant_of": parent.id if parent else None,
        }
        return Entry(LOT_RECEIVED, act)

    register, refused = enter_signed(shop, clock, person, secret, EnterWithName(), LOT_RECEIVED, decide)
    if refused:
        return Entered(False, False, "the lot is not entered", register, refused)
    lot = register.lots[-1]
    of = f", a remnant of {lot.remnant_of}" if lot.remnant_of else ""
    heat_words = f", {'heat' if lot.what == 'material' else 'batch'} {lot.heat}" if lot.heat else ""
    return Entered(
        True, True, f"lot {lot.id}: {lot.name}{heat_words}{of} is received", register, _remarks(lot)
    )


def open_electrodes(
    shop: Shop,
    clock: Clock,
    person: Person,
    lot: str,
    rebaked: bool = False,
    at: str | None = None,
    allowed: str | None = None,
) -> Entered:
    """A package of electrodes was opened, or rebaked, and may be out for so long (``allowed``: "4 h").

    Recorded however often; a second rebake is said to be one too many.
    """
    hours = None if allowed is None else _hours(allowed)

    def decide(register: Register, now: datetime, writing: Writing) -> Entry | Refusal:
        found = register.lot(lot)
        if found.what != "filler":
            raise BadInput(f"lot {found.id} is {found.name}, no filler; expected a lot of electrodes")
        happened = when(at, now, zone_of(writing))
        if happened > now:
            raise BadInput(f"{written(happened)} is still to come")
        act = {"lot": found.id, "at": written(in_zone(happened, zone_of(writing))), "hours_allowed": hours}
        return Entry(ELECTRODE_REBAKED if rebaked else ELECTRODE_OPENED, act, happened)

    register, _ = enter(shop, clock, person, decide)
    found = register.lot(lot)
    times = sum(opening.rebaked for opening in found.openings)
    word = "rebaked" if rebaked else "opened"
    out = f"; it may be out for {hours} h" if hours is not None else ""
    message = f"lot {found.id} {found.name} was {word} at {found.openings[-1].at.isoformat()}{out}"
    if times > 1:
        return Entered(
            True, False, message, register,
            (f"it was rebaked {times} times, and {once_is_allowed()}",),
        )  # fmt: skip
    return Entered(True, True, message, register)


def _as_filed(what: str, name: str) -> str:
    """The grade or classification as the library calls it; one that it does not have stands as typed."""
    typed = needed(name, "the grade" if what == "material" else "the classification", "what the lot is")
    library: Library = load_library()
    known = (
        [steel.name for steel in library.steels.values()]
        if what == "material"
        else [filler.classification for filler in library.fillers.values()]
    )
    return next((entry for entry in known if plain_name(entry) == plain_name(typed)), typed)


def _refuse_other_than(parent: Lot, entered: NewLot, name: str | None, heat: str | None) -> None:
    """A remnant is what it was cut from."""
    if parent.what != entered.what:
        raise BadInput(f"lot {parent.id} is {parent.what}; a remnant of it is no {entered.what}")
    for said, was, word in ((name, parent.name, "grade"), (heat, parent.heat, "heat")):
        if said is not None and was is not None and plain_name(said) != plain_name(was):
            raise BadInput(f"lot {parent.id} is {word} {was}; a remnant of it is not {word} {echo(said)}")


def _remarks(lot: Lot) -> tuple[str, ...]:
    doubt = "" if lot.what == "filler" else grade_in_doubt(lot.verified_by, lot.certificate)
    if not doubt:
        return ()
    return (
        f"its grade {doubt}: leave the composition out of the sheet, "
        "so that the limits are for the worst composition of the grade",
    )


def _hours(text: str) -> int | str:
    """A time in hours as an event keeps it: a whole number, else a decimal text rounded down."""
    seconds = parse_quantity(text, Kind.TIME).canonical
    if seconds <= 0:
        raise BadInput(f'"{echo(text)}" is no time that something may be out; expected one such as 4 h')
    hours = seconds / _SECONDS_AN_HOUR
    return int(hours) if hours.denominator == 1 else finite_decimal(hours, 3) or rounded_down(hours, 3)
