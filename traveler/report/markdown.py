"""The traveler as Markdown for a wiki (CommonMark with the tables of GFM): the same words as the text export."""

import re
from collections.abc import Iterable, Sequence

from traveler.report.decided_words import (
    instrument_words,
    lot_words,
    nonconformance_lines,
    nonconformance_title,
    people_cells,
    point_lines,
    question_lines,
)
from traveler.report.outside_words import outside_lines
from traveler.report.pieces_words import pieces_lines
from traveler.report.requirement_words import (
    answer_words,
    evidence_words,
    limit_words,
    other_blockers,
    reading_words,
    split_basis,
    verdict_words,
)
from traveler.report.words import (
    FILLER,
    JOINT,
    MATERIAL,
    NO_CLAIM,
    Object,
    attachment_words,
    code_words,
    count_words,
    draft_mark,
    head_facts,
    item_cells,
    revision_words,
    signature_words,
    stamp,
    visible,
)

_SIGNIFICANT = re.compile(r"([\\`*_{}\[\]<>#|~!&])")
_BEGINS_A_LIST = re.compile(r"^(\d+)([.)])(?=\s|$)|^([+-])(?=\s|$)")


def traveler_markdown(obj: Object) -> bytes:
    """The whole traveler, exceptions first; what people typed is never read as markup."""
    mark = draft_mark(obj)
    blocks = [f"# Traveler {_plain(obj['job'])}, revision {obj['revision']}"]
    blocks += [f"**{_plain(mark)}**"] if mark else []
    blocks += [_plain(visible(obj["title"])), _list(f"{label}: {value}" for label, value in head_facts(obj))]
    blocks += [
        _plain(f"Record: {obj['head']}, {count_words(obj['events'], 'event')}, up to {stamp(obj['as_of'])}")
    ]
    blocks += ["## Exceptions", _list(map(visible, obj["exceptions"])) or "none"]
    blocks += _section("Conflicts", map(visible, obj["conflicts"]))
    blocks += _section("Revisions", map(revision_words, obj["revisions"]))
    blocks += _section("People", (", ".join(filter(None, people_cells(entry))) for entry in obj["people"]))
    blocks += _section("Pieces", map(str.strip, pieces_lines(obj)))
    blocks += _items("Materials", obj["materials"], MATERIAL)
    blocks += _items("Fillers", obj["fillers"], FILLER)
    blocks += _items("Joints", obj["joints"], JOINT)
    blocks += _section("Lots", map(lot_words, obj["lots"]))
    blocks += _section("Instruments", map(instrument_words, obj["instruments"]))
    for step in obj["steps"]:
        blocks += _step(step)
    for entry in obj["nonconformances"]:
        blocks += _section(nonconformance_title(entry), map(str.strip, nonconformance_lines(entry)))
    blocks += _section(
        "Readings in question", (line.strip() for entry in obj["questions"] for line in question_lines(entry))
    )
    blocks += _section("Attachments", map(attachment_words, obj["attachments"]))
    blocks += _section("Cautions", map(visible, obj["cautions"]))
    blocks += _section("The code of the record", [*code_words(obj), NO_CLAIM])
    return ("\n\n".join(block for block in blocks if block) + "\n").encode()


def _step(step: Object) -> list[str]:
    state = visible(step["state"]) + (f", attempt {step['attempt']}" if step["attempt"] > 1 else "")
    blocks = [f"## Step {step['number']}, {_plain(visible(step['kind']))}: {_plain(visible(step['title']))}"]
    blocks += [_list([f"State: {state}", *(f"Note: {visible(note)}" for note in step["notes"])])]
    blocks += [_list([f"Blocked: {visible(reason)}" for reason in other_blockers(step)] + _points(step))]
    if step["requirements"]:
        rows = [_requirement(requirement) for requirement in step["requirements"]]
        blocks += [_table(("Requirement", "Limit", "By", "Shown by", "Readings", "Verdict"), rows)]
    performed = [f"Performed: {signature_words(entry)}" for entry in step["performed"]]
    accepted = step["accepted"]
    return [
        *blocks,
        _list(
            [
                *(performed or ["Performed: not signed"]),
                f"Accepted: {signature_words(accepted) if accepted else 'not signed'}",
            ]
        ),
    ]


def _points(step: Object) -> list[str]:
    """Hold and witness points of a step and what of it is a vendor's, a line each."""
    return [line.strip() for line in (*point_lines(step), *outside_lines(step))]


def _requirement(requirement: Object) -> list[str]:
    joint = f" ({visible(requirement['joint'])})" if requirement["joint"] else ""
    rules = [answer_words(requirement, entry, governs=True) for entry in split_basis(requirement)[0]]
    attempts = requirement["attempts"] > 1
    readings = [reading_words(r, attempts=attempts, brief=False) for r in requirement["readings"]]
    return [
        f"{visible(requirement['quantity'])}{joint}",
        limit_words(requirement),
        "\n".join(filter(None, rules)),
        evidence_words(requirement),
        "\n".join(readings),
        verdict_words(requirement),
    ]


def _section(title: str, entries: Iterable[str]) -> list[str]:
    listed = _list(entries)
    return [f"## {_plain(title)}", listed] if listed else []


def _items(title: str, items: Sequence[Object], keys: tuple[str, ...]) -> list[str]:
    return [f"## {title}", _table(keys, [item_cells(item, keys) for item in items])] if items else []


def _list(entries: Iterable[str]) -> str:
    return "\n".join(f"- {_plain(entry)}" for entry in entries)


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [heads, ["---"] * len(heads)]
    text = [" | ".join(cells) for cells in lines]
    text += [" | ".join(_cell(cell) for cell in row) for row in rows]
    return "\n".join(f"| {line} |" for line in text)


def _cell(text: str) -> str:
    return "<br>".join(_plain(line) for line in text.split("\n"))


def _plain(text: str) -> str:
    """Text that Markdown shows as it stands."""
    escaped = _SIGNIFICANT.sub(r"\\\1", text)
    return _BEGINS_A_LIST.sub(
        lambda found: f"{found[1]}\\{found[2]}" if found[1] else f"\\{found[3]}", escaped
    )
