"""Acts on instruments, lots and settings, with the fields of their commands. Every call of these acts is made here."""

import os
from collections.abc import Mapping
from typing import Any

from traveler.acts.chart_file import file_blocks
from traveler.acts.clock import Clock, when
from traveler.acts.instrument_typed import day_typed, range_typed, uncertainty_typed
from traveler.acts.instruments import (
    NewInstrument,
    calibrated,
    found_out,
    register_instrument,
    withdraw,
)
from traveler.acts.lots import NewLot, open_electrodes, receive_lot
from traveler.acts.register import Entered
from traveler.acts.settings import PAPERS, change_setting
from traveler.errors import BadInput
from traveler.job.decision_rule import DECISION_RULES
from traveler.job.instrument import INSTRUMENT_TYPES
from traveler.job.register import VERIFIED_BY
from traveler.job.sheet_metal import CERTIFICATES
from traveler.report.inventory_text import questioned_lines
from traveler.report.words import count_words
from traveler.tui.entered import FieldFault, Told, in_field, reason, said, said_or_none
from traveler.tui.register_act import Doubt, Entering, RegisterAct, Typed, look_at
from traveler.tui.registers import Registers
from traveler.tui.signed_act import Asked

Json = Mapping[str, Any]

NOT_STATED = "not stated"
BECAUSE = Asked("because", "Because", "the reason, in words")
UNCERTAINTY = "expanded (k = 2), such as 3 F; of a thermometer a difference"
BLOCKS = "Readings in question block their steps until somebody answers for them."


def told_of(outcome: Entered) -> Told:
    """What an act says, in a sentence: what else is to be known is no reason that is still open."""
    if not outcome.recorded:
        return Told(False, False, outcome.message, outcome.reasons)
    return Told(True, outcome.complies, "; ".join((outcome.message, *outcome.reasons)))


def new_instrument() -> RegisterAct:
    """Bring an instrument into the register."""

    def read(clock: Clock, typed: Typed) -> NewInstrument:
        name = said(typed, "called", 'the name is missing; expected one such as "contact probe 2"')
        kind = said(typed, "type", "choose one of them")
        low, high = said_or_none(typed, "from"), said_or_none(typed, "to")
        uncertainty = said_or_none(typed, "uncertainty")
        in_field("from", lambda: range_typed(kind, low, None))
        in_field("to", lambda: range_typed(kind, low, high))
        in_field("uncertainty", lambda: uncertainty_typed(kind, uncertainty))
        return NewInstrument(name, kind, low, high, uncertainty, said_or_none(typed, "serial"))

    def carry_out(entering: Entering, typed: Typed) -> Told:
        new = read(entering.clock, typed)
        return told_of(
            in_field(
                "called",
                lambda: register_instrument(
                    entering.shop, entering.clock, entering.person, new, secret=entering.secrets.own
                ),
            )
        )

    return RegisterAct(
        title="Register an instrument",
        says="This is an instrument of the shop",
        carry_out=carry_out,
        asks=(
            Asked("called", "Instrument", "what it is called in the shop, such as contact probe 2"),
            Asked("type", "Type", "a digit picks, or the arrows", options=INSTRUMENT_TYPES),
            Asked("serial", "Serial", "the maker's serial number; may stay empty"),
            Asked("from", "Range from", "where its range begins, such as 0 F; may stay empty"),
            Asked("to", "Range to", "where its range ends, such as 750 F; may stay empty"),
            Asked("uncertainty", "Uncertainty", f"{UNCERTAINTY}; empty: taken as zero"),
        ),
        about=(
            "Its id is never used again. Its readings show something once a calibration is entered; a temperature "
            "crayon needs none.",
        ),
        look=look_at(read),
    )


def calibrate(instrument: Json, about: tuple[str, ...]) -> RegisterAct:
    """Enter a calibration."""

    def read(clock: Clock, typed: Typed) -> tuple[str, str | None]:
        in_field("on", lambda: day_typed(typed["on"], "day of the calibration"))
        in_field("due", lambda: day_typed(typed["due"], "day it is due"))
        papers = said(typed, "certificate", "the certificate is missing; expected its number, or where it is")
        uncertainty = said_or_none(typed, "uncertainty")
        in_field("uncertainty", lambda: uncertainty_typed(instrument["type"], uncertainty))
        return papers, uncertainty

    def carry_out(entering: Entering, typed: Typed) -> Told:
        papers, uncertainty = read(entering.clock, typed)
        return told_of(
            in_field(
                "due",
                lambda: calibrated(
                    entering.shop,
                    entering.clock,
                    entering.person,
                    instrument["instrument"],
                    typed["on"],
                    typed["due"],
                    papers,
                    uncertainty,
                    secret=entering.secrets.own,
                ),
            )
        )

    return RegisterAct(
        title=f"Calibration of {named(instrument)}",
        says="This instrument was calibrated",
        carry_out=carry_out,
        asks=(
            Asked("on", "Calibrated", "the day, such as 2026-03-02"),
            Asked("due", "Due", "the last day on which it counts, such as 2027-03-02"),
            Asked("certificate", "Certificate", "its number, or where it is kept"),
            Asked("uncertainty", "Uncertainty", f"{UNCERTAINTY}, as the certificate states it; or empty"),
        ),
        about=about,
        look=look_at(read),
    )


