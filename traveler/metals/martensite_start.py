"""Temperature at which martensite begins to form on cooling, by four authors."""

from fractions import Fraction
from math import exp

from traveler.metals.composition import Composition, contents, contents_outside, percent, require_carbon
from traveler.metals.outcome import Outcome, Source
from traveler.metals.transformation import ANDREWS_RANGES, ANDREWS_SOURCE

KUNG_RAYMENT_SOURCE = Source("Kung and Rayment, Metall. Trans. A 13, 328-331", "seen", edition="1982")
STEVEN_HAYNES_SOURCE = Source(
    "Steven and Haynes, J. Iron Steel Inst. 183, 349-359", "secondary", edition="1956"
)
VAN_BOHEMEN_SOURCE = Source("van Bohemen, Mater. Sci. Technol. 28, 487-495", "secondary", edition="2012")
STEVEN_HAYNES_M90_SPAN_C = 103.0  # [memory]

_ANDREWS = {"C": "-423", "Mn": "-30.4", "Ni": "-17.7", "Cr": "-12.1", "Mo": "-7.5"}
_KUNG_RAYMENT = _ANDREWS | {"Co": "10", "Si": "-7.5"}
_STEVEN_HAYNES = {"C": "-474", "Mn": "-33", "Ni": "-17", "Cr": "-17", "Mo": "-21"}
VAN_BOHEMEN_ELEMENTS = ("C", "Mn", "Si", "Cr", "Ni", "Mo")
_CHECKED = "{} measured Cr-Mo steels differ from it by {} degC (root mean square)"


def andrews_ms(composition: Composition) -> Outcome:
    """Martensite start temperature by Andrews, the linear formula [degC].

    Ms = 539 - 423 C - 30.4 Mn - 17.7 Ni - 12.1 Cr - 7.5 Mo, contents in [mass %].

    Validity: ``ANDREWS_RANGES`` [memory]; outside, ``extrapolated``. 26 measured Cr-Mo steels (Atkins, Wever and
    others) differ from it by 12 degC, root mean square.
    ``parts``: 539 as "base", and the share of each element.
    Raises ValueError for a composition without carbon. Source: K. W. Andrews, J. Iron Steel Inst. 203 (1965)
    721-727 [secondary, two that agree].

    4130 by hand: 539 - 126.9 - 15.2 - 11.495 - 1.5 = 383.905; Atkins measured 376 for this steel.

    >>> round(andrews_ms({"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}).value, 3)
    383.905
    """
    return _linear("Andrews Ms", 539, _ANDREWS, composition, ANDREWS_SOURCE, _CHECKED.format(26, 12))


def kung_rayment_ms(composition: Composition) -> Outcome:
    """Martensite start temperature by Kung and Rayment: Andrews with cobalt and silicon [degC].

    Ms = 539 - 423 C - 30.4 Mn - 17.7 Ni - 12.1 Cr - 7.5 Mo + 10 Co - 7.5 Si, contents in [mass %].

    Validity, ``parts`` and errors: as ``andrews_ms``. Source: Kung and Rayment 1982, as eq. 25 of Li et al.,
    Metall. Mater. Trans. B 29 (1998) 661-672 [seen].

    4130 by hand: 383.905 - 1.875 = 382.03

    >>> round(kung_rayment_ms({"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}).value, 3)
    382.03
    """
    checked = _CHECKED.format(26, 12)
    return _linear("Kung-Rayment Ms", 539, _KUNG_RAYMENT, composition, KUNG_RAYMENT_SOURCE, checked)


