"""The job's decision rule: how far the uncertainty of an instrument may reach beyond a limit."""

from collections.abc import Mapping
from fractions import Fraction

from traveler.job.requirement import Verdict

SIMPLE_ACCEPTANCE = "simple acceptance"
GUARD_BANDS: Mapping[str, Fraction] = {
    "guard band": Fraction(1),
    "guard band 0.83": Fraction(83, 100),
}
"""Width of the guard band in expanded uncertainties: ILAC-G8:09/2019 [seen], ISO 14253-1:2017 [secondary]."""

DECISION_RULES = (SIMPLE_ACCEPTANCE, *GUARD_BANDS)


def margin_needed(rule: str) -> Fraction:
    """How far inside a limit a reading must lie to be simply met, in expanded uncertainties.

    Under simple acceptance a reading that its uncertainty reaches beyond the limit is told apart as well, by the whole
    of it, though it is accepted.
    """
    return GUARD_BANDS.get(rule, Fraction(1))


def blocks(verdict: Verdict, rule: str) -> bool:
    """Whether a verdict stands against acceptance under a rule: a conditional one only under a guard band."""
    return verdict in ("not met", "not shown") or (verdict == "conditional" and rule in GUARD_BANDS)
