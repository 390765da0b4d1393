"""What is known of one temperature reading: limits of error combined into an expanded uncertainty."""

from math import isfinite, sqrt

from traveler.metals.outcome import Source
from traveler.metals.thermocouple import CoupleKind, ToleranceClass, tolerance_c

UNCERTAINTY_SOURCE = Source(
    "JCGM 100 (GUM)", "memory", clause="4.3.7, rectangular distribution; 6.2, k = 2", edition="2008"
)
COVERAGE = 2.0


def expanded_uncertainty(*limits_of_error: float) -> float:
    """Expanded uncertainty, k = 2, of independent errors of which only the limits are known.

    U = 2 sqrt(sum a_i^2/3): each error lies anywhere between -a and +a, as likely here as there.

    Inputs: ``limits_of_error`` a_i, each half the width of its range; all in one unit, which the answer has.
    Validity: errors that do not depend on one another, none so great that it hides the others.
    Raises ValueError for a negative limit, and for none at all.
    Source: JCGM 100:2008 4.3.7 and 6.2 [memory].

    A class 2 couple at 600 degC with 4.5, a recorder with 1.5, a cold junction with 1.0 C deg (constructed):

    >>> round(expanded_uncertainty(4.5, 1.5, 1.0), 2)
    5.6
    """
    if not limits_of_error or not all(isfinite(limit) and limit >= 0 for limit in limits_of_error):
        raise ValueError(f"limits of error must be given, none of them negative, not {limits_of_error}")
    return COVERAGE * sqrt(sum(limit**2 for limit in limits_of_error) / 3)


def couple_uncertainty(
    kind: CoupleKind, tolerance_class: ToleranceClass, at_c: float, *others_c: float
) -> float:
    """Expanded uncertainty, k = 2, of a reading by a new couple of a tolerance class [C deg].

    Inputs: ``kind``, ``tolerance_class``, ``at_c`` [degC] as for ``tolerance_c``; ``others_c`` [C deg], the limits
    of error of what follows the couple: the reader, and its cold junction where the reader's own does not
    include it.
    Validity: ``tolerance_c`` and ``expanded_uncertainty``; where the couple sits, how it is fixed and how it drifted
    in use are not in it. Raises ValueError outside that.
    Source: as both.

    >>> round(couple_uncertainty("K", "IEC class 2", 600, 1.5, 1.0), 2)
    5.6
    """
    return expanded_uncertainty(tolerance_c(kind, tolerance_class, at_c), *others_c)
