"""Minimum preheat of a joint: every method for every member, each with its role, and the one that governs."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from traveler.job.analysis import analyse
from traveler.job.candidate import Candidate, from_quantity, greatest, printed_candidate
from traveler.job.formula_rows import (
    METHOD_A,
    METHOD_B,
    SEFERIAN,
    SEW_088,
    method_a_gate,
    method_b,
    seferian,
    sew_088,
)
from traveler.job.maker_rows import make_of, maker_rows
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
from traveler.job.quantities import OWN_MINIMUM
from traveler.job.requirement import Basis
from traveler.job.rule_rows import rule_rows
from traveler.job.sheet import Joint, Member, Site
from traveler.job.surcharge import site_note
from traveler.job.two_routes import two_routes
from traveler.library.model import Library, Role, Units
from traveler.metals.outcome import Source
from traveler.quantity.quantity import Quantity

FLOOR = "floor for dry metal"
SHEET = Source("job sheet", "seen")


@dataclass(frozen=True, slots=True)
class Minimum:
    """The least preheat of a joint, or none where it is not determined, with every row behind it.

    ``notes``: what the person who heats must know besides.
    """

    limit: Quantity | None
    governed_by: str | None
    basis: tuple[Basis, ...]
    conflicts: tuple[str, ...]
    confirm_route: bool
    above_floor: bool
    notes: tuple[str, ...] = ()

    @property
    def ruling(self) -> tuple[Basis, ...]:
        """The rows that set the limit, for steps that take it over; every row where none did."""
        return tuple(row for row in self.basis if self.limit is None or row.method == self.governed_by)


def minimum_preheat(joint: Joint, library: Library, units: Units, site: Site | None = None) -> Minimum:
    """Greatest of the governing methods over all members, each grade at the thickness of the thickest member.

    Where no governing method answers for a member the minimum is not determined: a conflict, never zero. A minimum of
    the sheet's own, with a name and a reason, settles that; where the methods answer it counts only as the greater.
    """
    floor = floor_of(joint, library, units)
    rows: list[Candidate] = []
    chosen: list[Candidate] = []
    unanswered: list[str] = []
    confirm_route = False
    for member in _one_per_material(joint):
        candidates, confirm = _candidates(joint, member, site, library, units)
        confirm_route = confirm_route or confirm
        rows += candidates
        governing = _governing(candidates, floor)
        chosen += governing
        if not governing:
            unanswered.append(_undetermined(member, candidates))
    own = own_minimum(joint, tuple(unanswered))
    conflicts = [] if own else [f"{words}; the engineer must settle it" for words in unanswered]
    chosen += own
    ruling = None if conflicts else greatest([*chosen, floor])
    limit = ruling.limit if ruling else None
    return Minimum(
        limit=limit,
        governed_by=ruling.basis.method if ruling else None,
        basis=tuple(candidate.basis for candidate in (*own, *rows, floor)),
        conflicts=tuple(conflicts),
        confirm_route=confirm_route,
        above_floor=ruling is None or _size(ruling) > _size(floor),
        notes=(*two_routes(joint, limit, library, units), *_site_note(joint, site, library)),
    )


def least_preheat(joint: Joint, library: Library, units: Units, site: Site | None = None) -> Quantity | None:
    """The limit of `minimum_preheat` alone, asking only the methods that may set it: for every "what if" of a joint."""
    floor = floor_of(joint, library, units)
    chosen = []
    for member in _one_per_material(joint):
        candidates, _ = _candidates(joint, member, site, library, units, only_governing=True)
        governing = _governing(candidates, floor)
        if not governing:
            return None
        chosen += governing
    return greatest([*own_minimum(joint), *chosen, floor]).limit


def own_minimum(joint: Joint, unanswered: tuple[str, ...] = ()) -> list[Candidate]:
    """The sheet's own minimum as a row that governs beside the methods; none where the sheet has none.

    ``unanswered``: for which members no method answers, in words.
    """
    own = joint.preheat
    if own is None:
        return []
    working = (("answered for by", own.by), ("because", own.because))
    return [from_quantity(OWN_MINIMUM, "at_least", own.at_least, SHEET, reasons=unanswered, working=working)]


def _site_note(joint: Joint, site: Site | None, library: Library) -> tuple[str, ...]:
    """Only where a method that cold and damp add to has a say."""
    if any(METHOD_B in _roles(member, library) for member in joint.members):
        return site_note(site)
    return ()


def floor_of(joint: Joint, library: Library, units: Units) -> Candidate:
    """The least temperature of dry metal: higher where a member can harden."""
    hardenable = any(member.material.steel.hardenable for member in joint.members)
    printed = library.printed["floor hardenable" if hardenable else "floor ordinary"]
    return printed_candidate(FLOOR, "at_least", printed, units)


def _one_per_material(joint: Joint) -> list[Member]:
    """One member for each material in each make: all of them are taken at the thickest member's thickness."""
    return list({(m.material.id, make_of(m)): m for m in reversed(joint.members)}.values())[::-1]


