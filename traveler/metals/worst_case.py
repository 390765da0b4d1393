"""The worst composition that a specification still admits, for one question."""

from collections.abc import Mapping
from fractions import Fraction

from traveler.metals.carbon_equivalents import CE_IIW_WEIGHTS, CET_WEIGHTS
from traveler.metals.composition import Composition, percent


def greatest_cet_under_cev(
    reported: Composition, maxima: Mapping[str, float], ce_iiw_max_percent: float
) -> float:
    """Greatest CET of a steel whose product standard limits CE(IIW) beside its elements [mass %].

    Every element at its own maximum at once would break the guaranteed CE(IIW). The greatest CET inside it spends what
    CE(IIW) allows on the elements that give the most CET for it, in the order of the quotients of their weights:
    C 1, Cu 0.75, Mn 0.6, Mo 0.5, Ni 0.375, Cr 0.25. That is the exact optimum of this linear problem.

    Inputs: ``reported`` [mass %], the contents that are known; ``maxima`` [mass %] of the elements that are not, by
    the grade; ``ce_iiw_max_percent`` [mass %] that the standard guarantees.
    Validity: the thicknesses for which the standard guarantees both. Where the reported contents alone reach the
    guaranteed value, the others count as absent. Raises ValueError for a composition that cannot be one.
    Source: the formulas of CE(IIW) and CET; the optimum is ours.

    S355J2 by EN 10025-2 table 2 and CE(IIW) 0.45: C 0.20, Cu 0.55, and Mn 1.28 instead of 1.60:

    >>> grade = {"C": 0.20, "Si": 0.55, "Mn": 1.60, "Cu": 0.55}
    >>> round(greatest_cet_under_cev({}, grade, 0.45), 4)
    0.3555
    """
    left = Fraction(str(ce_iiw_max_percent))
    greatest = Fraction(0)
    for symbol in reported:
        left -= CE_IIW_WEIGHTS.get(symbol, Fraction(0)) * percent(reported, symbol)
        greatest += CET_WEIGHTS.get(symbol, Fraction(0)) * percent(reported, symbol)
    for symbol in _MOST_CET_FIRST:
        if symbol in maxima and symbol not in reported and left > 0:
            spent = min(left, CE_IIW_WEIGHTS[symbol] * percent(maxima, symbol))
            left -= spent
            greatest += spent * _cet_for_ce(symbol)
    return float(greatest)


def _cet_for_ce(symbol: str) -> Fraction:
    return CET_WEIGHTS[symbol] / CE_IIW_WEIGHTS[symbol]


_MOST_CET_FIRST = tuple(sorted(CET_WEIGHTS, key=_cet_for_ce, reverse=True))
