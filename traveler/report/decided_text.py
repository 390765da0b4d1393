"""Hold and witness points, and nonconformances, of a job as plain text."""

from collections.abc import Iterable

from traveler.report.decided_words import nonconformance_lines, nonconformance_title, point_lines
from traveler.report.lines import joined, wrapped
from traveler.report.words import Object, visible


def points_text(traveler: Object) -> str:
    """Every point with what was done at it, step by step."""
    lines: list[str] = []
    for step in traveler["steps"]:
        if step["points"]:
            lines += wrapped(f"STEP {step['number']}, {visible(step['kind'])}: {visible(step['title'])}")
            lines += _folded(point_lines(step))
    return joined(lines or ["No step has a hold or witness point."])


def nonconformances_text(traveler: Object) -> str:
    """Every nonconformance with what was done about it."""
    lines: list[str] = []
    for entry in traveler["nonconformances"]:
        lines += ["", *wrapped(nonconformance_title(entry)), *_folded(nonconformance_lines(entry))]
    return joined(lines or ["No nonconformances."])


def shop_nonconformances_text(entries: Iterable[Object]) -> str:
    """The nonconformances of all jobs, each behind its job."""
    lines: list[str] = []
    for entry in entries:
        job = f"JOB {visible(entry['job'])}, {visible(entry['job_state'])}: {visible(entry['title'])}"
        lines += [
            "",
            *wrapped(job),
            *wrapped(nonconformance_title(entry), indent="  "),
            *_folded(nonconformance_lines(entry)),
        ]
    return joined(lines or ["No nonconformances."])


def _folded(texts: Iterable[str]) -> Iterable[str]:
    for text in texts:
        inner = len(text) - len(text.lstrip(" "))
        yield from wrapped(text.lstrip(" "), indent=" " * (2 + inner))
