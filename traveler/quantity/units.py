"""The usual units of the trade, each an exact fraction of the canonical unit of its kind."""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction


class Kind(StrEnum):
    """What a quantity measures. A temperature difference is not a temperature."""

    TEMPERATURE = "temperature"  # canonical degC
    SPAN = "temperature difference"  # canonical delta_degC
    RATE = "temperature rate"  # canonical delta_degC/h
    LENGTH = "length"  # canonical mm
    TIME = "time"  # canonical s
    ARC_ENERGY = "arc energy"  # canonical kJ/mm
    VOLTAGE = "voltage"  # canonical V
    CURRENT = "current"  # canonical A
    SPEED = "travel speed"  # canonical mm/s
    HARDNESS = "hardness"  # canonical HV


@dataclass(frozen=True, slots=True)
class Unit:
    """canonical = number * factor + offset. ``symbol`` is stored ("degF"), ``label`` is shown ("°F")."""

    symbol: str
    label: str
    kind: Kind
    factor: Fraction
    offset: Fraction = Fraction(0)

    def to_canonical(self, number: Fraction) -> Fraction:
        """Exact value in the canonical unit of the kind."""
        return number * self.factor + self.offset

    def from_canonical(self, canonical: Fraction) -> Fraction:
        """Exact number in this unit."""
        return (canonical - self.offset) / self.factor
