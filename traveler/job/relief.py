"""Stress relief of a job by a named rule profile: called for or not and why, and its limits."""

from dataclasses import dataclass
from fractions import Fraction

from traveler.job.analysis import analyse
from traveler.job.candidate import (
    Candidate,
    from_quantity,
    greatest,
    least,
    printed_candidate,
    safe_temperature,
)
from traveler.job.interpass import QT, STRUCTURAL_QT, missing_tempering_temperature
from traveler.job.sheet import Joint, Material, Sheet, materials_of
from traveler.library.model import Library, Printed, RateOver, StressReliefProfile, Units
from traveler.metals.outcome import Source
from traveler.metals.soak import hold_minutes, rate_limit
from traveler.metals.transformation import andrews_ac1
from traveler.quantity.parse import stored
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import finite_decimal, rounded_down, rounded_up, show, show_both

MM_PER_INCH = Fraction("25.4")


@dataclass(frozen=True, slots=True)
class Relief:
    """Whether a stress-relief step belongs to the job, why, and its limits where a profile was named.

    ``soak`` holds candidates for both bounds; ``conflicts`` are sentences; ``advice`` is for the cautions.
    """

    profile: StressReliefProfile | None
    called: bool
    why: str
    conflicts: tuple[str, ...] = ()
    advice: str | None = None


def decide_relief(sheet: Sheet, library: Library) -> Relief:
    """Called for by the profile that the sheet names; without one stress relief is advice, never a conflict."""
    profile = sheet.stress_relief
    thickest = max((joint.thickest.thickness for joint in sheet.joints), key=lambda t: t.canonical)
    if profile is None:
        return Relief(None, False, "the sheet names no rule profile", (), _advice(sheet, library, thickest))
    conflicts = (*_not_covered(sheet, profile), *_filler_conflicts(sheet, library))
    above = profile.called_above
    if above is None or thickest.canonical > above.for_units(sheet.units).canonical:
        return Relief(profile, True, f"{profile.name}: {profile.called_reason}", conflicts)
    limit = show(above.for_units(sheet.units))
    why = f"{profile.name} calls for it only above {limit}; the thickest member is {show(thickest)}"
    return Relief(profile, False, why)


def _advice(sheet: Sheet, library: Library, thickest: Quantity) -> str | None:
    """None for structural steel made by quenching and tempering: its makers advise against stress relief."""
    shop = library.profiles["shop 4130"]
    above = shop.called_above
    hard = [m for m in sheet.materials if m.steel.hardenable and m.steel.family != STRUCTURAL_QT]
    if not hard or above is None or thickest.canonical <= above.for_units(sheet.units).canonical:
        return None
    limit = show(above.for_units(sheet.units))
    advised = f"stress relief is advised for {', '.join(m.id for m in hard)} over {limit}; "
    outside = [m.id for m in hard if m.steel.family not in shop.families]
    if outside:
        return f"{advised}no rule profile here covers {', '.join(outside)}: the engineer gives the procedure"
    return f'{advised}name a rule profile on the sheet (stress_relief = "shop 4130") to make it a step'


def _not_covered(sheet: Sheet, profile: StressReliefProfile) -> tuple[str, ...]:
    return tuple(
        f"the rule profile {profile.name} does not cover {material.id} ({material.steel.name}); "
        "the engineer names one that does"
        for material in materials_of(sheet.joints)
        if material.steel.family not in profile.families
        and (material.steel.p_number or "") not in profile.p_numbers
    )


def _filler_conflicts(sheet: Sheet, library: Library) -> tuple[str, ...]:
    return tuple(
        f"{joint.id}: {library.cautions['austenitic stress relief']}"
        for joint in sheet.joints
        if joint.filler.filler.kind == "austenitic"
        and any(member.material.steel.hardenable for member in joint.members)
    )


@dataclass(frozen=True, slots=True)
class SoakBand:
    """Range of the soak temperature with every row behind it; None where a bound could not be set."""

    low: Candidate | None
    high: Candidate | None
    rows: tuple[Candidate, ...]
    conflicts: tuple[str, ...]


