"""What the screens say about jobs, steps and requirements, as lines of safe text. No widgets here."""

from collections.abc import Sequence

from traveler.report.decided_words import not_applicable_words
from traveler.report.requirement_words import (
    evidence_words,
    limit_words,
    reading_words,
    source_words,
    split_basis,
)
from traveler.report.words import Object, signature_words, visible
from traveler.tui.arc_wording import convention_words

TO_BE_RECORDED = "to be recorded"
"""How what has no limit is asked for."""
SHORT_LIMIT = 40
"""A list of options longer than this stands in the details, not in the list of requirements."""


def step_name(step: Object) -> str:
    """ "40 Preheat the bracket joint"."""
    return f"{step['number']} {visible(step['title'])}"


def requirement_name(step: Object, requirement: Object) -> str:
    """The quantity, with its joint where the step has several."""
    joint = requirement.get("joint")
    several = joint and len(step["joints"]) > 1
    return (
        f"{visible(requirement['quantity'])}, {visible(joint)}"
        if several
        else visible(requirement["quantity"])
    )


def step_detail(step: Object) -> list[str]:
    """A step beside the list of steps: what it asks for, who signed, everything that acceptance waits for."""
    return [
        *(
            line
            for requirement in step["requirements"]
            for line in _requirement_with_readings(step, requirement)
        ),
        "",
        *_signatures(step),
        "",
        *step_notes(step),
    ]


def _requirement_with_readings(step: Object, requirement: Object) -> list[str]:
    line = f"{requirement['verdict']}: {requirement_name(step, requirement)}, {limit_words(requirement)}"
    reason = requirement.get("verdict_reason")
    attempts = requirement.get("attempts", 1) > 1
    return [
        line,
        *([f"  {visible(reason)}"] if reason else []),
        *(
            f"  {reading_words(reading, attempts=attempts, brief=False)}"
            for reading in requirement["readings"]
        ),
    ]


def requirement_key(requirement: Object) -> str:
    """What identifies a requirement within its job."""
    return f"{requirement['id']}|{requirement.get('joint') or ''}"


def requirement_lines(step: Object, requirement: Object) -> tuple[str, ...]:
    """A requirement in a list: what it is and its limit, and why its verdict is not "met"."""
    name, limit = requirement_name(step, requirement), limit_words(requirement)
    if requirement["type"] == "number" or len(limit) <= SHORT_LIMIT:
        name = f"{name}: {limit}"
    reason = requirement.get("verdict_reason")
    return (name, visible(reason)) if reason else (name,)


def limit_line(requirement: Object) -> str:
    """What complies, as a line of its own; what is only to be recorded has no limit."""
    words = limit_words(requirement)
    return f"No limit: {TO_BE_RECORDED}" if words.startswith(TO_BE_RECORDED) else f"Limit: {words}"


def requirement_detail(step: Object, requirement: Object) -> list[str]:
    """All about one requirement and its step: limit, readings, where to measure, why, what is waited for."""
    lines = [
        limit_line(requirement),
        *dict.fromkeys(_governed(requirement)),
        *readings_lines(requirement),
    ]
    if words := not_applicable_words(requirement):
        lines.insert(0, words)
    lines.append(f"Shown by: {evidence_words(requirement)}")
    if convention := convention_words(requirement):
        lines.append(convention)
    if requirement.get("why"):
        lines.append(f"Why: {visible(requirement['why'])}")
    return [*lines, *step_notes(step)]


def step_notes(step: Object) -> list[str]:
    """The notes of a step, and everything that its acceptance waits for, in full."""
    notes = [f"Note: {visible(note)}" for note in step.get("notes", ())]
    return [*notes, *(f"Waits for: {visible(reason)}" for reason in step["blocked_by"])]


def _governed(requirement: Object) -> list[str]:
    rules, _ = split_basis(requirement)
    said = (f"By: {visible(entry['method'])} {source_words(entry)}{_for_member(entry)}" for entry in rules)
    return list(dict.fromkeys(said))  # both ends of a band may be of one method


def _for_member(entry: Object) -> str:
    return f" for {visible(entry['member'])}" if entry.get("member") else ""


def readings_lines(requirement: Object) -> list[str]:
    """Every reading, the superseded ones and earlier attempts too."""
    readings = requirement["readings"]
    if not readings:
        return ["Readings: none yet"]
    attempts = requirement.get("attempts", 1) > 1
    title = "1 reading:" if len(readings) == 1 else f"{len(readings)} readings, the newest first:"
    return [title] + [
        f"  {reading_words(reading, attempts=attempts, brief=False)}" for reading in reversed(readings)
    ]


def signing_lines(step: Object) -> list[str]:
    """Who performed, who accepted, and what acceptance waits for; before signatures, as small screens cut the end."""
    signatures = _signatures(step)
    if step["blocked_by"]:
        waits = f"Acceptance waits for: {first_of(step['blocked_by'], 2)}"
        return [waits, *signatures] if step["performed"] else [*signatures, waits]
    return (
        signatures if step["accepted"] else [*signatures, "Accepted: not signed; nothing stands against it"]
    )


def _signatures(step: Object) -> list[str]:
    performed, accepted = step["performed"], step["accepted"]
    lines = [f"Performed: {signature_words(performed[-1])}" if performed else "Performed: not signed"]
    return [*lines, f"Accepted: {signature_words(accepted)}"] if accepted else lines


def brief(reason: str) -> str:
    """The first sentence of a reason; where it is cut the whole of it stands in the details of its step."""
    first, cut, _ = visible(reason).partition(". ")
    return f"{first} ..." if cut else first


def first_of(reasons: Sequence[str], most: int = 1) -> str:
    """The first reasons, and how many more there are; empty without any."""
    more = f" (and {len(reasons) - most} more)" if len(reasons) > most else ""
    return "; ".join(brief(reason) for reason in reasons[:most]) + more
