"""The usual units of the trade, each an exact fraction of the canonical unit of its kind.

The factors are exact by definition (NIST SP 811, 2008, appendix B): 1 in = 25.4 mm, 1 F° = 5/9 C°, and
a temperature in °F is (°F - 32) / 1.8 in °C. Hardness scales have no exact conversion into one another
(ISO 18265 and ASTM E140 are empirical tables, each for its own group of metals), so each scale is canonical
for itself.
"""

from collections.abc import Iterator
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
    ENERGY = "energy"  # canonical kJ
    POWER = "power"  # canonical kW
    STRENGTH = "strength"  # canonical MPa
    HARDNESS = "hardness"  # canonical within its own scale: HV, HB or HRC


CANONICAL = {
    Kind.TEMPERATURE: "degC",
    Kind.SPAN: "delta_degC",
    Kind.RATE: "delta_degC/h",
    Kind.LENGTH: "mm",
    Kind.TIME: "s",
    Kind.ARC_ENERGY: "kJ/mm",
    Kind.VOLTAGE: "V",
    Kind.CURRENT: "A",
    Kind.SPEED: "mm/s",
    Kind.ENERGY: "kJ",
    Kind.POWER: "kW",
    Kind.STRENGTH: "MPa",
}


@dataclass(frozen=True, slots=True)
class Unit:
    """canonical = number * factor + offset. ``symbol`` is stored ("degF"), ``label`` is shown ("°F")."""

    symbol: str
    label: str
    kind: Kind
    factor: Fraction
    offset: Fraction = Fraction(0)

    @property
    def canonical_symbol(self) -> str:
        """Symbol of the unit that canonical values are in; a hardness scale is its own."""
        return CANONICAL.get(self.kind, self.symbol)

    @property
    def is_canonical(self) -> bool:
        """Whether it is the unit named by ``canonical_symbol``, with factor 1 and no offset."""
        return self.symbol == self.canonical_symbol

    def to_canonical(self, number: Fraction) -> Fraction:
        """Exact value in the unit named by ``canonical_symbol``."""
        return number if self.is_canonical else number * self.factor + self.offset

    def from_canonical(self, canonical: Fraction) -> Fraction:
        """Exact number in this unit."""
        return canonical if self.is_canonical else (canonical - self.offset) / self.factor


ABSOLUTE_ZERO_C = Fraction("-273.15")

_INCH_MM = Fraction("25.4")
_KSI_MPA = 1000 * Fraction("0.45359237") * Fraction("9.80665") / _INCH_MM**2
_F_SPAN = Fraction(5, 9)
_HOUR_S = 3600
_MINUTE_S = 60

_SECOND_NAMES = ("s", "sec", "secs", "second", "seconds")
_MINUTE_NAMES = ("min", "mins", "minute", "minutes")
_HOUR_NAMES = ("h", "hr", "hrs", "hour", "hours")
_MM_NAMES = ("mm", "mm.", "millimeter", "millimeters", "millimetre", "millimetres")
_INCH_NAMES = ("in", "in.", '"', "inch", "inches")


def _degree_names(letter: str, name: str) -> tuple[str, ...]:
    marks = ("°", "° ", "deg", "deg ", "deg. ", "degree ", "degrees ")
    return (letter, name, *(mark + written for mark in marks for written in (letter, name)))


_C_NAMES = _degree_names("C", "celsius")
_F_NAMES = _degree_names("F", "fahrenheit")
# Where a difference is asked for, "50 F" can only be one; where a temperature is asked for, "F°" is refused.
_C_SPAN_NAMES = ("C°", "delta_degC", "K", *_C_NAMES)
_F_SPAN_NAMES = ("F°", "delta_degF", *_F_NAMES)

_Row = tuple[Unit, tuple[str, ...]]


