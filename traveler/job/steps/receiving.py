"""Receiving, before the metal is cut: marking, hardness for the condition, thickness as measured, heat number moved."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from fractions import Fraction

from traveler.job.candidate import from_quantity
from traveler.job.measured_thickness import stands_up_to, thickness_words
from traveler.job.requirement import Basis, Bound, Requirement
from traveler.job.sheet import Check, Joint, Material, materials_of
from traveler.job.steps.asked import asked
from traveler.job.steps.planning import Draft, Planning
from traveler.library.condition_hardness import load_condition_hardness
from traveler.metals.outcome import Source
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show

SHEET = Source("job sheet", "seen")
NO_HEAT_NUMBER = "the metal bears no heat number"
RANGE = "hardness on the sheet"


def received(planning: Planning, joints: tuple[Joint, ...]) -> Draft:
    """What the sheet asks to look at, material by material, before anything is cut off."""
    chosen = [_OF_CHECK[check] for check in planning.sheet.checks if check in _OF_CHECK]
    requirements = [
        requirement
        for material in materials_of(joints)
        for of_check in chosen
        for requirement in of_check(planning, material, joints)
    ]
    return Draft(tuple(requirements))


def _marking(planning: Planning, material: Material, joints: tuple[Joint, ...]) -> Iterator[Requirement]:
    requirement = asked(
        "marking without certificate" if material.certificate == "none" else "marking", material.id
    )
    said = f"the sheet says {material.steel.name}, heat {material.heat_number or 'not given'}"
    where = f"{requirement.evidence.where}; {said}"
    yield replace(requirement, evidence=replace(requirement.evidence, where=where))


def _heat_number(planning: Planning, material: Material, joints: tuple[Joint, ...]) -> Iterator[Requirement]:
    requirement = asked("heat number", material.id)
    if material.heat_number is None:
        requirement = replace(requirement, accepts=(*requirement.accepts, NO_HEAT_NUMBER))
    yield requirement


def _hardness(planning: Planning, material: Material, joints: tuple[Joint, ...]) -> Iterator[Requirement]:
    """Judged by the sheet's own range alone; a published bar stands beside it."""
    requirement = asked("hardness", material.id, working=(("condition", material.condition),))
    beside = tuple(_published(material))
    if material.hardness is None:
        said = "no range on the sheet: recorded, not judged"
        yield replace(requirement, why=f"{requirement.why}; {said}", basis=(*requirement.basis, *beside))
        return
    low, high = material.hardness
    bounds: tuple[tuple[Bound, Quantity | None], ...] = (("at_least", low), ("at_most", high))
    rows = [from_quantity(RANGE, bound, limit, SHEET).basis for bound, limit in bounds if limit is not None]
    scale = low or high
    yield replace(
        requirement,
        unit=scale.unit.symbol if scale else requirement.unit,
        at_least=low,
        at_most=high,
        governed_at_least=RANGE if low else None,
        governed_at_most=RANGE if high else None,
        basis=(*requirement.basis, *rows, *beside),
    )


def _published(material: Material) -> Iterator[Basis]:
    for row in load_condition_hardness():
        if material.steel.name in row.grades and material.condition == row.condition:
            yield Basis(
                method=f"one published bar, {row.condition}",
                bound=None,
                role="indicative",
                status="ok",
                value=str(row.hb),
                unit="HB",
                source=row.source,
                reasons=("one bar and no range: metal beside it is not wrong for that",),
                member=material.id,
            )


def _thickness(planning: Planning, material: Material, joints: tuple[Joint, ...]) -> Iterator[Requirement]:
    """One for each thickness on the sheet, at most what the preheat of its joints was planned for.

    Named after the first place where it is welded, so that a revision of the thickness keeps the readings.
    """
    first: dict[Fraction, tuple[str, Quantity]] = {}
    at: dict[Fraction, list[Joint]] = {}
    for joint in joints:
        for place, member in enumerate(joint.members, start=1):
            if member.material.id == material.id:
                size = member.thickness.canonical
                first.setdefault(size, (f"{material.id} ({joint.id}, member {place})", member.thickness))
                at.setdefault(size, []).append(joint)
    for size, (place_name, thickness) in first.items():
        about, nominal = material.id if len(first) == 1 else place_name, show(thickness)
        requirement = asked("thickness", about, working=(("on the sheet", nominal),))
        yield _held_against(planning, requirement, nominal, at[size])


def _held_against(
    planning: Planning, requirement: Requirement, nominal: str, joints: list[Joint]
) -> Requirement:
    """The least of what the joints were planned for; without any it is recorded alone."""
    library, minima = planning.library, planning.minima
    found = [
        (candidate.limit.canonical, joint, candidate)
        for joint in joints
        if (candidate := stands_up_to(joint, minima[joint.id], library, planning.units)) and candidate.limit
    ]
    if not found:
        said = f"the sheet says {nominal}; no tolerance of the product is known here: recorded, not judged"
        return replace(requirement, why=f"{requirement.why}; {said}")
    _, joint, least = min(found, key=lambda entry: entry[0])
    said = thickness_words(joint, minima[joint.id], least, library)
    return replace(
        requirement,
        at_most=least.limit,
        governed_at_most=least.basis.method,
        why=f"the sheet says {nominal}; {said}",
        basis=(*requirement.basis, least.basis),
    )


_OF_CHECK: Mapping[Check, Callable[[Planning, Material, tuple[Joint, ...]], Iterator[Requirement]]] = {
    "marking": _marking,
    "heat number": _heat_number,
    "hardness": _hardness,
    "thickness": _thickness,
}
RECEIVING: tuple[Check, ...] = tuple(_OF_CHECK)
"""Checks that belong to the step where the metal is cut."""
