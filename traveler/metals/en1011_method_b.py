"""Preheat against hydrogen cracking by EN 1011-2 annex C.3, "method B"."""

from fractions import Fraction
from functools import lru_cache
from math import isfinite, tanh

from traveler.metals.carbon_equivalents import CET_BOX
from traveler.metals.composition import Composition, check_composition
from traveler.metals.outcome import Outcome, Source, Status
from traveler.metals.validity import Range, require_positive, sentences

METHOD_B_SOURCE = Source("EN 1011-2", "secondary", clause="C.3", edition="2001")
CET_RANGE = Range("CET", "%", 0.20, 0.50)  # [memory]
THICKNESS_RANGE = Range("thickness", "mm", 10, 90)  # [memory]
HYDROGEN_RANGE = Range("hydrogen", "ml/100 g", 1, 20)  # [secondary]
HEAT_INPUT_RANGE = Range("heat input", "kJ/mm", 0.5, 4)  # [memory]

_DEPOSIT_LEAD = Fraction(3, 100)


def preheat_method_b(
    cet: float,
    thickness_mm: float,
    hydrogen_ml_100g: float,
    heat_input_kj_mm: float,
    composition: Composition | None = None,
    filler_low_alloy: bool = True,
) -> Outcome:
    """Least preheat and interpass temperature by EN 1011-2 method B [degC].

    The four contributions of equations C.3 to C.6, which add up to C.8::

        carbon equivalent   750 CET - 150
        thickness           160 tanh(d/35) - 110
        hydrogen            62 HD^0.35 - 100
        heat input          (53 CET - 32) (Q - 1)
        sum                 697 CET + 160 tanh(d/35) + 62 HD^0.35 + (53 CET - 32) Q - 328

    Inputs: ``cet`` [mass %], as ``effective_cet`` gives it. ``thickness_mm`` d [mm]: the thickest single
    member of the joint, never the combined thickness. ``hydrogen_ml_100g`` HD: diffusible hydrogen [ml
    per 100 g deposited metal] by ISO 3690. ``heat_input_kj_mm`` Q [kJ/mm]: heat input, that is with the
    efficiency of the process, not arc energy. ``composition`` [mass %] of the parent metal; None where
    only a CET is known: its limits then go unchecked, and a reason says so. ``filler_low_alloy``: False
    for austenitic and nickel fillers.

    Validity: CET 0.20 to 0.50 %, d 10 to 90 mm, Q 0.5 to 4 kJ/mm [all three memory], HD 1 to 20 ml/100 g
    [secondary], yield strength up to 1000 N/mm2 [memory, not checked], composition ``CET_BOX`` [secondary].

    - d or Q outside: the value is given as ``extrapolated``. Beyond 90 mm it rises by less than 2 degC; below
      10 mm it does not fall to nothing, but nothing shows that it holds.
    - C or Mn below the box: ``extrapolated``. Less of them makes the steel less hardenable than the tests
      behind the method, and the index follows that; 4130 may have Mn from 0.40 %.
    - any element above its maximum, CET outside its range, HD above 20, another kind of filler:
      ``not applicable`` and no value. The metal may harden, or the hydrogen act, beyond all that was tested.
    - HD below 1 counts as 1, the safe side, and a reason says so.

    The value may lie below room temperature or below zero: the formula then asks for no preheat. It is
    returned as it comes; floors (a dry part, 5 or 21 degC) are not of this method.
    Raises ValueError for an input that cannot be measured (a thickness of zero, negative hydrogen).

    Source: EN 1011-2:2001 annex C.3: equation C.8 [secondary, two sources that agree], C.3 to C.6
    [memory; their sum is C.8, and the tests show it]. SEW 088 supplement 1 prints the same line with 700
    CET and -330 [seen].

    4130 as in a certificate, 25 mm, HD 5, 1 kJ/mm; 160.16 by equation C.8:

    >>> steel = {"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}
    >>> thick = preheat_method_b(0.4175, 25, 5, 1.0, steel)
    >>> round(thick.value, 2), thick.status
    (160.16, 'ok')
    """
    require_positive("thickness_mm", thickness_mm)
    require_positive("heat_input_kj_mm", heat_input_kj_mm)
    if not (isfinite(hydrogen_ml_100g) and hydrogen_ml_100g >= 0):
        raise ValueError(f"hydrogen_ml_100g must not be negative, and not {hydrogen_ml_100g}")
    if not (isfinite(cet) and 0 <= cet <= 100):
        raise ValueError(f"cet must be from 0 to 100 mass percent, not {cet}")

    contents = _contents(composition)
    refusals = _refusals(cet, hydrogen_ml_100g, contents, filler_low_alloy)
    cautions = _cautions(thickness_mm, heat_input_kj_mm, contents)
    status: Status = "not applicable" if refusals else "extrapolated" if cautions else "ok"
    hydrogen_used = max(hydrogen_ml_100g, 1.0)
    parts = {} if refusals else _contributions(cet, thickness_mm, hydrogen_used, heat_input_kj_mm)
    return Outcome(
        method="EN 1011-2 method B",
        value=sum(parts.values()) if parts else None,
        unit="degC",
        status=status,
        source=METHOD_B_SOURCE,
        reasons=refusals + cautions + _remarks(hydrogen_ml_100g, composition),
        inputs={
            "cet": cet,
            "thickness_mm": thickness_mm,
            "hydrogen_ml_100g": hydrogen_used,
            "heat_input_kj_mm": heat_input_kj_mm,
        },
        parts=parts,
    )


