"""A sheet beside a job as plain text: what is asked otherwise and because of what, and what changed on the sheet."""

from collections.abc import Iterator, Sequence

from traveler.report.lines import joined, wrapped
from traveler.report.words import Object, count_words, visible

SECTIONS = (
    ("stricter", "Stricter"),
    ("less strict", "Less strict"),
    ("changed", "Otherwise"),
)
SENTENCES = ("conflict", "note")
"""Aspects whose words several steps may have."""
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
    chosen = [
        entry
        for entry in obj["differences"]
        if direction == ("changed" if "moved" in entry else entry["direction"])
    ]
    told, last = [], ""
    for change, why in dict.fromkeys(_of_several_steps(chosen)):
        because = f", because {why}" if why else ""
        told.append(change + (SAME_REASON if why == last and len(why) > long else because))
        last = why
    return [visible(words) for words in told]


def _of_several_steps(entries: Sequence[Object]) -> Iterator[tuple[str, str]]:
    """Each change with its reason; a sentence that several steps have is told once, where the first of them has it."""
    steps: dict[tuple[str, str], list[int]] = {}
    for entry in entries:
        if _is_sentence(entry):
            steps.setdefault(_sentence(entry), []).append(entry["step"] or entry["step_was"])
    for entry in entries:
        why = entry.get("why", "")
        if not _is_sentence(entry):
            yield entry.get("moved") or entry.get("change") or entry["says"], why
            continue
        numbers = steps.pop(_sentence(entry), [])
        if len(numbers) == 1:
            yield entry.get("change") or entry["says"], why
        elif numbers:
            yield f"steps {', '.join(map(str, numbers))}: {_sentence(entry)[0]}", why


def _is_sentence(entry: Object) -> bool:
    return entry["aspect"] in SENTENCES and bool(entry["step"] or entry["step_was"])


def _sentence(entry: Object) -> tuple[str, str]:
    """Without the step in front of it, and its reason."""
    return (entry.get("change") or entry["says"]).partition(": ")[2], entry.get("why", "")


def _input(entry: Object) -> str:
    remark = f"; {visible(entry['remark'])}" if "remark" in entry else ""
    return f"{visible(entry['what'])}: {visible(entry['now'])}, was {visible(entry['was'])}{remark}"


def _section(title: str, entries: Sequence[str]) -> list[str]:
    return ["", title, *(line for entry in entries for line in wrapped(entry, indent="  ", hang="  "))]
