"""A job sheet written as a person would write it: what was entered, by the reader's own names of places, as TOML."""

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

Entered = Mapping[str, str]
"""What was entered at each place of a sheet, as the reader names it: ``joint[0].member[1].thickness``."""

Kind = Literal["text", "flag", "percents", "number", "list"]
Keys = Mapping[str, Kind]

YES = "yes"
JOB: Keys = {
    "number": "text",
    "title": "text",
    "part": "text",
    "quantity": "number",
    "serials": "list",
    "units": "text",
    "decides": "text",
    "stress_relief": "text",
    "decision_rule": "text",
    "self_inspection": "flag",
    "hardness_limit": "text",
    "checks": "list",
    "straightening": "text",
    "made_from": "text",
}
MATERIAL: Keys = {
    "id": "text",
    "grade": "text",
    "condition": "text",
    "heat_number": "text",
    "certificate": "text",
    "composition": "percents",
    "tempered_at": "text",
}
FILLER: Keys = {"id": "text", "classification": "text", "hydrogen": "text", "lot": "text"}
JOINT: Keys = {
    "id": "text",
    "type": "text",
    "process": "text",
    "filler": "text",
    "arc_energy": "text",
    "restraint": "text",
}
MEMBER: Keys = {"material": "text", "form": "text", "thickness": "text"}
SITE: Keys = {"temperature": "text", "damp": "flag"}
DIMENSION: Keys = {"id": "text", "title": "text", "nominal": "text", "tolerance": "text", "as_built": "text"}
TABLES: Mapping[str, Keys] = {
    "job": JOB,
    "material": MATERIAL,
    "filler": FILLER,
    "joint": JOINT,
    "member": MEMBER,
    "site": SITE,
    "dimension": DIMENSION,
}
"""What is entered as a person types it, by table. Any other key stands in ``Entered`` as TOML has it."""

HEAD = "# A job sheet of the traveler. What each key means stands in docs/job-sheet.md."
COMMENTS: Mapping[str, str] = {
    "material": "# What is welded. A composition is in mass percent, as the certificate reports it.",
    "filler": "# What it is welded with.",
    "joint": "# What is welded to what: arc energy is volts times amps by travel speed, without efficiency.",
    "site": "# Where the welding is done.",
    "dimension": "# Checked at fit and at inspection.",
}

_OTHER = re.compile(r"([A-Za-z0-9_-]+)(\[[0-9]{1,6}\])?\.[A-Za-z0-9_-]+")
_PERCENT = re.compile(r"([A-Za-z]{1,2})(?: ?[=:] ?| ?)([0-9]{0,9}\.?[0-9]{1,20})")
_WHOLE = re.compile(r"[0-9]{1,9}")
_BETWEEN = re.compile(r" ?[,;] | ?; ?| ")


def write_sheet(entered: Entered) -> str:
    """The sheet as TOML in the order of docs/job-sheet.md; a place where nothing was entered is left out.

    What does not read as a flag, a number, names or elements with their percents is written as text, for the reader to
    refuse at its place. Text is put into NFC as the record stores it, without the spaces around it.
    """
    blocks = [HEAD, *_table("[job]", "job", JOB, entered)]
    for name, keys in (("material", MATERIAL), ("filler", FILLER)):
        blocks += _tables(name, keys, entered)
    for index in indices(entered, "joint"):
        place = f"joint[{index}]"
        lines = [*_lines(place, JOINT, entered), *_members(place, entered)]
        blocks.append("\n".join([*_comment("joint", index), "[[joint]]", *lines]))
    if _lines("site", SITE, entered):
        blocks += _table(f"{COMMENTS['site']}\n[site]", "site", SITE, entered)
    blocks += _tables("dimension", DIMENSION, entered)
    for place, name in _other_tables(entered):
        head = f"[{name}]" if place == name else f"[[{name}]]"
        blocks += _table(head, place, {}, entered)
    return "\n\n".join(blocks) + "\n"


def indices(entered: Entered, name: str) -> Sequence[int]:
    """The numbers of the entries of a list, ``name`` being "material" or "joint[0].member", in order."""
    pattern = re.compile(rf"{re.escape(name)}\[([0-9]{{1,6}})\]\.")
    return sorted({int(found[1]) for place in entered if (found := pattern.match(place))})


