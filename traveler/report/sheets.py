"""What stands on the printed sheets, as texts in their places; the template only lays them out."""

import json
from typing import Any

from traveler.report.code_square import code_text, square
from traveler.report.decided_words import (
    instrument_cells,
    lot_cells,
    nonconformance_lines,
    nonconformance_title,
    not_applicable_words,
    people_cells,
    planned_point,
    point_act_words,
    point_state,
    question_lines,
    taken_with_words,
)
from traveler.report.distortion import dimension_rows
from traveler.report.dossier import (
    Inside,
    attachment_row,
    certificate_rows,
    checking_steps,
    rule_rows,
    statement,
)
from traveler.report.pieces_words import pieces_lines
from traveler.report.relief_sheets import chart_sheet
from traveler.report.requirement_words import (
    answer_words,
    basis_words,
    evidence_words,
    limit_words,
    other_blockers,
    remarks,
    source_words,
    split_basis,
    value_words,
    working_words,
)
from traveler.report.step_cautions import cautions_of
from traveler.report.thermal_record import thermal_rows
from traveler.report.weld_map import weld_map
from traveler.report.words import (
    FILLER,
    JOINT,
    MARKS,
    MATERIAL,
    NO_CLAIM,
    VERDICTS,
    Object,
    code_words,
    count_words,
    draft_mark,
    head_facts,
    item_cells,
    made_elsewhere,
    moment_words,
    person,
    stamp,
    visible,
)

LONGEST_HEAD = 240
"""Signs of a title that the head of every sheet has room for."""


def sheets(obj: Object, inside: Inside | None = None, record_sha256: str | None = None) -> dict[str, Any]:
    """Everything on the sheets of a stored job as JSON-ready texts, safe to print.

    ``inside``: the names of the files that the PDF carries, by SHA-256; ``record_sha256``: that of the JSON export.
    """
    inside = inside or {}
    title = visible(obj["title"])
    return {
        "shop": visible(obj["shop"]) if obj.get("shop") else None,
        "job": visible(obj["job"]),
        "title": title if len(title) <= LONGEST_HEAD else f"{title[: LONGEST_HEAD - 1]}…",
        "full_title": title if len(title) > LONGEST_HEAD else None,
        "revision": f"revision {obj['revision']}",
        "draft": draft_mark(obj),
        "code": visible(obj["head"]),
        "events": count_words(obj["events"], "event"),
        "as_of": stamp(obj["as_of"]),
        "facts": [list(fact) for fact in head_facts(obj)],
        "revisions": [_revision(entry) for entry in obj["revisions"]],
        "exceptions": [visible(text) for text in obj["exceptions"]],
        "conflicts": [visible(text) for text in obj["conflicts"]],
        "people": [people_cells(entry) for entry in obj.get("people", ())],
        "instruments": [instrument_cells(entry) for entry in obj.get("instruments", ())],
        "lots": [lot_cells(entry) for entry in obj.get("lots", ())],
        "nonconformances": [
            {"title": nonconformance_title(entry), "lines": list(nonconformance_lines(entry))}
            for entry in obj.get("nonconformances", ())
        ],
        "questions": [line.strip() for entry in obj.get("questions", ()) for line in question_lines(entry)],
        "materials": [item_cells(entry, MATERIAL) for entry in obj["materials"]],
        "fillers": [item_cells(entry, FILLER) for entry in obj["fillers"]],
        "joints": [item_cells(entry, JOINT) for entry in obj["joints"]],
        "steps": [_step(step, cautions_of(obj, step)) for step in obj["steps"]],
        "attachments": [attachment_row(entry, inside) for entry in obj["attachments"]],
        "cautions": [visible(text) for text in obj["cautions"]],
        "code_words": code_words(obj),
        "verdicts": [list(entry) for entry in VERDICTS.items()],
        "marks": [list(entry) for entry in MARKS.items()],
        "no_claim": NO_CLAIM,
        # Behind the steps: a sign that no font draws is named by its place there.
        "statement": statement(obj),
        "rule_rows": rule_rows(obj),
        "weld_map": weld_map(obj),
        "thermal": thermal_rows(obj),
        "certificates": certificate_rows(obj, inside),
        "dimensions": dimension_rows(obj),
        "pieces": pieces_lines(obj),
        "square": square(code_text(obj)),
        "checking": checking_steps(obj, record_sha256),
    }


def _revision(entry: Object) -> list[str]:
    issued = {"happened_at": entry["issued_at"], "recorded_at": entry["recorded_at"]}
    because = visible(entry["because"] or "first issue")
    return [str(entry["revision"]), moment_words(issued), person(entry["by"]), because]