def find_out(registers: Registers, instrument: Json) -> RegisterAct:
    """Enter that it was found out of tolerance; what that would question is shown first."""
    asked = instrument["instrument"]

    def questioned(typed: Typed) -> tuple[tuple[str, ...], int]:
        on, since = said_or_none(typed, "on"), said_or_none(typed, "since")
        in_field("on", lambda: None if on is None else day_typed(on, "day of the finding"))
        field = "since" if on is None or since is not None else "on"
        good, found = in_field(field, lambda: _since_when(registers, asked, on, since))
        lines = (*questioned_lines(named(instrument), good, found), BLOCKS)
        return lines, sum(len(readings) for _, readings in found)

    def look(clock: Clock, typed: Typed) -> Doubt | None:
        said(typed, "finding", "say what was found, such as: reads 12 F low at 300 F")
        lines, readings = questioned(typed)
        them = f"{count_words(readings, 'reading')}, listed above, will be in question" if readings else ""
        return Doubt("finding", f"{them or 'it read nothing since'}; commit again to enter it", lines)

    def carry_out(entering: Entering, typed: Typed) -> Told:
        questioned(typed)
        finding = said(typed, "finding", "say what was found, such as: reads 12 F low at 300 F")
        on, since = said_or_none(typed, "on"), said_or_none(typed, "since")
        return told_of(
            in_field(
                "finding",
                lambda: found_out(
                    entering.shop,
                    entering.clock,
                    entering.person,
                    asked,
                    finding,
                    on,
                    since,
                    secret=entering.secrets.own,
                ),
            )
        )

    try:
        about, _ = questioned({})
    except FieldFault as fault:
        about = (str(fault), BLOCKS)
    return RegisterAct(
        title=f"Found out of tolerance: {named(instrument)}",
        says="This instrument was found out of tolerance",
        carry_out=carry_out,
        asks=(
            Asked("finding", "Found", "what was found, such as: reads 12 F low at 300 F"),
            Asked("on", "On", "the day of the finding; empty: today", placeholder="today"),
            Asked(
                "since",
                "Last good",
                "the day of the last good calibration, where that is an earlier one",
                placeholder="the latest calibration",
            ),
        ),
        about=about,
        look=look,
    )


def _since_when(
    registers: Registers, instrument: str, on: str | None, since: str | None
) -> tuple[str, list[tuple[str, tuple[int, ...]]]]:
    try:
        return registers.would_question(instrument, on, since)
    except BadInput as error:
        # The option of the command is a field here.
        raise BadInput(str(error).replace("(--since)", '(the field "Last good")')) from error