def steven_haynes_ms(composition: Composition) -> Outcome:
    """Martensite start temperature by Steven and Haynes, a cross-check [degC].

    Ms = 561 - 474 C - 33 Mn - 17 Ni - 17 Cr - 21 Mo, contents in [mass %].

    Validity, ``parts`` and errors: as ``andrews_ms`` (no other limits were found). Source: Steven and Haynes 1956
    [secondary, two that agree].

    4130 by hand: 561 - 142.2 - 16.5 - 16.15 - 4.2 = 381.95

    >>> round(steven_haynes_ms({"C": 0.30, "Mn": 0.50, "Cr": 0.95, "Mo": 0.20}).value, 3)
    381.95
    """
    checked = _CHECKED.format(26, 13)
    return _linear("Steven-Haynes Ms", 561, _STEVEN_HAYNES, composition, STEVEN_HAYNES_SOURCE, checked)


def steven_haynes_m90(composition: Composition) -> Outcome:
    """Temperature at which nine tenths are martensite, by Steven and Haynes, a cross-check [degC].

    M90 = Ms - 103, Ms as in ``steven_haynes_ms``.

    Validity, errors: as there. Source: Steven and Haynes 1956 [memory for the 103].

    >>> round(steven_haynes_m90({"C": 0.30, "Mn": 0.80, "Cr": 0.50, "Ni": 0.55, "Mo": 0.20}).value, 2)
    267.35
    """
    start = steven_haynes_ms(composition)
    assert start.value is not None
    source = Source(STEVEN_HAYNES_SOURCE.title, "memory", edition=STEVEN_HAYNES_SOURCE.edition)
    return Outcome(
        method="Steven-Haynes M90",
        value=start.value - STEVEN_HAYNES_M90_SPAN_C,
        unit="degC",
        status=start.status,
        source=source,
        reasons=start.reasons,
        inputs=start.inputs,
        parts={**start.parts, "from Ms to M90": -STEVEN_HAYNES_M90_SPAN_C},
    )


def van_bohemen_ms(composition: Composition) -> Outcome:
    """Martensite start temperature by van Bohemen, which goes with his fractions [degC].

    Ms = 565 - (31 Mn + 13 Si + 10 Cr + 18 Ni + 12 Mo) - 600 (1 - exp(-0.96 C)), contents in [mass %].

    Validity: the author's limits were not found; ``ANDREWS_RANGES`` are taken, outside ``extrapolated``. The 26
    Cr-Mo steels differ from it by 14 degC. Errors: as ``andrews_ms``.
    Source: van Bohemen 2012 [secondary: three public implementations that agree].

    >>> round(van_bohemen_ms({"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}).value, 2)
    384.21
    """
    require_carbon(composition)
    c, mn, si, cr, ni, mo = contents(composition, VAN_BOHEMEN_ELEMENTS).values()
    parts = {
        "base": 565.0,
        "C": -600 * (1 - exp(-0.96 * c)),
        "other elements": -(31 * mn + 13 * si + 10 * cr + 18 * ni + 12 * mo),
    }
    outside = contents_outside(composition, ANDREWS_RANGES)
    return Outcome(
        method="van Bohemen Ms",
        value=sum(parts.values()),
        unit="degC",
        status="extrapolated" if outside else "ok",
        source=VAN_BOHEMEN_SOURCE,
        reasons=(*outside, _CHECKED.format(26, 14)),
        inputs=contents(composition, VAN_BOHEMEN_ELEMENTS),
        parts=parts,
    )


def _linear(
    method: str,
    base_c: int,
    coefficients: dict[str, str],
    composition: Composition,
    source: Source,
    checked: str,
) -> Outcome:
    require_carbon(composition)
    terms = {
        symbol: Fraction(factor) * percent(composition, symbol) for symbol, factor in coefficients.items()
    }
    outside = contents_outside(composition, ANDREWS_RANGES)
    return Outcome(
        method=method,
        value=float(base_c + sum(terms.values())),
        unit="degC",
        status="extrapolated" if outside else "ok",
        source=source,
        reasons=(*outside, checked),
        inputs=contents(composition, coefficients),
        parts={"base": float(base_c)} | {symbol: float(term) for symbol, term in terms.items() if term},
    )
