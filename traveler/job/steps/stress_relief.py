"""Stress relief by the profile that the sheet names: soak range, time, rates, furnace at loading."""

from dataclasses import replace
from fractions import Fraction

from traveler.job.candidate import from_quantity, printed_candidate
from traveler.job.relief import (
    MM_PER_INCH,
    greatest_rate,
    hold_thickness_in,
    least_hold,
    lower_soak_words,
    rule_source,
    soak_band,
    thickness_in,
)
from traveler.job.requirement import Evidence, Requirement
from traveler.job.sheet import Joint
from traveler.job.steps.planning import Draft, Planning
from traveler.job.tempered import parameter_row, tempered_rows
from traveler.library.model import StressReliefProfile
from traveler.metals.outcome import Source
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import decimal_text, show


def stress_relief(planning: Planning, joints: tuple[Joint, ...]) -> Draft:
    """Limits of the named profile for the thickest member; without a profile a conflict, since nothing limits it."""
    profile = planning.sheet.stress_relief
    if profile is None:
        return Draft((), ("the sheet has a stress-relief step but names no rule profile (stress_relief)",))
    band = soak_band(planning.sheet, profile, planning.library)
    thickest_in = thickness_in(joints)
    working = (("thickest member", _both_units(thickest_in)),)
    hold_in = hold_thickness_in(profile, joints)
    hold_working = (("thickness of the hold", _both_units(hold_in)), ("it is", profile.hold_basis_words))
    hold = least_hold(profile, hold_in)
    floor, units = profile.rate_floor, planning.units
    heating = greatest_rate(profile.heating_max, profile.heating_over, floor, units, thickest_in)
    cooling = greatest_rate(profile.cooling_max, profile.cooling_over, floor, units, thickest_in)
    soak = planning.soak
    after = tempered_rows(soak, planning.sheet) if soak else ()
    above = show(profile.rate_threshold.for_units(units))
    requirements = [
        Requirement(
            quantity="soak temperature",
            type="number",
            unit="degC",
            at_least=band.low.limit if band.low else None,
            at_most=band.high.limit if band.high else None,
            governed_at_least=band.low.basis.method if band.low else None,
            governed_at_most=band.high.basis.method if band.high else None,
            undetermined=bool(band.conflicts) or band.low is None,
            why=planning.relief.why,
            evidence=Evidence(2, "on the part: the coldest and the hottest place", None, ("thermocouple",)),
            basis=(*(row.basis for row in band.rows), *after),
        ),
        _limit(profile, "soak time", "min", hold, "at_least", "hold", hold_working,
               "from when the coldest place is in the range until the first place leaves it"),
        _limit(profile, "heating rate", "delta_degC/h", heating, "at_most", "heating", working,
               f"above {above}, the fastest of any half hour"),
        _limit(profile, "cooling rate", "delta_degC/h", cooling, "at_most", "cooling", working,
               f"down to {above}, the fastest of any half hour; below it in still air"),
    ]  # fmt: skip
    if profile.loading_max is not None:
        loading = printed_candidate(profile.name, "at_most", profile.loading_max, units)
        requirements.append(
            Requirement(
                quantity="furnace temperature at loading",
                type="number",
                unit="degC",
                at_most=loading.limit,
                governed_at_most=profile.name,
                why="a cold part in a hot furnace is heated faster than any rate allows",
                evidence=Evidence(
                    where="furnace couple, when the part goes in", instruments=("thermocouple",)
                ),
                basis=(loading.basis,),
            )
        )
    if soak:
        time = requirements[1]
        requirements[1] = replace(time, basis=(*time.basis, parameter_row(soak)))
    conflicts = (*planning.relief.conflicts, *band.conflicts)
    notes = [planning.relief.why]
    if lower := lower_soak_words(profile, units):
        notes.append(lower)
    if any(joint.filler.filler.kind == "nickel" for joint in joints):
        notes.append(planning.library.cautions["nickel stress relief"])
    return Draft(tuple(requirements), conflicts, tuple(notes))


def _both_units(thickness_in: Fraction) -> str:
    return f"{decimal_text(thickness_in, 3)} in ({decimal_text(thickness_in * MM_PER_INCH, 1)} mm)"


def _limit(
    profile: StressReliefProfile,
    quantity: str,
    unit: str,
    limit: Quantity,
    bound: str,
    number: str,
    working: tuple[tuple[str, str], ...],
    why: str,
) -> Requirement:
    source: Source = rule_source(profile, number)
    least = bound == "at_least"
    row = from_quantity(profile.name, "at_least" if least else "at_most", limit, source, working=working)
    return Requirement(
        quantity=quantity,
        type="number",
        unit=unit,
        at_least=limit if least else None,
        at_most=None if least else limit,
        governed_at_least=profile.name if least else None,
        governed_at_most=None if least else profile.name,
        why=why,
        evidence=Evidence(
            where="by the part's own couples, not the furnace's", instruments=("thermocouple",)
        ),
        basis=(row.basis,),
    )
