"""Parts that are to be inspected before they are used again, or soon."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from traveler.job.calibration_due import AHEAD
from traveler.job.part import STATES, Part, Standing, standing

WAITED_FOR = ("not shown", "inspection due", "inspect now")


@dataclass(frozen=True, slots=True)
class PartDue:
    """A part that somebody has to look at, now or soon, as it stands."""

    part: Part
    stands: Standing


def parts_due(parts: Iterable[Part], today: date) -> list[PartDue]:
    """The gravest first, then by the day due; a calendar that ends within ``AHEAD`` is told as a calibration is.

    A part that was found not fit is waited for only as long as it is on a car; a withdrawn one is not waited for.
    """
    found = [PartDue(part, standing(part, today)) for part in parts]
    return sorted((entry for entry in found if _waits(entry, today)), key=_order)


def _waits(entry: PartDue, today: date) -> bool:
    stands = entry.stands
    if stands.state == "not fit":
        return entry.part.car is not None
    soon = stands.due_on is not None and stands.due_on <= today + AHEAD
    return stands.state in WAITED_FOR or (stands.state == "fit" and soon)


def _order(entry: PartDue) -> tuple[int, date]:
    return -STATES.index(entry.stands.state), entry.stands.due_on or date.min
