"""The uncertainty of a couple's reading as a person states it: a difference, or a class of couple with its reader."""

import re
from collections.abc import Mapping
from fractions import Fraction

from traveler.chart.model import Limits
from traveler.errors import BadInput
from traveler.metals.thermocouple import CoupleKind, ToleranceClass
from traveler.metals.uncertainty import couple_uncertainty
from traveler.quantity.parse import QuantityError, echo, parse_quantity, stored
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import rounded_up
from traveler.quantity.units import Kind

EXPECTED = (
    'expected a difference such as 5 F° or 2.8 C°, or a class of couple such as "K class 2, reader 1.5 C"'
)
USUAL_SOAK_C = 620.0
"""Where no limit says how hot the part gets: about a stress relief of ordinary steel."""

_COUPLE = re.compile(
    r"(?:type\s+)?(?P<kind>[jknt])[\s,]+(?:iec\s+|astm\s+)?(?P<grade>class\s*[12]|special|standard)"
    r"(?:[\s,+]+(?:reader\s+)?(?P<reader>\S.*))?",
    re.IGNORECASE,
)
_KINDS: Mapping[str, CoupleKind] = {"j": "J", "k": "K", "n": "N", "t": "T"}
_CLASSES: Mapping[str, ToleranceClass] = {
    "class1": "IEC class 1",
    "class2": "IEC class 2",
    "special": "ASTM special",
    "standard": "ASTM standard",
}


def uncertainty_typed(text: str, limits: Limits) -> Quantity:
    """The expanded uncertainty (k = 2) of one reading, a difference. Raises BadInput for what is neither form.

    A class of couple (IEC 60584-1, ASTM E230) is taken at the hottest temperature of the limits, where its tolerance is
    greatest, and rounded up to a tenth of a C°.
    """
    found = _COUPLE.fullmatch(text.strip())
    return _span(text) if found is None else _of_couple(found, limits)


def _of_couple(found: re.Match[str], limits: Limits) -> Quantity:
    hottest = limits.soak_max or limits.soak_min
    at_c = USUAL_SOAK_C if hottest is None else float(hottest.quantity.canonical)
    reader = [] if found["reader"] is None else [float(_span(found["reader"]).canonical)]
    grade = _CLASSES["".join(found["grade"].casefold().split())]
    try:
        combined = couple_uncertainty(_KINDS[found["kind"].casefold()], grade, at_c, *reader)
    except ValueError as error:
        raise BadInput(f'"{echo(found[0])}" cannot be used: {error}; {EXPECTED}') from error
    return stored(rounded_up(Fraction(repr(combined)), 1), "delta_degC")


def _span(text: str) -> Quantity:
    """A temperature difference that is not below zero."""
    try:
        quantity = parse_quantity(text, Kind.SPAN)
    except QuantityError as error:
        raise BadInput(f'"{echo(text)}" cannot be read; {EXPECTED}') from error
    if quantity.number < 0:
        raise BadInput(f'"{echo(text)}" is below zero; {EXPECTED}')
    return quantity
