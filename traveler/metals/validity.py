"""The range that a published method was made for, and the sentence that says an input lies outside it."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import isfinite


@dataclass(frozen=True, slots=True)
class Range:
    """Closed range of one input; a bound that is None is not stated by the source.

    ``name`` and ``unit`` are the words of the sentence: "thickness" and "mm", "C" and "%".
    """

    name: str
    unit: str
    low: float | None = None
    high: float | None = None

    def below(self, value: float) -> str | None:
        """The sentence for a value under the lower bound, None where there is nothing to say.

        >>> Range("thickness", "mm", low=10, high=90).below(6.35)
        'thickness 6.35 mm is below 10 mm'
        """
        if self.low is None or value >= self.low:
            return None
        return f"{self.name} {_text(value, self.low)} {self.unit} is below {self.low:.4g} {self.unit}"

    def above(self, value: float) -> str | None:
        """The sentence for a value over the upper bound, None where there is nothing to say.

        >>> Range("C", "%", high=0.32).above(0.33)
        'C 0.33 % is above 0.32 %'
        """
        if self.high is None or value <= self.high:
            return None
        return f"{self.name} {_text(value, self.high)} {self.unit} is above {self.high:.4g} {self.unit}"

    def outside(self, value: float) -> str | None:
        """The sentence for a value on either side of the range, None inside it.

        >>> Range("heat input", "kJ/mm", low=0.5, high=4).outside(4.0) is None
        True
        """
        if (self.low is None or value >= self.low) and (self.high is None or value <= self.high):
            return None
        return self.below(value) or self.above(value)


def sentences(candidates: Iterable[str | None]) -> tuple[str, ...]:
    """The sentences that were said, in their order.

    >>> sentences([None, "C 0.33 % is above 0.32 %", None])
    ('C 0.33 % is above 0.32 %',)
    """
    return tuple(sentence for sentence in candidates if sentence is not None)


def require_positive(name: str, value: float) -> None:
    """Refuse a physical quantity that can only be a slip: zero, negative, infinite or not a number.

    >>> require_positive("thickness_mm", 6.35)
    """
    if not (isfinite(value) and value > 0):
        raise ValueError(f"{name} must be greater than zero, not {value}")


def _text(value: float, bound: float) -> str:
    """``value`` in few digits, but never in so few that it reads like the bound it violates, or inside it."""
    printed_bound = float(f"{bound:.4g}")
    for digits in (3, 4, 5):
        short = f"{value:.{digits}g}"
        same_side = (float(short) < printed_bound) == (value < bound) and float(short) != printed_bound
        if same_side and "e" not in short:
            return short
    return repr(value)
