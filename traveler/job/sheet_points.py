"""The hold and witness points of a step, out of the sheet."""

from traveler.job.person import ROLES
from traveler.job.requirement import Point
from traveler.job.sheet_fields import Table
from traveler.quantity.units import Kind


def read_points(table: Table) -> tuple[Point, ...]:
    """Holds first, then witness points, numbered from 1 within the step.

    ``notice`` is how long a party is waited for after it was notified to witness; without it a witness point does not
    lapse. A hold never does.
    """
    holds = table.choices("hold", "parties", ROLES)
    witnesses = table.choices("witness", "parties", ROLES)
    notice = table.quantity("notice", Kind.TIME, required=False)
    if table.has("notice") and not table.has("witness"):
        table.fault(
            "notice", "read a notice without a witness", "witness = [...] beside it; a hold never lapses"
        )
    points = [Point(number, "hold", party) for number, party in enumerate(holds, start=1)]
    points += [
        Point(number, "witness", party, notice)
        for number, party in enumerate(witnesses, start=len(holds) + 1)
    ]
    return tuple(points)
