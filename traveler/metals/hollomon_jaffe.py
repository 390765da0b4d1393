"""The Hollomon-Jaffe parameter: temperature and time of tempering in one number.

Every function names its constant. A parameter made with one constant is never compared with one made with
another.
"""

from collections.abc import Sequence
from itertools import pairwise
from math import ceil, isfinite, log10

from traveler.metals.validity import require_positive

CODE_CONSTANT = 20.0
"""The constant that EN 13445-4 and the Larson-Miller form take, in hours."""

GRANGE_BAUGHMAN_CONSTANT = 18.0
"""The constant that Grange and Baughman take for tempered hardness, in hours."""

_ZERO_C_IN_K = 273.15
_IDLE_BELOW_K = 400.0
_STEP_SPAN_C = 0.5


def hollomon_jaffe(temperature_c: float, hours: float, constant: float = CODE_CONSTANT) -> float:
    """Hollomon-Jaffe parameter P of one hold [1000 K].

    P = T (C + log10 t) / 1000, with T in [K] and t in [h]. 1.8 P is the Larson-Miller form in [1000 R].

    Inputs: ``temperature_c`` [degC]; ``hours`` t [h]; ``constant`` C [1]: 20 where a code asks for the
    parameter, 18 for Grange and Baughman's hardness. With t in seconds the same P takes C - 3.56.
    Validity: quenched carbon and low-alloy steel, a steady hold between about 100 degC and Ac1. The best
    constant differs from steel to steel (14.5 to 23 over the open data); 20 costs up to 0.3 HRC by it.
    Raises ValueError for a temperature that is not above 0 degC and a time that is not above zero.
    Source: Hollomon and Jaffe, Trans. AIME 162 (1945) 223 [secondary]; C = 20 in EN 13445-4:2021 [seen].

    A Larson-Miller table gives 34.2 for 1 h at 1250 degF (677 degC):

    >>> round(hollomon_jaffe(600, 2), 3), round(1.8 * hollomon_jaffe(676.67, 1), 1)
    (17.726, 34.2)
    """
    require_positive("hours", hours)
    return _kelvin(temperature_c) * (constant + log10(hours)) / 1000


def hours_at(parameter: float, temperature_c: float, constant: float = CODE_CONSTANT) -> float:
    """Hold at one temperature that is worth a Hollomon-Jaffe parameter [h].

    t = 10^(1000 P/T - C), with T in [K].

    Inputs: ``parameter`` P [1000 K], made with the same ``constant`` C [1]; ``temperature_c`` [degC].
    Validity, errors and source: as ``hollomon_jaffe``.

    1 h at 675 degC, P 18.963, takes 3.48 h at 650 degC:

    >>> round(hours_at(hollomon_jaffe(675, 1), 650), 2)
    3.48
    """
    return float(10 ** (1000 * parameter / _kelvin(temperature_c) - constant))


def equivalent_hours(
    temperature_c: float, hours: float, at_temperature_c: float, constant: float = CODE_CONSTANT
) -> float:
    """Time at ``at_temperature_c`` that tempers as much as ``hours`` at ``temperature_c`` [h].

    t2 = 10^(T1 (C + log10 t1)/T2 - C), with both temperatures in [K].

    Validity, errors and source: as ``hollomon_jaffe``. It says nothing about what a code accepts: the
    lower-temperature tables of the codes ask for far less time than this equivalence.

    A published example on creep: 1000 h at 500 degC are worth 138 h at 530 degC.

    >>> round(equivalent_hours(500, 1000, 530))
    138
    """
    return hours_at(hollomon_jaffe(temperature_c, hours, constant), at_temperature_c, constant)


def accumulated(trace: Sequence[tuple[float, float]], constant: float = CODE_CONSTANT) -> float:
    """Hollomon-Jaffe parameter of a whole heat treatment, ramps and repeated cycles included [1000 K].

    The trace is marched: what was reached so far counts, at each new temperature, as the hold there that
    is worth as much, and the next moment is added to that hold. So no reference temperature is chosen, on
    which a plain sum of equivalent times would depend. A hold is one exact step; a slope is cut into
    steps of half a degree.

    Inputs: ``trace``, pairs of time [h] and temperature [degC], the times rising, the metal taken to go
    straight from point to point. ``constant`` C [1].
    Validity: that of ``hollomon_jaffe``. Below 127 degC (400 K) nothing is counted; a trace that never
    exceeds it gives 0.
    Raises ValueError for fewer than two points, a time that does not rise, a temperature below 0 degC.
    Source: the additivity that goes with Hollomon and Jaffe's parameter; a second route in the tests is
    the differential equation itself, dP/dt = T/(t ln 10) with t the hold that P is worth at T.

    To 600 degC at 200 degC/h, 2 h there, down again at 200 degC/h: 2.185 h, not 2.

    >>> round(accumulated([(0, 20), (2.9, 600), (4.9, 600), (7.8, 20)]), 3)
    17.759
    """
    if len(trace) < 2:
        raise ValueError(f"a trace has at least two points, not {len(trace)}")
    reached = 0.0
    for (start_h, start_c), (end_h, end_c) in pairwise(trace):
        if not (isfinite(start_h) and isfinite(end_h) and start_h < end_h):
            raise ValueError(f"the times of a trace must rise, but {end_h} h follows {start_h} h")
        hours, start_k, end_k = _warm_part(end_h - start_h, _kelvin(start_c), _kelvin(end_c))
        if hours <= 0:
            continue
        steps = max(1, ceil(abs(end_k - start_k) / _STEP_SPAN_C))
        step_h, step_k = hours / steps, (end_k - start_k) / steps
        for index in range(steps):
            reached = _held(reached, start_k + (index + 0.5) * step_k, step_h, constant)
    return reached


def _warm_part(hours: float, start_k: float, end_k: float) -> tuple[float, float, float]:
    """How long a slope is above the temperature from which on it counts, and the temperatures of that part.

    Cut there exactly, so that how soon the count begins does not hang on where the steps of a slope happen to lie.
    """
    least, greatest = min(start_k, end_k), max(start_k, end_k)
    if greatest < _IDLE_BELOW_K:
        return 0.0, start_k, end_k
    if least >= _IDLE_BELOW_K:
        return hours, start_k, end_k
    share = (greatest - _IDLE_BELOW_K) / (greatest - least)
    return hours * share, max(start_k, _IDLE_BELOW_K), max(end_k, _IDLE_BELOW_K)


def _held(parameter: float, temperature_k: float, hours: float, constant: float) -> float:
    """The parameter after a further hold."""
    worth_h = 10 ** (1000 * parameter / temperature_k - constant) if parameter else 0.0
    return max(parameter, temperature_k * (constant + log10(worth_h + hours)) / 1000)


def _kelvin(temperature_c: float) -> float:
    if not (isfinite(temperature_c) and temperature_c >= 0):
        raise ValueError(f"temperature_c must not be below 0 degC, and not {temperature_c}")
    return temperature_c + _ZERO_C_IN_K
