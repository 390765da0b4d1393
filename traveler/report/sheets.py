"""What stands on the printed sheets, as texts in their places; the template only lays them out."""

from collections.abc import Sequence
from typing import Any

from traveler.report.code_square import code_text, square
from traveler.report.decided_words import (
    instrument_cells,
    lot_cells,
    nonconformance_lines,
    nonconformance_title,
    people_cells,
    planned_point,
    point_act_words,
    point_state,
    question_lines,
    stated_instrument_rows,
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
from traveler.report.outside_words import outside_lines, outside_rows
from traveler.report.part_life import life_facts, life_rows, life_words
from traveler.report.pieces_words import pieces_lines
from traveler.report.relief_sheets import chart_sheet
from traveler.report.requirement_rows import reading_row, requirement_rows
from traveler.report.requirement_words import (
    other_blockers,
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

LONGEST_NUMBERS = 90
"""Signs of numbers of readings that a narrow column has room for: a dozen numbers or more."""


def sheets(
    obj: Object,
    inside: Inside | None = None,
    record_sha256: str | None = None,
    life: Sequence[Object] | None = None,
) -> dict[str, Any]:
    """Everything on the sheets of a stored job as JSON-ready texts, safe to print.

    ``inside``: the names of the files that the PDF carries, by SHA-256; ``record_sha256``: that of the JSON export;
    ``life``: the parts that the job made, by the shop's own record; None where nobody asked it.
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
        "facts": [list(fact) for fact in (*head_facts(obj), *life_facts(life))],
        "revisions": [_revision(entry) for entry in obj["revisions"]],
        "exceptions": [visible(text) for text in obj["exceptions"]],
        "conflicts": [visible(text) for text in obj["conflicts"]],
        "people": [people_cells(entry) for entry in obj.get("people", ())],
        "instruments": _with_readings(
            [
                *(instrument_cells(entry) for entry in obj.get("instruments", ())),
                *stated_instrument_rows(obj),
            ]
        ),
        "lots": _with_readings([lot_cells(entry) for entry in obj.get("lots", ())]),
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
        "outside": outside_rows(obj),
        "life": life_rows(life),
        "life_words": life_words(obj, life),
        "pieces": pieces_lines(obj),
        "square": square(code_text(obj)),
        "checking": checking_steps(obj, record_sha256),
    }


def _with_readings(rows: list[list[str]]) -> dict[str, list[Any]]:
    """The rows of a table whose last column is narrow and names readings; where those are many they stand ``below``."""
    long = [len(row[-1]) > LONGEST_NUMBERS for row in rows]
    return {
        "rows": [
            [*row[:-1], "listed below"] if is_long else row for row, is_long in zip(rows, long, strict=True)
        ],
        "below": [
            f"{row[0]}, readings {row[-1]}" for row, is_long in zip(rows, long, strict=True) if is_long
        ],
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
        "requirements": requirement_rows(step),
        "readings": [
            reading_row(requirement, reading)
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
        "outside": [line.strip() for line in outside_lines(step)],
        "charts": [chart_sheet(chart) for chart in step.get("charts") or ()],
        "signatures": [
            *([_signature("performed", entry) for entry in step["performed"]] or [_unsigned("performed")]),
            *([_signature("accepted", entry) for entry in accepted] or [_unsigned("accepted")]),
        ],
    }


def _signature(act: str, entry: Object) -> dict[str, Any]:
    runs = "" if entry.get("runs") is None else f", {count_words(entry['runs'], 'run')}"
    return {
        "act": act,
        "cells": [
            ", with ".join(person(by) for by in (entry["by"], *(entry.get("with") or ()))),
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
