"""Reading the rule tables: limits, preheat by thickness and its roles, waiting times, cautions."""

from collections.abc import Mapping
from fractions import Fraction
from typing import get_args

from traveler.library.model import Printed, Role, ThicknessRow, ThicknessTable, WaitingRow, WaitingTable
from traveler.library.reading import Table
from traveler.metals.outcome import Source
from traveler.quantity.units import Kind

KINDS: Mapping[str, Kind] = {kind.value: kind for kind in Kind}
ROLES: Mapping[str, Role] = {role: role for role in get_args(Role)}


def read_limits(data: Table) -> tuple[dict[str, Printed], dict[str, tuple[Fraction, Source]]]:
    """The named limits with a unit, and the named numbers without one."""
    printed, numbers = {}, {}
    limits = data.table("limit")
    for name in limits.names():
        table = limits.table(name)
        kind = table.text("kind")
        if kind not in KINDS:
            raise table.fault("kind", kind, "one of " + ", ".join(KINDS))
        printed[name] = table.as_printed(KINDS[kind])
    plain = data.table("number")
    for name in plain.names():
        table = plain.table(name)
        numbers[name] = (table.number("value"), table.source())
        table.done()
    data.done()
    return printed, numbers


def read_preheat(data: Table) -> tuple[dict[str, ThicknessTable], dict[str, dict[str, Role]]]:
    """The thickness tables by name, and the role of each method by family of steel."""
    tables = {}
    for table in data.tables("table"):
        entry = read_thickness_table(table)
        tables[entry.name] = entry
    roles = {}
    families = data.table("roles")
    for family in families.names():
        methods = families.table(family)
        roles[family] = {method: read_role(methods, method) for method in methods.names()}
    data.done()
    return tables, roles


def read_role(methods: Table, method: str) -> Role:
    """governs, cross-check or indicative."""
    role = methods.text(method)
    if role not in ROLES:
        raise methods.fault(method, role, "one of " + ", ".join(ROLES))
    return ROLES[role]


def read_thickness_table(table: Table) -> ThicknessTable:
    """One table; its rows from thin to thick, only the last without an end."""
    rows = []
    for row in table.tables("rows"):
        up_to, minimum = row.printed_or_none("up_to", Kind.LENGTH), row.printed("minimum", Kind.TEMPERATURE)
        rows.append(ThicknessRow(up_to, minimum, row.flag("confirm_route", False)))
        row.done()
    ends = [row.up_to for row in rows]
    if not rows or ends[-1] is not None or None in ends[:-1]:
        raise table.fault("rows", len(rows), "rows that each end somewhere, but for the last")
    entry = ThicknessTable(
        name=table.text("name"),
        title=table.text("title"),
        rows=tuple(rows),
        grace_mm=table.number("grace_mm"),
        source=table.source(),
        note=table.text_or_none("note"),
    )
    table.done()
    return entry


def read_waiting(data: Table) -> dict[str, WaitingTable]:
    """The waiting times before the final crack test, by class of metal."""
    waiting = {}
    for table in data.tables("table"):
        rows = []
        for row in table.tables("rows"):
            size = row.number_or_none("size_up_to_mm")
            heat_input = row.number_or_none("heat_input_up_to_kj_mm")
            rows.append(WaitingRow(size, heat_input, row.number("hours")))
            row.done()
        entry = WaitingTable(table.text("name"), table.text("applies_to"), tuple(rows), table.source())
        table.done()
        waiting[entry.name] = entry
    data.done()
    return waiting


def read_cautions(data: Table) -> dict[str, str]:
    """The cautions by name, each a sentence or two."""
    cautions = data.table("caution")
    read = {name: cautions.text(name) for name in cautions.names()}
    data.done()
    return read
