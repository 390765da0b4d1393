"""Thermocouples: the voltage of a type at a temperature and back, what a wire reads on a wrong input, tolerances.

The reference functions are polynomials of NIST, fitted on the ITS-90 scale with the cold junction at 0 degC.
"""

from bisect import bisect_left
from collections.abc import Mapping
from math import exp, isfinite
from typing import Literal, NamedTuple

from traveler.metals.outcome import Source
from traveler.metals.validity import Range

CoupleKind = Literal["J", "K", "N", "T"]
ToleranceClass = Literal["IEC class 1", "IEC class 2", "ASTM special", "ASTM standard"]

REFERENCE_SOURCE = Source(
    "NIST Monograph 175, as the NIST ITS-90 Thermocouple Database (SRD 60) prints its coefficients",
    "seen",
    edition="1993",
)
IEC_SOURCE = Source("IEC 60584-1 (tolerance classes 1 and 2), as suppliers' tables quote it", "secondary")
ASTM_SOURCE = Source("ASTM E230/E230M", "seen", clause="initial calibration tolerances", edition="12")


class _Piece(NamedTuple):
    """One polynomial [mV], lowest power first, from the end of the piece before it up to ``high_c`` [degC]."""

    high_c: float
    coefficients: tuple[float, ...]


_LOWEST_C: Mapping[CoupleKind, float] = {"J": -210.0, "K": -270.0, "N": -270.0, "T": -270.0}
_PIECES: Mapping[CoupleKind, tuple[_Piece, ...]] = {
    "J": (
        _Piece(760.0, (
            0.0, 0.503811878150e-1, 0.304758369300e-4, -0.856810657200e-7, 0.132281952950e-9,
            -0.170529583370e-12, 0.209480906970e-15, -0.125383953360e-18, 0.156317256970e-22,
        )),
        _Piece(1200.0, (
            0.296456256810e3, -0.149761277860e1, 0.317871039240e-2, -0.318476867010e-5, 0.157208190040e-8,
            -0.306913690560e-12,
        )),
    ),
    "K": (
        _Piece(0.0, (
            0.0, 0.394501280250e-1, 0.236223735980e-4, -0.328589067840e-6, -0.499048287770e-8,
            -0.675090591730e-10, -0.574103274280e-12, -0.310888728940e-14, -0.104516093650e-16,
            -0.198892668780e-19, -0.163226974860e-22,
        )),
        _Piece(1372.0, (
            -0.176004136860e-1, 0.389212049750e-1, 0.185587700320e-4, -0.994575928740e-7, 0.318409457190e-9,
            -0.560728448890e-12, 0.560750590590e-15, -0.320207200030e-18, 0.971511471520e-22,
            -0.121047212750e-25,
        )),
    ),
    "N": (
        _Piece(0.0, (
            0.0, 0.261591059620e-1, 0.109574842280e-4, -0.938411115540e-7, -0.464120397590e-10,
            -0.263033577160e-11, -0.226534380030e-13, -0.760893007910e-16, -0.934196678350e-19,
        )),
        _Piece(1300.0, (
            0.0, 0.259293946010e-1, 0.157101418800e-4, 0.438256272370e-7, -0.252611697940e-9,
            0.643118193390e-12, -0.100634715190e-14, 0.997453389920e-18, -0.608632456070e-21,
            0.208492293390e-24, -0.306821961510e-28,
        )),
    ),
    "T": (
        _Piece(0.0, (
            0.0, 0.387481063640e-1, 0.441944343470e-4, 0.118443231050e-6, 0.200329735540e-7,
            0.901380195590e-9, 0.226511565930e-10, 0.360711542050e-12, 0.384939398830e-14,
            0.282135219250e-16, 0.142515947790e-18, 0.487686622860e-21, 0.107955392700e-23,
            0.139450270620e-26, 0.797951539270e-30,
        )),
        _Piece(400.0, (
            0.0, 0.387481063640e-1, 0.332922278800e-4, 0.206182434040e-6, -0.218822568460e-8,
            0.109968809280e-10, -0.308157587720e-13, 0.454791352900e-16, -0.275129016730e-19,
        )),
    ),
}  # fmt: skip
_K_BUMP_MV, _K_BUMP_PER_C2, _K_BUMP_AT_C = 0.118597600000, -0.118343200000e-3, 0.126968600000e3

RANGES: Mapping[CoupleKind, Range] = {
    kind: Range("temperature", "degC", _LOWEST_C[kind], pieces[-1].high_c) for kind, pieces in _PIECES.items()
}
"""Where the reference function of each type is defined."""


class _Tolerance(NamedTuple):
    """The greater of ``least_c`` [C deg] and ``share`` [1] of the Celsius temperature, from low to high [degC]."""

    least_c: float
    share: float
    low_c: float
    high_c: float


