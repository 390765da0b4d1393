"""The shop's file for one act: the open one, or for a thread of its own a connection of its own."""

from collections.abc import Iterator
from contextlib import contextmanager

from traveler.record.shop import Shop


@contextmanager
def shop_for(shop: Shop, *, own_thread: bool) -> Iterator[Shop]:
    """``shop``, or the same file opened again. A secret takes half a second and so a thread."""
    if not own_thread:
        yield shop
        return
    with Shop.open(shop.path) as again:
        yield again
