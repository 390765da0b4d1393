"""Is a shop file or a JSON export unaltered, and if not, from which event on?"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from traveler.acts.look import exported_object
from traveler.errors import TravelerError
from traveler.job.fold import fold
from traveler.record.chain import code, genesis, next_hash
from traveler.record.links import body_data, verify_chain
from traveler.record.verify import verify_shop
from traveler.report.json_export import Export, read_export

SQLITE_MAGIC = b"SQLite format 3\x00"


@dataclass(frozen=True, slots=True)
class Checked:
    """What was checked and what is wrong with it; ``code`` is what a paper copy must show for it."""

    what: str
    faults: tuple[str, ...]
    events: int
    code: str


def verify(path: Path) -> Checked:
    """Check a shop file (every chain, the journal, the file itself) or a JSON export (its chain and every field).

    Raises TravelerError or BadInput where the file is neither. Unaltered means: as it was when its code was noted
    somewhere else. It does not say that an entry was true.
    """
    if not path.is_file():
        raise TravelerError(f"{path} is no file; expected a shop file or a JSON export")
    # Only a file that is no database is opened here: closing a plain handle on a live one would drop its locks.
    if path.suffix == ".json":
        return _verify_export(path.read_bytes())
    try:
        found = verify_shop(path)
    except TravelerError as not_a_shop:
        raw = path.read_bytes()
        if raw.startswith(SQLITE_MAGIC) or not raw.lstrip().startswith(b"{"):
            raise not_a_shop from None
        return _verify_export(raw)
    return Checked("shop file", found.faults, found.events, found.journal_head)


def _verify_export(raw: bytes) -> Checked:
    export = read_export(raw)
    faults = tuple(_export_faults(export))
    return Checked(f"export of job {export.traveler.get('job')}", faults, len(export.events), export.head)


def _export_faults(export: Export) -> Iterator[str]:
    if not export.events:
        yield "there are no events"
        return
    first = body_data(export.events[0])
    if first is None or not isinstance(first["act"], dict):
        yield "event 1 is altered: its text is not in the form that events are written in"
        return
    shop_id, stream = str(first["act"].get("shop")), str(first["stream"])
    # The links are ours, and other programs may leave them out: without them only the code at the end decides.
    altered = _first_altered(export, shop_id, stream) if export.links else None
    if altered is not None:
        yield altered
        return
    fault = verify_chain(shop_id, stream, export.events, export.head)
    if fault is not None:
        yield str(fault)
        return
    try:
        recomputed = exported_object(fold(map(json.loads, export.events), export.head))
    except (AttributeError, KeyError, TypeError, ValueError, TravelerError) as error:
        yield f"the events of {stream} cannot be followed: {error}"
        return
    yield from _differences(json.loads(json.dumps(recomputed)), export.traveler, "traveler")


def _first_altered(export: Export, shop_id: str, stream: str) -> str | None:
    """The first event whose link is not the one that was exported with it."""
    link = genesis(shop_id, stream)
    for seq, (body, noted) in enumerate(zip(export.events, export.links, strict=False), start=1):
        readable = body_data(body) is not None
        link = next_hash(link, body) if readable else b""
        if link.hex() != noted:
            return f"event {seq} of {stream} is altered; nothing from it on can be relied upon"
    if len(export.links) != len(export.events):
        return f"{len(export.events)} events stand beside {len(export.links)} links"
    if code(link) != export.head:
        return f"the code of the last event of {stream} is {code(link)}, the export says {export.head}"
    return None


def _differences(computed: Any, printed: Any, place: str) -> Iterator[str]:
    """Each printed field that is not what the events say."""
    if isinstance(computed, Mapping) and isinstance(printed, Mapping):
        for key in sorted({*computed, *printed}):
            if key not in printed and computed[key] in ([], {}, None, ""):
                continue  # an export made before this program knew the field left nothing out
            if key not in printed or key not in computed:
                yield f"{place}.{key} is {'missing' if key not in printed else 'not of the events'}"
            else:
                yield from _differences(computed[key], printed[key], f"{place}.{key}")
    elif isinstance(computed, list) and isinstance(printed, list) and len(computed) == len(printed):
        for index, (one, other) in enumerate(zip(computed, printed, strict=True)):
            yield from _differences(one, other, f"{place}[{index}]")
    elif computed != printed or isinstance(computed, bool) != isinstance(printed, bool):
        yield f"{place} is printed as {_short(printed)}; the events say {_short(computed)}"


def _short(value: Any) -> str:
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 60 else f"{text[:57]}..."
