"""Heat-input window of quenched and tempered structural steel: fast enough to stay strong, slow enough to stay tough.

The cooling time t8/5 has to stay within a range; turned round, that gives a least and a greatest heat input, and by
the efficiency of the process the arc energy that the bench reads.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

from traveler.job.arc import joint_heat_input_kj_mm
from traveler.job.candidate import Candidate, from_quantity
from traveler.job.interpass import STRUCTURAL_QT, Maximum
from traveler.job.preheat import Minimum, floor_of
from traveler.job.requirement import Bound
from traveler.job.sheet import Joint
from traveler.library.model import Library, Units
from traveler.metals.cooling_time import COOLING_SOURCE, SHAPE_FACTORS, cooling_time_thick, cooling_time_thin
from traveler.quantity.parse import stored
from traveler.quantity.show import decimal_text, rounded_down, rounded_up, show_both

METHOD = "t8/5 of quenched and tempered structural steel"
FORMS = {"butt": "butt fill"}
"""Form of weld of a joint type, where it is not called the same."""


@dataclass(frozen=True, slots=True)
class EnergyWindow:
    """Least and greatest arc energy with their rows; both None where no metal of the joint asks for one."""

    low: Candidate | None = None
    high: Candidate | None = None
    conflicts: tuple[str, ...] = ()


def heat_input_for(t85_s: float, thickness_mm: float, start_c: float, f2: float, f3: float) -> float | None:
    """Heat input that gives a cooling time t8/5 [kJ/mm]; None where the metal starts too hot for the formula.

    The greater of the two- and the three-dimensional time holds, so the lesser of the two heat inputs does. One is
    linear in heat input and the other goes with its square: a look at 1 kJ/mm is enough.
    """
    thick = cooling_time_thick(1.0, start_c, f3).value
    thin = cooling_time_thin(1.0, thickness_mm, start_c, f2).value
    if thick is None or thin is None:
        return None
    return min(t85_s / thick, sqrt(t85_s / thin))


def arc_energy_window(
    joint: Joint, minimum: Minimum, maximum: Maximum, library: Library, units: Units
) -> EnergyWindow:
    """Window of the arc energy where a member is quenched and tempered structural steel, else none.

    The least is for the thickest such member at the coldest start (the preheat minimum), the greatest for the thinnest
    at the hottest (the interpass maximum), each with the shape factor that is worse for it.
    """
    thicknesses = [
        member.thickness.canonical
        for member in joint.members
        if member.material.steel.family == STRUCTURAL_QT
    ]
    form = FORMS.get(joint.type, joint.type)
    cold = minimum.limit or floor_of(joint, library, units).limit
    if not thicknesses or form not in SHAPE_FACTORS or cold is None:
        return EnergyWindow()
    hot = maximum.interpass or cold
    cold_words = (
        "the preheat minimum" if minimum.limit else "the floor, since no preheat minimum is determined"
    )
    hot_words = "the interpass maximum" if maximum.interpass else cold_words
    factors = SHAPE_FACTORS[form]
    low = _bound(
        "at_least",
        joint,
        library,
        max(thicknesses),
        cold.canonical,
        (factors.f2_min, factors.f3_min),
        cold_words,
    )
    high = _bound(
        "at_most",
        joint,
        library,
        min(thicknesses),
        hot.canonical,
        (factors.f2_max, factors.f3_max),
        hot_words,
    )
    return EnergyWindow(low, high, _conflicts(joint, low, high))


def _bound(
    bound: Bound,
    joint: Joint,
    library: Library,
    thickness_mm: Fraction,
    start_c: Fraction,
    factors: tuple[float, float],
    start_words: str,
) -> Candidate | None:
    least = bound == "at_least"
    t85_s, source = library.numbers["shortest t8/5" if least else "longest t8/5"]
    heat_input = heat_input_for(float(t85_s), float(thickness_mm), float(start_c), *factors)
    if heat_input is None:
        return None
    energy = Fraction(str(round(heat_input, 6))) / joint.process.efficiency
    limit = stored(rounded_up(energy, 2) if least else rounded_down(energy, 2), "kJ/mm")
    working = (
        ("t8/5 at least" if least else "t8/5 at most", f"{float(t85_s):g} s"),
        ("thickness", f"{float(thickness_mm):g} mm"),
        ("start", f"{float(start_c):.0f} °C, {start_words}"),
        ("shape factors F2, F3", f"{factors[0]:g}, {factors[1]:g}"),
        ("cooling time by", f"{COOLING_SOURCE.title} [{COOLING_SOURCE.mark}], good to about 10 %"),
        ("heat input", f"{heat_input:.2f} kJ/mm"),
        (f"efficiency of process {joint.process.number}", f"{float(joint.process.efficiency):g}"),
    )
    return from_quantity(METHOD, bound, limit, source, working=working)


def _conflicts(joint: Joint, low: Candidate | None, high: Candidate | None) -> tuple[str, ...]:
    if low is None or high is None or low.limit is None or high.limit is None:
        return ()
    if low.limit.canonical > high.limit.canonical:
        return (
            f"the arc-energy window of {joint.id} is empty: at least {show_both(low.limit)} from the coldest start, at "
            f"most {show_both(high.limit)} from the hottest; narrow the range between preheat and interpass",
        )
    if low.limit.canonical <= joint.arc_energy.canonical <= high.limit.canonical:
        return ()
    heat_input = decimal_text(joint_heat_input_kj_mm(joint), 2)
    return (
        f"the arc energy of {joint.id} on the sheet, {show_both(joint.arc_energy)} (heat input {heat_input} kJ/mm), is "
        f"outside {show_both(low.limit)} to {show_both(high.limit)} by {METHOD}",
    )
