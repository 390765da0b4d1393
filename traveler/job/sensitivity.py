"""What would change a minimum preheat: the joint planned again with one thing different that the shop controls."""

from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from traveler.job.analysis import WITHOUT_RESULTS, analyse
from traveler.job.hydrogen import hydrogen_of
from traveler.job.maker_rows import MAKERS_TABLE, governing_table
from traveler.job.preheat import Minimum, least_preheat
from traveler.job.preheat_tables import D11_TABLE, GRADE_TABLE, d11_table_name, is_thin_wall
from traveler.job.sheet import Joint, Material, Site, materials_of
from traveler.library.model import Library, ThicknessTable, Units
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import decimal_text, show, show_both
from traveler.quantity.units import BY_SYMBOL

HYDROGEN_CLASSES = (16, 15, 10, 8, 5, 4, 3, 2)
QUARTER = Fraction(1, 4)
JUST_OVER_MM = Fraction("0.2")  # beyond the tolerance of every table
A_HAIR_MM = Fraction("0.01")
Variant = tuple[str, Joint]
Changes = tuple[tuple[str, str], ...]


def would_change(
    joint: Joint, minimum: Minimum, library: Library, units: Units, site: Site | None = None
) -> Changes:
    """Each change in words with the minimum it would give; "as now" where it would change nothing."""
    variants = [
        *_thickness(joint, minimum, library, units),
        *_hydrogen(joint),
        *_heat_input(joint),
        *(variant for material in materials_of((joint,)) for variant in _analysis(joint, material)),
        _restraint(joint),
    ]
    return tuple(
        (words, _limit_words(minimum.limit, least_preheat(changed, library, units, site)))
        for words, changed in variants
    )


def _limit_words(now: Quantity | None, then: Quantity | None) -> str:
    words = "not determined" if then is None else show_both(then)
    return f"{words}, as now" if _canonical(now) == _canonical(then) else words


def _canonical(limit: Quantity | None) -> Fraction | None:
    return None if limit is None else limit.canonical


def _thickness(joint: Joint, minimum: Minimum, library: Library, units: Units) -> list[Variant]:
    """The next thinner and the next thicker row of the table that rules; a quarter less and more for a formula."""
    now_mm = joint.thickest.thickness.canonical
    ends = _ends_mm(joint, minimum, library, units)
    if ends is None:
        return [
            ("thickest member a quarter thinner", _at_most(joint, now_mm * (1 - QUARTER))),
            ("thickest member a quarter thicker", _at_least(joint, now_mm * (1 + QUARTER))),
        ]
    thinner = [end for end, grace_mm in ends if end.canonical + grace_mm < now_mm]
    this = [end for end, grace_mm in ends if end.canonical + grace_mm >= now_mm]
    variants = []
    if thinner:
        variants.append((f"thickest member {show(thinner[-1])}", _at_most(joint, thinner[-1].canonical)))
    elif minimum.governed_by == GRADE_TABLE:
        variants.append(_across_the_thin_wall(joint, library))
    if this:
        words = f"thickest member over {show(this[0])}"
        variants.append((words, _at_least(joint, this[0].canonical + JUST_OVER_MM)))
    return variants


def _across_the_thin_wall(joint: Joint, library: Library) -> Variant:
    """The other side of the wall under which thin tube goes without preheat."""
    boundary = library.printed["thin wall"].for_units("inch")
    if is_thin_wall(joint, library):
        return f"thickest member {show(boundary)}", _at_least(joint, boundary.canonical)
    return f"every member under {show(boundary)}", _at_most(joint, boundary.canonical - A_HAIR_MM)


