"""Words and signs that the text and the printed sheets share, so that both say the same."""

import unicodedata
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from traveler.quantity.units import BY_SYMBOL

Object = Mapping[str, Any]
"""One JSON object of the traveler as handed in."""

MATERIAL = ("id", "grade", "spec", "condition", "heat number", "certificate", "composition")
FILLER = ("id", "classification", "hydrogen", "lot")
JOINT = ("id", "type", "process", "filler", "arc energy", "heat input", "restraint", "members")
MARKS = {
    "seen": "the number was read in the source or in a copy of it",
    "secondary": "the number was read in a text that quotes the source",
    "memory": "the number is from memory: check it before relying on it",
    "common practice, no published source": "what the trade does; nobody published it as a rule",
}
VERDICTS = {
    "met": "enough readings, all inside the limits by at least the uncertainty of the instrument",
    "conditional": "inside the limits, but by less than the uncertainty of the instrument",
    "not met": "a standing reading is outside a limit",
    "not shown": "too few readings, or none that counts, to say that the limit was kept",
}
NO_CLAIM = (
    "Verdicts compare recorded readings with the limits printed here; nothing here claims compliance with a "
    "code or standard. Local codes and licensed practice rule."
)

_UNITS = {"inch": "inch first, metric in brackets", "metric": "metric first, inch in brackets"}
_JOINERS = "\u200c\u200d"  # they shape letters in several scripts and move nothing


def visible(text: object) -> str:
    """Text made safe to print: what acts on a terminal or reorders a line is spelled out (``\\x1b``)."""
    written = str(text)
    if written.isprintable():
        return written  # as most of what is printed is; no character that acts counts as printable
    return "".join(char.encode("unicode_escape").decode("ascii") if _acts(char) else char for char in written)


def _acts(char: str) -> bool:
    return unicodedata.category(char) in {"Cc", "Cf", "Cs", "Zl", "Zp"} and char not in _JOINERS


def stamp(iso: str) -> str:
    """An ISO 8601 instant as "2026-03-14 10:22:05 +01:00"; anything else as it stands."""
    try:
        moment = datetime.fromisoformat(iso)
    except ValueError:
        return visible(iso)
    offset = moment.strftime("%z")
    return f"{moment:%Y-%m-%d %H:%M:%S} {offset[:3]}:{offset[3:5]}".rstrip(" :")


def person(by: Object) -> str:
    """A name, with the id of a registered person and how it was established where that is more than as stated."""
    known = [by["person"]] if by.get("person") else []
    known += [by["how"]] if by.get("how") not in (None, "stated") else []
    return f"{visible(by['name'])} ({visible(', '.join(known))})" if known else visible(by["name"])


def both_degrees(celsius: float) -> str:
    """A temperature for reading: "104.5 °C (220 °F)", the second to a whole degree."""
    return f"{amount(celsius, 'degC')} ({celsius * 9 / 5 + 32:.0f} °F)"


def amount(value: object, unit: object = None) -> str:
    """A number for reading with its unit: "148.9 °C", "0.43"."""
    number = f"{value:g}" if isinstance(value, float) else visible(value)
    if not unit:
        return number
    known = BY_SYMBOL.get(str(unit))
    return f"{number} {known.label if known else visible(unit)}"


def draft_mark(obj: Object) -> str | None:
    """What an unfinished job carries on every sheet; None once it is closed."""
    if obj.get("state") == "closed":
        return None
    ended = {"cancelled": "job cancelled", "scrapped": "part scrapped", "returned": "part returned"}
    how = ended.get(obj.get("state", ""))
    return f"DRAFT: not closed, {how}" if how else "DRAFT: not closed"


def code_words(obj: Object) -> list[str]:
    """What the code of the record proves and does not prove, and how to check it."""
    return [
        f"{visible(obj['head'])} stands for the {obj['events']} events of job {visible(obj['job'])} up to "
        f"{stamp(obj['as_of'])}, each in its place: 80 bits of a SHA-256 chain over all of them.",
        "The same code with the same count proves that the record is unchanged since this code was issued; "
        "not that an entry was true.",
        "To check: take the JSON export of this job, run: traveler verify FILE, and compare the code and the "
        "count of events that it prints with those on this traveler.",
    ]


def head_facts(obj: Object) -> list[tuple[str, str]]:
    """The head block as labels and texts: what the job is, who decides, how verdicts count, how it ended."""
    facts = [
        ("Part", visible(obj.get("part") or "not stated")),
        ("Units", _UNITS.get(obj["units"], visible(obj["units"]))),
        ("Answers for the limits", visible(obj["decides"])),
        *_made_again(obj),
        *_pieces(obj),
    ]
    if "state" in obj:
        facts += [
            ("State", visible(obj["state"])),
            ("Decision rule", visible(obj["decision_rule"])),
            ("People", visible(obj["names"])),
            ("Issued by program version", visible(obj["program"])),
        ]
        facts.append(_ending(obj))
    return facts


