"""Cut and fit: the edge, the identity of each piece, the gap, the metal dry and warm enough, the tacks."""

from traveler.job.candidate import printed_candidate
from traveler.job.interpass import Maximum
from traveler.job.maker_rows import governing_table
from traveler.job.preheat import FLOOR, Minimum, floor_of
from traveler.job.requirement import Evidence, Requirement
from traveler.job.sheet import Joint, Material, materials_of
from traveler.job.steps.planning import (
    CONTACT,
    Draft,
    Planning,
    choice,
    dimension_requirement,
    hardenable,
    text,
)
from traveler.library.model import ThicknessTable
from traveler.library.thickness import row_for
from traveler.quantity.show import show_both

COLD_CUT = "cut cold (saw, shear, machined)"
GROUND_BACK = "cut with heat, edge ground back 1.5 to 3 mm"
CRACK_TESTED = "cut with heat, edge crack-tested, no indications"
AS_CUT = "cut with heat, edge left as cut"


def cut(planning: Planning, joints: tuple[Joint, ...]) -> Draft:
    """The edge of each piece. A thermally cut edge of hardenable steel is hard: dressed back or checked."""
    materials = materials_of(joints)
    notes = tuple(note for material in materials if (note := _cutting_preheat(planning, material, joints)))
    requirements = tuple(_edge(material) for material in materials)
    marking = (
        "Move the heat number to each piece before it is cut off (common practice; ISO 3834-2 asks for it)."
    )
    return Draft(requirements, notes=(marking, *notes))


def fit(planning: Planning, joints: tuple[Joint, ...]) -> Draft:
    """Each piece identified; each joint with its gap, dry, warm enough, and its tacks under the weld's preheat."""
    requirements: list[Requirement] = [_heat_number(material) for material in materials_of(joints)]
    for joint in joints:
        requirements += [
            _gap(planning, joint),
            choice(
                "metal dry",
                ("yes", "no"),
                ("yes",),
                "moisture is hydrogen in the weld: clean, bright and dry on both sides of the joint",
                joint.id,
            ),
            _metal_temperature(planning, joint),
        ]
        minimum = planning.minima[joint.id]
        if minimum.above_floor:
            requirements.append(_tack_temperature(joint, minimum, planning.maxima[joint.id]))
    requirements += [dimension_requirement(dimension) for dimension in planning.sheet.dimensions]
    conflicts = tuple(conflict for joint in joints for conflict in _tack_conflicts(planning, joint))
    return Draft(
        tuple(requirements), conflicts, ("No arc outside the joint; tacks by the weld's own rules.",)
    )


def _tack_conflicts(planning: Planning, joint: Joint) -> tuple[str, ...]:
    """A tack that takes the weld's preheat has the weld's window: where that is empty no tack can comply either."""
    minimum = planning.minima[joint.id]
    if not minimum.above_floor:
        return minimum.conflicts
    return (*minimum.conflicts, *planning.maxima[joint.id].conflicts)


def _edge(material: Material) -> Requirement:
    options = (COLD_CUT, GROUND_BACK, CRACK_TESTED, AS_CUT)
    if material.steel.hardenable:
        why = "a thermally cut edge of hardenable steel is hard and may be cracked: dress it back or check it"
        return choice(f"cut edge of {material.id}", options, options[:3], why)
    why = "how the piece was cut; this steel takes a thermally cut edge as it is"
    return choice(f"cut edge of {material.id}", options, options, why)


def _cutting_preheat(planning: Planning, material: Material, joints: tuple[Joint, ...]) -> str | None:
    """Thick hardenable metal is preheated for thermal cutting, by the same ladder as for welding."""
    thicknesses = [m.thickness for j in joints for m in j.members if m.material == material]
    thickest = max(thicknesses, key=lambda thickness: thickness.canonical)
    boundary = planning.library.printed["cutting preheat thickness"].for_units(planning.units)
    if not material.steel.hardenable or thickest.canonical <= boundary.canonical:
        return None
    table = _cutting_table(planning, material, joints)
    if table is None:
        return f"{material.id}: preheat for thermal cutting as the engineer says, or cut cold."
    least = show_both(row_for(table, thickest, planning.units).minimum.for_units(planning.units))
    return f"{material.id}: preheat to at least {least} for thermal cutting, or cut cold (common practice)."


def _cutting_table(
    planning: Planning, material: Material, joints: tuple[Joint, ...]
) -> ThicknessTable | None:
    """The table that governs the preheat of this metal for welding serves for cutting it."""
    member = next(m for joint in joints for m in joint.members if m.material == material)
    governing = governing_table(member, planning.library)
    if governing is None and material.steel.family == "4130" and member.form != "casting":
        return planning.library.preheat_tables["grade table 4130"]
    return governing


def _heat_number(material: Material) -> Requirement:
    if material.heat_number is None:
        return text(
            f"heat number of {material.id}",
            "what is marked on the piece, or in words that it bears none",
        )
    why = f"the sheet says {material.heat_number}; it must stand on each piece"
    return text(f"heat number of {material.id}", why, accepts=(material.heat_number,))


def _gap(planning: Planning, joint: Joint) -> Requirement:
    """The limit is that of fillet welds: the root opening of a butt weld is what its drawing or procedure says."""
    if not joint.type.endswith("fillet"):
        return Requirement(
            quantity="gap",
            type="number",
            unit="mm",
            joint=joint.id,
            why="the root opening as fitted, to be held against the drawing or the welding procedure",
            evidence=Evidence(where="the widest place"),
        )
    printed = planning.library.printed["fit gap"]
    candidate = printed_candidate("root gap", "at_most", printed, planning.units)
    return Requirement(
        quantity="gap",
        type="number",
        unit="mm",
        at_most=candidate.limit,
        governed_at_most="root gap",
        joint=joint.id,
        why="a wide gap takes more weld metal, more shrinkage and more restraint",
        evidence=Evidence(where="the widest place"),
        basis=(candidate.basis,),
    )


def _metal_temperature(planning: Planning, joint: Joint) -> Requirement:
    floor = floor_of(joint, planning.library, planning.units)
    kind = "hardenable steel" if hardenable(joint) else "ordinary steel"
    return Requirement(
        quantity="metal temperature",
        type="number",
        unit="degC",
        at_least=floor.limit,
        governed_at_least=FLOOR,
        joint=joint.id,
        why=f"the least temperature of {kind} before any arc",
        evidence=Evidence(where="on each member beside the joint", instruments=CONTACT),
        basis=(floor.basis,),
    )


def _tack_temperature(joint: Joint, minimum: Minimum, maximum: Maximum) -> Requirement:
    return Requirement(
        quantity="tack preheat temperature",
        type="number",
        unit="degC",
        at_least=minimum.limit,
        at_most=maximum.hard,
        governed_at_least=minimum.governed_by,
        governed_at_most=maximum.hard_governed_by,
        undetermined=minimum.limit is None,
        joint=joint.id,
        why="a tack is a small weld on cold metal: it takes the same preheat as the weld",
        evidence=Evidence(where="beside the first tack", instruments=CONTACT),
        basis=(*minimum.ruling, *maximum.hard_basis),
    )
