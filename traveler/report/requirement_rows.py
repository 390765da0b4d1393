"""Requirements and their readings on the printed sheets: texts for the places that the template has for them.

Words too wide for their place are broken here: the typesetter sets plain texts at a fraction of the memory that it
takes to look at each of them.
"""

import json
from collections.abc import Iterator
from typing import Any

from traveler.report.decided_words import not_applicable_words, taken_with_words
from traveler.report.long_words import broken, fits
from traveler.report.requirement_words import (
    answer_words,
    basis_words,
    evidence_words,
    limit_words,
    remarks,
    source_words,
    split_basis,
    value_words,
    working_words,
)
from traveler.report.words import Object, moment_words, person, visible

NORMAL_PT, READING_PT, SMALL_PT = 7.8, 7.4, 6.8
NAME_MM, WHY_MM, READING_MM, VALUE_MM = 60, 86, 100, 40
"""Places of the template: name and limit, why and methods, what stands behind a reading's value, the value."""


def requirement_rows(step: Object) -> list[dict[str, Any]]:
    """The requirements of a step; ``readings`` says how many of the step's readings belong to each."""
    return [_requirement(str(step["number"]), requirement) for requirement in step["requirements"]]


def _requirement(step: str, requirement: Object) -> dict[str, Any]:
    words = [*_why(requirement), evidence_words(requirement), requirement["verdict_reason"]]
    return {
        "name": broken(f"{step} {_named(requirement)}", NAME_MM, NORMAL_PT),
        "limit": broken(limit_words(requirement), NAME_MM, NORMAL_PT),
        "evidence": broken(evidence_words(requirement), NAME_MM, SMALL_PT),
        "why": [[kind, broken(text, WHY_MM, SMALL_PT)] for kind, text in _why(requirement)],
        # It stays on one sheet unless it might be longer than one.
        "long": len(json.dumps(words)) > 3000,
        "verdict": visible(requirement["verdict"]),
        "reason": "; ".join(_verdict_reasons(requirement)),
        "readings": len(requirement["readings"]),
    }


def _why(requirement: Object) -> Iterator[tuple[str, str]]:
    """Why it is asked, then the methods with source and working; one line for a method that does not govern."""
    rules, others = split_basis(requirement)
    if requirement["why"]:
        yield "plain", visible(requirement["why"])
    elif not rules and not others:
        yield "plain", "no method behind it"
    for entry in rules:
        if words := basis_words(requirement, entry, governs=True):
            yield "governs", words
        yield "plain", source_words(entry)
        if words := working_words(entry):
            yield "working", words
    for entry in others:
        if words := answer_words(requirement, entry, governs=False):
            yield "beside", words


def _verdict_reasons(requirement: Object) -> list[str]:
    """Why it has its verdict, and what lets it stand or who says that it does not apply."""
    said = [visible(requirement["verdict_reason"])] if requirement["verdict_reason"] else []
    words = not_applicable_words(requirement)
    if words:
        return [*said, f"{words[0].lower()}{words[1:]}"]
    return [*said, visible(requirement["settled"])] if requirement.get("settled") else said


def _named(requirement: Object) -> str:
    joint = requirement.get("joint")
    return visible(requirement["quantity"]) + (f" ({visible(joint)})" if joint else "")


def reading_row(requirement: Object, reading: Object) -> dict[str, Any]:
    """One reading: number, verdict, value, then where, with what, in which run, when and by whom."""
    run = [f"run {reading['run']}"] if reading["run"] is not None else []
    attempt = [f"attempt {reading['attempt']}"] if requirement["attempts"] > 1 else []
    where = [words for words in (visible(reading["place"] or ""), taken_with_words(reading)) if words]
    cells = ["; ".join(where), ", ".join(run + attempt), moment_words(reading), person(reading["by"])]
    cells = [broken(words, READING_MM, READING_PT) for words in cells if words]
    value = value_words(reading)
    return {
        "number": str(reading["reading"]),
        "verdict": "superseded" if reading["superseded"] else visible(reading["verdict"]),
        "value": broken(value, READING_MM, READING_PT),
        "short": fits(value, VALUE_MM, READING_PT),
        "cells": cells,
        "turns": _turns(cells),
        "struck": reading["superseded"],
        "remark": broken("; ".join(remarks(reading)), READING_MM, SMALL_PT),
    }


def _turns(cells: list[str]) -> list[int] | None:
    """The cells before which a line ends, so that each stands whole on its line; None where one may be too long."""
    turns, line = [], ""
    for at, words in enumerate(cells):
        if not fits(f"{words};", READING_MM, READING_PT):
            return None
        line = f"{line}; {words}" if at else words
        if not fits(f"{line};", READING_MM, READING_PT):
            turns.append(at)
            line = words
    return turns
