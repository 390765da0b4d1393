"""Hardness of martensite after tempering, by the factor method of Grange and Baughman.

Their chart of the carbon base could not be read. In its place stands a polynomial that was fitted here on the
plain-carbon rows of the open tempering data; it is our fit, not theirs, and is marked so with every value.
"""

from bisect import bisect_right
from math import isfinite

from traveler.metals.composition import Composition, check_composition, percent
from traveler.metals.hollomon_jaffe import GRANGE_BAUGHMAN_CONSTANT, hollomon_jaffe
from traveler.metals.outcome import Outcome, Source, Status
from traveler.metals.validity import Range, sentences

GRANGE_BAUGHMAN_SOURCE = Source(
    "Grange and Baughman, Trans. ASM 48, 165-197 (element factors), with our fit of the carbon base",
    "memory",
    edition="1956",
)
CARBON_RANGE = Range("C", "%", 0.25, 0.66)  # of the rows that were fitted
PARAMETER_RANGE = Range("tempering parameter", "(1000 R)", 15.0, 32.5)
FACTOR_RANGE = Range("tempering parameter", "(1000 R)", 20.0, 30.0)  # the first and last node of the factors
ELEMENT_RANGES = (
    Range("Mn", "%", high=2.1),
    Range("Si", "%", high=2.2),
    Range("Ni", "%", high=4.0),
    Range("Cr", "%", high=1.2),
    Range("Mo", "%", high=0.35),
    Range("V", "%", high=0.2),
)  # [memory]
HARDNESS_RANGE = Range("hardness", "HV", low=238.0)  # 20 HRC: softer rows were left out of the fit
SCATTER_RMS_HRC = 2.3
"""Root mean square error on 77 rows of two heats of 4140, none of which the fit has seen."""

# Our fit: least squares on 279 rows of 13 plain-carbon steels (Grange and Baughman 1956, Hollomon and Jaffe
# 1945, in the open compilation of Raiipa Technologies, CC BY 4.0), 0.25 to 0.66 % C, 20 HRC and above,
# converted by ASTM E140, less the factors below. With p = (P - 25)/5 the base is
# a0 + a1 p + a2 p^2 + C (b0 + b1 p). A cubic in p follows the rows closer but turns upward beyond them, so
# that longer tempering would harden; more terms do no better on a steel that was left out.
OUR_FIT_BASE = (178.26, -60.74, 7.90)
OUR_FIT_CARBON = (276.87, -119.36)

# HV for each mass percent [memory; regression of the alloy rows in the open data confirms them to about 15].
_NODES = (20.0, 22.0, 24.0, 26.0, 28.0, 30.0)
_FACTORS = {
    "Mn": (35.0, 25.0, 30.0, 30.0, 30.0, 25.0),
    "Si": (65.0, 60.0, 30.0, 30.0, 30.0, 30.0),
    "Ni": (5.0, 3.0, 6.0, 8.0, 8.0, 6.0),
    "Cr": (50.0, 55.0, 55.0, 55.0, 55.0, 55.0),
    "Mo": (40.0, 90.0, 160.0, 220.0, 240.0, 210.0),
    "V": (0.0, 30.0, 85.0, 150.0, 210.0, 150.0),
}
_CR_THAT_HALVES_MO = 0.5

# Own choice: what a low-alloy steel may carry unspecified. More of an element without a factor is said.
_WITHOUT_EFFECT = frozenset({"C", "Fe", "P", "S", *_FACTORS})
_RESIDUAL_PERCENT = {"Cu": 0.35}
_OTHER_RESIDUAL_PERCENT = 0.06


def grange_baughman_parameter(temperature_c: float, hours: float) -> float:
    """Tempering parameter as Grange and Baughman write it [1000 R].

    P = (F + 459.67)(18 + log10 t)/1000, F in [degF], t in [h]: 1.8 times the Hollomon-Jaffe parameter with
    the constant 18. A recorded treatment takes 1.8 ``accumulated(trace, 18)``.

    Inputs: ``temperature_c`` [degC], ``hours`` [h]. Validity, errors: as ``hollomon_jaffe``.
    Source: Grange and Baughman, Trans. ASM 48 (1956) 165-197 [memory].

    >>> [round(grange_baughman_parameter(c, h), 2) for c, h in ((600, 1), (650, 1), (705, 1))]
    [28.29, 29.91, 31.69]
    """
    return 1.8 * hollomon_jaffe(temperature_c, hours, GRANGE_BAUGHMAN_CONSTANT)


