"""What the screens say about parts, as lines of safe text. No widgets here."""

from collections.abc import Sequence
from typing import Any

from traveler.job.part import STATES
from traveler.report.part_text import (
    built_words,
    counter_words,
    due_words,
    entry_words,
    job_words,
    measured_words,
    spare_words,
    where_words,
)
from traveler.report.words import visible
from traveler.tui.register_wording import Entry, ranked

Json = dict[str, Any]

SHORT = {"no interval set": "no interval", "inspection due": "due"}
"""Words of a state that are short beside an entry."""
SIGNS = {"fit": "+", "no interval set": "~", "withdrawn": "-"}


def part_entries(parts: Sequence[Json], find: str = "") -> list[Entry]:
    """The parts that have every word of ``find`` in serial, design, car or job; the gravest first."""
    words = find.casefold().split()
    found = [part for part in parts if all(word in _sought(part) for word in words)]
    found.sort(key=lambda part: -STATES.index(part["state"]))
    return ranked([part_entry(part) for part in found])


def _sought(part: Json) -> str:
    named = (part["serial"], part["design"], part["car"] or "", part["job"], part["state"])
    return " ".join(named).casefold()


def part_entry(part: Json) -> Entry:
    """A part with whether it may be relied on today, where it is, and what it waits for."""
    state = part["state"]
    sign, word = SIGNS.get(state, "!"), str(SHORT.get(state, state))
    name = f"{visible(part['serial'])} {visible(part['design'])}, {where_words(part)}"
    reasons = [visible(reason) for reason in part["why"]]
    due = due_words(part)
    lines = (name, *((reasons or due[-1:])[:1]))
    counted = [counter_words(entry) for entry in part["since_inspection"] if _says(entry)]
    since = ["since the last inspection", *(f"  {words}" for words in counted)] if counted else []
    last = [entry_words(part["history"][-1])]
    return Entry(part["serial"], sign, word, lines, (name, *reasons, *due, *since, *last))


def _says(entry: Json) -> bool:
    return bool(entry["limit"] or entry["unknown"] or entry["used"] not in ("0", "0 events"))


def part_lines(part: Json) -> list[str]:
    """The whole page of a part, what is due first."""
    entry = part_entry(part)
    lines = [f"{entry.lead}: {entry.lines[0]}"]
    lines += [*(visible(reason) for reason in part["why"]), *due_words(part)]
    lines += _section(
        "Since the last inspection", [counter_words(entry) for entry in part["since_inspection"]]
    )
    lines += _section("As built", [built_words(entry) for entry in part["as_built"]])
    lines += _section("Measured since", [measured_words(entry) for entry in part["measured"]])
    lines += _section("History", [entry_words(entry) for entry in reversed(part["history"])])
    lines += _section("In all", [counter_words(entry) for entry in part["in_all"]])
    made = [f"revision {part['revision']}, code {visible(part['code'])}"]
    lines += _section("Jobs", [*(job_words(entry) for entry in part["jobs"]), *made])
    return lines + _section("Spares of the design", [spare_words(entry) for entry in part["spares"]])


def design_lines(parts: Sequence[Json]) -> list[str]:
    """What befell every part of a design, the latest first."""
    entries = [(entry["on"], part["serial"], entry) for part in parts for entry in part["history"]]
    entries.sort(key=lambda row: row[0])
    stands = [f"{visible(part['serial'])}: {part['state']}, {where_words(part)}" for part in parts]
    told = [f"{visible(serial)}  {entry_words(entry)}" for _, serial, entry in reversed(entries)]
    return [*stands, *_section("History", told)]


def _section(title: str, entries: Sequence[str]) -> list[str]:
    return ["", title, *(f"  {entry}" for entry in entries)] if entries else []
