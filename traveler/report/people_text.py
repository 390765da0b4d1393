"""The people of the shop as plain text."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from traveler.report.lines import joined, padded, wrapped
from traveler.report.words import person, stamp, visible

Json = Mapping[str, Any]


def people_text(people: Iterable[Json]) -> str:
    """One person a paragraph: id, name, roles, and below what stands against their signing or welding."""
    lines: list[str] = []
    for entry in people:
        roles = ", ".join(entry["roles"]) or "no role"
        lines += wrapped(f"{padded(entry['person'], 4)} {visible(entry['name'])}: {roles}", hang=" " * 5)
        for remark in person_remarks(entry):
            lines += wrapped(remark, indent=" " * 5)
    return joined(lines or ["Nobody is registered; names are as stated."])


def person_text(entry: Json) -> str:
    """One person with their history."""
    lines = people_text([entry]).splitlines()
    sections = {
        "SHOWN OUTSIDE THE JOBS": [shown_words(shown) for shown in entry["shown"]],
        "HISTORY": [change_words(change) for change in entry["history"]],
        "REFUSED": [refused_words(refused) for refused in entry["refused"]],
    }
    for title, entries in sections.items():
        if entries:
            lines += ["", title]
            for text in entries:
                lines += wrapped(text, indent="  ")
    return joined(lines)


def person_remarks(entry: Json) -> Iterator[str]:
    """What stands against their signing, other names, what they may weld."""
    if entry["disabled"]:
        yield "disabled"
    if entry["former_names"]:
        yield f"formerly {', '.join(visible(name) for name in entry['former_names'])}"
    if not entry["secret"]:
        yield "no secret yet"
    for process in entry["processes"]:
        state = (
            f"good until {process['until']}" if process["valid"] else f"not now: {visible(process['reason'])}"
        )
        yield f"process {process['process']}: {state}"


def change_words(change: Json) -> str:
    """One entry of a history: when, who, what and why."""
    because = f": {visible(change['because'])}" if change["because"] else ""
    return f"{stamp(change['recorded_at'])}, {person(change['by'])}: {visible(change['what'])}{because}"


def shown_words(shown: Json) -> str:
    """A process shown outside the jobs."""
    return f"process {shown['process']} on {shown['on']}: {visible(shown['shown_by'])}"


def refused_words(refused: Json) -> str:
    """A signature that was refused: when, of what, and why."""
    what = visible(refused["as"])
    job = f" of job {visible(refused['job'])}" if refused["job"] else ""
    where = f", step {refused['step']}{job}" if refused["step"] is not None else job.replace(" of", ",", 1)
    return f"{stamp(refused['recorded_at'])}, {what}{where}: {visible(refused['reason'])}"