def tempered_hardness(parameter: float, composition: Composition) -> Outcome:
    """Hardness of martensite after tempering [HV].

    The carbon base (our fit, above) and, for each element, its factor times its content; a factor goes
    straight between the nodes P = 20, 22 ... 30 and keeps its end values beyond. Molybdenum counts half
    where Cr is 0.5 % or more. ``parts``: the base as "carbon base", and the share of each element.

    Inputs: ``parameter`` P [1000 R] by ``grange_baughman_parameter``; ``composition`` [mass %].

    Validity: metal that was martensite through and through before. Bainite and ferrite start softer, so
    for a mixed structure the value is an upper bound.

    - C outside 0.25 to 0.66 % or P outside 15 to 32.5: ``not applicable`` and no value.
    - P outside the nodes 20 to 30, an element above its maximum (Mn 2.1, Si 2.2, Ni 4, Cr 1.2, Mo 0.35, V
      0.2 % [memory]), an element without a factor beyond a residual, a result below 238 HV (20 HRC):
      ``extrapolated``.
    - Molybdenum and vanadium near their maxima without chromium: the value may rise by a few HV between P = 22
      and 24, as the factors stand; such steels do harden on tempering.

    Raises ValueError for a composition that cannot be one and a parameter that is no positive number.
    Source: factors: Grange and Baughman 1956 [memory]; base: our fit. Reproduces 77 rows of two heats of
    4140 within 2.3 HRC (root mean square) and a handbook's 4130 within 1.4 HRC on average.

    4130 after 1 h at 650 degC:

    >>> bar = {"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}
    >>> hard = tempered_hardness(grange_baughman_parameter(650, 1), bar)
    >>> round(hard.value), hard.status
    (268, 'ok')
    """
    if not (isfinite(parameter) and parameter > 0):
        raise ValueError(f"parameter must be greater than zero, not {parameter}")
    check_composition(composition)
    carbon = float(percent(composition, "C"))
    refusals = sentences([CARBON_RANGE.outside(carbon), PARAMETER_RANGE.outside(parameter)])
    parts = {} if refusals else _parts(parameter, composition)
    value = sum(parts.values()) if parts else None
    cautions = _cautions(parameter, composition, value)
    status: Status = "not applicable" if refusals else "extrapolated" if cautions else "ok"
    return Outcome(
        method="Grange-Baughman tempered hardness",
        value=value,
        unit="HV",
        status=status,
        source=GRANGE_BAUGHMAN_SOURCE,
        reasons=(*refusals, *cautions, *_remarks()),
        inputs={"parameter": parameter}
        | {symbol: float(percent(composition, symbol)) for symbol in ("C", *_FACTORS)},
        parts=parts,
    )


def _parts(parameter: float, composition: Composition) -> dict[str, float]:
    carbon = float(percent(composition, "C"))
    parts = {"carbon base": _carbon_base(parameter, carbon)}
    for symbol in _FACTORS:
        if content := float(percent(composition, symbol)):
            parts[symbol] = _factor(symbol, parameter, composition) * content
    return parts


def _carbon_base(parameter: float, carbon_percent: float) -> float:
    p = (parameter - 25) / 5
    (a0, a1, a2), (b0, b1) = OUR_FIT_BASE, OUR_FIT_CARBON
    return a0 + a1 * p + a2 * p * p + carbon_percent * (b0 + b1 * p)


def _factor(symbol: str, parameter: float, composition: Composition) -> float:
    """HV for each mass percent of an element."""
    values = _FACTORS[symbol]
    held = min(max(parameter, _NODES[0]), _NODES[-1])
    left = min(bisect_right(_NODES, held), len(_NODES) - 1) - 1
    share = (held - _NODES[left]) / (_NODES[left + 1] - _NODES[left])
    factor = values[left] + share * (values[left + 1] - values[left])
    halved = symbol == "Mo" and percent(composition, "Cr") >= _CR_THAT_HALVES_MO
    return factor / 2 if halved else factor


def _cautions(parameter: float, composition: Composition, value: float | None) -> tuple[str, ...]:
    """Why the value is outside what the factors and the fit were made on."""
    rich = [limit.above(float(percent(composition, limit.name))) for limit in ELEMENT_RANGES]
    unheard = [
        Range(symbol, "%", high=_RESIDUAL_PERCENT.get(symbol, _OTHER_RESIDUAL_PERCENT)).above(content)
        for symbol, content in composition.items()
        if symbol not in _WITHOUT_EFFECT
    ]
    soft = None if value is None else HARDNESS_RANGE.below(value)
    without_factor = [
        None if said is None else f"{said}, and the method has no factor for it" for said in unheard
    ]
    return sentences([FACTOR_RANGE.outside(parameter), *rich, *without_factor, soft])


def _remarks() -> tuple[str, ...]:
    """What was assumed; does not touch the status."""
    return (
        "for metal that was all martensite; a mixed structure is softer",
        f"the carbon base is our fit; 4140 that it has not seen scatters by {SCATTER_RMS_HRC:g} HRC (root mean square)",
    )
