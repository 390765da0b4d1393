"""Preheat by SEW 088 supplement 1, the older line of the method that became EN 1011-2 method B."""

from dataclasses import replace

from traveler.metals.composition import Composition
from traveler.metals.en1011_method_b import preheat_method_b
from traveler.metals.outcome import Outcome, Source

SEW_088_SOURCE = Source("SEW 088 supplement 1, as a textbook on steel construction prints it", "seen")


def preheat_sew_088(
    cet: float,
    thickness_mm: float,
    hydrogen_ml_100g: float,
    heat_input_kj_mm: float,
    composition: Composition | None = None,
    filler_low_alloy: bool = True,
) -> Outcome:
    """Least preheat and interpass temperature by SEW 088 supplement 1 [degC], a cross-check of method B.

    T = 700 CET + 160 tanh(d/35) + 62 HD^0.35 + (53 CET - 32) Q - 330: method B less 2 - 3 CET, all of it in
    the contribution of the carbon equivalent, which is 753 CET - 152 here.

    Inputs, validity, statuses and errors: as ``preheat_method_b``; the textbook gives yield strengths of 300 to
    1000 N/mm2, which is not checked. Source: SEW 088 supplement 1 [seen, in a textbook].

    4130, 25 mm, HD 5, 1 kJ/mm; method B says 160.16:

    >>> round(preheat_sew_088(0.4175, 25, 5, 1.0).value, 2)
    159.42
    """
    outcome = preheat_method_b(
        cet, thickness_mm, hydrogen_ml_100g, heat_input_kj_mm, composition, filler_low_alloy
    )
    parts = dict(outcome.parts)
    if parts:
        parts["carbon equivalent"] = 753 * cet - 152
    return replace(
        outcome,
        method="SEW 088",
        source=SEW_088_SOURCE,
        value=sum(parts.values()) if parts else None,
        parts=parts,
    )
