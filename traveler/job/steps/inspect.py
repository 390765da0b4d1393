"""Inspect and assemble: the wait, visual, crack test, hardness where the job sets a limit, dimensions."""

from dataclasses import replace
from fractions import Fraction

from traveler.job.arc import joint_heat_input_kj_mm
from traveler.job.candidate import from_quantity
from traveler.job.hardness import as_welded_rows
from traveler.job.interpass import STRUCTURAL_QT
from traveler.job.quantities import CRACK_TEST, WAIT
from traveler.job.relief import relieves
from traveler.job.requirement import Basis, Evidence, Requirement
from traveler.job.sheet import Joint, Member
from traveler.job.steps.planning import (
    Draft,
    Planning,
    choice,
    dimension_requirement,
    text,
)
from traveler.job.tempered import tempered_rows
from traveler.job.visual_rows import visual_rows
from traveler.library.model import Library, WaitingTable
from traveler.metals.outcome import Source
from traveler.quantity.parse import stored
from traveler.quantity.show import decimal_text, show

AUSTENITIC_WELD = ("nickel", "austenitic")
RICHER = ("4130", "4140 class", "hardenable low alloy")


def inspect(planning: Planning, joints: tuple[Joint, ...]) -> Draft:
    """What is looked at after the wait; a hardness limit only where the job sets one."""
    requirements: list[Requirement] = []
    wait = _wait(planning, joints)
    if wait is not None:
        requirements.append(wait)
    for joint in joints:
        requirements += [_visual(planning, joint), _crack_test(joint)]
    if planning.sheet.hardness_limit is not None:
        requirements.append(_hardness(planning))
    requirements += [dimension_requirement(dimension) for dimension in planning.sheet.dimensions]
    notes = [] if planning.relief.called else [f"Stress relief is not called for: {planning.relief.why}."]
    if wait is None:
        notes.append(_no_wait_words(planning))
    return Draft(tuple(requirements), notes=tuple(notes))


def assemble(planning: Planning, joints: tuple[Joint, ...]) -> Draft:
    """Put together as the drawing says, fasteners torqued."""
    return Draft(
        (
            choice("assembled as drawn", ("yes", "no"), ("yes",), "the part goes where the drawing puts it"),
            text("fasteners and torque", "what was tightened, to which torque, with which wrench; or none"),
        )
    )


def other(planning: Planning, joints: tuple[Joint, ...]) -> Draft:
    """A step in the sheet's own words."""
    why = "the step is done as its title says"
    return Draft((choice("done as written", ("yes", "no"), ("yes",), why),))


def wait_hours(joint: Joint, library: Library) -> tuple[Fraction, WaitingTable | None]:
    """Longest wait before the crack test over the members of a joint, with its table."""
    longest: tuple[Fraction, WaitingTable | None] = (Fraction(0), None)
    for member in joint.members:
        table = _table(member, library)
        if table is not None:
            hours = _hours(table, joint)
            if hours > longest[0] or longest[1] is None:
                longest = (hours, table)
    return longest


def _table(member: Member, library: Library) -> WaitingTable | None:
    steel = member.material.steel
    if steel.family in RICHER:
        return library.waiting["4130 and richer"]
    if steel.family == STRUCTURAL_QT:
        name = "AWS D1.1 A514" if steel.name.startswith("A514") else "S460 and above"
        return library.waiting[name]
    if steel.family == "austenitic stainless":
        return None
    strong = steel.yield_mpa is not None and steel.yield_mpa[0] >= 460
    return library.waiting["S460 and above" if strong else "S235 to S420"]


def _waits_all_the_same(joint: Joint) -> bool:
    """AWS D1.1 names no exemption after stress relief for A514; EN 1011-2 does for the rest."""
    return any(member.material.steel.name.startswith("A514") for member in joint.members)


def _hours(table: WaitingTable, joint: Joint) -> Fraction:
    size_mm = joint.thickest.thickness.canonical
    heat_input = joint_heat_input_kj_mm(joint)
    for row in table.rows:
        fits = row.size_up_to_mm is None or size_mm <= row.size_up_to_mm
        if fits and (row.heat_input_up_to_kj_mm is None or heat_input <= row.heat_input_up_to_kj_mm):
            return row.hours
    return max(row.hours for row in table.rows)


def _wait(planning: Planning, joints: tuple[Joint, ...]) -> Requirement | None:
    if relieves(planning.sheet, planning.relief, planning.library):
        joints = tuple(j for j in joints if j.id not in planning.relieved or _waits_all_the_same(j))
    if not joints:
        return None
    hours, table, joint = max(
        ((*wait_hours(joint, planning.library), joint) for joint in joints), key=lambda entry: entry[0]
    )
    if hours == 0 or table is None:
        return None
    limit = stored(decimal_text(hours, 0), "h")
    working = (
        ("thickest member", show(joint.thickest.thickness)),
        ("heat input", f"{decimal_text(joint_heat_input_kj_mm(joint), 2)} kJ/mm"),
    )
    row = from_quantity(table.name, "at_least", limit, table.source, working=working)
    return Requirement(
        quantity=WAIT,
        type="number",
        unit="h",
        at_least=limit,
        governed_at_least=table.name,
        why="hydrogen cracks come late: hours between the end of welding and the final crack test",
        evidence=Evidence(where="from the last run to the crack test"),
        basis=(row.basis,),
    )


def _no_wait_words(planning: Planning) -> str:
    if planning.relieved and relieves(planning.sheet, planning.relief, planning.library):
        return "No extra wait before the crack test after stress relief (EN 1011-2 clause 18, secondary)."
    return "No wait before the final test beyond cooling down (EN 1090-2:2008 table 23)."


def _visual(planning: Planning, joint: Joint) -> Requirement:
    why = "no cracks, craters filled, no undercut beyond what the job's standard takes, fusion complete"
    asked = choice("visual result", ("accepted", "rejected"), ("accepted",), why, joint.id)
    return replace(asked, basis=visual_rows(joint, planning.library, planning.units))


def _crack_test(joint: Joint) -> Requirement:
    austenitic = joint.filler.filler.kind in AUSTENITIC_WELD
    method = "penetrant (PT): the deposit is not magnetic" if austenitic else "magnetic particles (MT)"
    options = ("no relevant indications", "indications")
    return choice(
        CRACK_TEST,
        options,
        options[:1],
        "surface cracks of weld and heat-affected zone",
        joint.id,
        where=method,
    )


def _hardness(planning: Planning) -> Requirement:
    limit = planning.sheet.hardness_limit
    assert limit is not None
    row = from_quantity("job sheet", "at_most", limit, Source("job sheet", "seen"))
    portable = planning.library.cautions["portable hardness"]
    return Requirement(
        quantity="hardness",
        type="number",
        unit=limit.unit.symbol,
        at_most=limit,
        governed_at_most="job sheet",
        why="the limit that this job sets",
        evidence=Evidence(where=portable),
        basis=(row.basis, *_predicted_hardness(planning)),
    )


def _predicted_hardness(planning: Planning) -> tuple[Basis, ...]:
    """Beside the weld as welded, and after the stress relief where one is called for."""
    as_welded = as_welded_rows(planning.sheet, planning.minima, planning.maxima, planning.library)
    soak = planning.soak
    return as_welded if soak is None else (*as_welded, *tempered_rows(soak, planning.sheet))
