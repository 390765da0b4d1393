"""How much hydrogen a bake leaves in a plate: diffusion out of both faces, as a band and never one number.

Published diffusivities of steel differ by a factor of ten at bake temperatures and by a thousand near room
temperature, where traps hold the hydrogen. So each answer comes twice: by a fast diffusivity, and by a slow
one that is the pessimistic bound.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from math import exp, isfinite, log, pi, sqrt

from traveler.metals.outcome import Outcome, Source
from traveler.metals.validity import Range, require_positive, sentences

COE_MORETON_SOURCE = Source(
    "Coe and Moreton, overall diffusivity of hydrogen in ferritic steel", "seen", edition="1969"
)
SAKAMOTO_TABARU_SOURCE = Source(
    "Sakamoto and Tabaru, diffusivity of hydrogen in annealed steel", "seen", edition="1981"
)
COE_MORETON_RANGE = Range("temperature", "degC", 44, 650)
SAKAMOTO_TABARU_RANGE = Range("temperature", "degC", 6, 62)  # measured at 279 to 335 K

_COE_MORETON_CM2_S = (
    (44.0, 5.2e-8), (60.0, 2.0e-7), (155.0, 4.9e-5), (210.0, 6.2e-5), (250.0, 6.2e-5), (310.0, 5.1e-5),
    (350.0, 5.1e-5), (395.0, 7.5e-5), (650.0, 9.9e-5),
)  # fmt: skip
_BRIDGED_BELOW_C = 155.0
_GAS_CONSTANT_J_MOL_K = 8.314
_ZERO_C_IN_K = 273.15
_SHORT_TIME = 0.02


@dataclass(frozen=True, slots=True)
class Band:
    """Two answers to one question: ``least`` by the faster diffusivity, ``most`` by the slower one."""

    least: Outcome
    most: Outcome


def fraction_left(fourier_number: float) -> float:
    """Mean share of the hydrogen that is left in a plate with both faces open [1].

    sum over n of 8/((2n+1)^2 pi^2) exp(-(2n+1)^2 pi^2 Fo), with Fo = D t/L^2 [1] and L the full thickness.
    Under Fo = 0.02 the same solution for short times, 1 - 4 sqrt(Fo/pi).

    Validity: hydrogen spread evenly at first, faces that hold none, one temperature throughout, a plate much
    wider than thick. With one face closed L is twice the thickness.
    Raises ValueError for a negative or infinite number.
    Source: Crank, The Mathematics of Diffusion, 2nd ed. 1975, chapter 4 [memory].

    Crank gives half left at Fo = 0.049:

    >>> round(fraction_left(0.0492), 3), round(fraction_left(0.2120), 3)
    (0.5, 0.1)
    """
    if not (isfinite(fourier_number) and fourier_number >= 0):
        raise ValueError(f"fourier_number must not be negative, and not {fourier_number}")
    if fourier_number < _SHORT_TIME:
        return 1 - 4 * sqrt(fourier_number / pi)
    odd_squares = ((2 * n + 1) ** 2 * pi * pi for n in range(8))
    return sum(8 / square * exp(-square * fourier_number) for square in odd_squares)


def fourier_number_for(left: float) -> float:
    """Fo at which that share of the hydrogen is left in a plate with both faces open [1].

    Input: ``left`` [1], above 0 and below 1. Validity, source: as ``fraction_left``, which it inverts.
    Raises ValueError for a share outside that.

    >>> round(fourier_number_for(0.05), 4), round(fourier_number_for(0.01), 4)
    (0.2823, 0.4453)
    """
    if not 0 < left < 1:
        raise ValueError(f"left must be above 0 and below 1, not {left}")
    low, high = 0.0, log(8 / (pi * pi * left)) / (pi * pi) + 1.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if fraction_left(middle) > left else (low, middle)
    return (low + high) / 2


def diffusivity_coe_moreton(temperature_c: float) -> Outcome:
    """Overall diffusivity of hydrogen in ferritic steel, the fast side of the band [cm2/s].

    Between two rows of the table log D goes straight over 1/T, as for one activated process. Below 155 degC
    the slope of the rows falls with temperature, so the true curve lies above such a line, and by the line
    more hydrogen is left: the safe side. Above, neighbouring rows differ by less than half.

    Input: ``temperature_c`` [degC]. Validity: 44 to 650 degC; outside ``not tabulated``. Below 155 degC,
    where two rows bridge a factor of 245 and traps rule, ``extrapolated``. Between 250 and 350 degC the table
    falls a little with temperature; it is followed as printed.
    Source: Coe and Moreton 1969 [seen, table].

    >>> diffusivity_coe_moreton(250).value
    6.2e-05
    """
    outside = COE_MORETON_RANGE.outside(temperature_c)
    if outside or not isfinite(temperature_c):
        reason = outside or f"{temperature_c} is no temperature"
        return _diffusivity("Coe-Moreton", None, temperature_c, COE_MORETON_SOURCE, (reason,))
    bridged = (
        f"below {_BRIDGED_BELOW_C:g} degC traps rule and measured diffusivities differ up to a thousandfold"
    )
    reasons = (bridged,) if temperature_c < _BRIDGED_BELOW_C else ()
    value = _table_value(temperature_c)
    return _diffusivity("Coe-Moreton", value, temperature_c, COE_MORETON_SOURCE, reasons)


def diffusivity_sakamoto_tabaru(temperature_c: float) -> Outcome:
    """Diffusivity of hydrogen in annealed steel with its traps, the pessimistic bound of a bake [cm2/s].

    D = 1.04e-3 exp(-21 480/(R T)), R = 8.314 J/(mol K), T in [K].

    Input: ``temperature_c`` [degC]. Validity: measured from 6 to 62 degC; beyond, where bakes are,
    ``extrapolated``. Traps let go with heat, so the extrapolation errs to the slow side.
    Raises ValueError at and below absolute zero. Source: Sakamoto and Tabaru 1981 [seen].

    >>> f"{diffusivity_sakamoto_tabaru(200).value:.2e}"
    '4.42e-06'
    """
    temperature_k = temperature_c + _ZERO_C_IN_K
    require_positive("temperature in K", temperature_k)
    value = 1.04e-3 * exp(-21_480 / (_GAS_CONSTANT_J_MOL_K * temperature_k))
    reasons = sentences([SAKAMOTO_TABARU_RANGE.outside(temperature_c)])
    return _diffusivity("Sakamoto-Tabaru", value, temperature_c, SAKAMOTO_TABARU_SOURCE, reasons)


def hydrogen_left(thickness_mm: float, temperature_c: float, hours: float) -> Band:
    """Share of the hydrogen that a bake leaves in a plate, as a band [1].

    Inputs: ``thickness_mm`` L [mm], the full thickness between two open faces (twice the thickness where one
    face is closed); ``temperature_c`` [degC] of the metal; ``hours`` [h] at it.
    Validity: ``fraction_left`` and the two diffusivities; outside the table of Coe and Moreton both
    answers are ``not tabulated`` and have no value. Below about 80 degC the two diffusivities change places;
    ``least`` and ``most`` stay what they say.
    Raises ValueError for a thickness that is not above zero and a negative time.

    One inch at 600 degF for 1 h, the rule of thumb: 62 to 81 % are left.

    >>> band = hydrogen_left(25.4, 316, 1)
    >>> round(band.least.value, 2), round(band.most.value, 2)
    (0.62, 0.81)
    """
    require_positive("thickness_mm", thickness_mm)
    if not (isfinite(hours) and hours >= 0):
        raise ValueError(f"hours must not be negative, and not {hours}")
    inputs = {"thickness_mm": thickness_mm, "temperature_c": temperature_c, "hours": hours}
    per_diffusivity = 3600 * 100 * hours / thickness_mm**2
    return _band(
        "hydrogen left",
        "1",
        inputs,
        lambda diffusivity_cm2_s: fraction_left(diffusivity_cm2_s * per_diffusivity),
    )


def hours_to_leave(thickness_mm: float, temperature_c: float, left: float) -> Band:
    """Time of a bake after which that share of the hydrogen is left, as a band [h].

    Inputs: ``thickness_mm`` and ``temperature_c`` as for ``hydrogen_left``; ``left`` [1], 0.1 for nine
    tenths removed. Validity, errors: as ``hydrogen_left``, and ValueError for a share not between 0 and 1.

    Nine tenths out of 1/4 in at 200 degC take from 24 min to 5 1/2 h:

    >>> band = hours_to_leave(6.4, 200, 0.1)
    >>> round(band.least.value, 2), round(band.most.value, 1)
    (0.4, 5.5)
    """
    require_positive("thickness_mm", thickness_mm)
    inputs = {"thickness_mm": thickness_mm, "temperature_c": temperature_c, "left": left}
    diffusivity_hours = fourier_number_for(left) * thickness_mm**2 / (3600 * 100)
    return _band(
        "time of a bake", "h", inputs, lambda diffusivity_cm2_s: diffusivity_hours / diffusivity_cm2_s
    )


def _band(method: str, unit: str, inputs: dict[str, float], answer: Callable[[float], float]) -> Band:
    """The answer by both diffusivities, the faster one first."""
    temperature_c = inputs["temperature_c"]
    coe, sakamoto = diffusivity_coe_moreton(temperature_c), diffusivity_sakamoto_tabaru(temperature_c)
    if coe.value is None or sakamoto.value is None:
        nothing = Outcome(method, None, unit, "not tabulated", coe.source, coe.reasons, inputs)
        return Band(nothing, nothing)
    fast, slow = (coe, sakamoto) if coe.value >= sakamoto.value else (sakamoto, coe)
    least, most = (_by(diffusivity, method, unit, inputs, answer) for diffusivity in (fast, slow))
    return Band(least, most)


def _by(
    diffusivity: Outcome, method: str, unit: str, inputs: dict[str, float], answer: Callable[[float], float]
) -> Outcome:
    assert diffusivity.value is not None
    return Outcome(
        method=f"{method}, diffusivity by {diffusivity.method}",
        value=answer(diffusivity.value),
        unit=unit,
        status=diffusivity.status,
        source=diffusivity.source,
        reasons=diffusivity.reasons,
        inputs=inputs | {"diffusivity_cm2_s": diffusivity.value},
    )


def _table_value(temperature_c: float) -> float:
    for (cold_c, cold), (hot_c, hot) in pairwise(_COE_MORETON_CM2_S):
        if temperature_c == cold_c:
            return cold
        if temperature_c < hot_c:
            nearness = (_inverse_k(temperature_c) - _inverse_k(cold_c)) / (
                _inverse_k(hot_c) - _inverse_k(cold_c)
            )
            return exp(log(cold) + nearness * (log(hot) - log(cold)))
    return _COE_MORETON_CM2_S[-1][1]


def _inverse_k(temperature_c: float) -> float:
    return 1 / (temperature_c + _ZERO_C_IN_K)


def _diffusivity(
    method: str, value: float | None, temperature_c: float, source: Source, reasons: tuple[str, ...]
) -> Outcome:
    return Outcome(
        method=method,
        value=value,
        unit="cm2/s",
        status="not tabulated" if value is None else "extrapolated" if reasons else "ok",
        source=source,
        reasons=reasons,
        inputs={"temperature_c": temperature_c},
    )
