"""Decision rules for a measured value near a limit, and how likely it is that the true value complies."""

from math import erfc, isfinite, sqrt
from typing import Literal

from traveler.metals.outcome import Source

SIMPLE_SOURCE = Source(
    "ILAC-G8", "seen", clause="pages 8 to 10, binary and non-binary statements", edition="09/2019"
)
ISO_14253_SOURCE = Source("ISO 14253-1, as a page on decision rules quotes it", "secondary", edition="2017")
PROBABILITY_SOURCE = Source(
    "JCGM 106", "memory", clause="7, conformance probability for a normal distribution", edition="2012"
)

COVERAGE = 2.0
"""U = 2 u throughout: the expanded uncertainty at k = 2."""

Statement = Literal["pass", "conditional pass", "conditional fail", "fail"]


def acceptance_limits(
    at_least: float | None, at_most: float | None, guard: float
) -> tuple[float | None, float | None]:
    """The limits drawn in by the guard band: a value between them is accepted.

    AL = TL - w at a maximum, AL = TL + w at a minimum. w = 0 is simple acceptance; w = U is the guard band of
    ILAC-G8 (false accept at the limit below 2.5 %); w = 0.83 U is that of ISO 14253-1 (below 5 %).

    Inputs: ``at_least``, ``at_most``, None where there is none; ``guard`` w, not negative; all in one unit.
    Raises ValueError for a negative guard band, and for one greater than half of the range between the limits:
    nothing would be left to accept.
    Source: ILAC-G8:09/2019 [seen]; ISO 14253-1:2017 [secondary].

    A minimum of 593 degC with U = 5.60 C deg (constructed): accepted from 598.6 degC.

    >>> acceptance_limits(593.0, None, 5.6)
    (598.6, None)
    """
    if not (isfinite(guard) and guard >= 0):
        raise ValueError(f"a guard band must not be negative, not {guard}")
    if at_least is not None and at_most is not None and at_most - at_least < 2 * guard:
        raise ValueError(
            f"a guard band of {guard} on each side leaves nothing to accept between {at_least} and {at_most}"
        )
    return (
        None if at_least is None else at_least + guard,
        None if at_most is None else at_most - guard,
    )


def statement(value: float, at_least: float | None, at_most: float | None, guard: float) -> Statement:
    """Non-binary statement with a guard band w on both sides of each limit; of two limits the worse one counts.

    Against a maximum TL: pass up to TL - w, conditional pass up to TL, conditional fail up to TL + w, else fail; a
    minimum is the mirror image. A value on a border belongs to the better side.

    Inputs: ``value``, ``at_least``, ``at_most``, ``guard`` w in one unit; w not negative.
    Raises ValueError without any limit, and as ``acceptance_limits``.
    Source: ILAC-G8:09/2019 [seen].

    >>> statement(596.0, 593.0, None, 5.6), statement(592.0, 593.0, None, 5.6)
    ('conditional pass', 'conditional fail')
    """
    acceptance_limits(at_least, at_most, guard)
    margin = _margin(value, at_least, at_most)
    if margin >= guard:
        return "pass"
    if margin >= 0:
        return "conditional pass"
    return "conditional fail" if margin >= -guard else "fail"


def conformance_probability(
    value: float, standard_uncertainty: float, at_least: float | None, at_most: float | None
) -> float:
    """Probability that the true value lies within the limits, given what was read.

    Phi((TU - y)/u) - Phi((TL - y)/u); without a lower or an upper limit that term is 0 or 1.

    Inputs: ``value`` y, ``standard_uncertainty`` u = U/2 greater than zero, ``at_least`` TL, ``at_most`` TU, in one
    unit. Validity: the reading's error is normal and nothing else is known of the true value.
    Raises ValueError where u is not greater than zero, and without any limit.
    Source: JCGM 106:2012 [memory].

    The Zener diode of that guide: at most -5.40 V, -5.47 V read, u = 0.05 V:

    >>> round(conformance_probability(-5.47, 0.05, None, -5.40), 3)
    0.919
    """
    if not (isfinite(standard_uncertainty) and standard_uncertainty > 0):
        raise ValueError(f"a standard uncertainty must be greater than zero, not {standard_uncertainty}")
    if at_least is None and at_most is None:
        raise ValueError("without a limit there is nothing to conform to")
    # Each tail by itself: 1 - Phi loses every digit where the value lies far inside.
    beyond = 0.0
    if at_most is not None:
        beyond += _upper_tail((at_most - value) / standard_uncertainty)
    if at_least is not None:
        beyond += _upper_tail((value - at_least) / standard_uncertainty)
    return 1.0 - beyond


def false_accept_at_limit(guard_in_u: float) -> float:
    """Greatest probability of accepting what does not comply, with a guard band of ``guard_in_u`` times U (k = 2).

    Phi(-2 r): the true value just beyond the limit, one-sided, normal.

    Inputs: ``guard_in_u`` r = w/U, not negative. Raises ValueError for a negative one.
    Source: ILAC-G8:09/2019, its table of guard bands [secondary], recomputed.

    >>> [round(100 * false_accept_at_limit(r), 2) for r in (0, 0.83, 1, 1.5)]
    [50.0, 4.85, 2.28, 0.13]
    """
    if not (isfinite(guard_in_u) and guard_in_u >= 0):
        raise ValueError(f"a guard band must not be negative, not {guard_in_u}")
    return _upper_tail(COVERAGE * guard_in_u)


def _margin(value: float, at_least: float | None, at_most: float | None) -> float:
    margins = []
    if at_least is not None:
        margins.append(value - at_least)
    if at_most is not None:
        margins.append(at_most - value)
    if not margins:
        raise ValueError("without a limit there is nothing to conform to")
    return min(margins)


def _upper_tail(z: float) -> float:
    return 0.5 * erfc(z / sqrt(2))
