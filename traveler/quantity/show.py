"""Quantities for reading: as typed, and converted beside it. Rounding is done on exact fractions."""

from fractions import Fraction
from math import ceil, floor

from traveler.quantity.quantity import Quantity
from traveler.quantity.units import BY_SYMBOL, CANONICAL, Kind

# Unit shown beside the typed one, and its decimals: what the other half of the trade would read.
_BESIDE = {
    "degC": ("degF", 1),
    "degF": ("degC", 1),
    "K": ("degC", 1),
    "delta_degC": ("delta_degF", 1),
    "delta_degF": ("delta_degC", 1),
    "delta_degC/h": ("delta_degF/h", 1),
    "delta_degF/h": ("delta_degC/h", 1),
    "delta_degC/min": ("delta_degF/min", 1),
    "delta_degF/min": ("delta_degC/min", 1),
    "mm": ("in", 3),
    "cm": ("in", 3),
    "m": ("in", 3),
    "in": ("mm", 1),
    "ft": ("mm", 1),
    "kJ/mm": ("kJ/in", 1),
    "kJ/cm": ("kJ/in", 1),
    "J/mm": ("kJ/in", 1),
    "kJ/in": ("kJ/mm", 3),
    "J/in": ("kJ/mm", 3),
    "mm/s": ("in/min", 1),
    "mm/min": ("in/min", 1),
    "cm/min": ("in/min", 1),
    "m/min": ("in/min", 1),
    "in/min": ("mm/min", 1),
}
_CANONICAL_DECIMALS = {Kind.ARC_ENERGY: 3, Kind.SPEED: 2}


def show(quantity: Quantity) -> str:
    """The quantity as it was typed, with the label of its unit: "300 °F", "1-1/4 in"."""
    return f"{quantity.text} {quantity.unit.label}"


def show_both(quantity: Quantity) -> str:
    """As typed and, beside it, what the other system reads: "300 °F (148.9 °C)", "100 F°/h (55.6 C°/h)".

    Rounded to the nearest for reading, never for judging. A unit beyond the table has the canonical one
    beside it; a hardness, and a unit without a counterpart (V, A, s, min, h), stands alone.
    """
    beside = _beside(quantity)
    if beside is None:
        return show(quantity)
    symbol, places = beside
    other = BY_SYMBOL[symbol]
    number = decimal_text(other.from_canonical(quantity.canonical), places)
    return f"{show(quantity)} ({number} {other.label})"


def _beside(quantity: Quantity) -> tuple[str, int] | None:
    symbol, kind = quantity.unit.symbol, quantity.unit.kind
    if symbol in BY_SYMBOL:
        return _BESIDE.get(symbol)
    return CANONICAL[kind], _CANONICAL_DECIMALS.get(kind, 1)


def decimal_text(value: Fraction, places: int) -> str:
    """``value`` with so many decimals, a half to the even digit; never "-0.0"."""
    return _scaled_text(round(value * 10**places), places)


def rounded_up(value: Fraction, places: int) -> str:
    """The least number of so many decimals that is not below ``value``: how a minimum is printed."""
    return _scaled_text(ceil(value * 10**places), places)


def rounded_down(value: Fraction, places: int) -> str:
    """The greatest number of so many decimals that is not above ``value``: how a maximum is printed."""
    return _scaled_text(floor(value * 10**places), places)


def finite_decimal(value: Fraction, most_places: int) -> str | None:
    """``value`` as a decimal without rounding, as short as it goes; None where that takes more places."""
    for places in range(most_places + 1):
        scaled = value * 10**places
        if scaled.denominator == 1:
            return _scaled_text(scaled.numerator, places)
    return None


def _scaled_text(scaled: int, places: int) -> str:
    """``scaled`` / 10^``places`` in digits."""
    sign = "-" if scaled < 0 else ""
    digits = str(abs(scaled)).rjust(places + 1, "0")
    return f"{sign}{digits[:-places]}.{digits[-places:]}" if places else f"{sign}{digits}"
