"""Days, ranges and uncertainties of instruments as a person types them."""

from collections.abc import Mapping
from datetime import date

from traveler.errors import BadInput
from traveler.quantity.parse import echo, parse_quantity, plain, split
from traveler.quantity.quantity import Quantity, comparable, compare
from traveler.quantity.show import show
from traveler.quantity.units import Kind, find

_HEAT, _LENGTH = (Kind.TEMPERATURE,), (Kind.LENGTH,)
_ANY = (Kind.LENGTH, Kind.TIME, Kind.TEMPERATURE, Kind.VOLTAGE, Kind.CURRENT, Kind.HARDNESS, Kind.SPEED)
MEASURES: Mapping[str, tuple[Kind, ...]] = {
    "contact thermometer": _HEAT,
    "thermocouple": _HEAT,
    "recorder": _HEAT,
    "infrared thermometer": _HEAT,
    "temperature crayon": _HEAT,
    "hardness tester": (Kind.HARDNESS,),
    "caliper": _LENGTH,
    "micrometer": _LENGTH,
    "tape": _LENGTH,
    "gauge": _LENGTH,
    "torque wrench": (),
    "other": _ANY,
}
"""What each type of instrument measures; its unit tells which where there are several. No torque is held against a
limit anywhere, so none is read here."""


def day_typed(text: str, what: str) -> date:
    """A day such as 2026-03-02. Raises BadInput."""
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise BadInput(f'{what}: "{echo(text)}" is no day; expected one such as 2026-03-02') from None


def range_typed(type: str, low: str | None, high: str | None) -> tuple[Quantity | None, Quantity | None]:
    """The ends of an instrument's range, either of which may be left out. Raises BadInput."""
    ends = [None if text is None else _read(type, text, "range", difference=False) for text in (low, high)]
    least, most = ends
    if least is not None and most is not None:
        if not comparable(least, most):
            raise BadInput(f"range: {show(least)} and {show(most)} do not measure the same")
        if compare(least, most) >= 0:
            raise BadInput(
                f"range: it begins at {show(least)} and ends at {show(most)}, which is not above it"
            )
    return least, most


def uncertainty_typed(type: str, text: str | None) -> Quantity | None:
    """An expanded uncertainty (k = 2); of a thermometer a difference of temperature. Raises BadInput."""
    if text is None:
        return None
    uncertainty = _read(type, text, "uncertainty", difference=True)
    if uncertainty.number < 0:
        raise BadInput(f"uncertainty: {show(uncertainty)} is below zero; expected the amount, either way")
    return uncertainty


def _read(type: str, text: str, what: str, *, difference: bool) -> Quantity:
    kinds = MEASURES[type]
    if not kinds:
        raise BadInput(f"{what}: none is kept of a {type}; leave it out")
    unit_name = split(plain(text))[1]
    kind = next((kind for kind in kinds if find(unit_name, kind)), kinds[0])
    if difference and kind is Kind.TEMPERATURE:
        kind = Kind.SPAN
    try:
        return parse_quantity(text, kind)
    except BadInput as error:
        raise BadInput(f"{what}: {error}") from None
