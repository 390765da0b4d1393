"""The traveler as plain text for people, pipes and screen readers: 80 columns, every state in words."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime

from traveler.report.board_words import (
    calibration_words,
    last_words,
    next_words,
    part_dues_words,
    totals_words,
)
from traveler.report.chart_words import head_words
from traveler.report.decided_words import (
    instrument_words,
    lot_words,
    nonconformance_lines,
    nonconformance_title,
    people_cells,
    planned_point,
    point_lines,
    question_lines,
)
from traveler.report.lines import WIDTH, joined, padded, wrapped
from traveler.report.outside_words import outside_lines
from traveler.report.pieces_words import pieces_lines
from traveler.report.requirement_text import requirement_lines
from traveler.report.requirement_words import other_blockers
from traveler.report.words import (
    FILLER,
    JOINT,
    MARKS,
    MATERIAL,
    NO_CLAIM,
    VERDICTS,
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


def traveler_text(obj: Object) -> str:
    """The whole traveler as it stands, exceptions first; DRAFT in its head until the job is closed."""
    lines = [visible(obj["shop"]), ""] if obj.get("shop") else []
    lines += _title(f"TRAVELER {visible(obj['job'])}, revision {obj['revision']}", obj)
    lines += [f"{label}: {value}" for label, value in head_facts(obj)]
    lines += [
        f"Record: {visible(obj['head'])}, {count_words(obj['events'], 'event')}, up to {stamp(obj['as_of'])}"
    ]
    lines += _section("EXCEPTIONS", [visible(text) for text in obj["exceptions"]] or ["none"])
    lines += _section("CONFLICTS", [visible(text) for text in obj.get("conflicts", ())])
    lines += _section("REVISIONS", [revision_words(entry) for entry in obj["revisions"]])
    lines += _section(
        "PEOPLE", [", ".join(filter(None, people_cells(entry))) for entry in obj.get("people", ())]
    )
    lines += _section("PIECES", pieces_lines(obj))
    lines += _subject(obj)
    lines += _section("LOTS", [lot_words(entry) for entry in obj.get("lots", ())])
    lines += _section("INSTRUMENTS", [instrument_words(entry) for entry in obj.get("instruments", ())])
    for step in obj["steps"]:
        lines += ["", *_step_head(step), *_step_state(step)]
        for requirement in step["requirements"]:
            lines += ["", *requirement_lines(requirement)]
        for chart in step.get("charts") or ():
            lines += ["", *_drawn(chart)]
        lines += ["", *_signatures(step)]
    lines += _decided(obj)
    lines += _section("ATTACHMENTS", [attachment_words(entry) for entry in obj["attachments"]])
    lines += _section("CAUTIONS", [visible(text) for text in obj["cautions"]])
    lines += _section("THE CODE OF THE RECORD", code_words(obj))
    lines += _section("VERDICTS", [f"{word}: {meaning}" for word, meaning in VERDICTS.items()] + [NO_CLAIM])
    lines += _section("MARKS OF SOURCES", [f"[{mark}]: {meaning}" for mark, meaning in MARKS.items()])
    if draft_mark(obj):
        lines += ["", f"{draft_mark(obj)}."]
    return joined(_folded(lines))


def plan_text(obj: Object, *, working: bool = True) -> str:
    """What each step needs and why, from a plan that nobody stored; ``working`` shows how each limit came about."""
    lines = _title(f"PLAN FOR JOB {visible(obj['job'])}", obj)
    lines += [f"{label}: {value}" for label, value in head_facts(obj)]
    lines += _section(
        "CONFLICTS, to be settled before the work", [visible(text) for text in obj["conflicts"]]
    )
    lines += _subject(obj)
    for step in obj["steps"]:
        lines += ["", *_step_head(step)]
        lines += [f"  {planned_point(point)}" for point in step.get("points", ())]
        lines += [f"  {line}" for line in outside_lines(step)]
        for requirement in step["requirements"]:
            lines += ["", *requirement_lines(requirement, working=working)]
    lines += _section("CAUTIONS", [*(visible(text) for text in obj["cautions"]), NO_CLAIM])
    lines += _section("MARKS OF SOURCES", [f"[{mark}]: {meaning}" for mark, meaning in MARKS.items()])
    return joined(_folded(lines))


def show_text(obj: Object) -> str:
    """Where a stored job stands: each step with its state, what blocks it, verdicts and readings."""
    lines = _title(f"JOB {visible(obj['job'])}, revision {obj['revision']}, {visible(obj['state'])}", obj)
    lines += [
        f"Record: {visible(obj['head'])}, {count_words(obj['events'], 'event')}, up to {stamp(obj['as_of'])}"
    ]
    lines += _section("PIECES", pieces_lines(obj))
    lines += _section("CONFLICTS", [visible(text) for text in obj.get("conflicts", ())])
    for step in obj["steps"]:
        lines += ["", *_step_head(step), *_step_state(step)]
        for requirement in step["requirements"]:
            lines += requirement_lines(requirement, brief=True)
        lines += [f"  {head_words(chart)}" for chart in step.get("charts") or ()]
        lines += _signatures(step)
    return joined(_folded([*lines, *_decided(obj)]))


def list_text(
    rows: Iterable[Object],
    totals: Object | None = None,
    dues: Sequence[Object] = (),
    now: datetime | None = None,
    part_dues: Sequence[Object] = (),
) -> str:
    """The board: one job a paragraph, with the step it stands at, what blocks it, what is due and who did what last.

    Below them how many jobs take what, and the calibrations and parts that are over or due. Times are those of ``now``.
    """
    lines = [line for row in rows for line in _listed(row, now)]
    facts = [totals_words(totals)] if totals and sum(totals["needs"].values()) else []
    facts += filter(None, [calibration_words(dues, len(dues)), part_dues_words(part_dues, len(part_dues))])
    lines = lines or ["No jobs."]
    return joined([*lines, "", *(line for fact in facts for line in wrapped(fact))])


def _listed(row: Object, now: datetime | None) -> Iterator[str]:
    step = "no open step" if not row.get("step") else f"step {visible(row['step'])}"
    head = f"{padded(visible(row['number']), 10)}  {padded(visible(row['state']), 13)}  {padded(step, 12)}"
    yield from wrapped(f"{head}  {visible(row['title'])}", hang=" " * 12)
    for reason in _as_list(row.get("blocked_by")):
        yield from wrapped(f"blocked: {visible(reason)}", indent=" " * 12)
    if now is not None:
        facts = (next_words(row, now), last_words(row, now))
        yield from (line for words in facts if words for line in wrapped(words, indent=" " * 12))


def _as_list(value: str | Sequence[str] | None) -> Sequence[str]:
    return [value] if isinstance(value, str) and value else value or []


def _title(words: str, obj: Object) -> list[str]:
    mark = draft_mark(obj) if "revision" in obj else None
    return [f"{words}. {mark}." if mark else words, visible(obj["title"]), ""]


def _section(title: str, entries: Sequence[str]) -> list[str]:
    return ["", title, *(f"  {entry}" for entry in entries)] if entries else []


def _subject(obj: Object) -> list[str]:
    return [
        line
        for key, labels in (("materials", MATERIAL), ("fillers", FILLER), ("joints", JOINT))
        for line in _section(key.upper(), [_item(item, labels) for item in obj.get(key, ())])
    ]


def _item(item: Object, labels: tuple[str, ...]) -> str:
    named, *cells = item_cells(item, labels)
    return "; ".join([named, *(f"{label}: {cell}" for label, cell in zip(labels[1:], cells, strict=True))])


def _decided(obj: Object) -> list[str]:
    """Nonconformances and questions about readings, each with everything that was done about it."""
    told = []
    for entry in obj.get("nonconformances", ()):
        told += [nonconformance_title(entry), *(f"  {line}" for line in nonconformance_lines(entry))]
    questions = [line for entry in obj.get("questions", ()) for line in question_lines(entry)]
    return [*_section("NONCONFORMANCES", told), *_section("READINGS IN QUESTION", questions)]


def _drawn(chart: Object) -> list[str]:
    # What draws is loaded for the first chart: most of what is printed has none.
    from traveler.report.relief_chart_text import chart_page

    return [f"  {line}" for line in chart_page(chart, plain=True, width=WIDTH - 2)]


def _step_head(step: Object) -> list[str]:
    joints = ", ".join(visible(joint) for joint in step.get("joints") or ())
    where = f", joint{'s' if len(step['joints']) > 1 else ''} {joints}" if joints else ""
    title = f"STEP {step['number']}, {visible(step['kind'])}{where}: {visible(step['title'])}"
    return [title, *(f"  Note: {visible(note)}" for note in step.get("notes", ()))]


def _step_state(step: Object) -> list[str]:
    attempt = f", attempt {step['attempt']}" if step.get("attempt", 1) > 1 else ""
    return [
        f"  State: {visible(step['state'])}{attempt}",
        *(f"  Blocked: {visible(reason)}" for reason in other_blockers(step)),
        *(f"  {line}" for line in point_lines(step)),
        *(f"  {line}" for line in outside_lines(step)),
    ]


def _signatures(step: Object) -> list[str]:
    performed = [f"  Performed: {signature_words(entry)}" for entry in step["performed"]]
    accepted = step["accepted"]
    return [
        *(performed or ["  Performed: not signed"]),
        f"  Accepted: {signature_words(accepted) if accepted else 'not signed'}",
    ]


def _folded(lines: Iterable[str]) -> Iterable[str]:
    for line in lines:
        body = line.lstrip(" ")
        yield from wrapped(body, indent=" " * (len(line) - len(body)))