def _candidates(
    joint: Joint,
    member: Member,
    site: Site | None,
    library: Library,
    units: Units,
    only_governing: bool = False,
) -> tuple[list[Candidate], bool]:
    roles = _roles(member, library)
    if only_governing:
        roles = {method: role for method, role in roles.items() if role == "governs"}
    analysis = analyse(member.material, (joint,))
    candidates: list[Candidate] = []
    confirm_route = False
    if role := roles.get(GRADE_TABLE):
        candidate, confirm_route = grade_table(joint, member, library, units, role)
        candidates.append(candidate)
    from_maker, confirm_maker = maker_rows(joint, member, library, units)
    candidates += from_maker
    if role := roles.get(METHOD_B):
        candidates += method_b(joint, member, analysis, site, library, units, role)
    if role := roles.get(SEW_088):
        candidates.append(sew_088(joint, member, analysis, units, role))
    if role := roles.get(METHOD_A):
        candidates.append(method_a_gate(joint, member, analysis, role))
    if role := roles.get(SEFERIAN):
        candidates.append(seferian(joint, member, analysis, units, role))
    if role := roles.get(D11_TABLE):
        candidates += d11_table(joint, member, site, library, units, role)
    if role := roles.get(THIN_STRUCTURAL):
        candidates.append(thin_structural(joint, member, analysis, library, units, role))
    if role := roles.get(AUSTENITIC):
        candidates.append(austenitic(member, library, units, role))
    if not only_governing:
        candidates += rule_rows(joint, member, analysis, library, units)
    return candidates, confirm_route or confirm_maker


def _roles(member: Member, library: Library) -> Mapping[str, Role]:
    """Role of each method for this metal in this form: nearly nothing was made for castings of hardenable steel."""
    family = member.material.steel.family
    roles = library.preheat_roles.get(family, {})
    return library.casting_roles.get(family, roles) if member.form == "casting" else roles


def _governing(candidates: list[Candidate], floor: Candidate) -> list[Candidate]:
    """Those that count; else extrapolated ones, which never justify doing without preheat."""
    counting = [candidate for candidate in candidates if candidate.counts]
    if counting:
        return counting
    return [c for c in candidates if c.may_stand_in and _size(c) > _size(floor)]


def _size(candidate: Candidate) -> Fraction:
    return candidate.limit.canonical if candidate.limit else Fraction(-1000)


def _undetermined(member: Member, candidates: list[Candidate]) -> str:
    governing = [candidate for candidate in candidates if candidate.basis.role == "governs"]
    reasons = [reason for candidate in governing for reason in candidate.basis.reasons]
    why = "; ".join(dict.fromkeys(reasons)) or "no method for this metal"
    return (
        f"minimum preheat not determined for {member.material.id} ({member.material.steel.name}): "
        f"no governing method applies ({why})"
    )
