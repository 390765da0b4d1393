"""Maximum preheat and interpass temperature of a joint, and whether a window is left above the minimum."""

from dataclasses import dataclass

from traveler.job.candidate import (
    Candidate,
    from_quantity,
    least,
    printed_candidate,
    safe_temperature,
    says_nothing,
)
from traveler.job.preheat import Minimum
from traveler.job.requirement import Basis
from traveler.job.sheet import Joint, Material, materials_of
from traveler.library.model import Library, Units
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show, show_both

QT = "quenched and tempered"
STRUCTURAL_QT = "structural quenched and tempered"
STRUCTURAL_INTERPASS = "interpass structural quenched and tempered"
SHOP_DEFAULT = "shop default above the preheat"
SHOP_MAXIMUM_FAMILIES = ("4130", "4140 class", "hardenable low alloy")


@dataclass(frozen=True, slots=True)
class Maximum:
    """The most that a joint may be heated to: ``hard`` for the preheat too, ``interpass`` between runs."""

    hard: Quantity | None
    hard_governed_by: str | None
    hard_basis: tuple[Basis, ...]
    interpass: Quantity | None
    interpass_governed_by: str | None
    interpass_basis: tuple[Basis, ...]
    conflicts: tuple[str, ...]
    cautions: tuple[str, ...]


def maximum_interpass(joint: Joint, minimum: Minimum, library: Library, units: Units) -> Maximum:
    """Least of the maxima of filler, tempering temperature and maker; between runs the shop's default as well.

    A missing tempering temperature of quenched and tempered metal is a conflict. So is a window that is empty;
    one narrower than the warning span is a caution.
    """
    hard: list[Candidate] = []
    conflicts: list[str] = []
    if joint.filler.filler.interpass_max is not None:
        method = f"filler {joint.filler.filler.classification}"
        hard.append(printed_candidate(method, "at_most", joint.filler.filler.interpass_max, units))
    for material in materials_of((joint,)):
        hard += _metal_maximum(material, library, units)
        missing = missing_tempering_temperature(material)
        if missing and material.steel.family != STRUCTURAL_QT:
            conflicts.append(missing)
    between = [*hard, *_shop_default(joint, minimum, library, units)]
    setting = [candidate for candidate in between if candidate.limit is not None]
    lowest = least(setting) if setting else None
    # Where anything limits the preheat at all, run 1 may not start hotter than any other run.
    lowest_hard = lowest if hard else None
    conflicts += _empty_window(joint, minimum, lowest)
    return Maximum(
        hard=lowest_hard.limit if lowest_hard else None,
        hard_governed_by=lowest_hard.basis.method if lowest_hard else None,
        hard_basis=tuple(candidate.basis for candidate in between) if hard else (),
        interpass=lowest.limit if lowest else None,
        interpass_governed_by=lowest.basis.method if lowest else None,
        interpass_basis=tuple(candidate.basis for candidate in between),
        conflicts=tuple(conflicts),
        cautions=() if conflicts else _cautions(joint, minimum, lowest, between, library, units),
    )


def missing_tempering_temperature(material: Material) -> str | None:
    """Why no ceiling can be set for metal that is, or in an unknown condition may be, quenched and tempered."""
    if not material.steel.hardenable or material.tempered_at:
        return None
    if material.condition == QT:
        return (
            f"{material.id} is quenched and tempered and its tempering temperature is missing: "
            "no maximum can be set; give tempered_at from the mill certificate"
        )
    if material.condition == "unknown":
        return (
            f"the condition of {material.id} is unknown, so it may be quenched and tempered: no maximum can be set; "
            "find out its condition first, by its papers or its hardness"
        )
    return None


def _metal_maximum(material: Material, library: Library, units: Units) -> list[Candidate]:
    if material.steel.family == STRUCTURAL_QT:
        printed = material.steel.interpass_max or library.printed[STRUCTURAL_INTERPASS]
        return [printed_candidate("producer's limit", "at_most", printed, units, member=material.id)]
    if material.condition != QT or material.tempered_at is None:
        return []
    margin = library.printed["temper margin"]
    ceiling = material.tempered_at.canonical - margin.for_units(units).canonical
    working = (
        ("tempered at", show_both(material.tempered_at)),
        ("margin below it", show(margin.for_units(units))),
    )
    limit = safe_temperature(ceiling, "at_most", units)
    return [
        from_quantity(
            "tempering temperature less margin",
            "at_most",
            limit,
            margin.source,
            member=material.id,
            working=working,
        )
    ]


def _shop_default(joint: Joint, minimum: Minimum, library: Library, units: Units) -> list[Candidate]:
    """Minimum preheat plus a span, capped: for hardenable metal with low-alloy filler, where no code has a maximum.

    A default that leaves no window above the minimum says nothing.
    """
    families = {member.material.steel.family for member in joint.members}
    if minimum.limit is None or not families & set(SHOP_MAXIMUM_FAMILIES):
        return []
    span = library.printed["interpass above preheat"]
    cap = library.printed["interpass shop cap"].for_units(units)
    raised = minimum.limit.canonical + span.for_units(units).canonical
    chosen = safe_temperature(min(raised, cap.canonical), "at_most", units)
    working = (
        ("minimum preheat", show(minimum.limit)),
        ("span above it", show(span.for_units(units))),
        ("but at most", show(cap)),
    )
    row = from_quantity(SHOP_DEFAULT, "at_most", chosen, span.source, working=working)
    warning = library.printed["window warning"].for_units(units)
    if cap.canonical - minimum.limit.canonical < warning.canonical:
        return [
            says_nothing(row, f"the minimum, {show(minimum.limit)}, reaches the shop's cap of {show(cap)}")
        ]
    return [row]


def _empty_window(joint: Joint, minimum: Minimum, lowest: Candidate | None) -> list[str]:
    if minimum.limit is None or lowest is None or lowest.limit is None:
        return []
    if minimum.limit.canonical <= lowest.limit.canonical:
        return []
    return [
        f"the window of {joint.id} is empty: at least {show_both(minimum.limit)} by {minimum.governed_by}, "
        f"at most {show_both(lowest.limit)} by {lowest.basis.method}. Ways out: another filler, buttering with a "
        "low-alloy deposit that is relieved before the joint is made, or a procedure tested for this joint; "
        "the engineer decides"
    ]


def _cautions(
    joint: Joint,
    minimum: Minimum,
    lowest: Candidate | None,
    between: list[Candidate],
    library: Library,
    units: Units,
) -> tuple[str, ...]:
    if lowest is not None:
        return _narrow_window(joint, minimum, lowest, library, units)
    return tuple(
        f"no maximum interpass is set for {joint.id}: {'; '.join(row.basis.reasons)}; the engineer sets one"
        for row in between
        if row.limit is None
    )


def _narrow_window(
    joint: Joint, minimum: Minimum, lowest: Candidate | None, library: Library, units: Units
) -> tuple[str, ...]:
    if minimum.limit is None or lowest is None or lowest.limit is None:
        return ()
    warning = library.printed["window warning"].for_units(units)
    width = lowest.limit.canonical - minimum.limit.canonical
    if width >= warning.canonical:
        return ()
    return (
        f"the window of {joint.id} is narrow: {show_both(minimum.limit)} to {show_both(lowest.limit)}; "
        f"less than {show(warning)} wide",
    )
