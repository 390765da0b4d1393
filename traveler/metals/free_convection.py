"""Heat that a hot plate gives to still air and to the room around it."""

from bisect import bisect_right
from dataclasses import dataclass
from math import isfinite
from typing import Literal

Face = Literal["vertical", "above", "below"]

AIR_RANGE_K = (250.0, 800.0)

_GRAVITY_M_S2 = 9.81
_STEFAN_BOLTZMANN_W_M2_K4 = 5.670e-8
_ZERO_C_IN_K = 273.15

# Temperature [K], kinematic viscosity [1e-6 m2/s], conductivity [1e-3 W/(m K)], Prandtl number.
_AIR = (
    (250.0, 11.44, 22.3, 0.720),
    (300.0, 15.89, 26.3, 0.707),
    (350.0, 20.92, 30.0, 0.700),
    (400.0, 26.41, 33.8, 0.690),
    (450.0, 32.39, 37.3, 0.686),
    (500.0, 38.79, 40.7, 0.684),
    (550.0, 45.57, 43.9, 0.683),
    (600.0, 52.69, 46.9, 0.685),
    (650.0, 60.21, 49.7, 0.690),
    (700.0, 68.10, 52.4, 0.695),
    (750.0, 76.37, 54.9, 0.702),
    (800.0, 84.93, 57.3, 0.709),
)
_ROWS_K = tuple(row[0] for row in _AIR)


@dataclass(frozen=True, slots=True)
class Air:
    """Dry air at one bar: kinematic viscosity [m2/s], conductivity [W/(m K)], Prandtl number [1]."""

    viscosity_m2_s: float
    conductivity_w_mk: float
    prandtl: float


def air_at(temperature_k: float) -> Air:
    """Properties of dry air at atmospheric pressure.

    Straight between rows 50 K apart, which errs by less than 1 %.

    Input: ``temperature_k`` [K]. Validity: 250 to 800 K. Raises ValueError outside that.
    Source: Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, table A.4 [memory]; the tests hold it
    against the viscosity and conductivity of the US Standard Atmosphere 1976, which agree within 3 %.

    >>> air_at(400)
    Air(viscosity_m2_s=2.641e-05, conductivity_w_mk=0.0338, prandtl=0.69)
    """
    low_k, high_k = AIR_RANGE_K
    if not (isfinite(temperature_k) and low_k <= temperature_k <= high_k):
        raise ValueError(f"air is tabulated from {low_k:g} to {high_k:g} K, not at {temperature_k} K")
    left = min(bisect_right(_ROWS_K, temperature_k), len(_AIR) - 1) - 1
    cold, hot = _AIR[left], _AIR[left + 1]
    share = (temperature_k - cold[0]) / (hot[0] - cold[0])
    viscosity = cold[1] + share * (hot[1] - cold[1])
    conductivity = cold[2] + share * (hot[2] - cold[2])
    return Air(viscosity * 1e-6, conductivity * 1e-3, cold[3] + share * (hot[3] - cold[3]))


def nusselt_vertical(rayleigh: float, prandtl: float) -> float:
    """Mean Nusselt number of a vertical plate in still fluid [1], on its height.

    Nu = (0.825 + 0.387 Ra^(1/6) / (1 + (0.492/Pr)^(9/16))^(8/27))^2

    Inputs: Rayleigh number ``rayleigh`` [1] on the height, ``prandtl`` [1], both at the film temperature.
    Validity: laminar and turbulent, Ra up to 1e12. Source: Churchill and Chu, Int. J. Heat Mass Transfer 18
    (1975) 1323 [secondary].

    A textbook's fire screen, Ra 1.813e9 and Pr 0.690, has Nu 147:

    >>> round(nusselt_vertical(1.813e9, 0.690))
    147
    """
    prandtl_term = float((1 + (0.492 / prandtl) ** (9 / 16)) ** (8 / 27))
    return (0.825 + 0.387 * float(rayleigh ** (1 / 6)) / prandtl_term) ** 2


