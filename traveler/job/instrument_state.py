"""What a reading keeps of the instrument that took it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from traveler.job.quantity_act import quantity_from_act
from traveler.quantity.quantity import Quantity


@dataclass(frozen=True, slots=True)
class InstrumentState:
    """The instrument as it stood when the reading was taken; ``act`` is the whole of it as the event keeps it.

    ``uncertainty``: expanded, k = 2. ``state``: in calibration, overdue, never calibrated or withdrawn; ``why`` says
    more where calibration dates do not.
    """

    instrument: str
    name: str
    type: str
    uncertainty: Quantity | None
    calibrated: str | None
    due: str | None
    state: str
    range_from: Quantity | None
    range_to: Quantity | None
    why: str | None
    act: Mapping[str, Any]


def instrument_state_of(
    act: Mapping[str, Any] | None, known: dict[str, InstrumentState]
) -> InstrumentState | None:
    """The frozen state out of an event; None where the reading named no registered instrument.

    ``known``: those read already, by instrument. One that stands as it did is taken from there, another put there:
    hundreds of readings of a job are taken by the same few.
    """
    if act is None:
        return None
    before = known.get(act["instrument"])
    if before is None or before.act != act:
        before = known[act["instrument"]] = _read(act)
    return before


def _read(act: Mapping[str, Any]) -> InstrumentState:
    span = act.get("range") or {}
    return InstrumentState(
        instrument=act["instrument"],
        name=act["name"],
        type=act["type"],
        uncertainty=quantity_from_act(act["uncertainty"]),
        calibrated=act["calibrated"],
        due=act["due"],
        state=act["state"],
        range_from=quantity_from_act(span.get("from")),
        range_to=quantity_from_act(span.get("to")),
        why=act.get("why"),
        act=act,
    )
