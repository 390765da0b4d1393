"""Minimum preheat by codes' tables of P-Numbers and S-Numbers, the stricter row where a condition is not known."""

from traveler.job.analysis import Analysis
from traveler.job.candidate import Candidate, from_quantity, in_words
from traveler.job.sheet import Joint, Member
from traveler.library.model import Library, Role, RuleRow, RuleTable, Units
from traveler.quantity.show import show


def rule_rows(
    joint: Joint, member: Member, analysis: Analysis, library: Library, units: Units
) -> list[Candidate]:
    """One row a table, for a metal that has a P-Number or S-Number or is compared with one."""
    candidates = []
    for table in library.rule_tables.values():
        steel = member.material.steel
        analogue = table.analogues.get(steel.family)
        group = steel.p_number or analogue
        if group is not None:
            reason = f"analogue only: {steel.name} has no P-Number of its own" if not steel.p_number else None
            candidates.append(_answer(table, group, reason, joint, member, analysis, units))
    return candidates


def _answer(
    table: RuleTable,
    group: str,
    analogue: str | None,
    joint: Joint,
    member: Member,
    analysis: Analysis,
    units: Units,
) -> Candidate:
    role: Role = "indicative" if analogue else table.role
    reasons = [analogue] if analogue else []
    for row in (row for row in table.rows if group in row.groups):
        missing = _conditions_not_known(row, member, analysis)
        if not _within_thickness(row, joint, units) or _known_to_fail(row, member, analysis):
            continue
        if missing:
            reasons += missing
            continue
        working = (("group", group), ("the table calls it", row.kind))
        return from_quantity(
            table.name,
            "at_least",
            row.minimum.for_units(units),
            table.source,
            role,
            member.material.id,
            tuple(dict.fromkeys(reasons)),
            (*working, ("thickest member", show(joint.thickest.thickness))),
        )
    reason = f"{group} has no row in this table"
    return in_words(
        table.name, "at_least", table.source, role, member.material.id, "not tabulated", (reason,)
    )


def _within_thickness(row: RuleRow, joint: Joint, units: Units) -> bool:
    thickness = joint.thickest.thickness.canonical
    if row.under is not None and thickness >= row.under.for_units(units).canonical:
        return False
    return row.up_to is None or thickness <= row.up_to.for_units(units).canonical


def _known_to_fail(row: RuleRow, member: Member, analysis: Analysis) -> bool:
    tensile, carbon = member.material.steel.tensile_mpa, analysis.composition.get("C")
    too_strong = (
        row.tensile_up_to_mpa is not None and tensile is not None and tensile[0] > row.tensile_up_to_mpa
    )
    too_rich = row.carbon_up_to is not None and carbon is not None and carbon > row.carbon_up_to
    return too_strong or too_rich


def _conditions_not_known(row: RuleRow, member: Member, analysis: Analysis) -> list[str]:
    """What a milder row asks to know; without it the stricter row is taken."""
    missing = []
    if row.tensile_up_to_mpa is not None and member.material.steel.tensile_mpa is None:
        missing.append(
            f"the specified minimum tensile strength of {member.material.steel.name} is not known: the stricter row"
        )
    if row.carbon_up_to is not None and "C" not in analysis.composition:
        missing.append(f"the carbon of {member.material.id} is not known: the stricter row")
    return missing
