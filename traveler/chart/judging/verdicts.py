"""From a number beside its limit to a verdict, and from many verdicts to one."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from traveler.chart.model import Bound, Criterion, Fault, Verdict

WORST_LAST: tuple[Verdict, ...] = ("met", "conditional", "not shown", "not met")


@dataclass(frozen=True, slots=True)
class Finding:
    """One criterion judged, and the places where it fails or is not shown, the most telling first."""

    criterion: Criterion
    faults: tuple[Fault, ...] = ()


MOST_TOLD = 3
"""Stretches of one kind that the reasons tell one by one."""
MOST_DRAWN = 20
"""Faults of one criterion; a chart with a hole in every other row would bury the rest."""


def told(words: Sequence[str], of: int, more: str) -> list[str]:
    """The first of them, and how many more there are of ``of`` in all; never a last one alone."""
    if len(words) <= MOST_TOLD or (of == MOST_TOLD + 1 == len(words)):
        return list(words)
    return [*words[:MOST_TOLD], f"and {of - MOST_TOLD} more {more}"]


def badness(verdict: Verdict) -> int:
    """0 for met, rising to 3 for not met."""
    return WORST_LAST.index(verdict)


def worst_of(verdicts: Iterable[Verdict]) -> Verdict:
    """The worst of them in the order not met, not shown, conditional, met; met for none."""
    return max(verdicts, key=badness, default="met")


def margin_to(bound: Bound, worst: Fraction, limit: Fraction) -> Fraction:
    """What is left to the limit, negative beyond it."""
    return limit - worst if bound == "at_most" else worst - limit


def against(margin: Fraction, guard: Fraction) -> Verdict:
    """The verdict on a number with so much left to its limit, itself uncertain by ``guard``; a tie is inside."""
    if margin < 0:
        return "not met"
    return "conditional" if margin < guard else "met"
