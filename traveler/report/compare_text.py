"""A sheet beside a job as plain text: what is asked otherwise and because of what, and what changed on the sheet."""

from collections.abc import Iterator, Sequence

from traveler.report.lines import joined, wrapped
from traveler.report.words import Object, count_words, visible

SECTIONS = (
    ("stricter", "Stricter"),
    ("less strict", "Less strict"),
    ("changed", "Otherwise"),
)
NOTHING = "Nothing that is asked for differs."
CHANGED = "Changed on the sheet"
SAME_REASON, LONG = ", for the same reason", 140
WITHOUT = f"{CHANGED}, without effect on what is asked"


def comparison_text(obj: Object) -> str:
    """80 columns; the stricter differences first."""
    lines = wrapped(
        f"SHEET OF JOB {visible(obj['sheet'])} BESIDE JOB {visible(obj['job'])}, revision {obj['revision']}, "
        f"code {visible(obj['head'])}"
    )
    for title, entries in comparison_sections(obj):
        first, comma, rest = title.partition(",")
        lines += _section(f"{first.upper()}{comma}{rest}" if entries else title, entries)
    return joined(lines)


def comparison_sections(obj: Object, *, long: int = LONG) -> Iterator[tuple[str, Sequence[str]]]:
    """Titles with their sentences, for both front ends; a title whose sentences are none is left out.

    ``long``: as in ``differences_told``.
    """
    for direction, title in SECTIONS:
        says = differences_told(obj, direction, long=long)
        if says:
            yield f"{title}, {count_words(len(says), 'difference')}", says
    if not obj["differences"]:
        yield NOTHING, ()
    for title, has_effect in ((CHANGED, True), (WITHOUT, False)):
        inputs = [_input(entry) for entry in obj["changed"] if entry["has_effect"] == has_effect]
        stays = [] if has_effect else [visible(words) for words in obj.get("stays", ())]
        if inputs:
            yield title, [*inputs, *stays]


def differences_told(obj: Object, direction: str, *, long: int = LONG) -> Sequence[str]:
    """The sentences of one direction; a size of which both bounds moved is told once, as another one.

    A reason of more than ``long`` letters is told once, and of what follows for the same reason that it is the same.
    """
    told: dict[str, None] = {}
    last = ""
    for entry in obj["differences"]:
        if direction != ("changed" if "moved" in entry else entry["direction"]):
            continue
        change, why = entry.get("moved") or entry.get("change") or entry["says"], entry.get("why", "")
        because = f", because {why}" if why else ""
        told[change + (SAME_REASON if why == last and len(why) > long else because)] = None
        last = why
    return [visible(words) for words in told]


def _input(entry: Object) -> str:
    remark = f"; {visible(entry['remark'])}" if "remark" in entry else ""
    return f"{visible(entry['what'])}: {visible(entry['now'])}, was {visible(entry['was'])}{remark}"


def _section(title: str, entries: Sequence[str]) -> list[str]:
    return ["", title, *(line for entry in entries for line in wrapped(entry, indent="  ", hang="  "))]
