"""Lots behind a job: what a reading keeps of the lot that it names, and the runs that were laid with it."""

import json
from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from traveler.job.person import plain_name
from traveler.job.register import Lot, Register
from traveler.job.state import ARC_ENERGY, JobState, Reading
from traveler.metals.outcome import Source

HEAT_NUMBER, FILLER_LOT = "heat number of ", "filler lot"
"""Readings that name a lot: "heat number of plate" of material, "filler lot" of filler."""

TELLS_COMPOSITION = ("certificate", "analysis")
"""Ways of verifying a grade that tell what is in the metal. A spark test compares with a known piece (Mutchler and
Buzzard, 1930 [secondary]), hardness tells less, and a word nothing: then every limit is for the worst composition."""


REBAKED_ONCE = Source(
    "AWS D1.1, low-hydrogen electrodes", "secondary", clause="5.3.2 (older editions): rebaked once"
)

OF_THE_HEAT = ("3.1", "3.2")
"""Document types with results of the lot itself; 2.1 has none, 2.2 those of other lots (EN 10204:2004 [secondary])."""


def names_lot(quantity: str) -> str | None:
    """What kind of lot a reading of ``quantity`` names; None where it names none."""
    if quantity.startswith(HEAT_NUMBER):
        return "material"
    return "filler" if quantity == FILLER_LOT else None


def lot_kept(register: Register, quantity: str, value: str, happened_at: datetime) -> dict[str, Any] | None:
    """What a reading keeps of the lot that it names: the value of ``lot`` in an event; None where none is known.

    The lot received last of those with that heat or batch number (or id); ``others`` has the ids of the rest.
    ``opening``: the latest opening or rebake of electrodes before ``happened_at``, with ``rebakes`` where they were
    rebaked more than once.
    """
    found = lots_named(register, names_lot(quantity), value)
    if not found:
        return None
    lot = found[-1]
    opening = max(
        (o for o in lot.openings if o.at <= happened_at), key=lambda opening: opening.at, default=None
    )
    rebakes = sum(1 for o in lot.openings if o.rebaked and o.at <= happened_at)
    return {
        "lot": lot.id,
        "what": lot.what,
        "name": lot.name,
        "heat": lot.heat,
        "certificate": lot.certificate,
        "sha256": lot.file["sha256"] if lot.file else None,
        "supplier": lot.supplier,
        "verified_by": lot.verified_by,
        "remnant_of": lot.remnant_of,
        "others": [other.id for other in found[:-1]],
        "opening": None
        if opening is None
        else {
            "at": opening.at.isoformat(),
            "rebaked": opening.rebaked,
            "hours_allowed": opening.hours_allowed,
            **({"rebakes": rebakes} if rebakes > 1 else {}),
        },
    }


def lots_named(register: Register, what: str | None, text: str) -> tuple[Lot, ...]:
    """Lots of a kind (None: of either) by heat or batch number, else by id, in the order in which they came.

    What is marked on the metal comes first: a package may bear a batch number that reads like an id of the register.
    """
    wanted = plain_name(text)
    of_kind = [lot for lot in register.lots if what in (None, lot.what)]
    by_heat = [lot for lot in of_kind if lot.heat is not None and plain_name(lot.heat) == wanted]
    return tuple(by_heat or [lot for lot in of_kind if plain_name(lot.id) == wanted])


def grade_in_doubt(verified_by: str | None, certificate: str | None) -> str:
    """Why the composition of a lot of material is not known, in words; empty where it is."""
    if verified_by not in TELLS_COMPOSITION:
        return f"was verified by {verified_by} only" if verified_by else "was verified by nobody"
    if verified_by == "certificate" and certificate not in OF_THE_HEAT:
        return (
            f"was verified by a certificate {certificate or 'of no type'}, which reports nothing of its heat"
        )
    return ""


def once_is_allowed() -> str:
    """What is known of how often low-hydrogen electrodes may be rebaked, with its source and mark."""
    return f"once is allowed ({REBAKED_ONCE.title} {REBAKED_ONCE.clause} [{REBAKED_ONCE.mark}])"


def out_until(opening: Mapping[str, Any]) -> datetime:
    """Until when electrodes may be out that were opened or rebaked ``at`` a time with ``hours_allowed``."""
    return datetime.fromisoformat(opening["at"]) + timedelta(hours=float(opening["hours_allowed"]))


def lot_objects(state: JobState) -> list[dict[str, Any]]:
    """The lots of a job as they stood when they were named, with the readings that name them, as JSON."""
    named: dict[str, dict[str, Any]] = {}
    for reading in state.readings:
        if reading.lot is not None:
            as_it_stood = json.dumps(reading.lot, sort_keys=True)
            named.setdefault(as_it_stood, {**reading.lot, "readings": []})["readings"].append(reading.number)
    return sorted(named.values(), key=lambda entry: (entry["lot"], entry["readings"]))


def runs_laid_with(state: JobState, lot: Reading) -> tuple[Reading, ...]:
    """The runs of weld laid with the filler that a reading names, each by its arc energy.

    Those entered after it and before the next filler lot of the joint; what was entered before the first is with it.
    """
    if lot.key[1] != FILLER_LOT:
        return ()
    named = sorted(
        entry.counts_from_seq
        for entry in state.readings
        if entry.key[1:] == lot.key[1:] and not entry.superseded
    )
    first = lot.counts_from_seq == min(named, default=0)
    until = min((seq for seq in named if seq > lot.counts_from_seq), default=None)
    return tuple(
        laid
        for laid in state.readings
        if laid.key[1:] == (ARC_ENERGY, lot.key[2])
        and laid.run is not None
        and not laid.superseded
        and (first or laid.counts_from_seq > lot.counts_from_seq)
        and (until is None or laid.counts_from_seq < until)
    )