def _step(step: Object, cautions: list[str]) -> dict[str, Any]:
    joints = ", ".join(visible(joint) for joint in step["joints"])
    plural = "s" if len(step["joints"]) > 1 else ""
    attempt = f", attempt {step['attempt']}" if step["attempt"] > 1 else ""
    accepted = [step["accepted"]] if step["accepted"] else []
    return {
        "number": str(step["number"]),
        "kind": visible(step["kind"]),
        "title": visible(step["title"]).strip() or visible(step["kind"]),  # a heading cannot be empty
        "joint": f"joint{plural} {joints}" if joints else "",
        "state": f"{visible(step['state'])}{attempt}",
        "blocked": [visible(reason) for reason in other_blockers(step)],
        "notes": [visible(note) for note in step["notes"]],
        "cautions": cautions,
        "requirements": [_requirement(requirement) for requirement in step["requirements"]],
        "readings": [
            _reading(requirement, reading)
            for requirement in step["requirements"]
            for reading in requirement["readings"]
        ],
        "points": [
            {
                "name": planned_point(point),
                "state": point_state(point),
                "acts": [point_act_words(act) for act in point.get("acts") or ()],
            }
            for point in step.get("points") or ()
        ],
        "charts": [chart_sheet(chart) for chart in step.get("charts") or ()],
        "signatures": [
            *([_signature("performed", entry) for entry in step["performed"]] or [_unsigned("performed")]),
            *([_signature("accepted", entry) for entry in accepted] or [_unsigned("accepted")]),
        ],
    }


def _requirement(requirement: Object) -> dict[str, Any]:
    rules, others = split_basis(requirement)
    ruling = [_basis(requirement, entry, governs=True) for entry in rules]
    beside = [_basis(requirement, entry, governs=False) for entry in others]
    words = [ruling, beside, *(requirement[key] for key in ("why", "evidence", "verdict_reason"))]
    return {
        "name": _named(requirement),
        "why": visible(requirement["why"]),
        "limit": limit_words(requirement),
        "evidence": evidence_words(requirement),
        "rules": ruling,
        "others": beside,
        # A row stays on one sheet unless it might be longer than one.
        "long": len(json.dumps(words)) > 3000,
        "verdict": visible(requirement["verdict"]),
        "reason": "; ".join(_verdict_reasons(requirement)),
    }


def _verdict_reasons(requirement: Object) -> list[str]:
    """Why it has its verdict, and what lets it stand or who says that it does not apply."""
    said = [visible(requirement["verdict_reason"])] if requirement["verdict_reason"] else []
    words = not_applicable_words(requirement)
    if words:
        return [*said, f"{words[0].lower()}{words[1:]}"]
    return [*said, visible(requirement["settled"])] if requirement.get("settled") else said


def _basis(requirement: Object, entry: Object, *, governs: bool) -> list[str]:
    """Words, source and working; one line for a method that does not govern: the JSON has the rest."""
    if not governs:
        return [answer_words(requirement, entry, governs=False), "", ""]
    return [basis_words(requirement, entry, governs=True), source_words(entry), working_words(entry)]


def _named(requirement: Object) -> str:
    joint = requirement.get("joint")
    return visible(requirement["quantity"]) + (f" ({visible(joint)})" if joint else "")


def _reading(requirement: Object, reading: Object) -> dict[str, Any]:
    run = [f"run {reading['run']}"] if reading["run"] is not None else []
    attempt = [f"attempt {reading['attempt']}"] if requirement["attempts"] > 1 else []
    where = [words for words in (visible(reading["place"] or ""), taken_with_words(reading)) if words]
    return {
        "cells": [
            _named(requirement),
            value_words(reading),
            "; ".join(where) or "–",
            ", ".join(run + attempt) or "–",
            moment_words(reading),
            person(reading["by"]),
        ],
        "number": str(reading["reading"]),
        "verdict": "superseded" if reading["superseded"] else visible(reading["verdict"]),
        "struck": reading["superseded"],
        "remark": "; ".join(remarks(reading)),
    }


def _signature(act: str, entry: Object) -> dict[str, Any]:
    runs = "" if entry.get("runs") is None else f", {count_words(entry['runs'], 'run')}"
    return {
        "act": act,
        "cells": [
            person(entry["by"]),
            moment_words(entry),
            f"{visible(entry['meaning'])}{runs}",
            ", ".join(filter(None, [f"revision {entry['revision']}", made_elsewhere(entry)])),
        ],
        "fallen": _fallen(entry),
    }


def _fallen(entry: Object) -> str:
    if entry.get("stands", True):
        return "The content of the step changed after this signature." if entry.get("changed", False) else ""
    if entry.get("changed", True):
        return "This acceptance does not stand: the content of the step changed after it was given."
    return "This acceptance does not stand: an earlier step was reworked or repaired after it was given."


def _unsigned(act: str) -> dict[str, Any]:
    return {"act": act, "cells": ["not signed", "", "", ""], "fallen": ""}
