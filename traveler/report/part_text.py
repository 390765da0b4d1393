"""Parts as plain text: the list, one part with its history, and the history of all parts of a design."""

from collections.abc import Iterable, Sequence

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
    lines += _section(
        "SINCE THE LAST INSPECTION", [counter_words(entry) for entry in part["since_inspection"]]
    )
    lines += _section("IN ALL", [counter_words(entry) for entry in part["in_all"]])
    lines += _section("AS BUILT", [built_words(entry) for entry in part["as_built"]])
    lines += _section("MEASURED SINCE", [measured_words(entry) for entry in part["measured"]])
    lines += _section("JOBS", [job_words(entry) for entry in part["jobs"]])
    lines += _section("SPARES OF THE DESIGN", [spare_words(entry) for entry in part["spares"]])
    lines += _section("HISTORY", [entry_words(entry) for entry in part["history"]])
    return joined(lines)


def history_text(design: str, parts: Sequence[Object]) -> str:
    """What befell every part of a design, in the order of days."""
    entries = [(entry["on"], part["serial"], entry) for part in parts for entry in part["history"]]
    lines = wrapped(
        f"DESIGN {visible(design)}, parts: {', '.join(visible(part['serial']) for part in parts)}"
    )
    for _, serial, entry in sorted(entries, key=lambda row: row[0]):
        lines += wrapped(f"{visible(serial)}  {entry_words(entry)}", indent="  ", hang=HANG)
    return joined(lines)


def _head(part: Object) -> str:
    return (
        f"{visible(part['serial'])}  {visible(part['design'])}: {part['state'].upper()}, {where_words(part)}"
    )


def where_words(part: Object) -> str:
    """ "on car 7"."""
    return f"on {visible(part['car'])}" if part["car"] else "on no car"


def _remarks(part: Object) -> list[str]:
    return [*(visible(reason) for reason in part["why"]), *due_words(part)]


def due_words(part: Object) -> list[str]:
    """When it is inspected again, whichever comes first, and which limit is nearest; nothing where nobody said."""
    if not part["interval"]:
        return []
    due = f", by {part['due_on']} at the latest" if part["due_on"] and part["state"] == "fit" else ""
    nearest = [f"nearest: {visible(part['nearest'])}"] if part["nearest"] and part["state"] == "fit" else []
    return [f"to be inspected every {visible(part['interval'])}{due}", *nearest]


def counter_words(entry: Object) -> str:
    """ "hours: 38 h of 40 h, 2 h left", "events: 4 of 10, 6 left"."""

    def told(key: str) -> str:
        return visible(entry[key]).removesuffix(f" {entry['counter']}").removesuffix(" event")

    limit = f" of {told('limit')}" if entry["limit"] else ""
    left = "" if entry["left"] is None or entry["unknown"] else f", {told('left')} left"
    unknown = f", not said by {count_words(entry['unknown'], 'use')}" if entry["unknown"] else ""
    return f"{entry['counter']}: {told('used')}{limit}{left}{unknown}"


def built_words(entry: Object) -> str:
    """ "D1 hole to edge: 38.12 mm"."""
    title = f" {visible(entry['title'])}" if entry.get("title") else ""
    return f"{visible(entry['dimension'])}{title}: {visible(entry['size'])}"


def measured_words(entry: Object) -> str:
    """ "2026-05-01  D1 38.4 mm, as built 38.12 mm: +0.28 mm"."""
    return f"{entry['on']}  {visible(entry['words'])}"


def job_words(entry: Object) -> str:
    """A job that the part is in."""
    how = "made in" if entry["made_here"] else "named in"
    return f"{how} {visible(entry['job'])}, {visible(entry['title'])}: {visible(entry['state'])}"


def spare_words(entry: Object) -> str:
    """Another part of the same design."""
    return (
        f"{visible(entry['serial'])}: {entry['state']}, {where_words(entry)}, made in {visible(entry['job'])}"
    )


def entry_words(entry: Object) -> str:
    """What befell the part, when and by whom, and what superseded it."""
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
