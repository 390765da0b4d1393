"""Look at instruments, lots and settings of the register, each with who entered what and when."""

from typing import Any

from traveler.acts.clock import Clock
from traveler.acts.register import register_of
from traveler.errors import BadInput
from traveler.job.inventory_view import instrument_object, lot_object
from traveler.job.register import SETTINGS
from traveler.job.register_history import history_of
from traveler.quantity.parse import echo
from traveler.record.log import SHOP_STREAM
from traveler.record.shop import Shop

Json = dict[str, Any]


def look_at_instrument(shop: Shop, clock: Clock, instrument: str) -> Json:
    """One instrument by id, name or serial number, with its ``history``. Raises BadInput for none and for several."""
    found = register_of(shop).instrument(instrument)
    return {
        **instrument_object(found, clock.now()),
        "history": _history(shop, "instrument", found.id),
    }


def look_at_lot(shop: Shop, lot: str) -> Json:
    """One lot by id, heat or batch number, with its ``history``. Raises BadInput for none and for several."""
    found = register_of(shop).lot(lot)
    return {**lot_object(found), "history": _history(shop, "lot", found.id)}


def look_at_setting(shop: Shop, name: str) -> Json:
    """One setting: ``setting``, ``value`` (None: not set) and ``history``. Raises BadInput for an unknown one."""
    wanted = " ".join(name.split()).casefold()
    if wanted not in SETTINGS:
        raise BadInput(f'"{echo(name)}" is no setting; expected one of: {", ".join(SETTINGS)}')
    value = register_of(shop).settings.get(wanted)
    return {"setting": wanted, "value": value, "history": _history(shop, "name", wanted)}


def _history(shop: Shop, key: str, wanted: str) -> list[Json]:
    return history_of((event.data for event in shop.events(SHOP_STREAM)), key, wanted)
