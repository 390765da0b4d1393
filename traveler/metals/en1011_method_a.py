"""The gate of EN 1011-2 method A: up to which combined thickness a joint needs no preheat.

Only table C.1. Above its limits method A reads the preheat from diagrams, for which there is no closed
form, and none is made up here.
"""

from collections.abc import Sequence
from fractions import Fraction
from math import isfinite

from traveler.metals.carbon_equivalents import CE_IIW_BOX
from traveler.metals.composition import Composition, check_composition, percent
from traveler.metals.outcome import Outcome, Source
from traveler.metals.validity import Range, require_positive, sentences

METHOD_A_SOURCE = Source("EN 1011-2, method A without preheat", "seen", clause="table C.1", edition="2001+A1")
CE_LIMIT = Range("CE(IIW)", "%", high=0.49)
HEAT_INPUT_LIMIT = Range("heat input", "kJ/mm", low=1.0)

_CE_COLUMNS = (0.43, 0.49)
_HEAT_INPUT_COLUMNS = (2.0, 1.0)
# Greatest combined thickness [mm] by carbon equivalent and heat input, from hydrogen above 15 ml/100 g down.
_SCALES = ("A", "B", "C", "D", "E")
_SCALE_ABOVE_ML_100G = (15.0, 10.0, 5.0, 3.0, 0.0)
_GREATEST_MM = {
    (0.49, 1.0): (25.0, 30.0, 35.0, 50.0, 60.0),
    (0.49, 2.0): (50.0, 55.0, 65.0, 100.0, 100.0),
    (0.43, 1.0): (40.0, 50.0, 60.0, 100.0, 100.0),
    (0.43, 2.0): (80.0, 90.0, 100.0, 100.0, 100.0),
}


def combined_thickness_mm(members_mm: Sequence[float], opposed_at_once: bool = False) -> float:
    """Combined thickness of a joint as method A counts it [mm]: all the ways by which heat leaves the weld.

    The sum of the thicknesses: two plates in a butt joint, three ways in a T (the through plate counts
    twice), four in a cruciform joint. Half of the sum for two directly opposed fillets welded at the same time.

    Inputs: ``members_mm`` [mm], one entry for each way, each averaged over 75 mm from the weld line;
    ``opposed_at_once`` for the twin fillets.
    Validity: that of method A. Method B takes the single thickest member instead, never this sum.
    Raises ValueError for no member and for a thickness that is not above zero.
    Source: EN 1011-2:2001 C.2.4 [memory].

    >>> combined_thickness_mm([20, 20]), combined_thickness_mm([15, 15, 15], opposed_at_once=True)
    (40.0, 22.5)
    """
    if not members_mm:
        raise ValueError("members_mm must name at least one thickness")
    for thickness_mm in members_mm:
        require_positive("members_mm", thickness_mm)
    total = sum(Fraction(str(thickness_mm)) for thickness_mm in members_mm)
    return float(total / 2 if opposed_at_once else total)


def no_preheat_up_to_mm(
    ce_iiw: float,
    hydrogen_ml_100g: float,
    heat_input_kj_mm: float,
    composition: Composition | None = None,
) -> Outcome:
    """Greatest combined thickness that method A welds without preheat [mm].

    The column of the next higher carbon equivalent (0.43 or 0.49) and of the next lower heat input (1 or 2
    kJ/mm), the row of the hydrogen scale; nothing in between.

    Inputs: ``ce_iiw`` CE [mass %]; ``hydrogen_ml_100g`` [ml per 100 g deposited metal]; ``heat_input_kj_mm`` Q
    [kJ/mm], with the efficiency of the process; ``composition`` [mass %], None where only CE is known: its
    limits then go unchecked, and a reason says so.
    Validity: CE above 0.49 or Q below 1 kJ/mm: ``not tabulated``. An element above ``CE_IIW_BOX``, the steels of
    the method [memory]: ``not applicable``. Carbon below the box: ``extrapolated``, on the safe side.
    Raises ValueError for an input that cannot be measured.
    Source: BS EN 1011-2:2001+A1 table C.1 [seen]; the letters of the scales [memory].

    CE 0.49, 1 kJ/mm, 8 ml/100 g: 35 mm, so a T of 15 mm plates (45 mm) needs preheat.

    >>> no_preheat_up_to_mm(0.49, 8, 1.0).value
    35.0
    """
    require_positive("heat_input_kj_mm", heat_input_kj_mm)
    if not (isfinite(hydrogen_ml_100g) and hydrogen_ml_100g >= 0):
        raise ValueError(f"hydrogen_ml_100g must not be negative, and not {hydrogen_ml_100g}")
    if not (isfinite(ce_iiw) and 0 <= ce_iiw <= 100):
        raise ValueError(f"ce_iiw must be from 0 to 100 mass percent, not {ce_iiw}")
    contents = _contents(composition)
    rich = sentences(limit.above(content) for limit, content in contents)
    beyond = sentences([CE_LIMIT.above(ce_iiw), HEAT_INPUT_LIMIT.below(heat_input_kj_mm)])
    lean = sentences(limit.below(content) for limit, content in contents)
    unchecked = (
        ("the composition is not given, so its limits were not checked",) if composition is None else ()
    )
    refused = bool(rich or beyond)
    return Outcome(
        method="EN 1011-2 method A, table C.1",
        value=None if refused else _row_mm(ce_iiw, hydrogen_ml_100g, heat_input_kj_mm),
        unit="mm",
        status="not applicable" if rich else "not tabulated" if beyond else "extrapolated" if lean else "ok",
        source=METHOD_A_SOURCE,
        reasons=rich + beyond + lean + unchecked,
        inputs={
            "ce_iiw": ce_iiw,
            "hydrogen_ml_100g": hydrogen_ml_100g,
            "heat_input_kj_mm": heat_input_kj_mm,
        },
    )


def hydrogen_scale(hydrogen_ml_100g: float) -> str:
    """Hydrogen scale of EN 1011-2, A (most) to E (least).

    A above 15, B above 10, C above 5, D above 3 ml per 100 g of deposited metal, E the rest.

    Input: ``hydrogen_ml_100g`` [ml/100 g]. Source: EN 1011-2:2001+A1 table C.1, limits [seen], letters [memory].

    >>> [hydrogen_scale(hydrogen) for hydrogen in (16, 15, 10, 5, 3)]
    ['A', 'B', 'C', 'D', 'E']
    """
    return _SCALES[_scale_index(hydrogen_ml_100g)]


def _scale_index(hydrogen_ml_100g: float) -> int:
    above = (index for index, bound in enumerate(_SCALE_ABOVE_ML_100G) if hydrogen_ml_100g > bound)
    return next(above, len(_SCALES) - 1)


def _row_mm(ce_iiw: float, hydrogen_ml_100g: float, heat_input_kj_mm: float) -> float:
    ce_column = next(column for column in _CE_COLUMNS if ce_iiw <= column)
    heat_column = next(column for column in _HEAT_INPUT_COLUMNS if heat_input_kj_mm >= column)
    return _GREATEST_MM[ce_column, heat_column][_scale_index(hydrogen_ml_100g)]


def _contents(composition: Composition | None) -> list[tuple[Range, float]]:
    if composition is None:
        return []
    check_composition(composition)
    return [(limit, float(percent(composition, limit.name))) for limit in CE_IIW_BOX]
