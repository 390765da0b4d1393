"""Temperatures at which a steel changes its structure."""

from fractions import Fraction
from math import sqrt

from traveler.metals.composition import (
    Composition,
    check_composition,
    contents_outside,
    percent,
    require_carbon,
)
from traveler.metals.outcome import Outcome, Source
from traveler.metals.validity import Range

ANDREWS_SOURCE = Source("Andrews, J. Iron Steel Inst. 203, 721-727", "secondary", edition="1965")
ANDREWS_RANGES = (
    Range("C", "%", high=0.6),
    Range("Mn", "%", high=4.9),
    Range("Cr", "%", high=5.0),
    Range("Ni", "%", high=5.0),
)  # [memory]
ANDREWS_AC1_ACCURACY_SPAN_C = 20.0

_AC1 = {
    "Mn": Fraction("-10.7"),
    "Ni": Fraction("-16.9"),
    "Si": Fraction("29.1"),
    "Cr": Fraction("16.9"),
    "As": Fraction(290),
    "W": Fraction("6.38"),
}

_AC3 = {
    "Ni": Fraction("-15.2"),
    "Si": Fraction("44.7"),
    "V": Fraction(104),
    "Mo": Fraction("31.5"),
    "W": Fraction("13.1"),
    "Mn": Fraction(-30),
    "Cr": Fraction(-11),
    "Cu": Fraction(-20),
    "P": Fraction(700),
    "Al": Fraction(400),
    "As": Fraction(120),
    "Ti": Fraction(400),
}


def andrews_ac1(composition: Composition) -> Outcome:
    """Lower critical temperature on heating, Ac1: where austenite begins to form [degC].

    Ac1 = 723 - 10.7 Mn - 16.9 Ni + 29.1 Si + 16.9 Cr + 290 As + 6.38 W, contents in [mass %].

    Validity: low-alloy steels with C up to 0.6, Mn 4.9, Cr 5, Ni 5 % [memory]; outside, ``extrapolated``.
    Good to about 20 degC either way: data sheets list 750 for 25CrMo4 (the formula gives 740) and 720 for
    42CrMo4 (740). Whoever sets a ceiling by it keeps a margin below it; a reason says so with every value.
    ``parts``: 723 as "base", and the share of each element.
    Source: K. W. Andrews, J. Iron Steel Inst. 203 (1965) 721-727, as quoted from Krauss, Steels: Heat
    Treatment and Processing Principles [secondary].

    4130 by hand: 723 - 5.35 + 7.275 + 16.055 = 740.98

    >>> round(andrews_ac1({"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95}).value, 2)
    740.98
    """
    check_composition(composition)
    terms = {symbol: factor * percent(composition, symbol) for symbol, factor in _AC1.items()}
    outside = contents_outside(composition, ANDREWS_RANGES)
    return Outcome(
        method="Andrews Ac1",
        value=float(723 + sum(terms.values())),
        unit="degC",
        status="extrapolated" if outside else "ok",
        source=ANDREWS_SOURCE,
        reasons=(*outside, f"good to about {ANDREWS_AC1_ACCURACY_SPAN_C:g} degC either way"),
        inputs={symbol: float(percent(composition, symbol)) for symbol in terms},
        parts={"base": 723.0} | {symbol: float(term) for symbol, term in terms.items() if term},
    )


def andrews_ac3(composition: Composition) -> Outcome:
    """Upper critical temperature on heating, Ac3: where the last ferrite has become austenite [degC].

    Ac3 = 910 - 203 sqrt(C) - 15.2 Ni + 44.7 Si + 104 V + 31.5 Mo + 13.1 W
    - 30 Mn - 11 Cr - 20 Cu + 700 P + 400 Al + 120 As + 400 Ti, contents in [mass %].

    Validity: as ``andrews_ac1``. Phosphorus and aluminium that a certificate does not report count as none: the
    value then lies some 20 degC low for common steel.
    ``parts``: 910 as "base", and the share of each element.
    Raises ValueError for a composition without carbon.
    Source: Andrews 1965, coefficients as Gorni, Steel Forming and Heat Treating Handbook (2012), prints them
    [secondary]; the signs of the bracket from Mn to Ti [memory]: a public program reads it with + 11 Cr + 20 Cu.

    4130 by hand: 910 - 111.19 + 11.175 + 6.3 - 15 - 10.45 = 790.84; handbooks list 810 with its P and Al [memory]

    >>> round(andrews_ac3({"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}).value, 2)
    790.84
    """
    require_carbon(composition)
    terms = {symbol: float(factor * percent(composition, symbol)) for symbol, factor in _AC3.items()}
    terms["C"] = -203 * sqrt(percent(composition, "C"))
    outside = contents_outside(composition, ANDREWS_RANGES)
    return Outcome(
        method="Andrews Ac3",
        value=910 + sum(terms.values()),
        unit="degC",
        status="extrapolated" if outside else "ok",
        source=Source(ANDREWS_SOURCE.title, "memory", edition=ANDREWS_SOURCE.edition),
        reasons=(*outside, f"good to about {ANDREWS_AC1_ACCURACY_SPAN_C:g} degC either way"),
        inputs={symbol: float(percent(composition, symbol)) for symbol in terms},
        parts={"base": 910.0} | {symbol: term for symbol, term in terms.items() if term},
    )
