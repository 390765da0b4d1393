"""Preheat by Seferian's rule of 1959: carbon equivalent and thickness, and nothing of hydrogen or heat input."""

from fractions import Fraction
from math import sqrt

from traveler.metals.composition import Composition, check_composition, percent
from traveler.metals.outcome import Outcome, Source
from traveler.metals.validity import require_positive

SEFERIAN_SOURCE = Source("Seferian, Metallurgie de la soudure", "memory", edition="1959")

_WEIGHTS = {
    "C": Fraction(1),
    "Mn": Fraction(1, 9),
    "Cr": Fraction(1, 9),
    "Ni": Fraction(1, 18),
    "Mo": Fraction(7, 90),
}
_PER_MM = Fraction(1, 200)
_THRESHOLD = Fraction(1, 4)


def preheat_seferian(composition: Composition, thickness_mm: float) -> Outcome:
    """Preheat by Seferian's rule [degC], an indication and no more.

    T = 350 sqrt(Ct - 0.25), Ct = Cc (1 + 0.005 e), Cc = C + (Mn + Cr)/9 + Ni/18 + 7 Mo/90; no preheat where
    Ct is 0.25 or less.

    Inputs: ``composition`` [mass %]; ``thickness_mm`` e [mm]. ``inputs`` of the outcome carry Cc as
    "chemical_equivalent" and Ct as "total_equivalent" [mass %].
    Validity: carbon and low-alloy steels with the basic electrodes of its time; the author's limits were not
    found, so none is checked. It knows neither hydrogen nor heat input, and asks for preheat on
    modern structural steel that needs none (91 degC for A36 of 20 mm).
    Where it asks for none the value is 0 and a reason says so; that is not a temperature to hold.
    Raises ValueError for a composition that cannot be one and a thickness that is not above zero.
    Source: Seferian 1959 [memory].

    4130 of 25 mm: Cc 0.4767, Ct 0.5363, 187.3 degC.

    >>> bar = {"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}
    >>> round(preheat_seferian(bar, 25).value, 1)
    187.3
    """
    require_positive("thickness_mm", thickness_mm)
    check_composition(composition)
    chemical = sum(weight * percent(composition, symbol) for symbol, weight in _WEIGHTS.items())
    total = chemical * (1 + _PER_MM * Fraction(str(thickness_mm)))
    excess = total - _THRESHOLD
    none_needed = "the rule asks for no preheat: its total equivalent is not above 0.25 %"
    return Outcome(
        method="Seferian",
        value=350 * sqrt(excess) if excess > 0 else 0.0,
        unit="degC",
        status="ok",
        source=SEFERIAN_SOURCE,
        reasons=() if excess > 0 else (none_needed,),
        inputs={
            "thickness_mm": thickness_mm,
            "chemical_equivalent": float(chemical),
            "total_equivalent": float(total),
        },
    )
