"""The mining-machine maker's table: minimum preheat by grade, make and thickness of the thickest member."""

from traveler.job.candidate import Candidate, from_quantity
from traveler.job.sheet import Joint, Member
from traveler.library.model import Library, Make, Serves, ThicknessRow, ThicknessTable, Units
from traveler.library.thickness import row_for
from traveler.quantity.show import show

MAKERS_TABLE = "mining-machine maker's table"


def make_of(member: Member) -> Make:
    """Wrought or casting; the forms other than a casting are all wrought."""
    return "casting" if member.form == "casting" else "wrought"


def maker_rows(joint: Joint, member: Member, library: Library, units: Units) -> tuple[list[Candidate], bool]:
    """The rows that answer for this grade in this make; whether the engineer must confirm the route."""
    candidates = []
    confirm_route = False
    for table, serves in _tables_for(member, library):
        row = row_for(table, joint.thickest.thickness, units)
        candidates.append(_candidate(joint, member, table, row, serves, units))
        confirm_route = confirm_route or (row.confirm_route and serves.role == "governs")
    return candidates, confirm_route


def governing_table(member: Member, library: Library) -> ThicknessTable | None:
    """The table that governs this grade in this make."""
    governing = (table for table, serves in _tables_for(member, library) if serves.role == "governs")
    return next(governing, None)


def _tables_for(member: Member, library: Library) -> list[tuple[ThicknessTable, Serves]]:
    return [
        (table, serves)
        for table in library.preheat_tables.values()
        for serves in table.serves
        if member.material.steel.name in serves.grades and serves.make == make_of(member)
    ]


def _candidate(
    joint: Joint, member: Member, table: ThicknessTable, row: ThicknessRow, serves: Serves, units: Units
) -> Candidate:
    up_to = "thickest row" if row.up_to is None else f"up to {show(row.up_to.for_units(units))}"
    return from_quantity(
        MAKERS_TABLE,
        "at_least",
        row.minimum.for_units(units),
        table.source,
        serves.role,
        member.material.id,
        (serves.reason,) if serves.reason else (),
        (("thickest member", show(joint.thickest.thickness)), ("row", f"{table.title}, {up_to}")),
    )