def _ends_mm(
    joint: Joint, minimum: Minimum, library: Library, units: Units
) -> list[tuple[Quantity, Fraction]] | None:
    """Ends of the rows of the table that rules, with its tolerance; None where no table of thickness rules."""
    ruling = next((row.member for row in minimum.ruling if row.method == minimum.governed_by), None)
    member = next((m for m in joint.members if m.material.id == ruling), joint.thickest)
    table: ThicknessTable | None = None
    if minimum.governed_by == GRADE_TABLE:
        table = library.preheat_tables[GRADE_TABLE]
    elif minimum.governed_by == D11_TABLE:
        table = library.preheat_tables[d11_table_name(joint, member)]
    elif minimum.governed_by == MAKERS_TABLE:
        table = governing_table(member, library)
    if table is None:
        return None
    return [(row.up_to.for_units(units), table.grace_mm) for row in table.rows if row.up_to is not None]


def _at_most(joint: Joint, thickness_mm: Fraction) -> Joint:
    """Every thicker member down to this."""
    return _joint_with(joint, [min(member.thickness.canonical, thickness_mm) for member in joint.members])


def _at_least(joint: Joint, thickness_mm: Fraction) -> Joint:
    """The thickest member up to this."""
    thickest = joint.thickest
    return _joint_with(
        joint, [thickness_mm if m is thickest else m.thickness.canonical for m in joint.members]
    )


def _joint_with(joint: Joint, thicknesses_mm: list[Fraction]) -> Joint:
    members = tuple(
        member if member.thickness.canonical == mm else replace(member, thickness=_length(mm))
        for member, mm in zip(joint.members, thicknesses_mm, strict=True)
    )
    return replace(joint, members=members)


def _length(thickness_mm: Fraction) -> Quantity:
    return Quantity(decimal_text(thickness_mm, 2), thickness_mm, BY_SYMBOL["mm"])


def _hydrogen(joint: Joint) -> list[Variant]:
    """The next better hydrogen class of the filler."""
    now = hydrogen_of(joint).ml_100g
    better = next((ml for ml in HYDROGEN_CLASSES if ml < now), None)
    if better is None:
        return []
    filler = replace(joint.filler, hydrogen_class=f"H{better}", hydrogen_ml_100g=Fraction(better))
    return [(f"filler of class H{better}", replace(joint, filler=filler))]


def _heat_input(joint: Joint) -> list[Variant]:
    energy = joint.arc_energy
    return [
        (
            f"heat input a quarter {words}",
            replace(joint, arc_energy=Quantity(energy.text, energy.number * factor, energy.unit)),
        )
        for words, factor in (("less", 1 - QUARTER), ("more", 1 + QUARTER))
    ]


def _analysis(joint: Joint, material: Material) -> list[Variant]:
    """Without the certificate; where there is none, with one in the middle of what the grade allows."""
    if material.certificate not in WITHOUT_RESULTS and material.composition:
        bare = replace(material, certificate="none", composition=())
        # A blank of the grade would silence the formulas, which is no gain of a lost certificate.
        if analyse(bare, (joint,)).unknown:
            return []
        return [(f"{material.id} without its certificate", _with_material(joint, material, bare))]
    middle = _middle(material)
    if middle is None:
        return []
    certified = replace(material, certificate="3.1", composition=middle)
    words = f"a certificate of {material.id} in the middle of the grade's ranges"
    return [(words, _with_material(joint, material, certified))]


def _middle(material: Material) -> tuple[tuple[str, Fraction], ...] | None:
    """An example, not an analysis: the middle of each range, the maximum where the grade has only that."""
    contents = {}
    for element, limit in material.steel.limits.items():
        if limit.max is None or limit.residual:
            continue
        contents[element] = _halfway(limit.max if limit.min is None else limit.min, limit.max)
    return tuple(contents.items()) if {"C", "Mn"} <= contents.keys() else None


@lru_cache(maxsize=512)  # the same few grades in every joint
def _halfway(low: float, high: float) -> Fraction:
    return (Fraction(str(low)) + Fraction(str(high))) / 2


def _with_material(joint: Joint, material: Material, other: Material) -> Joint:
    members = tuple(
        replace(member, material=other) if member.material.id == material.id else member
        for member in joint.members
    )
    return replace(joint, members=members)


def _restraint(joint: Joint) -> Variant:
    if joint.restraint == "high":
        return "restraint medium", replace(joint, restraint="medium")
    return "restraint high", replace(joint, restraint="high")
