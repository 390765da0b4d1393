"""The tested procedure beside the plan: its range of preheat and interpass, its thickness, its gas."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from traveler.job.candidate import Candidate, from_quantity
from traveler.job.interpass import Maximum
from traveler.job.preheat import Minimum
from traveler.job.quantities import INTERPASS, PREHEAT
from traveler.job.requirement import Bound, Requirement
from traveler.job.sheet import Joint, Procedure
from traveler.job.steps.asked import asked
from traveler.job.steps.planning import Draft, Planning
from traveler.library.model import Library, Printed, Units
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import finite_decimal, show, show_both
from traveler.quantity.units import BY_SYMBOL

LOWER = "with governs = true in its table the procedure's maximum is taken"


def beside_procedure(planning: Planning, joint: Joint, draft: Draft) -> Draft:
    """The step with the procedure's range in the working of its temperatures, and what lies outside it as conflicts."""
    procedure = joint.procedure
    if procedure is None:
        return draft
    minimum, maximum = planning.minima[joint.id], planning.maxima[joint.id]
    rows = tuple(_rows(procedure, planning.library, planning.units))
    outside = tuple(_outside(joint, procedure, minimum, maximum, planning.library))
    return Draft(
        tuple(_with_rows(requirement, rows) for requirement in draft.requirements),
        (*draft.conflicts, *outside),
        (f"By procedure {procedure.name}.", *draft.notes),
        draft.chart_limits,
    )


def gas_and_purge(joint: Joint) -> tuple[Requirement, ...]:
    """Asked at the weld where the procedure says something of it."""
    procedure = joint.procedure
    if procedure is None or not (procedure.gas or procedure.purge):
        return ()
    said = (("gas", procedure.gas), ("purge", procedure.purge))
    working = tuple((words, value) for words, value in said if value)
    requirement = asked("gas and purge", joint=joint.id, working=working)
    told = ", ".join(f"{words}: {value}" for words, value in working)
    return (replace(requirement, why=f"{procedure.name} says {told}"),)


def _with_rows(requirement: Requirement, rows: tuple[Candidate, ...]) -> Requirement:
    """The rows beside the others; of a procedure that governs, its maximum where it is the lower one."""
    if requirement.quantity not in (PREHEAT, INTERPASS):
        return requirement
    requirement = replace(requirement, basis=(*requirement.basis, *(row.basis for row in rows)))
    for row in rows:
        limit, now = row.limit, requirement.at_most
        if row.counts and limit and (now is None or limit.canonical < now.canonical):
            requirement = replace(requirement, at_most=limit, governed_at_most=row.basis.method)
    return requirement


def _rows(procedure: Procedure, library: Library, units: Units) -> Iterator[Candidate]:
    ends: tuple[tuple[Bound, str, Quantity | None, Printed], ...] = (
        ("at_least", "preheat of the test", procedure.preheat_tested, _below(library)),
        ("at_most", "interpass temperature of the test", procedure.interpass_tested, _above(library)),
    )
    for bound, words, tested, span in ends:
        if tested is None:
            continue
        sign = -1 if bound == "at_least" else 1
        working = (
            (words, show_both(tested)),
            ("reaches below it" if sign < 0 else "reaches above it", show(span.for_units(units))),
        )
        yield from_quantity(
            f"procedure {procedure.name}",
            bound,
            _shifted(tested, sign * span.for_units(units).canonical),
            span.source,
            "governs" if procedure.governs and bound == "at_most" else "cross-check",
            working=working,
        )


def _outside(
    joint: Joint, procedure: Procedure, minimum: Minimum, maximum: Maximum, library: Library
) -> Iterator[str]:
    """What the plan would allow and the procedure was not tested for."""
    if procedure.preheat_tested and minimum.limit:
        least = _shifted(procedure.preheat_tested, -_below(library).for_units("metric").canonical)
        if minimum.limit.canonical < least.canonical:
            yield (
                f"the plan lets {joint.id} be welded from {show_both(minimum.limit)}; procedure {procedure.name} "
                f"reaches down to {show_both(least)}: give the joint that minimum (preheat), or another procedure"
            )
    if procedure.interpass_tested:
        most = _shifted(procedure.interpass_tested, _above(library).for_units("metric").canonical)
        yield from _too_hot(joint, procedure, minimum, maximum, most)
    yield from _thickness(joint, procedure)


def _too_hot(
    joint: Joint, procedure: Procedure, minimum: Minimum, maximum: Maximum, most: Quantity
) -> Iterator[str]:
    reaches = f"procedure {procedure.name} reaches up to {show_both(most)}"
    if minimum.limit and minimum.limit.canonical > most.canonical:
        yield f"{joint.id} needs at least {show_both(minimum.limit)}; {reaches}: another procedure is needed"
    elif procedure.governs:
        return
    elif maximum.interpass is None:
        yield f"the plan has no maximum between the runs of {joint.id}; {reaches}: {LOWER}"
    elif maximum.interpass.canonical > most.canonical:
        yield (
            f"the plan lets the runs of {joint.id} start at {show_both(maximum.interpass)}; {reaches}: another "
            f"procedure, or {LOWER}"
        )


def _thickness(joint: Joint, procedure: Procedure) -> Iterator[str]:
    low, high = procedure.thickness_from, procedure.thickness_to
    for member in joint.members:
        thick = member.thickness
        if (low and thick.canonical < low.canonical) or (high and thick.canonical > high.canonical):
            ends = [f"from {show_both(low)}" if low else "", f"up to {show_both(high)}" if high else ""]
            yield (
                f"{joint.id}: {member.material.id} is {show_both(thick)} thick and procedure {procedure.name} holds "
                f"{' '.join(filter(None, ends))}: another procedure is needed"
            )


def _below(library: Library) -> Printed:
    return library.printed["procedure below preheat"]


def _above(library: Library) -> Printed:
    return library.printed["procedure above interpass"]


def _shifted(tested: Quantity, span_c: Fraction) -> Quantity:
    """The temperature so many Celsius degrees away, in the unit of the test, exact."""
    number = tested.unit.from_canonical(tested.canonical + span_c)
    text = finite_decimal(number, 6)
    return Quantity(text if text is not None else str(number), number, BY_SYMBOL[tested.unit.symbol])
