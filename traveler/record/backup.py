"""A second copy of the shop's file, and the way back. Both are checked before anybody relies on them."""

from collections.abc import Mapping
from pathlib import Path

from traveler.errors import TravelerError
from traveler.record.chain import code
from traveler.record.connection import copy_file, located
from traveler.record.log import SHOP_STREAM
from traveler.record.newfile import fresh_file, make_folder
from traveler.record.shop import Shop
from traveler.record.trouble import in_words, shown
from traveler.record.verify import Verification, verify_shop


def backup(shop: Shop, target: Path) -> None:
    """Copy what is committed in ``shop`` to ``target``, a name that is free in a folder that exists.

    The copy is verified before it gets its name; while it is made, others can read and wait to write.
    """
    with fresh_file(target.absolute()) as working, in_words(target, "no backup was made"):
        copy_file(shop.path, working)
        _refuse_faults(verify_shop(working), shop.path, "no backup was made")


def restore(source: Path, target: Path, by: Mapping[str, str], now: str) -> None:
    """Make ``target``, a name that is free, from the backup ``source``, and write into it that this was done.

    The event "shop restored" holds the heads as they were in the backup: of the journal over all events, to
    be compared with a code noted later than the backup, and of the shop's own stream.
    """
    found = verify_shop(source)
    _refuse_faults(found, source, "nothing was restored")
    make_folder(target.absolute().parent)
    with fresh_file(target.absolute()) as working, in_words(target, "nothing was restored"):
        copy_file(located(source, read_only=True), working)
        with Shop.open(working) as restored, restored.write() as writing:
            own = writing.events(SHOP_STREAM)
            heads = {
                "journal": {"events": found.events, "head": found.journal_head},
                "shop": {"events": len(own), "head": code(own[-1].hash)},
            }
            writing.append(SHOP_STREAM, "shop restored", by, now, now, {"from": source.name, "heads": heads})


def _refuse_faults(found: Verification, path: Path, aftermath: str) -> None:
    if not found.ok:
        raise TravelerError(f"{shown(path)} is not sound: {found.faults[0]}; {aftermath}.")