def toml_text(text: str) -> str:
    """A basic string of TOML: what prints stands as it is, everything else as an escape."""
    return '"' + "".join(map(_escaped, text)) + '"'


def _table(head: str, place: str, keys: Keys, entered: Entered) -> list[str]:
    return ["\n".join([head, *_lines(place, keys, entered)])]


def _tables(name: str, keys: Keys, entered: Entered) -> Iterator[str]:
    for index in indices(entered, name):
        lines = _lines(f"{name}[{index}]", keys, entered)
        yield "\n".join([*_comment(name, index), f"[[{name}]]", *lines])


def _comment(name: str, index: int) -> list[str]:
    return [COMMENTS[name]] if index == 0 else []


def _lines(place: str, keys: Keys, entered: Entered) -> list[str]:
    return [f"{key} = {value}" for key, value in _values(place, keys, entered)]


def _values(place: str, keys: Keys, entered: Entered) -> Iterator[tuple[str, str]]:
    for key, kind in keys.items():
        text = unicodedata.normalize("NFC", entered.get(f"{place}.{key}", "").strip())
        if text:
            yield key, _value(text, kind)

    yield from carried_keys(place, keys, entered)


def carried_keys(place: str, keys: Keys, entered: Entered) -> Iterator[tuple[str, str]]:
    """What stands at that place under a key that is not entered as typed, with its value as TOML."""
    for other, value in entered.items():
        table, _, key = other.rpartition(".")
        if table == place and key not in keys and value:
            yield key, value


def _other_tables(entered: Entered) -> Iterator[tuple[str, str]]:
    """Places of tables that no page asks for, each with the name of its table, in the order of their entries."""
    found = {(match[1], match[2] or ""): None for place in entered if (match := _OTHER.fullmatch(place))}
    for name, index in sorted(found, key=lambda table: (table[0], int(table[1][1:-1] or 0))):
        if name not in TABLES:
            yield f"{name}{index}", name


def _members(place: str, entered: Entered) -> list[str]:
    members = [
        ", ".join(f"{key} = {value}" for key, value in _values(f"{place}.member[{index}]", MEMBER, entered))
        for index in indices(entered, f"{place}.member")
    ]
    if not members:
        return []
    inside = ",\n           ".join(f"{{ {member} }}" if member else "{}" for member in members)
    return [f"member = [ {inside} ]"]


def _value(text: str, kind: Kind) -> str:
    if kind == "flag" and text == YES:
        return "true"
    if kind == "number" and _WHOLE.fullmatch(text):
        return text.lstrip("0") or "0"
    if kind == "list" and (items := [item.strip() for item in text.split(",") if item.strip()]):
        return f"[{', '.join(map(toml_text, items))}]"
    if kind == "percents" and (percents := _percents(text)):
        return percents
    return toml_text(text)


def _percents(text: str) -> str:
    """ "C 0.30, Mn .51" as "{ C = 0.30, Mn = 0.51 }"; empty where it is anything else.

    A comma stands between elements only with a space behind it, so that a decimal comma is never taken for one.
    """
    percents: dict[str, str] = {}
    at, folded = 0, " ".join(text.split())
    while at < len(folded):
        if at and not (between := _BETWEEN.match(folded, at)):
            return ""
        at = between.end() if at and between else at
        found = _PERCENT.match(folded, at)
        if found is None or found[1] in percents:
            return ""
        percents[found[1]], at = _number(found[2]), found.end()
    return "{ " + ", ".join(f"{element} = {number}" for element, number in percents.items()) + " }"


def _number(digits: str) -> str:
    """As TOML writes it: with a digit before the point and no needless zero in front."""
    whole, point, decimals = digits.partition(".")
    return f"{whole.lstrip('0') or '0'}{point}{decimals}"


def _escaped(character: str) -> str:
    if character in '"\\':
        return f"\\{character}"
    code = ord(character)
    if (
        character.isprintable() or 0xD800 <= code <= 0xDFFF
    ):  # a half of a pair is no character: the reader says so
        return character
    return f"\\u{code:04X}" if code <= 0xFFFF else f"\\U{code:08X}"
