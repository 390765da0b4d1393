"""Paper for where no terminal reaches: a blank traveler, a tag for a hot part, a label."""

from collections.abc import Sequence
from typing import Any, Literal

from traveler.report.code_square import code_text, square
from traveler.report.requirement_words import evidence_words, limit_words
from traveler.report.step_cautions import cautions_of
from traveler.report.typeset import Paper, typeset
from traveler.report.words import Object, count_words, stamp, visible

Kind = Literal["blank", "tag", "label"]

LINES_FOR_RUNS = 4
"""Blank lines of a requirement that asks for a reading for each run; more runs go on the back."""
MOST_LINES = 12
LONGEST = 160
"""Signs of a title or a part's name that these papers have room for."""

HOT = (
    "HOT METAL LOOKS COLD",
    "Steel at 300 °C (570 °F) looks like cold steel. Measure before anybody touches it; tongs and dry gauntlets.",
)
LATER = (
    "Entries on this sheet are typed in later as late entries. Write down when each was made: the record keeps that "
    "time and the time of typing. Cross nothing out so that it cannot be read; a wrong entry gets one line through it, "
    "initials, and the right one beside it."
)


def blank_traveler(obj: Object, paper: Paper, steps: tuple[int, ...] = ()) -> bytes:
    """Steps with their requirements and limits, and blanks to fill in by hand; ``steps``: those alone, else all."""
    chosen = [step for step in obj["steps"] if not steps or step["number"] in steps]
    content = {
        "form": "blank",
        **_head(obj),
        "later": LATER,
        "how": f'To type one in: traveler record {visible(obj["job"])} STEP "REQUIREMENT" VALUE --at TIME',
        "steps": [_step(step) for step in chosen],
        "cautions": _cautions(obj, chosen),
    }
    return _set(obj, paper, content)


def hot_tag(obj: Object, paper: Paper, temperature: str | None = None, time: str | None = None) -> bytes:
    """A tag for a hot part; ``temperature`` and ``time`` in words, blanks to fill in where they are left out."""
    content = {
        "form": "tag",
        **_head(obj),
        "hot": HOT[0],
        "caution": HOT[1],
        "temperature": visible(temperature or ""),
        "time": visible(time or ""),
    }
    return _set(obj, paper, content)


def part_label(obj: Object, paper: Paper) -> bytes:
    """A label for the part: what it is, of which job, and the code of the record as it stands.

    Of pieces with serials one for each that is in the job, else one on which the serial is written by hand.
    """
    serials = (obj.get("pieces") or {}).get("serials") or [""]
    return _set(obj, paper, {"form": "label", **_head(obj), "serials": list(map(visible, serials))})


def _set(obj: Object, paper: Paper, content: dict[str, Any]) -> bytes:
    return typeset("shop_paper.typ", paper, content, obj["as_of"], {})


def _head(obj: Object) -> dict[str, Any]:
    return {
        "shop": visible(obj.get("shop") or ""),
        "job": visible(obj["job"]),
        "title": _short(visible(obj["title"])),
        "part": _short(visible(obj.get("part") or "not stated")),
        "revision": f"revision {obj['revision']}",
        "code": visible(obj["head"]),
        "events": count_words(obj["events"], "event"),
        "as_of": stamp(obj["as_of"]),
        "square": square(code_text(obj)),
    }


def _short(text: str) -> str:
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 1]}…"


def _step(step: Object) -> dict[str, Any]:
    joints = ", ".join(visible(joint) for joint in step["joints"])
    return {
        "number": str(step["number"]),
        "title": visible(step["title"]).strip() or visible(step["kind"]),
        "joint": joints,
        "notes": [visible(note) for note in step["notes"]],
        "requirements": [
            {
                "name": visible(requirement["quantity"]) + _joint(requirement, step),
                "limit": limit_words(requirement),
                "evidence": evidence_words(requirement),
                "lines": _lines(requirement),
            }
            for requirement in step["requirements"]
            if not requirement.get("not_applicable")
        ],
    }


def _cautions(obj: Object, steps: Sequence[Object]) -> list[str]:
    """Each caution once, behind the numbers of the steps that it belongs to."""
    of_steps: dict[str, list[str]] = {}
    for step in steps:
        for text in cautions_of(obj, step):
            of_steps.setdefault(text, []).append(str(step["number"]))
    return [
        f"Step{'s' if len(numbers) > 1 else ''} {', '.join(numbers)}: {text}"
        for text, numbers in of_steps.items()
    ]


def _joint(requirement: Object, step: Object) -> str:
    joint = requirement.get("joint")
    return f" ({visible(joint)})" if joint and len(step["joints"]) > 1 else ""


def _lines(requirement: Object) -> int:
    evidence = requirement.get("evidence") or {}
    each = int(evidence.get("readings", 1))
    return min(MOST_LINES, each * LINES_FOR_RUNS if evidence.get("per_run") else each)
