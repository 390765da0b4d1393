"""Instruments and lots of the register as JSON, as they stand now."""

from datetime import datetime
from typing import Any

from traveler.job.instrument import Instrument, calibration_at, in_doubt, state_on
from traveler.job.lots import grade_in_doubt
from traveler.job.quantity_act import quantity_to_act
from traveler.job.register import Lot
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show_both

Json = dict[str, Any]


def instrument_object(instrument: Instrument, now: datetime) -> Json:
    """An instrument with the calibration that counts today, whether it can be relied on, and why not."""
    calibration = calibration_at(instrument, now.date())
    uncertainty = (calibration.uncertainty if calibration else None) or instrument.uncertainty
    found = in_doubt(instrument, now.date())
    why = instrument.withdrawn_because
    if why is None and found is not None:
        why = f"found out of tolerance on {found.on.isoformat()}: {found.finding}"
    return {
        "instrument": instrument.id,
        "name": instrument.name,
        "type": instrument.type,
        "serial": instrument.serial,
        "range": {
            "from": quantity_to_act(instrument.range_from),
            "to": quantity_to_act(instrument.range_to),
        },
        "uncertainty": quantity_to_act(uncertainty),
        "calibrated": calibration.on.isoformat() if calibration else None,
        "due": calibration.due.isoformat() if calibration else None,
        "certificate": calibration.certificate if calibration else None,
        "state": state_on(instrument, now),
        "why": why,
        "shown": {"range": _range(instrument), "uncertainty": _shown(uncertainty)},
    }


def lot_object(lot: Lot) -> Json:
    """A lot as it was received, with the openings of electrodes; ``doubt``: why its composition is not known."""
    doubt = grade_in_doubt(lot.verified_by, lot.certificate) if lot.what == "material" else ""
    return {
        "lot": lot.id,
        "what": lot.what,
        "name": lot.name,
        "heat": lot.heat,
        "certificate": lot.certificate,
        "file": None if lot.file is None else dict(lot.file),
        "supplier": lot.supplier,
        "verified_by": lot.verified_by,
        "doubt": doubt or None,
        "remnant_of": lot.remnant_of,
        "received_at": lot.moment.happened_at,
        "openings": [
            {"at": entry.at.isoformat(), "rebaked": entry.rebaked, "hours_allowed": entry.hours_allowed}
            for entry in lot.openings
        ],
    }


def _range(instrument: Instrument) -> str | None:
    low, high = _shown(instrument.range_from), _shown(instrument.range_to)
    if low and high:
        return f"{low} to {high}"
    return f"from {low}" if low else f"up to {high}" if high else None


def _shown(quantity: Quantity | None) -> str | None:
    return None if quantity is None else show_both(quantity)
