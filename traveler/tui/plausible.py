"""Values as they are read back to whoever typed them: in the other unit, and questioned where hardly meant."""

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from traveler.quantity.arc_typed import parse_arc_energy
from traveler.quantity.parse import QuantityError, parse_quantity, unit
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show_both
from traveler.quantity.units import Kind

USUAL: dict[str, tuple[Fraction, Fraction]] = {
    # About where steel melts; colder than a shop in which anybody welds.
    "degC": (Fraction(-30), Fraction(1500)),
    # Gaps and thicknesses of parts for a car; a micrometre is below any gauge of this work.
    "mm": (Fraction(0), Fraction(3000)),
    # A soak, or a wait before inspection: a second is no hold, two weeks are no wait.
    "s": (Fraction(1), Fraction(14 * 24 * 3600)),
    # A micro-plasma run, and the heaviest submerged arc run on one wire.
    "kJ/mm": (Fraction(1, 100), Fraction(10)),
    "delta_degC": (Fraction(-1500), Fraction(1500)),
    "delta_degC/h": (Fraction(-100_000), Fraction(100_000)),
    # Softer than annealed iron and harder than any martensite, each in its own scale.
    "HV": (Fraction(50), Fraction(1000)),
    "HB": (Fraction(50), Fraction(800)),
    "HRC": (Fraction(0), Fraction(70)),
}
"""Least and greatest canonical value that needs no question, by the symbol of the canonical unit. Nothing is judged by
them: what is said twice is recorded."""

_CRAYON = re.compile(
    r"(?P<said>melts|melted|holds|held|(?:does|did) not melt)(?: at)? +(?P<mark>.*)", re.IGNORECASE
)


def doubt(requirement: Mapping[str, Any], typed: str) -> str:
    """A question about a value that can hardly be meant; empty where there is nothing to ask."""
    quantity = _quantity(requirement, typed)
    if quantity is None:
        return ""
    least, greatest = USUAL.get(quantity.unit.canonical_symbol, (quantity.canonical, quantity.canonical))
    if least <= quantity.canonical <= greatest:
        return ""
    return f"{show_both(quantity)}, is that meant? Commit again to record it, or correct it"


def other_unit(requirement: Mapping[str, Any], typed: str) -> str:
    """ "= 148.9 °C" for "300 F"; empty where there is no other unit, or where it cannot be read: the act says why."""
    quantity = _quantity(requirement, typed)
    if quantity is None:
        return ""
    words = show_both(quantity)
    if requirement["unit"] == "kJ/mm" and len(typed.split()) > 2:
        return f"= {words}"  # worked out from volts, amps and travel, so that neither unit was typed
    _, bracket, beside = words.partition(" (")
    return f"= {beside.removesuffix(')')}" if bracket else ""


def _quantity(requirement: Mapping[str, Any], typed: str) -> Quantity | None:
    """What was typed for a requirement, of a temperature crayon its mark; None where it is no number with a unit."""
    if requirement["type"] != "number":
        return None
    kind = unit(requirement["unit"]).kind
    try:
        if kind is Kind.ARC_ENERGY:
            return parse_arc_energy(typed)
        crayon = _CRAYON.fullmatch(typed.strip()) if kind is Kind.TEMPERATURE else None
        return parse_quantity(crayon["mark"] if crayon else typed, kind)
    except QuantityError:
        return None
