"""What the sheet says of the finished part: what it is coated with, and how strong its metal is."""

from traveler.job.sheet import Coating
from traveler.job.sheet_fields import Table
from traveler.library.coating import load_coating
from traveler.quantity.units import Kind

COATING = 'a table such as { process = "zinc electroplated", hardness = "35 HRC" }'


def read_coating(table: Table | None) -> Coating | None:
    """None where the sheet has no coating, or where the table has a fault."""
    if table is None:
        return None
    processes = tuple(load_coating().processes)
    process = table.named("process", "coatings", dict(zip(processes, processes, strict=True)))
    strength = table.quantity("strength", Kind.STRENGTH, required=False)
    hardness = table.quantity("hardness", Kind.HARDNESS, required=False)
    table.finish()
    if table.has("strength") and table.has("hardness"):
        table.fault("hardness", "read it beside strength", "one or the other")
    return None if process is None else Coating(process, strength, hardness)