@lru_cache(maxsize=1024)  # a job asks for the same few metals and deposits again and again
def effective_cet(parent_cet: float, deposit_cet: float) -> float:
    """The CET that method B is to be given for a parent metal and the deposit in it [mass %].

    CET = max(parent, deposit + 0.03): the heat-affected zone governs only where the parent metal is
    richer than the deposit by at least 0.03 %; otherwise cracks start in the weld metal, and the deposit
    governs.

    Inputs: CET of the parent metal and of the deposit [mass %]: the deposit's from its certificate, else
    that of the typical deposit of the classification, not of its class limits. With two parent metals,
    once for each.
    Validity: that of method B. Source: EN 1011-2:2001 C.3 [memory for its wording]; a plate producer's
    welding handbook limits its preheat chart by the same 0.03 % [seen].

    4130 (0.4175) with an ER80S-D2 deposit (0.33), and with a deposit like itself:

    >>> effective_cet(0.4175, 0.33), effective_cet(0.4175, 0.4175)
    (0.4175, 0.4475)
    """
    return float(max(Fraction(str(parent_cet)), Fraction(str(deposit_cet)) + _DEPOSIT_LEAD))


def _contributions(
    cet: float, thickness_mm: float, hydrogen_ml_100g: float, heat_input_kj_mm: float
) -> dict[str, float]:
    """Equations C.3 to C.6 [degC]."""
    heat = (53 * cet - 32) * (heat_input_kj_mm - 1)
    return {
        "carbon equivalent": 750 * cet - 150,
        "thickness": 160 * tanh(thickness_mm / 35) - 110,
        "hydrogen": 62 * hydrogen_ml_100g**0.35 - 100,
        "heat input": heat + 0.0,  # at 1 kJ/mm the product is -0.0, which would print with its sign
    }


def _refusals(
    cet: float, hydrogen_ml_100g: float, contents: list[tuple[Range, float]], filler_low_alloy: bool
) -> tuple[str, ...]:
    """Why the method says nothing."""
    filler = None if filler_low_alloy else "the method holds for unalloyed and low-alloy fillers only"
    rich = [limit.above(content) for limit, content in contents]
    return sentences([CET_RANGE.outside(cet), *rich, HYDROGEN_RANGE.above(hydrogen_ml_100g), filler])


def _cautions(
    thickness_mm: float, heat_input_kj_mm: float, contents: list[tuple[Range, float]]
) -> tuple[str, ...]:
    """Why the value is outside what the method was proven for."""
    lean = [limit.below(content) for limit, content in contents]
    return sentences(
        [THICKNESS_RANGE.outside(thickness_mm), HEAT_INPUT_RANGE.outside(heat_input_kj_mm), *lean]
    )


def _remarks(hydrogen_ml_100g: float, composition: Composition | None) -> tuple[str, ...]:
    """What was assumed; does not touch the status."""
    scarce = HYDROGEN_RANGE.below(hydrogen_ml_100g)
    return sentences(
        [
            None if scarce is None else f"{scarce}, so 1 ml/100 g is used",
            "the composition is not given, so its limits were not checked" if composition is None else None,
        ]
    )


def _contents(composition: Composition | None) -> list[tuple[Range, float]]:
    if composition is None:
        return []
    check_composition(composition)
    return [(limit, float(composition.get(limit.name, 0.0))) for limit in CET_BOX]
