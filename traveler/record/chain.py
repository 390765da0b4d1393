"""The hash chains, without any database: an event's canonical text, its hash, and the code for paper.

A link is SHA-256 over the previous 32 bytes followed by the event's text in UTF-8. SHA-256 is FIPS 180-4,
base32 is RFC 4648. A chain alone shows only that its links fit together: whoever can write the file can also
recompute it. What makes it evidence is the code of the head noted somewhere else, on paper for instance.
"""

import base64
import hashlib
import json
import unicodedata
from collections.abc import Mapping

from traveler.errors import BadInput
from traveler.record.rows import BoardRow, StoredEvent

__all__ = [
    "BoardRow",
    "StoredEvent",
    "canonical",
    "code",
    "genesis",
    "journal_genesis",
    "letters_of",
    "next_hash",
    "next_journal",
    "plain_text",
]

Place = tuple["Place", str | int] | None
"""A key, or a place in a list, and where that is; None for the whole."""

CODE_BITS = 80
CODE_LETTERS = CODE_BITS // 5

# Base32 has neither 0, 1 nor 8; whoever copies a code by hand writes them for what they look like.
_LOOKALIKES = str.maketrans("018", "OIB", " -\t\u00a0\u2010\u2011\u2013\u2014")


def canonical(body: Mapping[str, object]) -> str:
    """The one text that stands for ``body``: sorted keys, no spaces, every string in Unicode form NFC.

    Admits strings, integers, booleans, None, lists and objects. A float has no single text (451.0 and 451 are
    equal) and a lone surrogate no UTF-8, so both raise BadInput that names the place.
    """
    return json.dumps(_admitted(body, None), sort_keys=True, ensure_ascii=False, separators=(",", ":"))


def plain_text(text: str, place: str) -> str:
    """``text`` in form NFC; BadInput naming ``place`` where it holds half of a surrogate pair."""
    if text.isascii():
        return text
    normal = unicodedata.normalize("NFC", text)
    try:
        normal.encode("utf-8")
    except UnicodeEncodeError as error:
        raise BadInput(
            f"{place}: the character at position {error.start + 1} is broken (half of a surrogate pair); "
            "expected text that can be written as UTF-8"
        ) from error
    return normal


def _admitted(value: object, place: Place) -> object:
    if isinstance(value, str):
        return value if value.isascii() else plain_text(value, _named(place))
    if value is None or isinstance(value, int):
        return value
    if isinstance(value, list | tuple):
        return [_admitted(item, (place, index)) for index, item in enumerate(value)]
    if isinstance(value, Mapping):
        return _admitted_object(value, place)
    raise BadInput(
        f"{_named(place)}: a value of type {type(value).__name__} cannot be part of an event; "
        "expected text, a whole number, true, false, nothing, a list or an object"
    )


def _admitted_object(value: Mapping[object, object], place: Place) -> dict[str, object]:
    admitted: dict[str, object] = {}
    for key, item in value.items():
        if not isinstance(key, str):
            raise BadInput(f"{_named(place)}: the key {key!r} is not text; expected text keys only")
        name = key if key.isascii() else plain_text(key, f"{_named(place)}, a key")
        inside = (place, name)
        if name in admitted:
            raise BadInput(f"{_named(inside)}: this key stands twice; expected each key once")
        admitted[name] = _admitted(item, inside)
    return admitted


def _named(place: Place) -> str:
    """ "act.readings[2].value"; put together for a refusal only."""
    parts: list[str] = []
    while place is not None:
        place, last = place
        parts.append(f"[{last}]" if isinstance(last, int) else f".{last}")
    return "".join(reversed(parts)).removeprefix(".") or "event"


def genesis(shop_id: str, stream: str) -> bytes:
    """The 32 bytes before a stream's first event: SHA-256 of the shop's id and then the stream's name.

    The id always has 32 characters, so no two pairs of id and name run together into the same text.
    """
    return hashlib.sha256((shop_id + stream).encode("utf-8")).digest()


def journal_genesis(shop_id: str) -> bytes:
    """The 32 bytes before the journal's first link: SHA-256 of the shop's id and then "journal"."""
    return genesis(shop_id, "journal")


def next_hash(previous: bytes, body: str) -> bytes:
    """The link of an event: SHA-256 of the previous 32 bytes and the event's text in UTF-8."""
    return hashlib.sha256(previous + body.encode("utf-8")).digest()


def next_journal(previous: bytes, event_hash: bytes) -> bytes:
    """The journal's next link over the hash of the event just written, whatever stream it belongs to."""
    return hashlib.sha256(previous + event_hash).digest()


def code(head: bytes) -> str:
    """The first 80 bits of a head in base32, in fours: short enough to copy by hand, too long to guess."""
    letters = base64.b32encode(head[: CODE_BITS // 8]).decode("ascii")
    return "-".join(letters[start : start + 4] for start in range(0, len(letters), 4))


def letters_of(typed: str) -> str:
    """A code as somebody typed it, brought to capital letters without dashes and spaces."""
    return typed.translate(_LOOKALIKES).upper()
