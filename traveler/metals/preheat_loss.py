"""How long a preheat reading stays good: the time until the metal at the joint has fallen to the limit."""

from collections.abc import Callable
from functools import lru_cache
from math import exp, log
from typing import Literal

from traveler.metals.free_convection import Face, convection_w_m2k, radiation_w_m2
from traveler.metals.outcome import Outcome, Source
from traveler.metals.validity import Range, require_positive, sentences

Orientation = Literal["vertical", "horizontal"]

WHOLE_PLATE_SOURCE = Source(
    "lumped cooling by free convection (Churchill and Chu 1975, McAdams) and radiation, specific heat by EN 1993-1-2",
    "secondary",
)
PATCH_SOURCE = Source(
    "Carslaw and Jaeger, Conduction of Heat in Solids (hot disc in a large plate)", "memory"
)

DENSITY_KG_M3 = 7850.0  # EN 1993-1-2 [secondary]
CONDUCTIVITY_W_MK = 40.6  # 4130 at 300 degC, data sheet [secondary]; the lowest of its range
DIFFUSIVITY_MM2_S = 12.0
"""Thermal diffusivity of the patch. By data sheets 4130 has 11.2 at 100 degC [secondary] and by EN 1993-1-2
structural steel 13.2 at 100 and 11.4 at 200 degC [secondary]."""
SCALED = 0.8
"""Emissivity of steel with mill scale [memory]; ground bright metal is nearer 0.3 and cools slower."""

BIOT_RANGE = Range("Biot number", "(1)", high=0.1)
HEAT_RANGE = Range("temperature", "degC", 20, 600)  # of the specific heat

_PANELS = 4


def specific_heat_j_kgk(temperature_c: float) -> float:
    """Specific heat of carbon and low-alloy steel [J/(kg K)].

    c = 425 + 0.773 T - 1.69e-3 T^2 + 2.22e-6 T^3, T in [degC].

    Validity: 20 to 600 degC, not checked here. Source: EN 1993-1-2, 3.4.1.2 [secondary].

    >>> round(specific_heat_j_kgk(20), 1), round(specific_heat_j_kgk(200), 1)
    (439.8, 529.8)
    """
    t = temperature_c
    return 425 + 0.773 * t - 1.69e-3 * t * t + 2.22e-6 * t**3


def heat_flow_w_m2(
    surface_c: float,
    ambient_c: float = 20.0,
    emissivity: float = SCALED,
    side_mm: float = 300.0,
    orientation: Orientation = "vertical",
) -> float:
    """Mean heat flow from the faces of a square plate in still air [W/m2], convection and radiation.

    A horizontal plate gives the mean of its upper and its lower face.

    Inputs: ``surface_c``, ``ambient_c`` [degC]; ``emissivity`` [1]; ``side_mm`` [mm] of the plate.
    Validity, errors, source: as ``convection_w_m2k`` and ``radiation_w_m2``.

    The fire screen again: 1060 W leave 0.71 m by 1.02 m by convection; with emissivity 1.0 the glass
    radiates 2355 W more [Incropera, example 9.2, memory]:

    >>> round((heat_flow_w_m2(232, 23, 1.0, 710) - radiation_w_m2(232, 23, 1.0)) * 0.71 * 1.02, -1)
    1060.0
    """
    faces: tuple[Face, ...] = ("vertical",) if orientation == "vertical" else ("above", "below")
    mean = sum(convection_w_m2k(surface_c, ambient_c, side_mm / 1000, face) for face in faces) / len(faces)
    return mean * (surface_c - ambient_c) + radiation_w_m2(surface_c, ambient_c, emissivity)


# Plates of every thickness fall between the same temperatures: the flow does not ask how thick they are.
@lru_cache(maxsize=1024)
def _flow_w_m2(
    surface_c: float, ambient_c: float, emissivity: float, side_mm: float, orientation: Orientation
) -> float:
    return heat_flow_w_m2(surface_c, ambient_c, emissivity, side_mm, orientation)


def whole_plate_cools_s(
    from_c: float,
    to_c: float,
    thickness_mm: float,
    ambient_c: float = 20.0,
    emissivity: float = SCALED,
    side_mm: float = 300.0,
    orientation: Orientation = "vertical",
) -> Outcome:
    """Time in which a plate that is hot throughout falls from one temperature to another in still air [s].

    t = integral of rho c(T)/(q(T) (2/d + 4/side)) dT: both faces and the four edges give off heat q(T).

    Inputs: ``from_c`` and ``to_c`` [degC], the second not above the first; ``thickness_mm`` d [mm];
    ``ambient_c`` [degC]; ``emissivity`` [1]; ``side_mm`` [mm] of the square plate that is heated (a smaller
    piece cools faster); ``orientation``.
    Validity: still air, one temperature through the thickness: Biot number h (d/2)/k up to 0.1, checked at
    ``from_c``; specific heat from 20 to 600 degC. Outside, ``extrapolated``. Where ``to_c`` is not above the
    surroundings the metal never falls below it: ``not applicable``, no value.
    Raises ValueError for a size that is not above zero or temperatures that do not fall.
    Source: see the functions above; the lumped balance is any textbook's.

    Quarter-inch plate from 350 to 300 degF, scaled: 2 1/2 min.

    >>> round(whole_plate_cools_s(176.67, 148.89, 6.35).value / 60, 1)
    2.5
    """
    require_positive("thickness_mm", thickness_mm)
    require_positive("side_mm", side_mm)
    if from_c < to_c:
        raise ValueError(f"from_c must not be below to_c ({to_c} degC), and not {from_c}")
    inputs = {
        "from_c": from_c,
        "to_c": to_c,
        "thickness_mm": thickness_mm,
        "ambient_c": ambient_c,
        "emissivity": emissivity,
        "side_mm": side_mm,
    }
    if to_c <= ambient_c:
        return _never("whole plate", WHOLE_PLATE_SOURCE, inputs)

    film_w_m2k = _flow_w_m2(from_c, ambient_c, emissivity, side_mm, orientation) / (from_c - ambient_c)
    biot = film_w_m2k * thickness_mm / 2000 / CONDUCTIVITY_W_MK
    cautions = sentences([BIOT_RANGE.above(biot), HEAT_RANGE.above(from_c), HEAT_RANGE.below(to_c)])
    return Outcome(
        method=f"whole plate, {orientation}, in still air",
        value=fall_s(from_c, to_c, thickness_mm, ambient_c, emissivity, side_mm, orientation),
        unit="s",
        status="extrapolated" if cautions else "ok",
        source=WHOLE_PLATE_SOURCE,
        reasons=(*cautions, "still air; a draught cools faster"),
        inputs=inputs | {"biot": biot},
    )


