"""Reading ``steels.toml``: the grades with their composition limits."""

import re
from collections.abc import Mapping
from typing import TypeVar

from traveler.errors import TravelerError
from traveler.library.model import ElementLimits, Steel
from traveler.library.reading import Table
from traveler.metals.outcome import Source
from traveler.quantity.units import Kind

Entry = TypeVar("Entry")

RANGE = re.compile(
    r"""(?P<low>\d+\.\d+)\ to\ (?P<high>\d+\.\d+)
    | up\ to\ (?P<most>\d+\.\d+)
    | at\ least\ (?P<least>\d+\.\d+)""",
    re.VERBOSE | re.ASCII,
)


def read_steels(data: Table, families: frozenset[str]) -> dict[str, Steel]:
    """Every grade by its case-folded name and aliases. ``families`` are those that have preheat roles."""
    steels: dict[str, Steel] = {}
    for table in data.tables("steel"):
        steel = read_steel(table)
        if steel.family not in families:
            raise table.fault("family", steel.family, "a family that preheat.toml gives roles")
        enter(steels, steel, (steel.name, *steel.aliases), table.place)
    data.done()
    return steels


def read_steel(table: Table) -> Steel:
    """One grade."""
    steel = Steel(
        name=table.text("name"),
        aliases=table.texts("aliases"),
        spec=table.text("spec"),
        family=table.text("family"),
        hardenable=table.flag("hardenable"),
        group=table.text("group"),
        p_number=table.text_or_none("p_number"),
        limits=read_limits(table.table("limits")),
        d11_category=table.text_or_none("d11_category"),
        cev_max=sourced_float(table, "cev_max"),
        yield_mpa=sourced_float(table, "yield_mpa"),
        conditions=table.texts("conditions"),
        note=table.text_or_none("note"),
        source=table.source(),
        limits_up_to_mm=table.number_or_none("limits_up_to_mm"),
        interpass_max=table.printed_or_none("interpass_max", Kind.TEMPERATURE),
        d11_other_category=table.text_or_none("d11_other_category"),
    )
    table.done()
    return steel


def read_limits(table: Table) -> Mapping[str, ElementLimits]:
    """Mass percent by element. An element the specification does not name is left out, which is unknown."""
    limits = {}
    for element in table.names():
        if isinstance(table.raw(element), dict):
            own = table.table(element)
            residual = own.flag("residual", False)
            limits[element] = read_range(own, "limit", residual)
            own.done()
        else:
            limits[element] = read_range(table, element)
    return limits


def read_range(table: Table, key: str, residual: bool = False) -> ElementLimits:
    """ "0.28 to 0.33", "up to 0.035" or "at least 0.10", mass percent."""
    text = table.text(key)
    match = RANGE.fullmatch(text)
    if match is None:
        raise table.fault(key, text, '"0.28 to 0.33", "up to 0.035" or "at least 0.10"')
    low, high = match["low"] or match["least"], match["high"] or match["most"]
    if match["low"] and float(low) > float(high):
        raise table.fault(key, text, "the smaller number first")
    source = table.source()
    return ElementLimits(float(low) if low else None, float(high) if high else None, source, residual)


def sourced_float(table: Table, key: str) -> tuple[float, Source] | None:
    """``{ value = 0.45, source = "..." }``, None where the key is left out."""
    if not table.has(key):
        return None
    entry = table.table(key)
    value = float(entry.number("value"))
    entry.done()
    return value, entry.source()


def enter(entries: dict[str, Entry], entry: Entry, names: tuple[str, ...], place: str) -> None:
    """Enter under every name, case-folded; two entries may not share one."""
    for name in names:
        key = name.casefold().strip()
        if key in entries:
            raise TravelerError(f"{place}: the name {name!r} is taken already")
        entries[key] = entry
