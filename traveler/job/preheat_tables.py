"""The tables among the preheat methods: 4130 by thickness, AWS D1.1, and thin ordinary structural steel."""

from dataclasses import replace
from fractions import Fraction

from traveler.job.analysis import Analysis, limits_stand
from traveler.job.candidate import Candidate, from_quantity, printed_candidate, says_nothing
from traveler.job.hydrogen import hydrogen_of
from traveler.job.sheet import Joint, Member, Site
from traveler.job.surcharge import is_colder
from traveler.library.model import Library, Role, Units
from traveler.library.thickness import row_for
from traveler.metals.carbon_equivalents import ce_iiw
from traveler.quantity.show import show

THIN_WALL_CONDITIONS = ("annealed", "normalized", "stress relieved")
CE_ELEMENTS = ("C", "Mn", "Cr", "Mo", "V", "Ni", "Cu")
GRADE_TABLE = "grade table 4130"
D11_TABLE = "AWS D1.1 table 3.3"
D11_COLD = "AWS D1.1 table 3.3, base metal below 32 °F"
THIN_STRUCTURAL = "thin ordinary structural steel"
AUSTENITIC = "austenitic stainless steel"


def grade_table(
    joint: Joint, member: Member, library: Library, units: Units, role: Role
) -> tuple[Candidate, bool]:
    """4130 by the thickness of the thickest member; whether the engineer must confirm the route.

    A casting is outside the table: it was made for wrought metal.
    """
    thickest = joint.thickest.thickness
    working = (("thickest member", show(thickest)),)
    if is_thin_wall(joint, library):
        printed = library.printed["thin wall temperature"]
        exempt = (*working, ("thin wall", "TIG, all members under 0.120 in, not quenched and tempered"))
        candidate = printed_candidate(
            GRADE_TABLE, "at_least", printed, units, role, member.material.id, working=exempt
        )
        return candidate, False
    table = library.preheat_tables[GRADE_TABLE]
    row = row_for(table, thickest, units)
    up_to = "and above" if row.up_to is None else f"up to {show(row.up_to.for_units(units))}"
    candidate = from_quantity(
        GRADE_TABLE,
        "at_least",
        row.minimum.for_units(units),
        table.source,
        role,
        member.material.id,
        working=(*working, ("row of the table", up_to)),
    )
    if member.form == "casting":
        return says_nothing(candidate, "the table is for wrought 4130, not for castings"), False
    return candidate, row.confirm_route


def is_thin_wall(joint: Joint, library: Library) -> bool:
    """TIG on members all under the thin wall, none quenched and tempered, not with a 4130-type filler.

    The boundary takes no tolerance; every member counts, of whatever grade.
    """
    boundary = library.printed["thin wall"].for_units("inch")
    thin = all(member.thickness.canonical < boundary.canonical for member in joint.members)
    soft = all(
        member.material.condition in THIN_WALL_CONDITIONS or not member.material.steel.hardenable
        for member in joint.members
    )
    return joint.process.number == "141" and thin and soft and joint.filler.filler.kind != "4130 type"


def d11_table(
    joint: Joint, member: Member, site: Site | None, library: Library, units: Units, role: Role
) -> list[Candidate]:
    """AWS D1.1 table 3.3 by category and thickest member; only a guide for TIG and for steels it does not list.

    With it the note for base metal below 32 °F, where the sheet says that it is that cold and the row asks no more.
    """
    steel = member.material.steel
    category, listed = _d11_category(joint, member)
    table = library.preheat_tables[d11_table_name(joint, member)]
    row = row_for(table, joint.thickest.thickness, units)
    reasons = []
    if not joint.process.d11:
        reasons.append(f"the table does not cover {joint.process.name}: a guide only")
    if not listed:
        reasons.append(f"{steel.name} is not listed in D1.1 for this welding: a guide only")
    if joint.filler.filler.kind in ("austenitic", "nickel"):
        reasons.append("the table is for ferritic filler: a guide only")
    candidate = from_quantity(
        D11_TABLE,
        "at_least",
        row.minimum.for_units(units),
        table.source,
        "cross-check" if reasons else role,
        member.material.id,
        tuple(reasons),
        (("category", category), ("thickest member", show(joint.thickest.thickness))),
    )
    cold = "cold base metal"
    note_applies = category != "C" and row.minimum == table.rows[0].minimum
    if not note_applies or not is_colder(site, library, units, f"{cold} below"):
        return [candidate]
    return [
        candidate,
        printed_candidate(
            D11_COLD,
            "at_least",
            library.printed[cold],
            units,
            candidate.basis.role,
            member.material.id,
            tuple(reasons),
            (("category", category),),
        ),
    ]


