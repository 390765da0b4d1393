"""Is a shop file, an export or a packet unaltered; if not, from which event on? And is it the one that was noted?"""

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from traveler.acts.against import History, beside, held_against
from traveler.acts.board_check import BoardCheck
from traveler.acts.kept_files import files_in
from traveler.acts.look import exported_object
from traveler.acts.split_check import history_fault
from traveler.errors import BadInput, TravelerError
from traveler.job.fold import fold
from traveler.record.chain import code, genesis, next_hash
from traveler.record.compare import compare_shops
from traveler.record.connection import located, refuse_network
from traveler.record.links import body_data, verify_chain
from traveler.record.noted import Noted, noted_code
from traveler.record.verify import JOURNAL, Found, Verification, verify_shop
from traveler.report.json_export import Export, read_export
from traveler.report.packet import MANIFEST, TRAVELER, attachment_faults, manifest_faults, unpacked

SQLITE_MAGIC = b"SQLite format 3\x00"
SHOP_FILE = "shop file"
ZIP_MAGIC = b"PK\x03\x04"


@dataclass(frozen=True, slots=True)
class Checked:
    """What was checked and what is wrong with it; ``code`` is what a paper copy must show for it.

    ``against``: sentences on the code or the other file that it was held against, none where it was against nothing;
    ``fits`` is False where the answer to that is no.
    """

    what: str
    faults: tuple[str, ...]
    events: int
    code: str
    against: tuple[str, ...] = ()
    fits: bool = True


@dataclass(frozen=True, slots=True)
class Packed(Export):
    """An export out of a packet: ``around`` are the faults of the files around it, ``manifest`` the SHA-256 that the
    packet's code is made of.
    """

    around: tuple[str, ...]
    manifest: bytes


def verify(path: Path, against: str | None = None, *, chain_only: bool = False) -> Checked:
    """Check a shop file (every chain, the journal, the file itself), a JSON export (its chain and every field) or a
    packet (its export, and the files around it).

    ``against``: a code noted earlier, with its number of events or not, or the name of another file: another copy
    of the shop, or an export out of it. ``chain_only``: the chains alone, which is quick and shows that no event was
    altered. Raises TravelerError or BadInput where the file is none of them. Unaltered means: as it was when its code
    was noted somewhere else. It does not say that an entry was true.
    """
    if against is None:
        return _checked(path, None, chain_only)
    other = Path(against)
    if not _is_file(other):
        return _checked(path, noted_code(against), chain_only)
    found = _read(other, None, chain_only)
    faults = _faults(found, chain_only)
    if isinstance(found, Export) and not faults:
        return _checked(path, Noted(noted_code(found.head).head, len(found.events)), chain_only)
    checked = _checked(path, None, chain_only)
    if faults:
        return replace(checked, against=(f"{other} is itself altered: {faults[0]}",), fits=False)
    if checked.what != SHOP_FILE:
        raise BadInput(
            f"{path} is an export and {other} a shop file; name the shop file first, then the export"
        )
    if checked.faults:
        return replace(
            checked, against=(f"not compared with {other} while it has faults itself",), fits=False
        )
    answer = beside(str(other), compare_shops(path, other))
    return replace(checked, against=answer.sentences, fits=answer.yes)


def _checked(path: Path, noted: Noted | None, chain_only: bool) -> Checked:
    found = _read(path, noted, chain_only)
    faults = _faults(found, chain_only)
    if isinstance(found, Export):
        what = f"export of job {found.traveler.get('job')}"
        if isinstance(found, Packed):
            what = f"packet of job {found.traveler.get('job')} with the code {code(found.manifest)}"
        checked = Checked(what, faults, len(found.events), found.head)
        history = None if noted is None else _history(found, noted)
    else:
        checked = Checked(SHOP_FILE, faults, found.events, found.journal_head)
        gives = found.noted_count_gives
        at_count = None if gives is None else f"the journal's code at that number of events is {gives}"
        history = History("file", found.found, {**found.stream_events, JOURNAL: found.events}, at_count)
    if noted is None or history is None:
        return checked
    if isinstance(found, Packed) and noted.stands_for(found.manifest):
        said = "the code is that of the packet: every file in it is as it was when the code was noted"
        return replace(checked, against=(said,), fits=not checked.faults)
    answer = held_against(noted, history)
    return replace(checked, against=answer.sentences, fits=answer.yes)


def _faults(found: Verification | Export, chain_only: bool) -> tuple[str, ...]:
    if isinstance(found, Verification):
        return found.faults
    around = found.around if isinstance(found, Packed) else ()
    return (*around, *_export_faults(found, chain_only))


def _history(export: Export, noted: Noted) -> History:
    """Where the chain of an export, computed anew from its texts, has the code that was noted."""
    first = body_data(export.events[0]) if export.events else None
    stream = "the export" if first is None else str(first["stream"])
    found, at_count = None, None
    for seq, link in enumerate(_links(export, first), start=1):
        if noted.stands_for(link):
            found = Found(stream, seq, unaltered=True)
        if seq == noted.events:
            at_count = f"the code at that number of events is {code(link)}"
    return History("export", found, {stream: len(export.events)}, at_count)


def _links(export: Export, first: dict[str, Any] | None) -> Iterator[bytes]:
    if first is None or not isinstance(first["act"], dict):
        return
    link = genesis(str(first["act"].get("shop")), str(first["stream"]))
    for body in export.events:
        if body_data(body) is None:
            return
        link = next_hash(link, body)
        yield link


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def _read(path: Path, noted: Noted | None, chain_only: bool) -> Verification | Export:
    """A shop file, looked through, or an export as read."""
    if not _is_file(path):
        raise TravelerError(f"{path} is no file; expected a shop file, a JSON export or a packet")
    # Only a file that is no database is opened here: closing a plain handle on a live one would drop its locks.
    if path.suffix == ".json":
        return read_export(path.read_bytes())
    if path.suffix == ".zip":
        return _packet(path.read_bytes())
    try:
        refuse_network(located(path, read_only=True))
        return verify_shop(path, noted, chain_only=chain_only, derived=None if chain_only else BoardCheck())
    except TravelerError as not_a_shop:
        raw = path.read_bytes()
        if raw.startswith(ZIP_MAGIC):
            return _packet(raw)
        if raw.startswith(SQLITE_MAGIC) or not raw.lstrip().startswith(b"{"):
            raise not_a_shop from None
        return read_export(raw)


def _packet(raw: bytes) -> Packed:
    """The export in a packet, and how the files around it hold together."""
    parts = unpacked(raw)
    export = read_export(parts[TRAVELER])
    named = (sha256 for body in export.events for sha256, _ in files_in(body_data(body) or {}))
    faults = (*manifest_faults(parts), *attachment_faults(parts, named))
    return Packed(
        export.traveler,
        export.events,
        export.links,
        export.head,
        faults,
        hashlib.sha256(parts[MANIFEST]).digest(),
    )


def _export_faults(export: Export, chain_only: bool) -> Iterator[str]:
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
    if chain_only:
        return
    if altered := history_fault(first["act"], shop_id):
        yield altered
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
