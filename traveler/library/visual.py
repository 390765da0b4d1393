"""Reading ``visual.toml``: what visual inspection accepts, by ISO 5817 and by AWS D1.1."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import get_args

from traveler.library.model import Units
from traveler.library.reading import Table, read_data
from traveler.metals.visual import GrowingLimit, Imperfection, Level, Size
from traveler.metals.visual_d11 import D11Visual, Step, Unit

LEVELS: tuple[Level, ...] = get_args(Level)
SIZES: Mapping[str, Size] = {size: size for size in get_args(Size)}
UNITS: Mapping[str, Units] = {units: units for units in get_args(Units)}
PRINTED_UNITS: Mapping[str, Unit] = {unit: unit for unit in get_args(Unit)}


@dataclass(frozen=True, slots=True)
class VisualCriteria:
    """The rows of ISO 5817 as printed, and AWS D1.1 table 8.1 once in inches and once in millimetres."""

    iso5817: tuple[Imperfection, ...]
    d11: Mapping[Units, D11Visual]


@cache
def load_visual() -> VisualCriteria:
    """Every criterion with its source.

    Raises TravelerError naming the data file and the key where one of them is wrong.
    """
    return read_visual(read_data("visual.toml"))


def read_visual(data: Table) -> VisualCriteria:
    """The criteria of a data file."""
    rows = tuple(_read_imperfection(row) for row in data.tables("iso5817"))
    systems = data.table("d11")
    d11 = {UNITS[name]: _read_d11(systems.table(name)) for name in systems.names() if name in UNITS}
    systems.done()
    data.done()
    return VisualCriteria(rows, d11)


def _read_imperfection(row: Table) -> Imperfection:
    size = row.text("size")
    if size not in SIZES:
        raise row.fault("size", size, "one of " + ", ".join(SIZES))
    entry = Imperfection(
        name=row.text("name"),
        numbers=row.text("numbers"),
        size=SIZES[size],
        over_mm=row.number("over_mm"),
        up_to_mm=row.number_or_none("up_to_mm"),
        short_only=row.flag("short_only"),
        limits={level: _read_limit(row.table(level)) for level in LEVELS},
        source=row.source(),
    )
    row.done()
    return entry


def _read_limit(limit: Table) -> GrowingLimit | None:
    if not limit.flag("permitted", True):
        limit.done()
        return None
    entry = GrowingLimit(
        offset_mm=limit.number_or_none("offset_mm") or Fraction(0),
        factor=limit.number("factor"),
        cap_mm=limit.number_or_none("cap_mm"),
    )
    limit.done()
    return entry


def _read_d11(table: Table) -> D11Visual:
    unit = table.text("unit")
    if unit not in PRINTED_UNITS:
        raise table.fault("unit", unit, "one of " + ", ".join(PRINTED_UNITS))
    undersize, undercut = table.table("undersize"), table.table("undercut")
    porosity, convexity = table.table("porosity"), table.table("convexity")
    entry = D11Visual(
        unit=PRINTED_UNITS[unit],
        undersize=_steps(undersize),
        undersize_share=undersize.number("share"),
        undercut=_steps(undercut),
        undercut_wide=undercut.number("wide"),
        undercut_wide_length=undercut.number("wide_length"),
        undercut_window=undercut.number("window"),
        undercut_thick_from=undercut.number("thick_from"),
        undercut_transverse=undercut.number("transverse"),
        pore_from=porosity.number("from"),
        pore_short=_pair(porosity, "short", porosity.raw("short")),
        pore_long=_pair(porosity, "long", porosity.raw("long")),
        cyclic_pore=porosity.number("cyclic"),
        cyclic_pore_spacing=porosity.number("cyclic_spacing"),
        convexity=(*_pairs(convexity), (None, convexity.number("beyond"))),
        undersize_source=undersize.source(),
        undercut_source=undercut.source(),
        porosity_source=porosity.source(),
        convexity_source=convexity.source(),
    )
    for part in (undersize, undercut, porosity, convexity, table):
        part.done()
    return entry


def _steps(table: Table) -> tuple[Step, ...]:
    return tuple(Step(size, limit) for size, limit in _pairs(table))


def _pairs(table: Table) -> list[tuple[Fraction, Fraction]]:
    """The ``steps`` of a part, pairs of a size and its limit, the sizes rising."""
    value = table.raw("steps")
    if not isinstance(value, list) or not value:
        raise table.fault("steps", value, "a list of pairs of numbers")
    pairs = [_pair(table, "steps", item) for item in value]
    if pairs != sorted(pairs):
        raise table.fault("steps", value, "pairs in the order of their sizes")
    return pairs


def _pair(table: Table, key: str, value: object) -> tuple[Fraction, Fraction]:
    if not isinstance(value, list) or len(value) != 2:
        raise table.fault(key, value, "a pair of numbers")
    first, second = (_fraction(table, key, number) for number in value)
    return first, second


def _fraction(table: Table, key: str, value: object) -> Fraction:
    if isinstance(value, bool) or not isinstance(value, int | Decimal) or value < 0:
        raise table.fault(key, value, "a number that is not negative")
    return Fraction(value)