def fall_s(
    from_c: float,
    to_c: float,
    thickness_mm: float,
    ambient_c: float,
    emissivity: float,
    side_mm: float,
    orientation: Orientation,
) -> float:
    """The bare number of ``whole_plate_cools_s`` [s], for who asks many times; inputs and validity are its own.

    ``to_c`` is above ``ambient_c`` and not above ``from_c``, which is not checked here.

    >>> round(fall_s(176.67, 148.89, 6.35, 20.0, SCALED, 300.0, "vertical") / 60, 1)
    2.5
    """
    surface_per_volume_1_m = 2000 / thickness_mm + 4000 / side_mm

    def seconds_per_log_excess(log_excess: float) -> float:
        excess = exp(log_excess)
        heat = DENSITY_KG_M3 * specific_heat_j_kgk(ambient_c + excess) * excess
        flow = _flow_w_m2(ambient_c + excess, ambient_c, emissivity, side_mm, orientation)
        return heat / (flow * surface_per_volume_1_m)

    return _simpson(seconds_per_log_excess, log(to_c - ambient_c), log(from_c - ambient_c))


def patch_cools_s(
    from_c: float,
    to_c: float,
    heated_radius_mm: float,
    ambient_c: float = 20.0,
    diffusivity_mm2_s: float = DIFFUSIVITY_MM2_S,
) -> Outcome:
    """Time in which the centre of a torch-heated patch falls by conduction into the cold plate alone [s].

    (T - Ta)/(T0 - Ta) = 1 - exp(-a^2/(4 alpha t)), solved for t. The thickness does not enter.

    Inputs: ``from_c`` and ``to_c`` [degC] at the centre; ``heated_radius_mm`` a [mm] of the patch;
    ``ambient_c`` [degC], the temperature of the plate around it; ``diffusivity_mm2_s`` alpha [mm2/s].
    Validity: a patch that is hot through the thickness and evenly, in a plate several radii wide; heat that
    spread beyond the patch while heating, or a narrow strip or tube, makes it last longer.
    Raises ValueError for a size that is not above zero or temperatures that do not fall.
    Source: Carslaw and Jaeger, Conduction of Heat in Solids [memory]; by an independent solution in the tests.

    A radius of 75 mm loses 10, 20, 30 % of its excess in 51, 73, 97 s:

    >>> [round(patch_cools_s(120, 120 - loss, 75).value) for loss in (10, 20, 30)]
    [51, 73, 97]
    """
    require_positive("heated_radius_mm", heated_radius_mm)
    require_positive("diffusivity_mm2_s", diffusivity_mm2_s)
    if from_c < to_c:
        raise ValueError(f"from_c must not be below to_c ({to_c} degC), and not {from_c}")
    inputs = {
        "from_c": from_c,
        "to_c": to_c,
        "heated_radius_mm": heated_radius_mm,
        "ambient_c": ambient_c,
        "diffusivity_mm2_s": diffusivity_mm2_s,
    }
    if to_c <= ambient_c:
        return _never("torch-heated patch", PATCH_SOURCE, inputs)
    kept = (to_c - ambient_c) / (from_c - ambient_c)
    seconds = 0.0 if kept == 1 else -(heated_radius_mm**2) / (4 * diffusivity_mm2_s * log(1 - kept))
    return Outcome("torch-heated patch, conduction alone", seconds, "s", "ok", PATCH_SOURCE, (), inputs)


def share_kept_by_patch(
    heated_radius_mm: float, seconds: float, diffusivity_mm2_s: float = DIFFUSIVITY_MM2_S
) -> float:
    """Share of its excess temperature that the centre of a patch still has, by conduction alone [1].

    1 - exp(-a^2/(4 alpha t)). Inputs, validity, source: as ``patch_cools_s``, which inverts it; ``seconds``
    t [s], zero or more.

    >>> round(share_kept_by_patch(75, 73), 2), share_kept_by_patch(75, 0)
    (0.8, 1.0)
    """
    if seconds == 0:
        return 1.0
    return 1 - exp(-(heated_radius_mm**2) / (4 * diffusivity_mm2_s * seconds))


def _simpson(function: Callable[[float], float], low: float, high: float) -> float:
    """Integral by Simpson's rule; the functions here are smooth enough for four panels."""
    half_panel = (high - low) / (2 * _PANELS)
    values = [function(low + index * half_panel) for index in range(2 * _PANELS + 1)]
    return half_panel / 3 * (values[0] + values[-1] + 4 * sum(values[1::2]) + 2 * sum(values[2:-1:2]))


def _never(method: str, source: Source, inputs: dict[str, float]) -> Outcome:
    reason = f"{inputs['to_c']:g} degC is not above the surroundings, so metal does not fall below it"
    return Outcome(method, None, "s", "not applicable", source, (reason,), inputs)
