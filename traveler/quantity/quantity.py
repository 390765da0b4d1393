"""A value as it was typed and its exact canonical value."""

from dataclasses import dataclass, field
from fractions import Fraction

from traveler.quantity.units import Unit


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number as typed (``text``: "300", "1-1/4", ".25") in a unit; exact, never a float.

    Equality is that of the typed form; compare sizes with ``compare``.
    """

    text: str
    number: Fraction
    unit: Unit
    canonical: Fraction = field(init=False, compare=False, repr=False)
    """Exact value in the canonical unit of its kind: degC, delta_degC, mm, s, kJ/mm, mm/s ...

    A hardness stays in its own scale (``unit.canonical_symbol``): 30 HRC is 30 here, and so is 30 HV.
    """

    def __post_init__(self) -> None:
        """Work the canonical value out once: a job compares the same limit again and again."""
        object.__setattr__(self, "canonical", self.unit.to_canonical(self.number))


def comparable(a: Quantity, b: Quantity) -> bool:
    """Whether one can be held against the other: the same kind and, for hardness, the same scale."""
    if a.unit is b.unit:
        return True
    return a.unit.kind is b.unit.kind and a.unit.canonical_symbol == b.unit.canonical_symbol


def compare(a: Quantity, b: Quantity) -> int:
    """-1, 0 or 1 as ``a`` is less than, equal to or greater than ``b``, exactly.

    Raises ValueError where they are not comparable: a difference with a temperature, HV with HRC.
    """
    if a.unit is not b.unit and not comparable(a, b):
        sides = (f"{side.unit.label} ({side.unit.kind})" for side in (a, b))
        raise ValueError(" cannot be compared with ".join(sides))
    # By whole numbers, which is as exact as comparing the fractions and a third of the time.
    (top, bottom), (other_top, other_bottom) = a.canonical.as_integer_ratio(), b.canonical.as_integer_ratio()
    left, right = top * other_bottom, other_top * bottom
    return (left > right) - (left < right)
