"""What the screens say of a sheet beside a job, as lines of safe text. No widgets here."""

from collections.abc import Iterator, Sequence

from traveler.job.sheet_entered import carried
from traveler.job.sheet_pages import pages_of
from traveler.job.sheet_write import Entered
from traveler.report.compare_text import comparison_sections, differences_told
from traveler.report.words import Object, visible
from traveler.tui.sheet_wording import page_name

LONG = 30
"""On a screen hardly any reason is told twice on end."""
HAD: dict[str, str] = {
    "grade": "grade",
    "condition": "condition",
    "heat_number": "heat",
    "certificate": "certificate",
    "composition": "analysis",
    "tempered_at": "tempered at",
    "classification": "filler",
    "hydrogen": "hydrogen",
    "lot": "lot",
    "nominal": "nominal",
    "tolerance": "tolerance",
}
"""Keys of a page whose earlier value is told above its fields, by the word for each."""


def had_lines(job: str, had: Entered) -> Iterator[str]:
    """What the job that is made again has on this page, in a line."""
    said = [f"{word} {visible(had[key])}" for key, word in HAD.items() if had.get(key)]
    if said:
        yield f"{visible(job)} had: {', '.join(said)}"


def carried_lines(entered: Entered, page: str) -> Iterator[str]:
    """What the sheet says there and no field asks for."""
    along = [f"{key} {visible(value)}" for key, value in carried(entered, page)]
    if along:
        yield f"carried along: {', '.join(along)}"
    if built := entered.get(f"{page}.as_built", ""):
        yield f"as built: {visible(built)}"


def all_carried_lines(entered: Entered) -> list[str]:
    """The same of every page, each with its name, for what is decided before the job is issued."""
    return [
        f"{page_name(page, entered)}, {line}"
        for page in pages_of(entered)
        for line in carried_lines(entered, page)
    ]


def counted_words(found: Object) -> str:
    """ "2 stricter, 1 less strict" of the differences; "nothing that is asked for differs" for none."""
    words = {"stricter": "stricter", "less strict": "less strict", "changed": "otherwise"}
    counts = [(word, len(differences_told(found, direction))) for direction, word in words.items()]
    said = [f"{count} {word}" for word, count in counts if count]
    return ", ".join(said) or "nothing that is asked for differs"


def comparison_lines(found: Object, entered: Entered | None = None) -> list[str]:
    """The whole page: what is asked otherwise and why, the stricter first, then what was changed on the sheet; with
    ``entered`` what the sheet carries along.
    """
    lines = [f"{visible(found['job'])} as of its revision {found['revision']}, code {visible(found['head'])}"]
    sections = comparison_sections(found, long=LONG)
    lines += [line for title, entries in sections for line in _section(title, entries)]
    carried_along = [] if entered is None else all_carried_lines(entered)
    if carried_along:
        lines += _section(f"From {visible(found['job'])}, as it stands", carried_along)
    return lines


def _section(title: str, entries: Sequence[str]) -> list[str]:
    return ["", title, *(f"  {entry}" for entry in entries)]
