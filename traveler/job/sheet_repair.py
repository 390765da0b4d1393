"""That a joint of the sheet is a repair: of what, and how many repairs it has had."""

from typing import get_args

from traveler.job.sheet import Repair, RepairOf
from traveler.job.sheet_fields import Table

REPAIR = 'a table such as { of = "crack", before = 1, at_most = 2 }'
MOST_REPAIRS = 99


def read_repair(table: Table | None) -> Repair | None:
    """None where the joint is no repair, or where the table has a fault."""
    if table is None:
        return None
    of = table.choice("of", get_args(RepairOf))
    before = _count(table, "before", "how many repairs this joint has had")
    at_most = _count(table, "at_most", "how many repairs the job lets it have")
    table.finish()
    return None if of is None else Repair(of, before or 0, at_most)


def _count(table: Table, key: str, what: str) -> int | None:
    if not table.has(key):
        return None
    least = f"{what}, a whole number from 1 to {MOST_REPAIRS}"
    return table.integer(key, least, at_most=MOST_REPAIRS)
