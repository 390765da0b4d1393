"""Cooling time t8/5: the seconds in which the weld and the metal beside it fall from 800 to 500 degC.

In thick metal the heat flows away in three dimensions and the thickness does not count; in thin metal it
flows in two. Both are worked out and the greater one holds: nobody has to call a plate thick or thin.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from math import isfinite, sqrt

from traveler.metals.outcome import Mark, Outcome, Source
from traveler.metals.validity import require_positive

COOLING_SOURCE = Source(
    "SSAB Welding Handbook",
    "seen",
    clause="formulas 3.1 and 3.2, those of EN 1011-2:2001 annex D",
    edition="2nd, 2019",
)
POLE_C = 500.0
COOLING_SCATTER_PERCENT = 10.0  # [memory]


@dataclass(frozen=True, slots=True)
class ShapeFactors:
    """Range of the factors F2 (two-dimensional) and F3 (three-dimensional) of one form of weld [1]."""

    f2_min: float
    f2_max: float
    f3_min: float
    f3_max: float
    mark: Mark


SHAPE_FACTORS: Mapping[str, ShapeFactors] = {
    "bead on plate": ShapeFactors(1.0, 1.0, 1.0, 1.0, "secondary"),
    "butt fill": ShapeFactors(0.9, 0.9, 0.9, 0.9, "secondary"),
    "corner fillet": ShapeFactors(0.67, 0.9, 0.67, 0.67, "memory"),
    "T fillet": ShapeFactors(0.45, 0.67, 0.67, 0.67, "memory"),
    "lap fillet": ShapeFactors(0.7, 0.7, 0.67, 0.67, "memory"),
}
"""Forms of weld, by EN 1011-2 table D.1; the lap fillet by SEW 088. Fillets are single runs; the factor F2 of a
fillet falls with heat input over thickness, and the text that says how could not be read: hence a range. A root
run is not here, because nothing but a weak memory (1.0 to 1.2) was found for it."""


def cooling_time_thick(heat_input_kj_mm: float, start_c: float, f3: float = 1.0) -> Outcome:
    """Cooling time t8/5 by three-dimensional heat flow [s].

    t = (6700 - 5 T0) Q [1/(500 - T0) - 1/(800 - T0)] F3.

    Inputs: ``heat_input_kj_mm`` Q [kJ/mm], the *heat input* with the efficiency of the process, never the
    arc energy; ``start_c`` T0 [degC], preheat for the first run and the measured interpass temperature for
    the others; ``f3`` [1], the factor of the form of weld.
    Validity: one run on unalloyed or low-alloy ferritic steel, metal wide enough to take the heat (not a
    tube end, not a thin edge). T0 from 500 degC up is ``not applicable``: the formula has its pole there.
    Good to about 10 % either way [memory].
    Raises ValueError where Q or F3 is not greater than zero or T0 no temperature.
    Source: EN 1011-2:2001 annex D [secondary]; the formula read in the SSAB Welding Handbook, 3.2 [seen].

    By hand for 1 kJ/mm from 20 degC: 6600 (1/480 - 1/780) = 5.288

    >>> round(cooling_time_thick(1.0, 20).value, 3)
    5.288
    """
    _check(heat_input_kj_mm, start_c, f3)
    inputs = {"heat_input_kj_mm": heat_input_kj_mm, "start_c": start_c, "f3": f3}
    if start_c >= POLE_C:
        return _at_the_pole("t8/5 three-dimensional", "s", start_c, inputs)
    to_500_c, to_800_c = 500 - start_c, 800 - start_c
    value = (6700 - 5 * start_c) * heat_input_kj_mm * (1 / to_500_c - 1 / to_800_c) * f3
    return _outcome("t8/5 three-dimensional", value, "s", inputs)


def cooling_time_thin(
    heat_input_kj_mm: float, thickness_mm: float, start_c: float, f2: float = 1.0
) -> Outcome:
    """Cooling time t8/5 by two-dimensional heat flow [s].

    t = (4300 - 4.3 T0) 10^5 (Q/d)^2 [1/(500 - T0)^2 - 1/(800 - T0)^2] F2.

    Inputs: as in ``cooling_time_thick``; ``thickness_mm`` d [mm] of the member; ``f2`` [1].
    Validity, errors and source: as there, formula 3.1; a thickness that is not greater than zero is a
    ValueError. Each of the two reciprocals is squared, not their difference.

    By hand for 0.6 kJ/mm, 6.4 mm, from 20 degC: 4214e5 x 0.0087891 x (4.34028e-6 - 1.64366e-6) = 9.988

    >>> round(cooling_time_thin(0.6, 6.4, 20).value, 3)
    9.988
    """
    require_positive("thickness_mm", thickness_mm)
    _check(heat_input_kj_mm, start_c, f2)
    inputs = {
        "heat_input_kj_mm": heat_input_kj_mm,
        "thickness_mm": thickness_mm,
        "start_c": start_c,
        "f2": f2,
    }
    if start_c >= POLE_C:
        return _at_the_pole("t8/5 two-dimensional", "s", start_c, inputs)
    squares = 1 / (500 - start_c) ** 2 - 1 / (800 - start_c) ** 2
    value = (4300 - 4.3 * start_c) * 1e5 * (heat_input_kj_mm / thickness_mm) ** 2 * squares * f2
    return _outcome("t8/5 two-dimensional", value, "s", inputs)


def cooling_time(
    heat_input_kj_mm: float, thickness_mm: float, start_c: float, f2: float = 1.0, f3: float = 1.0
) -> Outcome:
    """Cooling time t8/5 [s]: the greater of the two- and the three-dimensional one, named in ``method``.

    Inputs, validity, errors and sources: those of ``cooling_time_thin`` and ``cooling_time_thick``. That the
    greater one holds: [secondary], a verification script that quotes a plate producer.

    A bead on 6.4 mm and on 25 mm plate:

    >>> [cooling_time(0.6, thickness_mm, 20).method for thickness_mm in (6.4, 25)]
    ['t8/5 two-dimensional', 't8/5 three-dimensional']
    """
    thin = cooling_time_thin(heat_input_kj_mm, thickness_mm, start_c, f2)
    thick = cooling_time_thick(heat_input_kj_mm, start_c, f3)
    if thin.value is None or thick.value is None:
        return thin
    return thin if thin.value > thick.value else thick


@lru_cache(maxsize=1024)  # each metal of a joint asks for the same runs
def cooling_time_range(
    heat_input_kj_mm: float, thickness_mm: float, start_c: float, form: str
) -> tuple[Outcome, Outcome]:
    """The shortest and the longest t8/5 [s] that the shape factors of one form of weld allow.

    The shortest makes the hardest metal. ``form``: a key of ``SHAPE_FACTORS``; any other is a ValueError.
    Validity, errors and sources: those of ``cooling_time`` and the mark of the factors.

    >>> [round(end.value, 2) for end in cooling_time_range(0.6, 6.4, 20, "T fillet")]
    [4.49, 6.69]
    """
    if form not in SHAPE_FACTORS:
        raise ValueError(f"{form!r} is no form of weld, expected one of {', '.join(SHAPE_FACTORS)}")
    factors = SHAPE_FACTORS[form]
    known = "written down from memory" if factors.mark == "memory" else "read in texts that quote them"
    shortest = cooling_time(heat_input_kj_mm, thickness_mm, start_c, factors.f2_min, factors.f3_min)
    longest = cooling_time(heat_input_kj_mm, thickness_mm, start_c, factors.f2_max, factors.f3_max)
    reason = f"shape factors of a {form}: {known}"
    return (
        replace(shortest, reasons=(*shortest.reasons, reason)),
        replace(longest, reasons=(*longest.reasons, reason)),
    )


def transition_thickness(
    heat_input_kj_mm: float, start_c: float, f2: float = 1.0, f3: float = 1.0
) -> Outcome:
    """Thickness at which both heat flows give the same t8/5 [mm]; thinner metal cools slower.

    d = sqrt((4300 - 4.3 T0) 10^5 Q [1/(500 - T0) + 1/(800 - T0)] / (6700 - 5 T0) F2/F3): the two formulas set
    equal; the difference of squares leaves the sum of the reciprocals.

    Inputs, validity, errors: those of ``cooling_time_thick``. Source: derived from its two formulas. Most texts
    leave out F2/F3.

    1 kJ/mm from 20 degC changes over at 14.66 mm:

    >>> round(transition_thickness(1.0, 20).value, 2)
    14.66
    """
    _check(heat_input_kj_mm, start_c, f2)
    require_positive("f3", f3)
    inputs = {"heat_input_kj_mm": heat_input_kj_mm, "start_c": start_c, "f2": f2, "f3": f3}
    if start_c >= POLE_C:
        return _at_the_pole("transition thickness", "mm", start_c, inputs)
    reciprocals = 1 / (500 - start_c) + 1 / (800 - start_c)
    square = (4300 - 4.3 * start_c) * 1e5 * heat_input_kj_mm * reciprocals / (6700 - 5 * start_c) * f2 / f3
    return _outcome("transition thickness", sqrt(square), "mm", inputs)


def _check(heat_input_kj_mm: float, start_c: float, factor: float) -> None:
    require_positive("heat_input_kj_mm", heat_input_kj_mm)
    require_positive("the shape factor", factor)
    if not (isfinite(start_c) and start_c >= -273.15):
        raise ValueError(f"start_c must be a temperature in degC, not {start_c}")


def _outcome(method: str, value: float, unit: str, inputs: Mapping[str, float]) -> Outcome:
    scatter = f"good to about {COOLING_SCATTER_PERCENT:g} % either way"
    return Outcome(method, value, unit, "ok", COOLING_SOURCE, (scatter,), inputs)


def _at_the_pole(method: str, unit: str, start_c: float, inputs: Mapping[str, float]) -> Outcome:
    reason = (
        f"the metal starts at {start_c:g} degC, and a cooling time down to 500 degC needs a start below it"
    )
    return Outcome(method, None, unit, "not applicable", COOLING_SOURCE, (reason,), inputs)
