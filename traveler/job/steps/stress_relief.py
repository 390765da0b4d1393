"""Stress relief by the profile that the sheet names: soak range, time, rates, furnace at loading."""

from dataclasses import replace

from traveler.job.quantities import SOAK_TEMPERATURE
from traveler.job.relief import hold_thickness_in, lower_soak_words, soak_band, thickness_in
from traveler.job.relief_limits import at_loading, chart_only, time_and_rates
from traveler.job.requirement import Evidence, Requirement
from traveler.job.sheet import Joint
from traveler.job.steps.planning import Draft, Planning
from traveler.job.tempered import parameter_row, tempered_rows


def stress_relief(planning: Planning, joints: tuple[Joint, ...]) -> Draft:
    """Limits of the named profile for the thickest member; without a profile a conflict, since nothing limits it."""
    profile = planning.sheet.stress_relief
    if profile is None:
        return Draft((), ("the sheet has a stress-relief step but names no rule profile (stress_relief)",))
    band = soak_band(planning.sheet, profile, planning.library)
    units, soak = planning.units, planning.soak
    after = tempered_rows(soak, planning.sheet) if soak else ()
    soak_temperature = Requirement(
        quantity=SOAK_TEMPERATURE,
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
    )
    time, *rates = time_and_rates(profile, units, thickness_in(joints), hold_thickness_in(profile, joints))
    if soak:
        time = replace(time, basis=(*time.basis, parameter_row(soak)))
    loading = at_loading(profile, units)
    requirements = (soak_temperature, time, *rates, *([loading] if loading else []))
    notes = [planning.relief.why]
    if lower := lower_soak_words(profile, units):
        notes.append(lower)
    if any(joint.filler.filler.kind == "nickel" for joint in joints):
        notes.append(planning.library.cautions["nickel stress relief"])
    conflicts = (*planning.relief.conflicts, *band.conflicts)
    return Draft(requirements, conflicts, tuple(notes), chart_only(profile, units))