def _per(tops: tuple[str, ...], bottoms: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(f"{top}/{bottom}" for top in tops for bottom in bottoms)


def _same(symbol: str, kind: Kind, factor: Fraction | int, names: tuple[str, ...] = ()) -> _Row:
    """A unit that is shown as it is stored."""
    return Unit(symbol, symbol, kind, Fraction(factor)), names


def _temperatures() -> Iterator[_Row]:
    kind = Kind.TEMPERATURE
    yield Unit("degC", "°C", kind, Fraction(1)), _C_NAMES
    yield Unit("degF", "°F", kind, _F_SPAN, -32 * _F_SPAN), _F_NAMES
    yield Unit("K", "K", kind, Fraction(1), ABSOLUTE_ZERO_C), ("kelvin",)
    for letter, factor, names in (("C", Fraction(1), _C_SPAN_NAMES), ("F", _F_SPAN, _F_SPAN_NAMES)):
        symbol, label = f"delta_deg{letter}", f"{letter}°"
        yield Unit(symbol, label, Kind.SPAN, factor), names
        yield Unit(f"{symbol}/h", f"{label}/h", Kind.RATE, factor), _per(names, _HOUR_NAMES)
        yield Unit(f"{symbol}/min", f"{label}/min", Kind.RATE, factor * 60), _per(names, _MINUTE_NAMES)


def _dimensions() -> Iterator[_Row]:
    length, time, speed = Kind.LENGTH, Kind.TIME, Kind.SPEED
    yield _same("mm", length, 1, _MM_NAMES)
    yield _same("cm", length, 10)
    yield _same("m", length, 1000, ("meter", "meters", "metre", "metres"))
    yield _same("in", length, _INCH_MM, _INCH_NAMES)
    yield _same("ft", length, 12 * _INCH_MM, ("ft.", "foot", "feet"))
    yield _same("s", time, 1, _SECOND_NAMES)
    yield _same("min", time, _MINUTE_S, _MINUTE_NAMES)
    yield _same("h", time, _HOUR_S, _HOUR_NAMES)
    yield _same("mm/s", speed, 1, _per(_MM_NAMES, _SECOND_NAMES))
    yield _same("mm/min", speed, Fraction(1, _MINUTE_S), _per(_MM_NAMES, _MINUTE_NAMES))
    yield _same("cm/min", speed, Fraction(10, _MINUTE_S), _per(("cm",), _MINUTE_NAMES))
    yield _same("m/min", speed, Fraction(1000, _MINUTE_S), _per(("m",), _MINUTE_NAMES))
    yield _same("in/min", speed, _INCH_MM / _MINUTE_S, ("ipm", *_per(_INCH_NAMES, _MINUTE_NAMES)))


def _arc() -> Iterator[_Row]:
    energy = Kind.ARC_ENERGY
    yield _same("kJ/mm", energy, 1, _per(("kJ",), _MM_NAMES))
    yield _same("kJ/cm", energy, Fraction(1, 10))
    yield _same("kJ/in", energy, 1 / _INCH_MM, _per(("kJ",), _INCH_NAMES))
    yield _same("J/mm", energy, Fraction(1, 1000), _per(("J",), _MM_NAMES))
    yield _same("J/in", energy, 1 / (1000 * _INCH_MM), _per(("J",), _INCH_NAMES))
    yield _same("kJ", Kind.ENERGY, 1)
    yield _same("J", Kind.ENERGY, Fraction(1, 1000))
    yield _same("kW", Kind.POWER, 1)
    yield _same("W", Kind.POWER, Fraction(1, 1000), ("watt", "watts"))
    yield _same("V", Kind.VOLTAGE, 1, ("volt", "volts"))
    yield _same("A", Kind.CURRENT, 1, ("amp", "amps", "ampere", "amperes"))


def _strengths() -> Iterator[_Row]:
    yield _same("MPa", Kind.STRENGTH, 1, ("N/mm2", "N/mm²"))
    yield _same("ksi", Kind.STRENGTH, _KSI_MPA)


def _hardnesses() -> Iterator[_Row]:
    # HV10 is Vickers at 10 kgf. From 5 kgf up the load hardly changes the number (ISO 6507-1, from memory);
    # the small loads do, so HV0.5 is not taken for HV.
    yield _same("HV", Kind.HARDNESS, 1, ("HV5", "HV10", "HV30"))
    yield _same("HB", Kind.HARDNESS, 1, ("HBW", "BHN"))
    yield _same("HRC", Kind.HARDNESS, 1)


_ROWS: tuple[_Row, ...] = (*_temperatures(), *_dimensions(), *_arc(), *_strengths(), *_hardnesses())

BY_SYMBOL: dict[str, Unit] = {unit.symbol: unit for unit, _ in _ROWS}
BY_NAME: dict[tuple[Kind, str], Unit] = {
    (unit.kind, name.casefold()): unit for unit, names in _ROWS for name in (unit.symbol, unit.label, *names)
}


def find(name: str, kind: Kind) -> Unit | None:
    """The unit of that kind which people write as ``name``, in either case; None where the table has none.

    Case may be ignored because the kind is known: as a temperature "f" can only be Fahrenheit.
    """
    return BY_NAME.get((kind, name.casefold()))