_TOLERANCES: Mapping[tuple[ToleranceClass, CoupleKind], _Tolerance] = {
    ("IEC class 1", "J"): _Tolerance(1.5, 0.004, -40, 750),
    ("IEC class 1", "K"): _Tolerance(1.5, 0.004, -40, 1000),
    ("IEC class 1", "N"): _Tolerance(1.5, 0.004, -40, 1000),
    ("IEC class 1", "T"): _Tolerance(0.5, 0.004, -40, 350),
    ("IEC class 2", "J"): _Tolerance(2.5, 0.0075, -40, 750),
    ("IEC class 2", "K"): _Tolerance(2.5, 0.0075, -40, 1200),
    ("IEC class 2", "N"): _Tolerance(2.5, 0.0075, -40, 1200),
    ("IEC class 2", "T"): _Tolerance(1.0, 0.0075, -40, 350),
    ("ASTM special", "J"): _Tolerance(1.1, 0.004, 0, 760),
    ("ASTM special", "K"): _Tolerance(1.1, 0.004, 0, 1260),
    ("ASTM special", "N"): _Tolerance(1.1, 0.004, 0, 1260),
    ("ASTM special", "T"): _Tolerance(0.5, 0.004, 0, 370),
    ("ASTM standard", "J"): _Tolerance(2.2, 0.0075, 0, 760),
    ("ASTM standard", "K"): _Tolerance(2.2, 0.0075, 0, 1260),
    ("ASTM standard", "N"): _Tolerance(2.2, 0.0075, 0, 1260),
    ("ASTM standard", "T"): _Tolerance(1.0, 0.0075, 0, 370),
}


def emf_mv(kind: CoupleKind, temperature_c: float) -> float:
    """Thermoelectric voltage of a couple whose cold junction is at 0 degC [mV].

    E = sum of c_i t^i; type K above 0 degC adds a0 exp(a1 (t - a2)^2).

    Inputs: ``kind``; ``temperature_c`` t [degC] of the hot junction.
    Validity: J -210 to 1200, K -270 to 1372, N -270 to 1300, T -270 to 400 degC (``RANGES``).
    Raises ValueError outside it. Source: NIST Monograph 175 [seen, in the NIST ITS-90 database].

    Its tables print 4.096 mV for type K at 100 degC and 33.102 mV for type J at 600 degC:

    >>> round(emf_mv("K", 100), 3), round(emf_mv("J", 600), 3)
    (4.096, 33.102)
    """
    _require_inside(RANGES[kind], f"type {kind}", temperature_c)
    pieces = _PIECES[kind]
    piece = pieces[bisect_left(pieces, temperature_c, key=lambda each: each.high_c)]
    total = 0.0
    for coefficient in reversed(piece.coefficients):
        total = total * temperature_c + coefficient
    if kind == "K" and temperature_c > 0:
        total += _K_BUMP_MV * exp(_K_BUMP_PER_C2 * (temperature_c - _K_BUMP_AT_C) ** 2)
    return total


def temperature_c(kind: CoupleKind, emf: float) -> float:
    """Temperature at which a couple with its cold junction at 0 degC gives that voltage [degC].

    The reference function rises throughout, so it is halved in on to the last digit of a float; no inverse
    polynomial, which would add up to 0.06 C deg of its own.

    Inputs: ``kind``; ``emf`` [mV]. Validity, source: as ``emf_mv``.
    Raises ValueError for a voltage that the type does not give within its range.

    >>> round(temperature_c("K", 4.096), 1)
    100.0
    """
    low, high = _LOWEST_C[kind], _PIECES[kind][-1].high_c
    least, greatest = emf_mv(kind, low), emf_mv(kind, high)
    if not least <= emf <= greatest:
        raise ValueError(f"type {kind} gives from {least:.3f} to {greatest:.3f} mV, never {emf:.3f} mV")
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (low, middle) if emf_mv(kind, middle) >= emf else (middle, high)
    return high


def reads_as(wire: CoupleKind, input_kind: CoupleKind, true_c: float, junction_c: float) -> float:
    """What an instrument set for one type shows when a couple of another is connected to it [degC].

    The wire gives E_wire(t) - E_wire(j); the instrument adds E_input(j) for its own junction and inverts.

    Inputs: ``wire``; ``input_kind``, the type that the input is set for; ``true_c`` t [degC] of the hot
    junction; ``junction_c`` j [degC] of the terminals.
    Validity: as ``emf_mv``. Raises ValueError where the input has no temperature for that voltage.
    Source: the reference functions of both types.

    600 degC by a type K couple on a type J input, junction at 0 degC:

    >>> round(reads_as("K", "J", 600, 0), 1)
    455.3
    """
    voltage = emf_mv(wire, true_c) - emf_mv(wire, junction_c)
    return temperature_c(input_kind, voltage + emf_mv(input_kind, junction_c))


def tolerance_c(kind: CoupleKind, tolerance_class: ToleranceClass, at_c: float) -> float:
    """How far a new couple of a class may be from the reference function, either way [C deg].

    max(a, b |t|), t in [degC] also where the instrument reads Fahrenheit; 1.8 times as much in F deg.

    Inputs: ``kind``; ``tolerance_class``; ``at_c`` t [degC].
    Validity: wire as bought, before it drifts in use. IEC class 1: J -40 to 750, K and N to 1000, T to
    350 degC; class 2: K and N to 1200. ASTM: J 0 to 760, K and N to 1260, T to 370 degC.
    Raises ValueError outside it.
    Source: IEC 60584-1 [secondary]; ASTM E230/E230M-12 [seen].

    A type K couple of class 2 at 600 degC is good to 4.5 C deg:

    >>> tolerance_c("K", "IEC class 2", 600), tolerance_c("K", "ASTM special", 100)
    (4.5, 1.1)
    """
    row = _TOLERANCES[tolerance_class, kind]
    stated = Range("temperature", "degC", row.low_c, row.high_c)
    _require_inside(stated, f"{tolerance_class}, type {kind}", at_c)
    return max(row.least_c, row.share * abs(at_c))


def _require_inside(allowed: Range, whose: str, value_c: float) -> None:
    problem = allowed.outside(value_c) if isfinite(value_c) else f"{value_c} is no temperature"
    if problem:
        raise ValueError(f"{whose}: {problem}")
