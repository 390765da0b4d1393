"""Reading ``coating.toml``: which coatings bring hydrogen, and how long strong steel is baked after them."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import pairwise
from typing import Literal, get_args

from traveler.library.model import Printed
from traveler.library.reading import Table, read_data
from traveler.metals.outcome import Source
from traveler.quantity.quantity import Quantity
from traveler.quantity.units import Kind

Bake = Literal["by strength", "not here", "none"]
BAKES: Mapping[str, Bake] = {bake: bake for bake in get_args(Bake)}
SCALES = ("hv", "hb", "hrc")


@dataclass(frozen=True, slots=True)
class BakeRow:
    """Hours for metal up to and including ``strength_up_to``, or softer than ``below_hrc`` (HRC)."""

    strength_up_to: Quantity
    below_hrc: Fraction
    hours: Fraction


@dataclass(frozen=True, slots=True)
class CoatingRules:
    """``treated_from``: the least strength that is relieved and baked; ``treated_from_hardness``: the same by scale.

    ``start``: longest time from the bath to the bake. ``rows`` from the weakest metal on. ``processes``: each coating
    with what it takes: the hours of the rows, another bake than this library has, or none.
    """

    treated_from: Quantity
    treated_from_hardness: Mapping[str, Quantity]
    treated_source: Source
    start: Printed
    bake_from: Printed
    bake_to: Printed
    rows: tuple[BakeRow, ...]
    rows_source: Source
    processes: Mapping[str, Bake]


@cache
def load_coating() -> CoatingRules:
    """The rules of coating; read where a sheet has a coating, and not before.

    Raises TravelerError naming the data file and the key where one of them is wrong.
    """
    return read_coating(read_data("coating.toml"))


def read_coating(data: Table) -> CoatingRules:
    """The rules of a data file; its rows rise in strength, hardness and hours."""
    treated, bake = data.table("treated_from"), data.table("bake")
    rows = tuple(_row(row) for row in bake.tables("rows"))
    for weak, strong in pairwise(rows):
        if not _rises(weak, strong):
            raise bake.fault("rows", str(strong.hours), "rows that rise in strength, hardness and hours")
    rules = CoatingRules(
        treated_from=_quantity(treated, "strength", Kind.STRENGTH),
        treated_from_hardness={
            found.unit.symbol: found
            for found in (_quantity(treated, scale, Kind.HARDNESS) for scale in SCALES)
        },
        treated_source=treated.source(),
        start=data.printed("start", Kind.TIME),
        bake_from=data.printed("bake_from", Kind.TEMPERATURE),
        bake_to=data.printed("bake_to", Kind.TEMPERATURE),
        rows=rows,
        rows_source=bake.source(),
        processes=_processes(data.table("process")),
    )
    for table in (treated, bake, data):
        table.done()
    return rules


def _quantity(table: Table, key: str, kind: Kind) -> Quantity:
    found = table.quantity_or_none(key, kind)
    if found is None:
        raise table.fault(key, None, f"a {kind.value}")
    return found


def _row(table: Table) -> BakeRow:
    row = BakeRow(
        _quantity(table, "strength_up_to", Kind.STRENGTH), table.number("below_hrc"), table.number("hours")
    )
    table.done()
    return row


def _rises(weak: BakeRow, strong: BakeRow) -> bool:
    return (
        weak.strength_up_to.canonical < strong.strength_up_to.canonical
        and weak.below_hrc < strong.below_hrc
        and weak.hours < strong.hours
    )


def _processes(table: Table) -> dict[str, Bake]:
    found: dict[str, Bake] = {}
    for name in table.names():
        bake = table.text(name)
        if bake not in BAKES:
            raise table.fault(name, bake, "one of " + ", ".join(BAKES))
        found[name] = BAKES[bake]
    return found