def withdrawal(instrument: Json, about: tuple[str, ...]) -> RegisterAct:
    """Take an instrument out of use."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        because = reason(typed)
        return told_of(
            withdraw(
                entering.shop,
                entering.clock,
                entering.person,
                instrument["instrument"],
                because,
                secret=entering.secrets.own,
            )
        )

    return RegisterAct(
        title=f"Withdraw {named(instrument)}",
        says="This instrument is used no longer",
        carry_out=carry_out,
        asks=(BECAUSE,),
        about=("For good: it is not brought back. What it read before stands as it is.", *about),
        look=look_at(lambda clock, typed: reason(typed)),
    )


def receive(what: str, parent: Json | None = None, about: tuple[str, ...] = ()) -> RegisterAct:
    """Bring a lot of "material" or "filler" into the register, or a remnant that was cut from ``parent``."""
    metal = what == "material"

    def carry_out(entering: Entering, typed: Typed) -> Told:
        file = said_or_none(typed, "file")
        kept = None
        if file is not None:
            blocks = in_field("file", lambda: file_blocks(file, entering.shop.path, "expected a certificate"))
            kept = (os.path.basename(file), blocks())
        new = NewLot(
            what,
            said_or_none(typed, "what_it_is"),
            said_or_none(typed, "heat"),
            _stated(typed, "certificate"),
            said_or_none(typed, "supplier"),
            _stated(typed, "verified"),
            None if parent is None else parent["lot"],
        )
        return told_of(
            in_field(
                "what_it_is",
                lambda: receive_lot(
                    entering.shop,
                    entering.clock,
                    entering.person,
                    new,
                    kept,
                    secret=entering.secrets.own,
                ),
            )
        )

    as_parent = "; empty: as the lot that it was cut from" if parent else "; may stay empty"
    name = ("Grade", "the grade, such as 4130") if metal else ("Filler", "classification, such as E8018-B2")
    heat = ("Heat", "the heat number as marked") if metal else ("Batch", "the batch number as marked")
    of = f" of lot {parent['lot']}" if parent else ""
    return RegisterAct(
        title=f"A remnant{of} of {parent['name']}" if parent else f"Receive a lot of {what}",
        says="This was cut from that lot" if parent else f"This {what} came into the shop",
        carry_out=carry_out,
        asks=(
            Asked("what_it_is", name[0], name[1] + (as_parent if parent else "")),
            Asked("heat", heat[0], heat[1] + as_parent),
            Asked(
                "certificate",
                "Certificate",
                "type of the document by EN 10204: a digit picks, or the arrows",
                options=(*CERTIFICATES, NOT_STATED),
            ),
            Asked("file", "File", f"path of the certificate on this machine, kept with the lot{as_parent}"),
            Asked("supplier", "Supplier", f"who sold it{as_parent}"),
            Asked(
                "verified",
                "Verified by",
                "what shows the grade: a digit picks, or the arrows",
                options=(*VERIFIED_BY, NOT_STATED),
            ),
        ),
        about=about
        or (
            "A grade that only a spark test, a hardness or somebody's word shows has no known composition: its limits "
            "are for the worst composition of the grade."
            if metal
            else "Its id is never used again.",
        ),
    )


def _stated(typed: Typed, field: str) -> str | None:
    """What was chosen; None for nothing and for "not stated"."""
    chosen = typed[field]
    return None if chosen in ("", NOT_STATED) else chosen


def electrodes(lot: Json, about: tuple[str, ...], *, rebaked: bool) -> RegisterAct:
    """A package was opened, or rebaked."""
    word = "rebaked" if rebaked else "opened"

    def carry_out(entering: Entering, typed: Typed) -> Told:
        at, allowed = said_or_none(typed, "at"), said_or_none(typed, "allowed")
        in_field("at", lambda: when(at, entering.clock.now()))
        return told_of(
            in_field(
                "allowed" if allowed else "at",
                lambda: open_electrodes(
                    entering.shop, entering.clock, entering.person, lot["lot"], rebaked, at, allowed
                ),
            )
        )

    return RegisterAct(
        title=f"Electrodes {word}: lot {lot['lot']} {lot['name']}",
        says="These electrodes were rebaked" if rebaked else "A package of these electrodes was opened",
        carry_out=carry_out,
        asks=(
            Asked("at", "At", "when, such as 2026-03-14T08:30; empty: now", placeholder="now"),
            Asked(
                "allowed", "May be out", "for how long by the maker or the code, such as 4 h; may stay empty"
            ),
        ),
        about=("Runs laid when they were out longer than they may print as an exception.", *about),
        signed=False,
    )


_VALUES: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "shop name": ("as it stands on the papers", ()),
    "zone": ("the time zone, such as Europe/Berlin", ()),
    "paper": ("of the PDF: a digit picks, or the arrows", PAPERS),
    "decision rule": ("where a sheet names none: a digit picks, or the arrows", DECISION_RULES),
    "idle lock": ("minutes without a key, such as 10 min; or never", ()),
    "backup reminder": ("days, such as 7 days; or never", ()),
}


def set_value(name: str, value: str | None, about: tuple[str, ...]) -> RegisterAct:
    """Change one setting."""
    hint, options = _VALUES[name]

    def carry_out(entering: Entering, typed: Typed) -> Told:
        wanted = said(typed, "value", "say to what it is set")
        return told_of(
            in_field(
                "value",
                lambda: change_setting(
                    entering.shop,
                    entering.clock,
                    entering.person,
                    name,
                    wanted,
                    secret=entering.secrets.own,
                ),
            )
        )

    proposed = "" if options else value or ""
    return RegisterAct(
        title=f"Set {name}",
        says="From now on the shop does it so",
        carry_out=carry_out,
        asks=(Asked("value", name.capitalize(), hint, proposed, options),),
        about=("What was issued or printed before stays as it is.", *about),
    )


def named(instrument: Json) -> str:
    """ "I1 contact probe"."""
    return f"{instrument['instrument']} {instrument['name']}"
