"""Up to which measured thickness the planned preheat of a joint stands: metal is seldom as thick as it was ordered."""

from traveler.job.candidate import Candidate, from_quantity, printed_candidate
from traveler.job.preheat import Minimum
from traveler.job.preheat_tables import GRADE_TABLE, is_thin_wall
from traveler.job.sheet import Joint
from traveler.library.model import Library, Units
from traveler.quantity.parse import stored, unit
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import rounded_down, show, show_both

THIN_WALL = "thin wall"
READ_TO = {"inch": ("in", 3), "metric": ("mm", 2)}
"""What a micrometer shows, by the system of the shop: unit and decimals."""


def stands_up_to(joint: Joint, minimum: Minimum, library: Library, units: Units) -> Candidate | None:
    """The greatest thickness of any member at which the table for 4130 asks no more preheat than is planned.

    None where no wrought 4130 is in the joint, where no minimum is determined, and where the plan serves every row.
    The thin wall takes no tolerance; a row has the table's own.
    """
    wrought = any(m.material.steel.family == "4130" and m.form != "casting" for m in joint.members)
    if not wrought or minimum.limit is None:
        return None
    table = library.preheat_tables[GRADE_TABLE]
    serve = [row for row in table.rows if row.minimum.for_units(units).canonical <= minimum.limit.canonical]
    if not serve:
        return _below_thin_wall(library, units) if is_thin_wall(joint, library) else None
    end = serve[-1].up_to
    if end is None:
        return None
    printed = end.for_units(units)
    symbol, decimals = READ_TO[units]
    most = unit(symbol).from_canonical(printed.canonical + table.grace_mm)
    working = (
        ("row of the table", f"up to {show(printed)}, and {float(table.grace_mm):g} mm over it"),
        ("planned preheat", show_both(minimum.limit)),
    )
    return from_quantity(
        f"{GRADE_TABLE}, its row", "at_most", stored(rounded_down(most, decimals), symbol), table.source,
        working=working,
    )  # fmt: skip


def thickness_words(joint: Joint, minimum: Minimum, stands: Candidate, library: Library) -> str:
    """What the limit means to who measures."""
    if stands.basis.method.startswith(THIN_WALL):
        boundary = show(_boundary(library))
        return (
            f"that no preheat is asked of {joint.id} rests on metal under {boundary}, which takes no tolerance: what "
            f"measures {boundary} or more goes onto the sheet by a revision, and the preheat by the table"
        )
    planned = f" ({show_both(minimum.limit)})" if minimum.limit else ""
    return (
        f"the preheat of {joint.id}{planned} serves no thicker metal: what measures more goes onto the sheet by a "
        "revision, and the preheat by the next row"
    )


def _below_thin_wall(library: Library, units: Units) -> Candidate:
    method = f"{THIN_WALL} under {show(_boundary(library))}"
    return printed_candidate(method, "at_most", library.printed["thin wall as measured"], units)


def _boundary(library: Library) -> Quantity:
    return library.printed[THIN_WALL].for_units("inch")
