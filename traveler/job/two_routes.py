"""Very thick or very hardenable metal: the two routes past martensite in words, with where it begins and ends."""

from traveler.job.analysis import analyse, lean_composition
from traveler.job.sheet import Joint, Material, materials_of
from traveler.library.model import Library, Units
from traveler.metals.martensite import martensite_temperature
from traveler.metals.martensite_start import andrews_ms, steven_haynes_m90
from traveler.metals.outcome import Outcome
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show_both

FAMILIES = ("4130", "4140 class")
MARTENSITE_SPAN_C = 15.0
"""How well Ms and M90 are known at best: their formulas differ by 12 to 14 C° from measured Cr-Mo steels."""


def two_routes(joint: Joint, minimum: Quantity | None, library: Library, units: Units) -> tuple[str, ...]:
    """Notes on the routes, from a stated minimum or M90 on and wherever none is determined; empty for other metal."""
    hard = _hardening(joint)
    start = library.printed["two routes from"].for_units(units)
    if not hard:
        return ()
    if minimum is not None and minimum.canonical < start.canonical and not _above_m90(hard, joint, minimum):
        return ()
    lines = [library.cautions[name] for name in ("route below M90", "route above Ms", "between M90 and Ms")]
    return (*lines, *(words for material in hard if (words := _where(joint, material, minimum))))


def above_m90_between_runs(
    joint: Joint, minimum: Quantity | None, highest: Quantity | None
) -> tuple[str, ...]:
    """A warning for each metal where only the interpass maximum lies above M90: the preheat step does not tell it."""
    if minimum is None or highest is None:
        return ()
    found = [
        (material, end_c) for material in _hardening(joint) if (end_c := _m90_c(material, joint)) is not None
    ]
    return tuple(
        f"{material.id}: the interpass maximum, {show_both(highest)}, is above M90, about {end_c:.0f} °C "
        f"({end_c * 1.8 + 32:.0f} °F): a run that starts above M90 leaves austenite, which keeps its hydrogen and "
        "turns to martensite after the welding. Start the runs below M90, or the engineer settles how it is turned."
        for material, end_c in found
        if float(minimum.canonical) <= end_c < float(highest.canonical) - MARTENSITE_SPAN_C
    )


def _hardening(joint: Joint) -> list[Material]:
    return [m for m in materials_of((joint,)) if m.steel.hardenable and m.steel.family in FAMILIES]


def _above_m90(materials: list[Material], joint: Joint, minimum: Quantity) -> bool:
    """Whether even the coldest run begins above M90 of one of them: so does 8630 from 1-1/2 in on, below 500 °F."""
    ends_c = (_m90_c(material, joint) for material in materials)
    return any(end_c is not None and float(minimum.canonical) > end_c for end_c in ends_c)


def _m90_c(material: Material, joint: Joint) -> float | None:
    """M90 on the rich side of what is known [degC]."""
    analysis = analyse(material, (joint,))
    if "C" not in analysis.composition or analysis.missing_for(("C", "Mn")):
        return None
    return martensite_temperature(analysis.composition).value


def _where(joint: Joint, material: Material, minimum: Quantity | None) -> str | None:
    """Ms on the lean side and M90 on the rich side of what is known: the wider range, so the safer warning."""
    analysis, lean = analyse(material, (joint,)), lean_composition(material)
    if lean is None or "C" not in analysis.composition or analysis.missing_for(("C", "Mn")):
        return None
    start = andrews_ms(lean)
    end, check = martensite_temperature(analysis.composition), steven_haynes_m90(analysis.composition)
    words = (
        f"{material.id}: Ms {_degrees(start)}, M90 {_degrees(end)} (cross-check {_degrees(check)}); "
        "each good to about 15 C° or worse."
    )
    if minimum is None or start.value is None or end.value is None:
        return words
    stands, temperature_c = f" The minimum here, {show_both(minimum)},", float(minimum.canonical)
    if temperature_c < end.value:
        return f"{words}{stands} is below M90: route A is open as long as the interpass maximum is below M90 too."
    if temperature_c > start.value:
        return f"{words}{stands} is above Ms: route B, and the joint never below Ms before its hold is over."
    return f"{words}{stands} lies between M90 and Ms: choose the route first."


def _degrees(outcome: Outcome) -> str:
    value_c = outcome.value if outcome.value is not None else 0.0
    return f"about {value_c:.0f} °C ({value_c * 1.8 + 32:.0f} °F) by {outcome.method} [{outcome.source.mark}]"