def soak_band(sheet: Sheet, profile: StressReliefProfile, library: Library) -> SoakBand:
    """Printed range of the profile, under the ceilings of tempering temperature and Ac1.

    For quenched and tempered metal a profile may hang its band below the ceiling, the lowest one where several
    metals have theirs. A missing tempering temperature and a band without width are conflicts.
    """
    units = sheet.units
    lows = []
    if profile.soak_min is not None:
        lows.append(printed_candidate(profile.name, "at_least", profile.soak_min, units))
    highs: list[Candidate] = []
    if profile.soak_max is not None:
        highs.append(printed_candidate(profile.name, "at_most", profile.soak_max, units))
    bands: list[Candidate] = []
    conflicts: list[str] = []
    for material in materials_of(sheet.joints):
        ceiling = _tempering_ceiling(material, profile, units)
        if missing := missing_tempering_temperature(material):
            conflicts.append(missing)
        if ceiling is not None:
            highs.append(ceiling)
        if ceiling is not None and profile.qt_band is not None and material.steel.family != STRUCTURAL_QT:
            bands.append(_below_ceiling(ceiling, profile.qt_band, profile, units, material))
        highs += _ac1_ceiling(material, sheet, library)
    if bands:
        lows = [least(bands)]
        highs = [high for high in highs if high.basis.method != profile.name]
    low = greatest(lows) if lows else None
    high = least(highs) if highs else None
    if low is None:
        conflicts.append(f"{profile.name} names no least soak temperature here: the engineer must settle it")
    if low and low.limit and high and high.limit and low.limit.canonical >= high.limit.canonical:
        conflicts.append(
            f"no soak temperature is left: at least {show_both(low.limit)} by {low.basis.method}, "
            f"at most {show_both(high.limit)} by {high.basis.method}; the engineer must settle it"
        )
    if _too_cool(low, library, units):
        coolest = show_both(library.printed["coolest stress relief"].for_units(units))
        conflicts.append(
            f"a soak below {coolest} is no stress relief: it leaves the stress and the hard zone, and from 200 to "
            "370 °C (390 to 700 °F) it makes them brittle; the engineer leaves it out, or has the whole part quenched "
            "and tempered after welding"
        )
    return SoakBand(low, high, (*lows, *highs), tuple(conflicts))


def relieves(sheet: Sheet, relief: Relief, library: Library) -> bool:
    """Whether a stress relief is called for that is hot enough to be one: only then does the crack test not wait."""
    if not relief.called or relief.profile is None:
        return False
    return not _too_cool(soak_band(sheet, relief.profile, library).low, library, sheet.units)


def _too_cool(low: Candidate | None, library: Library, units: Units) -> bool:
    if low is None or low.limit is None:
        return False
    return low.limit.canonical < library.printed["coolest stress relief"].for_units(units).canonical


def _tempering_ceiling(material: Material, profile: StressReliefProfile, units: Units) -> Candidate | None:
    if material.condition != QT or material.tempered_at is None:
        return None
    margin = profile.temper_margin.for_units(units)
    ceiling = safe_temperature(material.tempered_at.canonical - margin.canonical, "at_most", units)
    working = (("tempered at", show_both(material.tempered_at)), ("margin below it", show(margin)))
    return from_quantity(
        "tempering temperature less margin",
        "at_most",
        ceiling,
        profile.temper_margin.source,
        member=material.id,
        working=working,
    )


def _below_ceiling(
    ceiling: Candidate, band: Printed, profile: StressReliefProfile, units: Units, material: Material
) -> Candidate:
    width = band.for_units(units)
    top = ceiling.limit.canonical if ceiling.limit else Fraction(0)
    low = safe_temperature(top - width.canonical, "at_least", units)
    working = (
        ("ceiling", show(ceiling.limit)) if ceiling.limit else ("ceiling", "none"),
        ("band", show(width)),
    )
    return from_quantity(
        f"{profile.name}, band below the ceiling",
        "at_least",
        low,
        band.source,
        member=material.id,
        working=working,
    )


def _ac1_ceiling(material: Material, sheet: Sheet, library: Library) -> list[Candidate]:
    """Ac1 less its margin, with the content of each element on the side that makes Ac1 low."""
    units = sheet.units
    composition = _low_ac1_composition(material, sheet)
    if not material.steel.hardenable or composition is None:
        return []
    outcome = andrews_ac1(composition)
    if outcome.value is None:
        return []
    margin = library.printed["ac1 margin"].for_units(units)
    limit = safe_temperature(Fraction(str(round(outcome.value, 6))) - margin.canonical, "at_most", units)
    working = (("Ac1", f"{outcome.value:.0f} °C"), ("margin below it", show(margin)))
    return [
        from_quantity(
            f"{outcome.method} less margin",
            "at_most",
            limit,
            outcome.source,
            member=material.id,
            working=working,
        )
    ]


