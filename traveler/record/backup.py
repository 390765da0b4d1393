"""A second copy of the shop's file, and the way back. Both are checked before anybody relies on them."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from traveler.errors import TravelerError
from traveler.record.chain import code
from traveler.record.connection import copy_file, located
from traveler.record.log import SHOP_STREAM
from traveler.record.newfile import fresh_file, make_folder
from traveler.record.rows import StoredEvent
from traveler.record.seen import RESTORED
from traveler.record.shop import Shop
from traveler.record.trouble import in_words, shown
from traveler.record.verify import Verification, verify_shop

BACKUP_MADE = "backup made"


@dataclass(frozen=True, slots=True)
class Backup:
    """What a backup holds: the number of events and the code of the journal; and whether the shop has noted it."""

    events: int
    head: str
    noted: bool


def backup(shop: Shop, target: Path, by: Mapping[str, object], now: str) -> Backup:
    """Copy what is committed in ``shop`` to ``target``, a name that is free in a folder that exists.

    The copy is verified before it gets its name; while it is made, others can read and wait to write. Then the
    shop, not the backup, gets the event "backup made" with the backup's head. A shop that was opened for reading only
    cannot note it. ``now`` is ISO 8601 with an offset.
    """
    with fresh_file(target.absolute()) as working, in_words(target, "no backup was made"):
        copy_file(shop.path, working)
        found = verify_shop(working)
        _refuse_faults(found, shop.path, "no backup was made")
    if not shop.read_only:
        _note(shop, target, found, by, now)
    return Backup(found.events, found.journal_head, noted=not shop.read_only)


def _note(shop: Shop, target: Path, found: Verification, by: Mapping[str, object], now: str) -> None:
    act = {"to": shown(Path(target.name)), "journal": {"events": found.events, "head": found.journal_head}}
    try:
        with shop.write() as writing:
            writing.append(SHOP_STREAM, BACKUP_MADE, by, now, now, act)
    except TravelerError as error:
        raise TravelerError(
            f"the backup {shown(target)} was made and verified, but the shop's file could not note it: {error}"
        ) from error


def days_since_backup(events: Iterable[StoredEvent], now: datetime) -> int | None:
    """Whole days since the newest "backup made" among the events of the shop's stream; None where there is none.

    None too where its time is more than a day ahead of ``now``: by such a clock nobody would ever be reminded.
    """
    times = [event.data["recorded_at"] for event in events if event.data["kind"] == BACKUP_MADE]
    if not times:
        return None
    since = now - datetime.fromisoformat(times[-1])
    return None if since < -timedelta(days=1) else max(since.days, 0)


@dataclass(frozen=True, slots=True)
class Restorer:
    """Who restores, what the event keeps of where they did, and when: ISO 8601 with an offset."""

    by: Mapping[str, object]
    kept: Mapping[str, object]
    now: str


def restore(
    source: Path, target: Path, by: Mapping[str, object] | Callable[[Shop], Restorer], now: str
) -> None:
    """Make ``target``, a name that is free, from the backup ``source``, and write into it that this was done.

    ``by``: who does it, or a function that finds it out on the copy before that has its name, and may raise.

    The event "shop restored" holds the heads as they were in the backup: of the journal over all events, to
    be compared with a code noted later than the backup, and of the shop's own stream.
    """
    found = verify_shop(source)
    _refuse_faults(found, source, "nothing was restored")
    make_folder(target.absolute().parent)
    with fresh_file(target.absolute()) as working, in_words(target, "nothing was restored"):
        copy_file(located(source, read_only=True), working)
        # Not watched before it has its name: until then nobody has seen it.
        with Shop.open(working, watched=False) as restored:
            own = restored.events(SHOP_STREAM)
            restorer = by(restored) if callable(by) else Restorer(by, {}, now)
            heads = {
                "journal": {"events": found.events, "head": found.journal_head},
                "shop": {"events": len(own), "head": code(own[-1].hash)},
            }
            act = {"from": shown(Path(source.name)), "heads": heads, **restorer.kept}
            with restored.write() as writing:
                writing.append(SHOP_STREAM, RESTORED, restorer.by, restorer.now, restorer.now, act)
    Shop.open(target, read_only=True).close()


def _refuse_faults(found: Verification, path: Path, aftermath: str) -> None:
    if not found.ok:
        raise TravelerError(f"{shown(path)} is not sound: {found.faults[0]}; {aftermath}.")
