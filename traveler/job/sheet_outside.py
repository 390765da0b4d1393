"""A step that is given to a vendor, out of the sheet."""

from traveler.job.sheet import SheetOutside
from traveler.job.sheet_fields import Table

EXPECTED_PAPER = 'a paper that comes back with the part, such as "furnace chart"'


def read_outside(table: Table, *, welded: bool) -> SheetOutside | None:
    """Who does the work of a step where that is not this shop; None where the sheet does not say.

    ``welded``: the step is a preheat or a weld, whose temperatures are read here run by run.
    """
    outside = table.table(
        "outside", 'a table such as { vendor = "...", order = "...", returns = ["..."] }', required=False
    )
    if outside is None:
        return None
    vendor = outside.text("vendor", "who does the work of the step")
    order = outside.text("order", "the number of the order", required=False)
    returns = outside.texts("returns", EXPECTED_PAPER)
    outside.finish()
    if welded:
        table.fault(
            "outside",
            "read a vendor for a preheat or a weld, whose temperatures are read here run by run",
            "it at a step of another kind",
        )
    return None if vendor is None else SheetOutside(vendor, order, returns)
