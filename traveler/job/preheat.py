"""Minimum preheat of a joint: every method for every member, each with its role, and the one that governs."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from traveler.job.analysis import Analysis, analyse
from traveler.job.candidate import Candidate, from_outcome, greatest, printed_candidate
from traveler.job.hydrogen import hydrogen_of
from traveler.job.preheat_tables import (
    AUSTENITIC,
    D11_TABLE,
    GRADE_TABLE,
    THIN_STRUCTURAL,
    austenitic,
    d11_table,
    grade_table,
    thin_structural,
)
from traveler.job.requirement import Basis
from traveler.job.sheet import Joint, Member
from traveler.library.model import Library, Role, Units
from traveler.metals.arc import heat_input_kj_mm
from traveler.metals.carbon_equivalents import cet
from traveler.metals.en1011_method_b import METHOD_B_SOURCE, effective_cet, preheat_method_b
from traveler.metals.outcome import Outcome
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show

METHOD_B = "EN 1011-2 method B"
FLOOR = "floor for dry metal"
CET_ELEMENTS = ("C", "Mn", "Mo", "Cr", "Cu", "Ni")


@dataclass(frozen=True, slots=True)
class Minimum:
    """The least preheat of a joint, or none where it is not determined, with every row behind it."""

    limit: Quantity | None
    governed_by: str | None
    basis: tuple[Basis, ...]
    conflicts: tuple[str, ...]
    confirm_route: bool
    above_floor: bool

    @property
    def ruling(self) -> tuple[Basis, ...]:
        """The rows that set the limit, for steps that take it over; every row where none did."""
        return tuple(row for row in self.basis if self.limit is None or row.method == self.governed_by)


def minimum_preheat(joint: Joint, library: Library, units: Units) -> Minimum:
    """Greatest of the governing methods over all members, each grade at the thickness of the thickest member.

    Where no governing method answers for a member the minimum is not determined: a conflict, never zero.
    """
    rows: list[Candidate] = []
    chosen: list[Candidate] = []
    conflicts: list[str] = []
    confirm_route = False
    for member in _one_per_material(joint):
        candidates, confirm = _candidates(joint, member, library, units)
        confirm_route = confirm_route or confirm
        rows += candidates
        governing = _governing(candidates, floor_of(joint, library, units))
        chosen += governing
        if not governing:
            conflicts.append(_undetermined(member, candidates))
    floor = floor_of(joint, library, units)
    rows.append(floor)
    basis = tuple(candidate.basis for candidate in rows)
    if conflicts:
        return Minimum(None, None, basis, tuple(conflicts), confirm_route, True)
    ruling = greatest([*chosen, floor])
    return Minimum(ruling.limit, ruling.basis.method, basis, (), confirm_route, _size(ruling) > _size(floor))


def floor_of(joint: Joint, library: Library, units: Units) -> Candidate:
    """The least temperature of dry metal: higher where a member can harden."""
    hardenable = any(member.material.steel.hardenable for member in joint.members)
    printed = library.printed["floor hardenable" if hardenable else "floor ordinary"]
    return printed_candidate(FLOOR, "at_least", printed, units)


def joint_heat_input_kj_mm(joint: Joint) -> Fraction:
    """Heat input of a joint: its arc energy times the efficiency of its process, exact."""
    return heat_input_kj_mm(joint.arc_energy.canonical, joint.process.efficiency)


def _one_per_material(joint: Joint) -> list[Member]:
    return list({member.material.id: member for member in reversed(joint.members)}.values())[::-1]


def _candidates(joint: Joint, member: Member, library: Library, units: Units) -> tuple[list[Candidate], bool]:
    roles = _roles(member, library)
    analysis = analyse(member.material, (joint,))
    candidates: list[Candidate] = []
    confirm_route = False
    if role := roles.get(GRADE_TABLE):
        candidate, confirm_route = grade_table(joint, member, library, units, role)
        candidates.append(candidate)
    if role := roles.get(METHOD_B):
        candidates += _method_b(joint, member, analysis, library, units, role)
    if role := roles.get(D11_TABLE):
        candidates += d11_table(joint, member, library, units, role)
    if role := roles.get(THIN_STRUCTURAL):
        candidates.append(thin_structural(joint, member, analysis, library, units, role))
    if role := roles.get(AUSTENITIC):
        candidates.append(austenitic(member, library, units, role))
    return candidates, confirm_route


def _roles(member: Member, library: Library) -> Mapping[str, Role]:
    """Role of each method for this metal in this form. Nothing here was made for castings of hardenable steel."""
    roles = library.preheat_roles.get(member.material.steel.family, {})
    if member.form == "casting" and member.material.steel.hardenable:
        return dict.fromkeys(roles, "cross-check")
    return roles


def _method_b(
    joint: Joint, member: Member, analysis: Analysis, library: Library, units: Units, role: Role
) -> list[Candidate]:
    """Method B, and beside it the same raised for high restraint."""
    id = member.material.id
    missing = analysis.missing_for(CET_ELEMENTS)
    if missing:
        reason = f"{', '.join(missing)} of {id} is not known and the grade does not limit it"
        silent = Outcome(METHOD_B, None, "degC", "not applicable", METHOD_B_SOURCE, (reason,))
        return [from_outcome(silent, "at_least", units, role, id)]
    composition = analysis.composition
    filler = joint.filler.filler
    deposit_cet = cet(filler.deposit) if filler.deposit else 0.0
    low_alloy = filler.kind not in ("austenitic", "nickel")
    parent_cet = cet(composition)
    outcome = preheat_method_b(
        cet=effective_cet(parent_cet, deposit_cet) if low_alloy else parent_cet,
        thickness_mm=float(joint.thickest.thickness.canonical),
        hydrogen_ml_100g=float(hydrogen_of(joint).ml_100g),
        heat_input_kj_mm=float(joint_heat_input_kj_mm(joint)),
        composition=composition,
        filler_low_alloy=low_alloy,
    )
    plain = from_outcome(outcome, "at_least", units, role, id)
    if joint.restraint != "high" or outcome.value is None:
        return [plain]
    printed = library.printed["high restraint"]
    added = printed.for_units(units)
    raised = from_outcome(outcome, "at_least", units, role, id, span=added.canonical)
    working = (*raised.basis.working, ("added for high restraint", show(added)))
    basis = replace(
        raised.basis, method=f"{METHOD_B}, high restraint", source=printed.source, working=working
    )
    return [plain, replace(raised, basis=basis)]


def _governing(candidates: list[Candidate], floor: Candidate) -> list[Candidate]:
    """Those that count; else extrapolated ones, which never justify doing without preheat."""
    counting = [candidate for candidate in candidates if candidate.counts]
    if counting:
        return counting
    return [c for c in candidates if c.may_stand_in and _size(c) > _size(floor)]


def _size(candidate: Candidate) -> Fraction:
    return candidate.limit.canonical if candidate.limit else Fraction(-1000)


def _undetermined(member: Member, candidates: list[Candidate]) -> str:
    reasons = [reason for candidate in candidates for reason in candidate.basis.reasons]
    why = "; ".join(dict.fromkeys(reasons)) or "no method for this metal"
    return (
        f"minimum preheat not determined for {member.material.id} ({member.material.steel.name}): "
        f"no governing method applies ({why}); the engineer must settle it"
    )
