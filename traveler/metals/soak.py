"""Hold time and rate limits by thickness, in the form that stress-relief rules give them.

The numbers of a rule are handed in. Everything is an exact fraction, so a chart is judged at the limit
and not beside it.
"""

from fractions import Fraction
from math import ceil


def hold_minutes(
    thickness_in: Fraction,
    minimum: Fraction,
    per_inch: Fraction,
    knee_in: Fraction | None = None,
    per_inch_beyond: Fraction = Fraction(0),
    round_up_in: Fraction | None = None,
) -> Fraction:
    """Least time at temperature [min].

    max(``minimum``, ``per_inch`` t) up to ``knee_in``; beyond it the time at the knee and ``per_inch_beyond``
    for each further inch. Without a knee the first line holds for every thickness.

    Inputs: ``thickness_in`` t [in], the thickness that the rule itself defines (often that of the weld,
    not of the plate); ``minimum`` [min]; ``per_inch`` and ``per_inch_beyond`` [min/in]; ``knee_in`` [in].
    ``round_up_in`` [in] is for a rule that says "or fraction thereof": t counts in whole steps of this
    size up to the knee, and beyond it in whole inches, since there the rule counts by the inch.
    Validity: that of the rule whose numbers are handed in.
    Raises ValueError where the thickness or a step is not greater than zero.
    Source: the form of ASME VIII-1 table UCS-56 [seen] and of AWS D1.1 table 5.2 [memory].

    P-No. 1 by UCS-56 at 3 in: 2 h and 15 min. AWS D1.1 at 3/8 in: two quarter inches, 30 min.

    >>> hold_minutes(Fraction(3), Fraction(15), Fraction(60), Fraction(2), Fraction(15))
    Fraction(135, 1)
    >>> hold_minutes(Fraction(3, 8), Fraction(15), Fraction(60), Fraction(2), Fraction(15), Fraction(1, 4))
    Fraction(30, 1)
    """
    if thickness_in <= 0:
        raise ValueError(f"thickness_in must be greater than zero, not {thickness_in}")
    if round_up_in is not None and round_up_in <= 0:
        raise ValueError(f"round_up_in must be greater than zero, not {round_up_in}")
    if knee_in is None or thickness_in <= knee_in:
        return max(minimum, per_inch * _rounded_up(thickness_in, round_up_in))
    further_in = thickness_in - knee_in
    if round_up_in is not None:
        further_in = Fraction(ceil(further_in))
    return max(minimum, per_inch * knee_in) + per_inch_beyond * further_in


def rate_limit(thickness_in: Fraction, cap: Fraction, floor: Fraction) -> Fraction:
    """Greatest heating or cooling rate, in the unit of ``cap`` (a temperature difference per hour).

    max(``floor``, ``cap`` / max(1, t)): the cap holds up to 1 in and is divided by the thickness above
    that; a rule never asks for less than its floor.

    Inputs: ``thickness_in`` t [in], the greatest metal thickness (a rule that divides by half the
    thickness is handed half of it); ``cap`` and ``floor`` in one unit, degF/h or degC/h, as the rule
    prints them.
    Validity: above the temperature from which the rule limits rates.
    Raises ValueError where the thickness is not greater than zero or the floor lies above the cap.
    Source: the form of ASME VIII-1 UCS-56(d) and of AWS D1.1 clause 7.8 [secondary].

    Heating by UCS-56(d) at 3 in: 400/3 degF/h; at 5 in 80, which the floor lifts to 100.

    >>> rate_limit(Fraction(3), cap=Fraction(400), floor=Fraction(100))
    Fraction(400, 3)
    >>> rate_limit(Fraction(5), cap=Fraction(400), floor=Fraction(100))
    Fraction(100, 1)
    """
    if thickness_in <= 0:
        raise ValueError(f"thickness_in must be greater than zero, not {thickness_in}")
    if floor > cap:
        raise ValueError(f"the floor {floor} must not lie above the cap {cap}")
    return max(floor, cap / max(Fraction(1), thickness_in))


def _rounded_up(thickness_in: Fraction, step_in: Fraction | None) -> Fraction:
    return thickness_in if step_in is None else step_in * ceil(thickness_in / step_in)
