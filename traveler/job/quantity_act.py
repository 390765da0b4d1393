"""A quantity in the form in which an event keeps it, and back again."""

from collections.abc import Mapping
from typing import Any

from traveler.quantity.parse import stored
from traveler.quantity.quantity import Quantity


def quantity_to_act(quantity: Quantity | None) -> dict[str, str] | None:
    """``{"value": "300", "unit": "degF"}``, the number as typed or printed."""
    return None if quantity is None else {"value": quantity.text, "unit": quantity.unit.symbol}


def quantity_from_act(act: Mapping[str, Any] | None) -> Quantity | None:
    """The quantity that was kept by its number as typed and the symbol of its unit."""
    return None if act is None else stored(act["value"], act["unit"])
