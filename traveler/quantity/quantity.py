"""A value as it was typed and its exact canonical value."""

from dataclasses import dataclass
from fractions import Fraction

from traveler.quantity.units import Unit


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number as typed (``text``: "300", "1-1/4", ".25") in a unit; exact, never a float.

    Equality is that of the typed form; compare sizes by ``canonical``.
    """

    text: str
    number: Fraction
    unit: Unit

    @property
    def canonical(self) -> Fraction:
        """Exact value in the canonical unit of its kind: degC, K, mm, s, kJ/mm, mm/s ..."""
        return self.unit.to_canonical(self.number)