def _low_ac1_composition(material: Material, sheet: Sheet) -> dict[str, float] | None:
    analysis = analyse(material, sheet.joints)
    if analysis.missing_for(("Mn", "Ni")):
        return None
    composition = {element: analysis.composition.get(element, 0.0) for element in ("Mn", "Ni")}
    for element in ("Si", "Cr"):
        limits = material.steel.limits.get(element)
        least_content = limits.min if limits and limits.min is not None else 0.0
        composition[element] = analysis.reported.get(element, least_content)
    return composition


def thickness_in(joints: tuple[Joint, ...]) -> Fraction:
    """Thickness of the thickest member of all joints, inches, exact: what heating and cooling rates go by."""
    return max(joint.thickest.thickness.canonical for joint in joints) / MM_PER_INCH


def hold_thickness_in(profile: StressReliefProfile, joints: tuple[Joint, ...]) -> Fraction:
    """Thickness that the hold of ``profile`` goes by, inches, exact: the greatest over the joints of the charge."""
    if profile.hold_basis == "thickest member":
        return thickness_in(joints)
    return max(_butt_thickness_mm(joint) for joint in joints) / MM_PER_INCH


def _butt_thickness_mm(joint: Joint) -> Fraction:
    """The thinner of two butt-welded members; elsewhere the thickest, since the sheet does not give the throat."""
    choose = min if joint.type == "butt" else max
    return choose(member.thickness.canonical for member in joint.members)


def least_hold(profile: StressReliefProfile, hold_in: Fraction) -> Quantity:
    """Least time at temperature for the thickness of the hold, in whole minutes rounded up.

    max(a, b t - c) is max(a + c, b t) - c, which lets one formula serve every rule.
    """
    minutes = hold_minutes(
        hold_in,
        profile.hold_min_minutes + profile.hold_less_minutes,
        profile.hold_minutes_per_inch,
        profile.hold_knee_in,
        profile.hold_minutes_per_inch_beyond,
        profile.hold_round_up_in,
    )
    minutes -= profile.hold_less_minutes
    return stored(finite_decimal(minutes, 1) or rounded_up(minutes, 0), "min")


def greatest_rate(
    cap: Printed, over: RateOver | None, floor: Printed | None, units: Units, thickest_in: Fraction
) -> Quantity:
    """Greatest heating or cooling rate in the unit of the printed cap, rounded down to a tenth."""
    printed = cap.for_units(units)
    least_rate = Fraction(0)
    if floor is not None:
        least_rate = printed.unit.from_canonical(floor.for_units(units).canonical)
    counted = thickest_in
    if over is not None:
        counted = _counted_thickness(printed, over, thickest_in)
    rate = rate_limit(counted, printed.number, least_rate)
    return stored(finite_decimal(rate, 1) or rounded_down(rate, 1), printed.unit.symbol)


def _counted_thickness(cap: Quantity, over: RateOver, thickest_in: Fraction) -> Fraction:
    """The thickness that, dividing the cap, gives the rule's own quotient: cap / (cap t / over) = over / t."""
    if cap.unit.symbol == "delta_degF/h" and over.inch is not None:
        return cap.number * thickest_in / over.inch
    if cap.unit.symbol == "delta_degC/h" and over.metric is not None:
        return cap.number * thickest_in * MM_PER_INCH / over.metric
    raise ValueError(f"no thickness rule is printed for {cap.unit.label}")


def lower_soak_words(profile: StressReliefProfile, units: Units) -> str | None:
    """The printed lower temperatures in words, for the engineer who may choose one; None where there are none."""
    lower = profile.lower
    if lower is None:
        return None
    each = " for each inch (25 mm)" if lower.per_inch else " up to 1 in (25 mm)"
    rows = ", ".join(f"{show(below.for_units(units))} lower for {hours} h" for below, hours in lower.rows)
    beyond = (
        "" if lower.minutes_beyond is None else f", and {lower.minutes_beyond} min more for each further inch"
    )
    source = lower.source
    return (
        f"Lower soak as {source.title} {source.clause} prints it: {rows}{each}{beyond}; {lower.note} "
        f"[{source.mark}]. Nothing between the rows; the limits above do not use it."
    )


def rule_source(profile: StressReliefProfile, what: str) -> Source:
    """Source of one number of a profile; the profile's own where it names none."""
    return profile.sources.get(what, profile.source)
