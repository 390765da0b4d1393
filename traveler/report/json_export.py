"""The completed traveler for programs: the object, the events behind it, the code of the record."""

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NoReturn

from traveler.errors import BadInput

FORMAT = "traveler/1"
_KEYS = {"format": str, "traveler": dict, "events": list, "links": list, "head": str}
_OPTIONAL = {"links"}
_NAMES = {str: "a text", dict: "an object", list: "a list"}
# JSON leaves these raw, and a terminal or a viewer would act on them when the file is shown.
_ACTING = re.compile("[\x7f-\x9f\u061c\u200b\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff]")


@dataclass(frozen=True, slots=True)
class Export:
    """A JSON export as read: not yet compared with anything.

    ``links``: the hash of the chain after each event, in hexadecimal; empty where the export carries none.
    """

    traveler: dict[str, Any]
    events: tuple[str, ...]
    links: tuple[str, ...]
    head: str


def export_json(traveler: dict[str, Any], bodies: Sequence[str], links: Sequence[str], head: str) -> bytes:
    """UTF-8 text, the same bytes for the same record.

    ``bodies`` are the stored event bodies in order, ``links`` the hash of the chain after each of them in
    hexadecimal: by these a reader can name the first event that was altered.
    """
    export = {
        "format": FORMAT,
        "traveler": traveler,
        "events": list(bodies),
        "links": list(links),
        "head": head,
    }
    text = json.dumps(export, ensure_ascii=False, allow_nan=False, sort_keys=True, indent=1)
    return (_ACTING.sub(lambda found: f"\\u{ord(found[0]):04x}", text) + "\n").encode()


def read_export(raw: bytes) -> Export:
    """The parts of a JSON export; raises BadInput, in one sentence, for anything that is not one."""
    found = _parse(raw)
    if not isinstance(found, dict) or "format" not in found:
        raise BadInput('this is no traveler export: expected a JSON object with "format" in it')
    if found["format"] != FORMAT:
        raise BadInput(f'format: read {_quote(found["format"])}, expected "{FORMAT}"')
    for key, kind in _KEYS.items():
        if key not in found and key in _OPTIONAL:
            continue
        if key not in found:
            raise BadInput(f"{key}: missing from the export, expected {_NAMES[kind]}")
        if not isinstance(found[key], kind):
            raise BadInput(f"{key}: read {_quote(found[key])}, expected {_NAMES[kind]}")
    if unknown := sorted(found.keys() - _KEYS.keys()):
        raise BadInput(
            f"{_quote(unknown[0])}: a traveler export has no such part, expected {', '.join(_KEYS)}"
        )
    return Export(found["traveler"], _texts(found, "events"), _texts(found, "links"), found["head"])


def _texts(found: dict[str, Any], key: str) -> tuple[str, ...]:
    texts = found.get(key, [])
    for place, text in enumerate(texts):
        if not isinstance(text, str):
            raise BadInput(f"{key}[{place}]: read {_quote(text)}, expected a text")
    return tuple(texts)


def _parse(raw: bytes) -> Any:
    try:
        return json.loads(raw.decode(), object_pairs_hook=_once, parse_constant=_refuse_constant)
    except UnicodeDecodeError as error:
        raise BadInput(f"this is no traveler export: byte {error.start} is not UTF-8 text") from error
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise BadInput(f"this is no traveler export: not JSON from {where} on ({error.msg})") from error
    except RecursionError as error:
        raise BadInput("this is no traveler export: its JSON is nested too deep") from error
    except ValueError as error:  # an integer longer than Python agrees to read
        raise BadInput("this is no traveler export: it has an integer of thousands of digits") from error


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """A key that stands twice would let two readers see two different records."""
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise BadInput(f"{_quote(key)}: stands twice in one object of the export, expected once")
        found[key] = value
    return found


def _refuse_constant(name: str) -> NoReturn:
    raise BadInput(f"{name}: not a number that JSON knows, expected a decimal number")


def _quote(value: object) -> str:
    text = json.dumps(value)
    return text if len(text) <= 40 else f"{text[:39]}…"
