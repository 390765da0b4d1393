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


def two_routes(joint: Joint, minimum: Quantity | None, library: Library, units: Units) -> tuple[str, ...]:
    """Notes on the routes, from a stated minimum on and wherever none is determined; empty for other metal."""
    hard = [m for m in materials_of((joint,)) if m.steel.hardenable and m.steel.family in FAMILIES]
    start = library.printed["two routes from"].for_units(units)
    if not hard or (minimum is not None and minimum.canonical < start.canonical):
        return ()
    lines = [library.cautions[name] for name in ("route below M90", "route above Ms", "between M90 and Ms")]
    return (*lines, *(words for material in hard if (words := _where(joint, material, minimum))))


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
