"""A shop's file that is built once a run and copied for each test that begins with it."""

import os
import shutil
from collections.abc import Callable, Hashable
from pathlib import Path
from typing import Any, TypeVar

from traveler.record.place import seen_folder
from traveler.record.shop import Shop

T = TypeVar("T")
_BUILT: dict[Hashable, tuple[Path, str, Any]] = {}


def copied(path: Path, build: Callable[[Path], T], *key: Hashable) -> T:
    """Put at ``path`` what ``build`` makes of a path, a closed file; what it returned is handed back each time.

    ``key`` tells apart what one ``build`` makes of different things. The copies are the same shop to whoever remembers
    it, so what this account remembers is forgotten; a test that needs two shops builds the second one.
    """
    found = (build.__module__, build.__qualname__, *key)
    if found not in _BUILT:
        # In the run's own home, which goes with it.
        original = Path(os.environ["HOME"]) / "built" / f"{len(_BUILT)}.traveler"
        told = build(original)
        with Shop.open(original, read_only=True, watched=False) as shop:
            _BUILT[found] = original, shop.shop_id, told
    original, shop_id, told = _BUILT[found]
    shutil.copy2(original, path)
    (seen_folder(os.environ) / f"{shop_id}.json").unlink(missing_ok=True)
    return told
