"""Structure and hardness after continuous cooling by Maynier, Dollet and Bastien (the Creusot-Loire system).

Eight critical cooling rates say how much martensite, bainite, and ferrite with pearlite a steel has after
cooling; each structure has its hardness; the mixture is their mean. How hot and how long the austenite was
held goes in as one temperature, the austenitizing parameter.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import isfinite, log, log10, sqrt

from traveler.metals.composition import Composition, contents, contents_outside, require_carbon
from traveler.metals.outcome import Outcome, Source, Status
from traveler.metals.validity import Range, require_positive, sentences

RATES_SOURCE = Source("Maynier, Dollet, Bastien, critical cooling rates", "secondary", edition="1978")
COMPOSITION_BOX = (
    Range("C", "%", 0.1, 0.5),
    Range("Si", "%", high=1.0),
    Range("Mn", "%", high=2.0),
    Range("Ni", "%", high=4.0),
    Range("Cr", "%", high=3.0),
    Range("Mo", "%", high=1.0),
    Range("V", "%", high=0.2),
    Range("B", "%", high=0.0001),
)  # [memory]; boron has no term here
LOW_ALLOY = Range("Mn + Ni + Cr + Mo", "%", high=5.0)  # [seen]
PARAMETER_RANGE = Range("austenitizing parameter", "degC", 800, 1040)

ELEMENTS = ("C", "Mn", "Ni", "Cr", "Mo", "Si", "V")
_ACTIVATION_J_MOL = 460_500.0  # [memory]
_GAS_CONSTANT = 8.314462618

# constant, then what is subtracted for each percent of C, Mn, Ni, Cr, Mo and each degC of the parameter
_RATES: Mapping[str, tuple[float, ...]] = {
    "100 % martensite": (9.81, 4.62, 1.05, 0.54, 0.50, 0.66, 0.00183),
    "90 % martensite": (8.76, 4.04, 0.96, 0.49, 0.58, 0.97, 0.0010),
    "50 % martensite": (8.50, 4.12, 0.86, 0.57, 0.41, 0.94, 0.0012),
    "0 % martensite": (10.17, 3.80, 1.07, 0.70, 0.57, 1.58, 0.0032),
    "10 % ferrite and pearlite": (10.55, 3.65, 1.08, 0.77, 0.61, 1.49, 0.0040),
    "50 % ferrite and pearlite": (8.74, 2.23, 0.86, 0.56, 0.59, 1.60, 0.0032),
    "90 % ferrite and pearlite": (7.51, 1.38, 0.35, 0.93, 0.11, 2.31, 0.0033),
    "100 % ferrite and pearlite": (6.36, 0.43, 0.49, 0.78, 0.27, 0.38, 0.0019),
}
_SQRT_MO_OF_THE_SLOWEST = 2.0
_MARTENSITE_AT = (1.0, 0.9, 0.5, 0.0, 0.0, 0.0, 0.0, 0.0)
_FERRITE_AT = (0.0, 0.0, 0.0, 0.0, 0.1, 0.5, 0.9, 1.0)


@dataclass(frozen=True, slots=True)
class Structure:
    """Shares of the structures after cooling [1]; they add up to 1."""

    martensite: float
    bainite: float
    ferrite_pearlite: float


def austenitizing_parameter_c(temperature_c: float, hold_h: float) -> float:
    """The temperature that, held for one hour, coarsens austenite as much [degC] (not kelvin).

    Pa = 1 / (1/T - R ln(10)/dH log10 t) - 273.15, with T in [K], t in [h], dH = 460.5 kJ/mol [memory].

    Inputs: ``temperature_c`` [degC], ``hold_h`` [h]. Validity: austenite, so ``temperature_c`` above Ac3.
    Raises ValueError where the time is not greater than zero or the temperature none.
    Source: Maynier 1978 [secondary; the activation energy from memory].

    Heat treatment at 870 degC for half an hour, and the coarse-grained zone of a weld, 1300 degC for 2 s:

    >>> round(austenitizing_parameter_c(870, 0.5)), round(austenitizing_parameter_c(1300, 2 / 3600))
    (854, 1024)
    """
    require_positive("hold_h", hold_h)
    if not (isfinite(temperature_c) and temperature_c > -273.15):
        raise ValueError(f"temperature_c must be a temperature in degC, not {temperature_c}")
    per_decade = _GAS_CONSTANT * log(10) / _ACTIVATION_J_MOL
    return 1 / (1 / (temperature_c + 273.15) - per_decade * log10(hold_h)) - 273.15


COARSE_GRAIN_PARAMETER_C = austenitizing_parameter_c(1300, 2 / 3600)
"""What stands for the coarse-grained zone of an arc weld here: 1300 degC for 2 s."""


def critical_rates_c_per_h(composition: Composition, parameter_c: float) -> dict[str, float]:
    """The eight critical cooling rates at 700 degC [degC/h], from all martensite to all ferrite and pearlite.

    log10 V = a - (c C + m Mn + n Ni + r Cr + o Mo + p Pa), contents in [mass %]; the last rate has 2 sqrt(Mo) more
    in its bracket.

    Inputs: ``composition`` [mass %]; ``parameter_c`` Pa [degC], as ``austenitizing_parameter_c`` gives it. In kelvin
    it would make every steel harden three times too easily.
    Validity: ``COMPOSITION_BOX`` [memory], ``LOW_ALLOY`` [seen]; not checked here. Raises ValueError for a
    composition without carbon. Source: Maynier 1978 [secondary: one public implementation; it reproduces the
    rates of Li et al. 1998, tables II and III, for heat treatments between 820 and 930 degC].

    4140 of Li's table after 845 degC, half an hour, in degC per second; the table prints 27.6:

    >>> steel = {"C": 0.38, "Mn": 0.81, "Si": 0.28, "Ni": 0.11, "Cr": 0.98, "Mo": 0.22}
    >>> rates = critical_rates_c_per_h(steel, austenitizing_parameter_c(845, 0.5))
    >>> round(rates["100 % martensite"] / 3600, 1)
    27.2
    """
    require_carbon(composition)
    amounts = (*contents(composition, ELEMENTS[:5]).values(), parameter_c)
    return dict(zip(_RATES, _critical_rates(amounts), strict=True))


@lru_cache(maxsize=256)  # they do not ask how fast it cools: a job has few metals and many runs
def _critical_rates(amounts: tuple[float, ...]) -> tuple[float, ...]:
    """The rates in the order of ``_RATES``, for the contents of its columns and the parameter."""
    logs = [
        constant - sum(factor * amount for factor, amount in zip(factors, amounts, strict=True))
        for constant, *factors in _RATES.values()
    ]
    logs[-1] -= _SQRT_MO_OF_THE_SLOWEST * sqrt(amounts[ELEMENTS.index("Mo")])
    return tuple(10**value for value in logs)


def maynier_structure(composition: Composition, t85_s: float, parameter_c: float) -> Structure:
    """Shares of martensite, bainite, and ferrite with pearlite after continuous cooling.

    Linear in log V between the critical rates. Where two of the published rates cross at a composition, the
    faster structure's rate is taken for both: more martensite, the harder side (``maynier_hardness`` says so).

    Inputs, validity, errors, source: those of ``maynier_hardness``.

    >>> steel = {"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}
    >>> round(maynier_structure(steel, 10, COARSE_GRAIN_PARAMETER_C).martensite, 2)
    0.51
    """
    rate = log10(rate_at_700_c_per_h(t85_s))
    ordered: list[float] = []
    for critical in critical_rates_c_per_h(composition, parameter_c).values():
        ordered.append(min([log10(critical), *ordered[-1:]]))
    martensite = _between(rate, ordered, _MARTENSITE_AT)
    ferrite = _between(rate, ordered, _FERRITE_AT)
    return Structure(martensite, 1 - martensite - ferrite, ferrite)


def rate_at_700_c_per_h(t85_s: float) -> float:
    """Cooling rate at 700 degC [degC/h] that stands for a cooling time t8/5: 300 degC over t8/5.

    Validity: the mean rate is taken for the one at 700 degC; a weld passes 700 degC somewhat faster than its mean.
    Raises ValueError where ``t85_s`` is not greater than zero.

    >>> rate_at_700_c_per_h(10.0)
    108000.0
    """
    require_positive("t85_s", t85_s)
    return 300 / t85_s * 3600


def maynier_hardness(
    composition: Composition, t85_s: float, parameter_c: float = COARSE_GRAIN_PARAMETER_C
) -> Outcome:
    """Vickers hardness after continuous cooling [HV], contents in [mass %], V in [degC/h] at 700 degC::

        martensite           127 + 949 C + 27 Si + 11 Mn + 8 Ni + 16 Cr + 21 log10 V
        bainite             -323 + 185 C + 330 Si + 153 Mn + 65 Ni + 144 Cr + 191 Mo
                             + (89 + 53 C - 55 Si - 22 Mn - 10 Ni - 20 Cr - 33 Mo) log10 V
        ferrite, pearlite     42 + 223 C + 53 Si + 30 Mn + 12.6 Ni + 7 Cr + 19 Mo
                             + (10 - 19 Si + 4 Ni + 8 Cr + 130 V) log10 V

    each times its share by ``maynier_structure``; ``parts`` are these three products.

    Inputs: ``composition`` [mass %]; ``t85_s`` cooling time from 800 to 500 degC [s]; ``parameter_c`` Pa [degC].
    Validity: ``COMPOSITION_BOX`` [memory], outside ``extrapolated``; ``LOW_ALLOY`` [seen], outside ``not
    applicable``; Pa within ``PARAMETER_RANGE``, which is what was compared here: Li's tables imply 807 to 898
    degC, a weld 1024 to 1036. Continuous cooling only: where the metal is held on the way down, see
    ``traveler.metals.bainite``. Two misprints are in circulation, 158 C for bainite and 211 log V for martensite.
    Raises ValueError where ``t85_s`` is not greater than zero or carbon is missing.
    Source: hardness as in eqs 27 to 29 of Li et al. 1998 [seen], rates [secondary].

    4130 beside a weld that cools in 10 s:

    >>> round(maynier_hardness({"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}, 10).value)
    445
    """
    structure = maynier_structure(composition, t85_s, parameter_c)
    martensite, bainite, ferrite = _pure_hardness(composition, log10(rate_at_700_c_per_h(t85_s)))
    parts = {
        "martensite": structure.martensite * martensite,
        "bainite": structure.bainite * bainite,
        "ferrite and pearlite": structure.ferrite_pearlite * ferrite,
    }
    refusals = contents_outside(composition, (LOW_ALLOY,))
    cautions = (
        *contents_outside(composition, COMPOSITION_BOX),
        *sentences([PARAMETER_RANGE.outside(parameter_c)]),
        *_crossings(critical_rates_c_per_h(composition, parameter_c)),
    )
    status: Status = "not applicable" if refusals else "extrapolated" if cautions else "ok"
    return Outcome(
        method="Maynier",
        value=None if refusals else sum(parts.values()),
        unit="HV",
        status=status,
        source=RATES_SOURCE,
        reasons=(*refusals, *cautions),
        inputs={**contents(composition, ELEMENTS), "t85_s": t85_s, "parameter_c": parameter_c},
        parts={} if refusals else parts,
    )


def _pure_hardness(composition: Composition, log_rate: float) -> tuple[float, float, float]:
    c, mn, ni, cr, mo, si, v = contents(composition, ELEMENTS).values()
    martensite = 127 + 949 * c + 27 * si + 11 * mn + 8 * ni + 16 * cr + 21 * log_rate
    bainite = -323 + 185 * c + 330 * si + 153 * mn + 65 * ni + 144 * cr + 191 * mo
    bainite += (89 + 53 * c - 55 * si - 22 * mn - 10 * ni - 20 * cr - 33 * mo) * log_rate
    ferrite = 42 + 223 * c + 53 * si + 30 * mn + 12.6 * ni + 7 * cr + 19 * mo
    ferrite += (10 - 19 * si + 4 * ni + 8 * cr + 130 * v) * log_rate
    return martensite, bainite, ferrite


def _between(rate: float, critical: list[float], shares: tuple[float, ...]) -> float:
    """The share at ``rate``, linear between critical rates that fall from the first to the last."""
    if rate >= critical[0]:
        return shares[0]
    for (fast, share_fast), (slow, share_slow) in pairwise(zip(critical, shares, strict=True)):
        if rate >= slow:
            return share_slow + (share_fast - share_slow) * (rate - slow) / (fast - slow)
    return shares[-1]


def _crossings(rates: Mapping[str, float]) -> list[str]:
    return [
        f"the published rates for {faster} and {slower} cross here: the lower one is taken for both"
        for (faster, fast), (slower, slow) in pairwise(rates.items())
        if slow > fast
    ]
