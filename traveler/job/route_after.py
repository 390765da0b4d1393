"""What may follow the weld: hydrogen out by a bake or a hold, and stress relief; with their hours and ceilings."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import product

from traveler.job.interpass import QT
from traveler.job.relief import (
    Relief,
    SoakBand,
    decide_relief,
    greatest_rate,
    hold_thickness_in,
    least_hold,
    soak_band,
    thickness_in,
)
from traveler.job.route_preheat import ABOVE_MS, Martensite, PreheatChoice
from traveler.job.sheet import Joint, Sheet, materials_of
from traveler.job.two_routes import FAMILIES, MARTENSITE_SPAN_C
from traveler.library.model import Library, StressReliefProfile, Units
from traveler.library.routes import RouteChoices
from traveler.metals.hydrogen import SAKAMOTO_TABARU_RANGE, Band, diffusivity_coe_moreton, hydrogen_left
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show, show_both

ROOM_C = 20.0
SHOP_PROFILE = "shop 4130"
NO_FERRITE = ("nickel", "austenitic")
"""Kinds of filler through which hydrogen does not diffuse as the bake assumes."""


@dataclass(frozen=True, slots=True)
class Bake:
    """A way to let hydrogen out. ``hydrogen_left``: least and most share that stays [1], None where not known.

    ``further_h``: hours that it takes beyond those of the preheat choice.
    """

    name: str
    temperature: tuple[Quantity, Quantity] | None
    hours: tuple[float, float]
    further_h: tuple[float, float]
    hydrogen_left: tuple[float, float] | None
    fails: tuple[str, ...]
    says: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReliefChoice:
    """A stress relief. ``soak``: both bounds where they are settled; ``hold_h``: hours at temperature.

    ``hours``: least (rates only above the profile's threshold) and most (the same rates from and to room temperature).
    """

    name: str
    profile: str | None
    soak: tuple[Quantity, Quantity] | None
    hold_h: float
    hours: tuple[float, float]
    fails: tuple[str, ...]
    says: tuple[str, ...]


NONE, HELD, BAKED = BAKES = ("none", "held at the preheat", "baked")
NO_BAKE = Bake(NONE, None, (0.0, 0.0), (0.0, 0.0), None, (), ())


def bakes_after(
    joint: Joint, preheat: PreheatChoice, ranges: tuple[Martensite, ...], library: Library, units: Units
) -> tuple[Bake, ...]:
    """None, a hold at the preheat where that is hot enough to move hydrogen, and a bake."""
    at = preheat.preheat
    low, high = (library.printed[name].for_units(units) for name in ("bake from", "bake to"))
    held = _bake(joint, preheat, HELD, (at, at), _hours(library, "hold"), library, units)
    baked = _bake(joint, preheat, BAKED, (low, high), _hours(library, "bake"), library, units)
    found = [bake for bake in (held, baked) if bake.hydrogen_left is not None]
    return (
        NO_BAKE,
        *(replace(bake, says=tuple(_bake_words(joint, preheat, bake, ranges, library))) for bake in found),
    )


def _hours(library: Library, name: str) -> tuple[float, float]:
    least, most = (library.numbers[f"{name} hours, {end}"][0] for end in ("least", "most"))
    return float(least), float(most)


def _bake(
    joint: Joint,
    preheat: PreheatChoice,
    name: str,
    ends: tuple[Quantity, Quantity],
    hours: tuple[float, float],
    library: Library,
    units: Units,
) -> Bake:
    thickness_mm = float(joint.thickest.thickness.canonical)
    left = [hydrogen_left(thickness_mm, float(end.canonical), time) for end, time in product(ends, hours)]
    return Bake(
        name=name,
        temperature=ends,
        hours=hours,
        further_h=_beyond_the_hold(hours, preheat) if name == HELD else hours,
        hydrogen_left=_share(left),
        fails=tuple(_over_ceiling(joint, name, ends[0], library, units)),
        says=(),
    )


def _beyond_the_hold(hours: tuple[float, float], preheat: PreheatChoice) -> tuple[float, float]:
    """The preheat's own hours are spent at that temperature as well."""
    return max(0.0, hours[0] - preheat.hold_h[0]), max(0.0, hours[1] - preheat.hold_h[1])


def _share(bands: Sequence[Band]) -> tuple[float, float] | None:
    """Least and most share left over all of them; None where the diffusivities do not reach."""
    least = [band.least.value for band in bands if band.least.value is not None]
    most = [band.most.value for band in bands if band.most.value is not None]
    return (min(least), max(most)) if len(least) == len(most) == len(bands) else None


def _over_ceiling(joint: Joint, name: str, cold: Quantity, library: Library, units: Units) -> Iterator[str]:
    margin = library.printed["temper margin"].for_units(units)
    for material in materials_of((joint,)):
        if material.condition != QT or material.tempered_at is None:
            continue
        if cold.canonical > material.tempered_at.canonical - margin.canonical:
            yield (
                f"ceiling: {name} at {show_both(cold)} or more is above the tempering temperature of {material.id}, "
                f"{show_both(material.tempered_at)}, less {show(margin)}"
            )


def _bake_words(
    joint: Joint, preheat: PreheatChoice, bake: Bake, ranges: tuple[Martensite, ...], library: Library
) -> Iterator[str]:
    assert bake.temperature is not None
    cold, hot = bake.temperature
    yield (
        "the greater share of hydrogen left is extrapolated: its diffusivity was measured up to "
        f"{SAKAMOTO_TABARU_RANGE.high:g} °C"
    )
    if diffusivity_coe_moreton(float(cold.canonical)).status == "extrapolated":
        yield "so is the lesser share: at such temperatures traps rule, and diffusivities differ up to a thousandfold"
    if joint.filler.filler.kind in NO_FERRITE:
        yield (
            f"the share of hydrogen left is that of ferritic steel: {joint.filler.filler.classification} deposit keeps "
            "its hydrogen far longer, and nothing here works that out"
        )
    if preheat.way == ABOVE_MS and bake.name == HELD:
        yield "the hold above Ms counts toward these hours"
    crossed = [found for found in ranges if float(hot.canonical) > found.m90_c + MARTENSITE_SPAN_C]
    if crossed and preheat.way != ABOVE_MS:
        names = ", ".join(f"{found.material}, about {found.m90_c:.0f} °C" for found in crossed)
        left = f"above M90 ({names}) austenite is left, keeps its hydrogen and turns to martensite afterwards"
        yield left if bake.name == HELD else f"{left}: let the joint cool below M90 before the bake"
    if bake.name == BAKED and any(m.steel.family in FAMILIES for m in materials_of((joint,))):
        yield library.cautions["bake is no temper"]


def relief_choices(sheet: Sheet, library: Library, choices: RouteChoices) -> tuple[ReliefChoice, ...]:
    """None, and the profile with its hold and with a longer one.

    The sheet's own profile, else the shop's for 4130 where it covers every metal of the sheet and one of them hardens.
    The charge is the whole job, as in the plan.
    """
    decided = decide_relief(sheet, library)
    called = f"stress relief: called for by {decided.why}" if decided.called else None
    none = ReliefChoice(NONE, None, None, 0.0, (0.0, 0.0), (called,) if called else (), ())
    profile = sheet.stress_relief
    if profile is None:
        profile = library.profiles[SHOP_PROFILE]
        decided = decide_relief(replace(sheet, stress_relief=profile), library)
        hardens = any(material.steel.hardenable for material in materials_of(sheet.joints))
        if not hardens or not all(_covers(profile, joint) for joint in sheet.joints):
            return (none,)
    hold = least_hold(profile, hold_thickness_in(profile, sheet.joints)).canonical / 3600
    band = soak_band(sheet, profile, library)
    return (
        none,
        *(
            _relief(sheet, profile, decided, band, hold * times, library)
            for times in (Fraction(1), choices.longer_hold)
        ),
    )


def profiles_covering(joint: Joint, library: Library) -> tuple[str, ...]:
    """The rule profiles of the library that cover every metal of the joint."""
    return tuple(name for name, profile in library.profiles.items() if _covers(profile, joint))


def _covers(profile: StressReliefProfile, joint: Joint) -> bool:
    return all(
        material.steel.family in profile.families or (material.steel.p_number or "") in profile.p_numbers
        for material in materials_of((joint,))
    )


def _relief(
    sheet: Sheet,
    profile: StressReliefProfile,
    decided: Relief,
    band: SoakBand,
    hold_h: Fraction,
    library: Library,
) -> ReliefChoice:
    soak = _soak(band)
    fails = (
        *(f"stress relief: {conflict}" for conflict in decided.conflicts),
        *(f"ceiling: {conflict}" for conflict in band.conflicts),
    )
    return ReliefChoice(
        name=f"{profile.name}, {float(hold_h):g} h",
        profile=profile.name,
        soak=soak,
        hold_h=float(hold_h),
        hours=_relief_hours(sheet, profile, soak, hold_h),
        fails=fails,
        says=tuple(_relief_words(sheet, decided, library)),
    )


def _soak(band: SoakBand) -> tuple[Quantity, Quantity] | None:
    """Both bounds; a rule without a greatest temperature is weighed at its least one."""
    low, high = (bound.limit if bound else None for bound in (band.low, band.high))
    if low is None or (high is not None and high.canonical < low.canonical):
        return None
    return low, high or low


def _relief_words(sheet: Sheet, decided: Relief, library: Library) -> Iterator[str]:
    if sheet.stress_relief is None:
        yield "the sheet names no rule profile: this one is weighed because it covers every metal of the job"
    if not decided.called and not decided.conflicts:
        yield decided.why
    if any(joint.filler.filler.kind == "nickel" for joint in sheet.joints):
        yield library.cautions["nickel stress relief"]


def _relief_hours(
    sheet: Sheet,
    profile: StressReliefProfile,
    soak: tuple[Quantity, Quantity] | None,
    hold_h: Fraction,
) -> tuple[float, float]:
    """Hold, and heating and cooling at the greatest rates that the profile allows."""
    if soak is None:
        return float(hold_h), float(hold_h)
    floor, units, thickest = profile.rate_floor, sheet.units, thickness_in(sheet.joints)
    heating = greatest_rate(profile.heating_max, profile.heating_over, floor, units, thickest).canonical
    cooling = greatest_rate(profile.cooling_max, profile.cooling_over, floor, units, thickest).canonical
    per_degree = 1 / float(heating) + 1 / float(cooling)
    low_c, high_c = (float(bound.canonical) for bound in soak)
    threshold_c = float(profile.rate_threshold.for_units(units).canonical)
    least_h = float(hold_h) + max(0.0, low_c - threshold_c) * per_degree
    return least_h, float(hold_h) + (high_c - ROOM_C) * per_degree
