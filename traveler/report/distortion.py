"""Dimensions before and after welding, side by side, with the difference: what the heat moved."""

from fractions import Fraction

from traveler.quantity.parse import QuantityError, stored
from traveler.quantity.quantity import Quantity, comparable
from traveler.quantity.show import decimal_text, finite_decimal, show_both
from traveler.report.requirement_words import limit_words, value_words
from traveler.report.words import Object, visible

_DIMENSION = "dimension "
_EXACT_PLACES, _ROUNDED_PLACES = 6, 4


def dimension_rows(obj: Object) -> list[list[str]]:
    """Dimension, limit, at the fit, at the inspection, difference: a row a dimension that is checked at either."""
    at_fit, at_inspection = _asked(obj, "fit"), _asked(obj, "inspect")
    rows = []
    for quantity in dict.fromkeys((*at_fit, *at_inspection)):
        asked = at_fit.get(quantity) or at_inspection[quantity]
        before, after = _last(at_fit.get(quantity)), _last(at_inspection.get(quantity))
        named = visible(quantity.removeprefix(_DIMENSION))
        rows.append(
            [
                f"{named}: {visible(asked['why'])}" if asked["why"] else named,
                limit_words(asked),
                _said(before),
                _said(after),
                _difference(before, after),
            ]
        )
    return rows


def _asked(obj: Object, kind: str) -> dict[str, Object]:
    return {
        requirement["quantity"]: requirement
        for step in obj["steps"]
        if step["kind"] == kind
        for requirement in step["requirements"]
        if requirement["quantity"].startswith(_DIMENSION)
    }


def _last(requirement: Object | None) -> Object | None:
    standing = (
        [reading for reading in requirement["readings"] if not reading["superseded"]] if requirement else []
    )
    return standing[-1] if standing else None


def _said(reading: Object | None) -> str:
    if reading is None:
        return "not measured"
    return f"{value_words(reading)}, {visible(reading['verdict'])}, reading {reading['reading']}"


def _difference(before: Object | None, after: Object | None) -> str:
    """The later size less the earlier one, exact, in the unit of the later one with the other beside it."""
    first, second = _size(before), _size(after)
    if first is None or second is None or not comparable(first, second):
        return "not shown"
    change = second.canonical - first.canonical
    unit = second.unit
    text = _number(unit.from_canonical(change))
    return f"{'+' if change > 0 else ''}{show_both(stored(text, unit.symbol))}"


def _number(value: Fraction) -> str:
    return finite_decimal(value, _EXACT_PLACES) or decimal_text(value, _ROUNDED_PLACES)


def _size(reading: Object | None) -> Quantity | None:
    if reading is None or not reading.get("unit"):
        return None
    try:
        return stored(reading["value"], reading["unit"])
    except QuantityError:
        return None
