"""A sheet beside a job as plain text: what changed on the sheet, and what is asked otherwise because of it."""

from traveler.report.lines import joined, wrapped
from traveler.report.words import Object, count_words, visible

SECTIONS = (
    ("stricter", "STRICTER"),
    ("less strict", "LESS STRICT"),
    ("changed", "OTHERWISE"),
)
NOTHING = "Nothing that is asked for differs."


def comparison_text(obj: Object) -> str:
    """80 columns; the stricter differences first."""
    lines = wrapped(
        f"SHEET OF JOB {visible(obj['sheet'])} BESIDE JOB {visible(obj['job'])}, revision {obj['revision']}, "
        f"code {visible(obj['head'])}"
    )
    with_effect = [_input(entry) for entry in obj["changed"] if entry["has_effect"]]
    without = [_input(entry) for entry in obj["changed"] if not entry["has_effect"]]
    lines += _section("CHANGED ON THE SHEET", with_effect)
    lines += _section("CHANGED ON THE SHEET, without effect on what is asked", without)
    for direction, title in SECTIONS:
        says = [visible(entry["says"]) for entry in obj["differences"] if entry["direction"] == direction]
        lines += _section(f"{title}, {count_words(len(says), 'difference')}", says)
    if not obj["differences"]:
        lines += ["", NOTHING]
    return joined(lines)


def _input(entry: Object) -> str:
    return f"{visible(entry['what'])}: {visible(entry['now'])}, was {visible(entry['was'])}"


def _section(title: str, entries: list[str]) -> list[str]:
    if not entries:
        return []
    return ["", title, *(line for entry in entries for line in wrapped(entry, indent="  ", hang="  "))]
