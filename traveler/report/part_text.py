"""Parts as plain text: the list, one part with its history, and the history of all parts of a design."""

from collections.abc import Iterable, Sequence
from typing import Any

from traveler.report.lines import joined, wrapped
from traveler.report.words import Object, count_words, person, visible

NO_PARTS = "No parts have a serial yet."
HANG = " " * 4


def parts_text(parts: Iterable[Object]) -> str:
    """One part a paragraph: serial, design, state, car; below it why, and when it is due."""
    lines: list[str] = []
    for part in parts:
        lines += wrapped(_head(part), hang=HANG)
        for remark in _remarks(part):
            lines += wrapped(remark, indent=HANG)
    return joined(lines or [NO_PARTS])


def part_text(part: Object) -> str:
    """Everything about one part."""
    lines = wrapped(_head(part))
    for remark in _remarks(part):
        lines += wrapped(remark, indent="  ")
    origin = f"{visible(part['job'])}, revision {part['revision']}, code {visible(part['code'])}"
    lines += wrapped(f"Made in job {origin}", indent="  ")
    lines += _section("SINCE THE LAST INSPECTION", [_counter(entry) for entry in part["since_inspection"]])
    lines += _section("IN ALL", [_counter(entry) for entry in part["in_all"]])
    lines += _section(
        "AS BUILT", [f"{visible(entry['dimension'])} {visible(entry['size'])}" for entry in part["as_built"]]
    )
    lines += _section("HISTORY", [_entry(entry) for entry in part["history"]])
    return joined(lines)


def history_text(design: str, parts: Sequence[Object]) -> str:
    """What befell every part of a design, in the order of days."""
    entries = [(entry["on"], part["serial"], entry) for part in parts for entry in part["history"]]
    lines = wrapped(
        f"DESIGN {visible(design)}, parts: {', '.join(visible(part['serial']) for part in parts)}"
    )
    for _, serial, entry in sorted(entries, key=lambda row: row[0]):
        lines += wrapped(f"{visible(serial)}  {_entry(entry)}", indent="  ", hang=HANG)
    return joined(lines)


def _head(part: Object) -> str:
    where = f"on {visible(part['car'])}" if part["car"] else "on no car"
    return f"{visible(part['serial'])}  {visible(part['design'])}: {part['state'].upper()}, {where}"


def _remarks(part: Object) -> list[str]:
    every = [f"to be inspected every {visible(part['interval'])}"] if part["interval"] else []
    due = [f"by {part['due_on']} at the latest"] if part["due_on"] and part["state"] == "fit" else []
    return [*(visible(reason) for reason in part["why"]), *([", ".join(every + due)] if every else [])]


def _counter(entry: dict[str, Any]) -> str:
    limit = f" of {visible(entry['limit'])}" if entry["limit"] else ""
    unknown = f", not said by {count_words(entry['unknown'], 'use')}" if entry["unknown"] else ""
    return f"{entry['counter']}: {visible(entry['used'])}{limit}{unknown}"


def _entry(entry: Object) -> str:
    wrong = (
        f"; SUPERSEDED{visible(entry['superseded']).removeprefix('superseded')}"
        if entry["superseded"]
        else ""
    )
    return f"{entry['on']}  entry {entry['entry']}  {visible(entry['what'])} ({person(entry['by'])}){wrong}"


def _section(title: str, entries: list[str]) -> list[str]:
    if not entries:
        return []
    return ["", title, *(line for entry in entries for line in wrapped(entry, indent="  ", hang=HANG))]
