"""What the pages of a new job say: their names, what each asks, and the plan as it will be issued. Safe text."""

from collections.abc import Iterator, Mapping, Sequence

from traveler.job.sheet_pages import PageKind, page_kind, place_in_list
from traveler.job.sheet_write import Entered
from traveler.report.decided_words import point_name
from traveler.report.requirement_words import limit_words
from traveler.report.words import Object, visible
from traveler.tui.wording import requirement_name, step_name

ASKS: Mapping[PageKind, str] = {
    "job": "What the job is, and what it is judged by.",
    "material": "what is welded, by heat, grade and condition.",
    "filler": "what it is welded with.",
    "joint": "how its members are joined.",
    "member": "what it is, and how thick.",
    "dimension": "checked at fit and at inspection.",
    "site": "The route as it is laid out:",
}
SHOWN_OF: Mapping[PageKind, tuple[str, ...]] = {
    "job": ("number", "title", "quantity", "units", "stress_relief", "hardness_limit", "checks"),
    "material": ("grade", "condition", "heat_number"),
    "filler": ("classification", "hydrogen"),
    "joint": ("type", "process", "arc_energy", "restraint"),
    "member": ("material", "form", "thickness"),
    "dimension": ("title", "nominal", "tolerance"),
    "site": ("temperature", "damp"),
}
BOUNDS = ("at_least", "at_most")


def page_name(page: str, entered: Entered) -> str:
    """ "Joint J1, member 2"; an entry without an id is called by its place."""
    kind, (name, at) = page_kind(page), place_in_list(page)
    if kind == "member":
        return f"{page_name(name.rpartition('.')[0], entered)}, member {at + 1}"
    if kind in ("job", "site"):
        return "The job" if kind == "job" else "The shop"
    return f"{kind.capitalize()} {visible(entered.get(f'{page}.id', '').strip()) or at + 1}"


def page_line(page: str, entered: Entered) -> str:
    """What was entered on a page, in a line."""
    keys = SHOWN_OF[page_kind(page)]
    values = (entered.get(f"{page}.{key}", "").strip() for key in keys)
    return ", ".join(visible(value) for value in values if value) or "nothing said"


def route_lines(plan: Object) -> Iterator[str]:
    """The steps by number and title, each with the limits in numbers that the metal calls for."""
    for step in plan["steps"]:
        limits = [
            f"{requirement_name(step, entry)} {limit_words(entry)}"
            for entry in step["requirements"]
            if entry.get("undetermined") or any(entry.get(bound) is not None for bound in BOUNDS)
        ]
        yield f"{visible(step_name(step))}{': ' if limits else ''}{'; '.join(limits)}"


def limits_lines(step: Object) -> Iterator[str]:
    """Each requirement of a step with its limit, and what else is to be heeded there."""
    for entry in step["requirements"]:
        yield f"{requirement_name(step, entry)}: {limit_words(entry)}"
    for point in step.get("points", ()):
        yield point_name(point)
    for note in step.get("notes", ()):
        yield f"note: {visible(note)}"


def faults_line(key: str, words: str) -> str:
    """A fault of a page, by the key of the sheet that it stands at."""
    return visible(f"{key}: {words}" if key else words)


def count_of(page: str, pages: Sequence[str]) -> str:
    """ "page 3 of 8"."""
    return f"page {pages.index(page) + 1} of {len(pages)}" if page in pages else ""
