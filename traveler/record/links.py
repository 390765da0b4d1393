"""One stored event against its own body and against the links before it; no database needed."""

import hashlib
import json
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple, NoReturn

from traveler.errors import BadInput, TravelerError
from traveler.record.chain import canonical, code, genesis, next_hash, next_journal
from traveler.record.rows import StoredEvent

# The body as bytes: a byte that is no UTF-8 any more must be found by the hash, not stop the reading.
COLUMNS = "position, stream, seq, id, kind, recorded_at, CAST(body AS BLOB), hash, journal_hash"
DERIVED = ("stream", "seq", "id", "kind", "recorded_at")
KEYS = frozenset(("stream", "seq", "id", "kind", "happened_at", "recorded_at", "by", "act"))


class EventRow(NamedTuple):
    """All columns of an event as they are stored; 100,000 of them are looked at in a few seconds."""

    position: int
    stream: str
    seq: int
    id: str
    kind: str
    recorded_at: str
    body: bytes
    hash: bytes
    journal_hash: bytes


@dataclass(frozen=True, slots=True)
class Fault:
    """The place of a fault in a stream, and what does not fit there."""

    stream: str
    seq: int
    what: str

    def __str__(self) -> str:
        return f"event {self.seq} of {self.stream}: {self.what}"


def link_faults(row: EventRow, previous: bytes, previous_journal: bytes) -> list[str]:
    """What does not fit of the two links of an event, a phrase each; its text is hashed as bytes and not parsed."""
    faults = []
    if hashlib.sha256(previous + row.body).digest() != row.hash:
        faults.append("its text or its place is not the one that was hashed")
    if next_journal(previous_journal, row.hash) != row.journal_hash:
        faults.append("it is not the event that the journal has at this place")
    return faults


def text_faults(row: EventRow) -> tuple[list[str], dict[str, Any] | None]:
    """What does not fit between an event's text and the columns derived from it, a phrase each; and the parsed text."""
    try:
        data = body_data(row.body.decode("utf-8"))
    except UnicodeDecodeError:
        return ["its text is not UTF-8 any more"], None
    if data is None:
        return ["its text is not in the form that events are written in"], None
    differing = [name for name in DERIVED if data[name] != getattr(row, name)]
    return [f"the column {name} differs from the text" for name in differing], data


def row_faults(row: EventRow, previous: bytes, previous_journal: bytes) -> list[str]:
    """What does not fit of one event, a sentence each: links, text, derived columns."""
    phrases = [*link_faults(row, previous, previous_journal), *text_faults(row)[0]]
    return [str(Fault(row.stream, row.seq, phrase)) for phrase in phrases]


def body_data(body: str) -> dict[str, Any] | None:
    """The parsed body; None where it is not exactly the canonical text of an event."""
    try:
        data = _DECODER.decode(body)
        if isinstance(data, dict) and data.keys() == KEYS and _written(data, body) == body:
            return data
    except (ValueError, RecursionError, BadInput):
        return None
    return None


def _refuse_decimal(text: str) -> NoReturn:
    raise ValueError("an event holds no numbers but whole ones")


_DECODER = json.JSONDecoder(parse_float=_refuse_decimal, parse_constant=_refuse_decimal)
_ENCODER = json.JSONEncoder(sort_keys=True, ensure_ascii=False, separators=(",", ":"))


def _written(data: dict[str, Any], body: str) -> str:
    # Every part of a text in form NFC is in that form, and what JSON escapes joins with no accent. So where the whole
    # is, the slow way that looks at each string would find nothing.
    return _ENCODER.encode(data) if unicodedata.is_normalized("NFC", body) else canonical(data)


def refuse_altered(events: Iterable[StoredEvent], before: bytes | None = None) -> None:
    """TravelerError where the events, which follow one another in a stream, are not the ones that were hashed."""
    for _ in unaltered(events, before):
        pass


def unaltered(events: Iterable[StoredEvent], before: bytes | None = None) -> Iterator[StoredEvent]:
    """The events, each once it was held against its link; TravelerError at the first that is not the one hashed.

    ``before``: the link of the event before the first; None where they begin with the stream's first. What is signed,
    printed or decided must not rest on a text that was altered, and the code beside it would be the genuine one.
    """
    for event in events:
        if before is None:
            # The founding names the shop, and so does each job's first event.
            before = genesis(str(event.data["act"].get("shop")), event.stream)
        before = next_hash(before, event.body)
        if before != event.hash:
            raise TravelerError(
                f"event {event.seq} of {event.stream} was altered by other means than this program, so nothing that "
                "rests on it is shown or written; verify the file, and restore it from a backup."
            )
        yield event


def verify_chain(shop_id: str, stream: str, bodies: Sequence[str], head: str | None) -> Fault | None:
    """The first fault of a stream handed over as its bodies alone, in order; None where there is none.

    ``head`` is the code noted for the stream's last event. Without the links between, a text altered into
    another well-formed one shows only there: the fault then names the last event, and says that an earlier
    one may be meant.
    """
    if not bodies:
        return Fault(stream, 0, "there are no events; a stream has at least one")
    link = genesis(shop_id, stream)
    for seq, body in enumerate(bodies, start=1):
        data = body_data(body)
        if data is None:
            return Fault(stream, seq, "its text is not in the form that events are written in")
        if data["stream"] != stream or data["seq"] != seq:
            return Fault(stream, seq, f"at this place stands event {data['seq']} of {data['stream']}")
        link = next_hash(link, body)
    if head is not None and code(link) != head:
        return Fault(
            stream,
            len(bodies),
            f"the events up to here give the code {code(link)}, noted is {head}: one was altered",
        )
    return None
