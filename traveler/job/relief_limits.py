"""The limits of a stress relief as requirements: time, rates, furnace at loading, and what only a chart shows."""

from fractions import Fraction

from traveler.job.candidate import from_quantity, printed_candidate
from traveler.job.quantities import (
    COOLING_RATE,
    HEATING_RATE,
    LOADING,
    SOAK_TIME,
    SPREAD_HEATING,
    SPREAD_SOAK,
    THRESHOLD,
)
from traveler.job.relief import MM_PER_INCH, greatest_rate, least_hold, rule_source
from traveler.job.requirement import Evidence, Requirement
from traveler.library.model import Printed, StressReliefProfile, Units
from traveler.metals.outcome import Source
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import decimal_text, show


def time_and_rates(
    profile: StressReliefProfile, units: Units, thickest_in: Fraction, hold_in: Fraction
) -> list[Requirement]:
    """Soak time by the thickness of the hold [in], heating and cooling rate by the thickest member [in]."""
    working = (("thickest member", both_units(thickest_in)),)
    hold_working = (("thickness of the hold", both_units(hold_in)), ("it is", profile.hold_basis_words))
    hold = least_hold(profile, hold_in)
    floor = profile.rate_floor
    heating = greatest_rate(profile.heating_max, profile.heating_over, floor, units, thickest_in)
    cooling = greatest_rate(profile.cooling_max, profile.cooling_over, floor, units, thickest_in)
    above = show(profile.rate_threshold.for_units(units))
    return [
        _limit(profile, SOAK_TIME, "min", hold, "at_least", "hold", hold_working,
               "from when the coldest place is in the range until the first place leaves it"),
        _limit(profile, HEATING_RATE, "delta_degC/h", heating, "at_most", "heating_max", working,
               f"above {above}, the fastest of any half hour"),
        _limit(profile, COOLING_RATE, "delta_degC/h", cooling, "at_most", "cooling_max", working,
               f"down to {above}, the fastest of any half hour; below it in still air"),
    ]  # fmt: skip


def at_loading(profile: StressReliefProfile, units: Units) -> Requirement | None:
    """The furnace when the part goes in; None where the profile prints no limit."""
    if profile.loading_max is None:
        return None
    evidence = Evidence(where="furnace couple, when the part goes in", instruments=("thermocouple",))
    why = "a cold part in a hot furnace is heated faster than any rate allows"
    return _printed(profile, LOADING, "degC", profile.loading_max, units, why, evidence)


def chart_only(profile: StressReliefProfile, units: Units) -> tuple[Requirement, ...]:
    """What a recorded chart is held against beside: where rates begin to count, and the spread between places."""
    limits = [
        _printed(
            profile, THRESHOLD, "degC", profile.rate_threshold, units,
            "rates and spread count above it; below it in still air",
        )
    ]  # fmt: skip
    for quantity, printed in ((SPREAD_HEATING, profile.spread_max), (SPREAD_SOAK, profile.spread_hold_max)):
        if printed is not None:
            why = "between the hottest and the coldest couple of the part at one time"
            limits.append(_printed(profile, quantity, "delta_degC", printed, units, why))
    return tuple(limits)


def both_units(thickness_in: Fraction) -> str:
    """ "0.5 in (12.7 mm)"."""
    return f"{decimal_text(thickness_in, 3)} in ({decimal_text(thickness_in * MM_PER_INCH, 1)} mm)"


def _printed(
    profile: StressReliefProfile,
    quantity: str,
    unit: str,
    printed: Printed,
    units: Units,
    why: str,
    evidence: Evidence | None = None,
) -> Requirement:
    row = printed_candidate(profile.name, "at_most", printed, units)
    return Requirement(
        quantity=quantity,
        type="number",
        unit=unit,
        at_most=row.limit,
        governed_at_most=profile.name,
        why=why,
        evidence=evidence or Evidence(),
        basis=(row.basis,),
    )


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