def nusselt_above(rayleigh: float) -> float:
    """Mean Nusselt number of the upper face of a hot horizontal plate [1], on area over perimeter.

    0.54 Ra^(1/4) up to Ra = 1e7, 0.15 Ra^(1/3) beyond.

    Validity: Ra 1e4 to 1e11. Source: McAdams, Heat Transmission, as in Incropera [memory].

    >>> round(nusselt_above(1e6), 2), round(nusselt_above(1e9), 1)
    (17.08, 150.0)
    """
    return 0.54 * float(rayleigh**0.25) if rayleigh <= 1e7 else 0.15 * float(rayleigh ** (1 / 3))


def nusselt_below(rayleigh: float) -> float:
    """Mean Nusselt number of the lower face of a hot horizontal plate [1], on area over perimeter.

    0.52 Ra^(1/5)

    Validity: Ra 1e4 to 1e9, Pr from 0.7. Source: Incropera, 7th edition, equation 9.32 [memory].

    >>> round(nusselt_below(1e5), 2)
    5.2
    """
    return 0.52 * float(rayleigh**0.2)


def convection_w_m2k(surface_c: float, ambient_c: float, side_m: float, face: Face = "vertical") -> float:
    """Mean film coefficient of free convection in still air [W/(m2 K)].

    h = Nu k/L with Ra = g (Ts - Ta) L^3 Pr/(T nu^2), air at the film temperature T = (Ts + Ta)/2. L is the
    side of a vertical plate and a quarter of it (area over perimeter of a square) for a horizontal one.

    Inputs: ``surface_c`` and ``ambient_c`` [degC], the surface the hotter; ``side_m`` [m] of a square plate;
    ``face``: vertical, above or below.
    Validity: that of the Nusselt numbers; still air.
    Raises ValueError for a surface that is not hotter and a film temperature outside ``air_at``.
    Source: as the Nusselt numbers.

    The fire screen of Incropera, example 9.2: 0.71 m high, 232 in 23 degC, 7.0 W/(m2 K):

    >>> round(convection_w_m2k(232, 23, 0.71), 1)
    7.0
    """
    if surface_c <= ambient_c:
        raise ValueError(f"surface_c must be above the surroundings at {ambient_c} degC, not {surface_c}")
    film_k = (surface_c + ambient_c) / 2 + _ZERO_C_IN_K
    air = air_at(film_k)
    length_m = side_m if face == "vertical" else side_m / 4
    buoyancy = _GRAVITY_M_S2 * (surface_c - ambient_c) * length_m**3 / film_k
    rayleigh = buoyancy * air.prandtl / air.viscosity_m2_s**2
    if face == "vertical":
        nusselt = nusselt_vertical(rayleigh, air.prandtl)
    elif face == "above":
        nusselt = nusselt_above(rayleigh)
    else:
        nusselt = nusselt_below(rayleigh)
    return nusselt * air.conductivity_w_mk / length_m


def radiation_w_m2(surface_c: float, ambient_c: float, emissivity: float) -> float:
    """Heat radiated to surroundings that are large and all at one temperature [W/m2].

    q = epsilon sigma (Ts^4 - Ta^4), temperatures in [K].

    Inputs: ``surface_c``, ``ambient_c`` [degC]; ``emissivity`` [1] of the surface, above 0 and up to 1.
    Validity: a grey surface. Raises ValueError for another emissivity. Source: Stefan and Boltzmann, any textbook.

    A black surface at 100 degC in a room at 20 degC, by hand 5.67e-8 (373.15^4 - 293.15^4):

    >>> round(radiation_w_m2(100, 20, 1.0), 1)
    680.6
    """
    if not 0 < emissivity <= 1:
        raise ValueError(f"emissivity must be above 0 and not above 1, not {emissivity}")
    surface_k, ambient_k = surface_c + _ZERO_C_IN_K, ambient_c + _ZERO_C_IN_K
    return emissivity * _STEFAN_BOLTZMANN_W_M2_K4 * (surface_k**4 - ambient_k**4)