def d11_table_name(joint: Joint, member: Member) -> str:
    """Name of the table of the category that this metal falls in, welded this way."""
    return f"AWS D1.1 category {_d11_category(joint, member)[0]}"


def _d11_category(joint: Joint, member: Member) -> tuple[str, bool]:
    """The category, and whether the code lists the grade in it or it is only the nearest one."""
    steel = member.material.steel
    low_hydrogen = joint.process.low_hydrogen or joint.filler.filler.low_hydrogen is True
    listed = steel.d11_category if low_hydrogen else steel.d11_other_category
    return listed or ("B" if low_hydrogen else "A"), listed is not None


def thin_structural(
    joint: Joint, member: Member, analysis: Analysis, library: Library, units: Units, role: Role
) -> Candidate:
    """Thin ordinary structural steel needs its floor only; says nothing where thickness, CE or hydrogen is over."""
    floor = library.printed["floor ordinary"]
    source = library.numbers["thin structural cev"][1]
    candidate = printed_candidate(
        THIN_STRUCTURAL, "at_least", replace(floor, source=source), units, role, member.material.id
    )
    reasons = _not_thin_structural(joint, member, analysis, library)
    for reason in reasons:
        candidate = says_nothing(candidate, reason)
    return candidate


def austenitic(member: Member, library: Library, units: Units, role: Role) -> Candidate:
    """Austenitic stainless steel does not harden: dry and not colder than its floor."""
    floor = library.printed["floor austenitic"]
    return printed_candidate(AUSTENITIC, "at_least", floor, units, role, member.material.id)


def _not_thin_structural(joint: Joint, member: Member, analysis: Analysis, library: Library) -> list[str]:
    reasons = []
    limit = library.printed["thin structural thickness"].for_units("metric")
    if joint.thickest.thickness.canonical > limit.canonical:
        reasons.append(f"the thickest member, {show(joint.thickest.thickness)}, is over {show(limit)}")
    carbon_equivalent_max = library.numbers["thin structural cev"][0]
    known = worst_ce_iiw(member, analysis)
    if known is None:
        missing = ", ".join(analysis.missing_for(CE_ELEMENTS))
        reasons.append(f"{missing} of {member.material.id} is not known and the grade does not limit it")
    elif Fraction(str(known)) > carbon_equivalent_max:
        reasons.append(
            f"CE(IIW) {known:.2f} of {member.material.id} is over {float(carbon_equivalent_max):g}"
        )
    hydrogen_max = library.numbers["thin structural hydrogen"][0]
    hydrogen = hydrogen_of(joint).ml_100g
    if hydrogen > hydrogen_max:
        reasons.append(f"hydrogen {float(hydrogen):g} ml/100 g is over {float(hydrogen_max):g}")
    return reasons


def guaranteed_cev(member: Member) -> float | None:
    """CE(IIW) that the product standard guarantees at the thickness of this member, percent."""
    steel = member.material.steel
    stands = limits_stand(steel, member.thickness.canonical)
    return steel.cev_max[0] if steel.cev_max and stands else None


def worst_ce_iiw(member: Member, analysis: Analysis) -> float | None:
    """CE(IIW) on the worse side, capped by what the product standard itself guarantees; None where unknown."""
    guaranteed = guaranteed_cev(member)
    if analysis.missing_for(CE_ELEMENTS):
        return guaranteed
    computed = round(ce_iiw(analysis.composition), 4)
    fully_reported = all(element in analysis.reported for element in ("C", "Mn"))
    if guaranteed is None or fully_reported:
        return computed
    return min(computed, guaranteed)
