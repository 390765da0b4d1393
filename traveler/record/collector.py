"""The collector of circles, held off while thousands of parsed texts are taken in."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collector_paused() -> Iterator[None]:
    """Events and what is made of them refer to nothing in a circle, and a search for circles goes through all that the
    program holds: in the app the screens as well.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
