"""Reading the rule tables: limits, preheat by thickness and its roles, waiting times, cautions."""

from collections.abc import Mapping
from fractions import Fraction
from typing import get_args

from traveler.library.model import (
    Make,
    Printed,
    Role,
    RuleRow,
    RuleTable,
    Serves,
    ThicknessRow,
    ThicknessTable,
    WaitingRow,
    WaitingTable,
)
from traveler.library.reading import Table
from traveler.metals.outcome import Source
from traveler.quantity.units import Kind

KINDS: Mapping[str, Kind] = {kind.value: kind for kind in Kind}
ROLES: Mapping[str, Role] = {role: role for role in get_args(Role)}
MAKES: Mapping[str, Make] = {make: make for make in get_args(Make)}
Roles = dict[str, dict[str, Role]]


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


def read_preheat(data: Table) -> tuple[dict[str, ThicknessTable], Roles, Roles]:
    """The thickness tables by name, the role of each method by family of steel, and the same for castings."""
    tables = {}
    for table in data.tables("table"):
        entry = read_thickness_table(table)
        tables[entry.name] = entry
    roles = read_roles(data.table("roles"))
    casting_roles = read_roles(data.table("casting_roles")) if data.has("casting_roles") else {}
    data.done()
    return tables, roles, casting_roles


def read_roles(families: Table) -> Roles:
    """Role of each method by family."""
    roles = {}
    for family in families.names():
        methods = families.table(family)
        roles[family] = {method: read_role(methods, method) for method in methods.names()}
    return roles


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
        serves=tuple(read_serves(entry) for entry in table.tables("serves")) if table.has("serves") else (),
    )
    table.done()
    return entry


def read_serves(table: Table) -> Serves:
    """The grades that a table answers for; where it was not made for them, why it is shown."""
    make = table.text("make")
    if make not in MAKES:
        raise table.fault("make", make, "one of " + ", ".join(MAKES))
    serves = Serves(
        table.texts("grades"), MAKES[make], read_role(table, "role"), table.text_or_none("reason")
    )
    table.done()
    return serves


def read_rule_tables(data: Table) -> dict[str, RuleTable]:
    """The codes' tables by group of metal, by name."""
    tables = {}
    for table in data.tables("table"):
        analogues = table.table("analogues")
        entry = RuleTable(
            name=table.text("name"),
            title=table.text("title"),
            rows=tuple(read_rule_row(row) for row in table.tables("rows")),
            role=read_role(table, "role"),
            analogues={family: analogues.text(family) for family in analogues.names()},
            source=table.source(),
        )
        table.done()
        tables[entry.name] = entry
    data.done()
    return tables


def read_rule_row(table: Table) -> RuleRow:
    """One row with its conditions."""
    row = RuleRow(
        groups=table.texts("groups"),
        minimum=table.printed("minimum", Kind.TEMPERATURE),
        kind=table.text("kind"),
        under=table.printed_or_none("under", Kind.LENGTH),
        up_to=table.printed_or_none("up_to", Kind.LENGTH),
        tensile_up_to_mpa=table.number_or_none("tensile_up_to_mpa"),
        carbon_up_to=table.number_or_none("carbon_up_to"),
    )
    table.done()
    return row


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