def _pieces(obj: Object) -> list[tuple[str, str]]:
    """How many pieces and their serials; nothing for one that has none."""
    found, quantity = obj.get("pieces"), obj.get("quantity", 1)
    serials = found["serials"] if found else obj.get("serials") or ()
    facts = (
        [("Pieces", visible(found["balance"]) if found else str(quantity))] if found or quantity > 1 else []
    )
    return [*facts, *([("Serials", ", ".join(map(visible, serials)))] if serials else [])]


def made_elsewhere(entry: Object) -> str:
    """Of a signature that came along from another job: "on H-014 at its event 57"."""
    origin = entry.get("from")
    return f"on {visible(origin['job'])} at its event {origin['event']}" if origin else ""


def _made_again(obj: Object) -> list[tuple[str, str]]:
    """Which job it is made from once more, with the code that this one had then."""
    origin = obj.get("made_from")
    if not origin:
        return []
    if origin["code"] is None:
        known = ", which was not in this shop" if "state" in obj else ""
        return [("Made again from", f"{visible(origin['job'])}{known}")]
    return [
        (
            "Made again from",
            f"{visible(origin['job'])}, revision {origin['revision']}, code {visible(origin['code'])}",
        )
    ]


def _ending(obj: Object) -> tuple[str, str]:
    ending = "cancelled" if obj.get("cancelled") else "closed"
    entry = obj.get(ending)
    if not entry:
        return "Closed", "not closed"
    because = f", because {visible(entry['because'])}" if entry.get("because") else ""
    return ending.capitalize(), f"{moment_words(entry)}, {person(entry['by'])}{because}"


def moment_words(entry: Object) -> str:
    """When it happened, and when it was written where that is another time."""
    happened, written = stamp(entry["happened_at"]), stamp(entry["recorded_at"])
    if written == happened:
        return happened
    same_day = written[:11] == happened[:11] and written[19:] == happened[19:]
    return f"{happened} (written {written[11:19] if same_day else written})"


def item_cells(item: Object, keys: tuple[str, ...]) -> list[str]:
    """A material, filler or joint as texts in the order of ``keys``, all else behind the last of them."""
    cells = [visible(item.get(key) or "not stated") for key in keys]
    rest = [f"{key}: {visible(text)}" for key, text in item.items() if key not in keys and text]
    return [*cells[:-1], "; ".join([cells[-1], *rest])]


def revision_words(entry: Object) -> str:
    """One issue of the traveler."""
    because = f", because {visible(entry['because'])}" if entry.get("because") else ""
    issued = moment_words({"happened_at": entry["issued_at"], "recorded_at": entry["recorded_at"]})
    return f"Revision {entry['revision']}: issued {issued}, {person(entry['by'])}{because}"


def signature_words(entry: Object) -> str:
    """Who signed, when, what it means and for which revision; in words when it no longer stands."""
    runs = "" if entry.get("runs") is None else f", {count_words(entry['runs'], 'run')}"
    remark = f", {said}" if (said := signature_remark(entry)) else ""
    if where := made_elsewhere(entry):
        remark = f", {where}{remark}"
    others = "".join(f", with {person(other)}" for other in entry.get("with") or ())
    who = f"{person(entry['by'])}{others}, {moment_words(entry)}"
    return f"{who}, {visible(entry['meaning'])}{runs}, under revision {entry['revision']}{remark}"


def signature_remark(entry: Object) -> str:
    """That a signature no longer stands and why, or that what it covers has changed since; empty where neither."""
    if entry.get("stands", True):
        return "content changed since signing" if entry.get("changed", False) else ""
    changed = (
        "the content changed" if entry.get("changed", True) else "an earlier step was reworked or repaired"
    )
    return f"DOES NOT STAND: {changed} after this signature"


def attachment_words(entry: Object) -> str:
    """One file kept with the job, by its SHA-256."""
    size = f"{entry['size']} bytes, SHA-256 {visible(entry['sha256'])}"
    what = f"{visible(entry['name'])}, {visible(entry['as'])} of step {entry['step']}"
    return f"{what}: {size}, {person(entry['by'])}, {moment_words(entry)}"


def count_words(count: int, noun: str) -> str:
    """ "1 run", "3 runs"."""
    return f"{count} {noun}{'' if count == 1 else 's'}"
