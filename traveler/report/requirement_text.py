"""One requirement as plain lines: its limit, the methods behind it, its evidence, readings and verdict."""

from traveler.report.decided_words import not_applicable_words
from traveler.report.requirement_words import (
    answer_words,
    basis_words,
    change_words,
    evidence_words,
    limit_words,
    reading_words,
    source_words,
    split_basis,
    verdict_words,
    working_words,
)
from traveler.report.words import Object, visible

ONE_READING = "1 reading"


def requirement_lines(requirement: Object, *, brief: bool = False, working: bool = True) -> list[str]:
    """Indented lines, not yet folded.

    ``brief`` leaves out the reasons and the methods behind the limit; without ``working`` the methods stand there
    with their answer and mark, but without inputs, contributions and the sources of those that do not govern.
    """
    joint = f" ({visible(requirement['joint'])})" if requirement.get("joint") else ""
    lines = [f"  {visible(requirement['quantity'])}{joint}: {limit_words(requirement)}"]
    if not brief:
        lines += _reasons(requirement, working=working)
    if verdict := verdict_words(requirement):
        lines.append(f"    Verdict: {verdict}")
    if words := not_applicable_words(requirement):
        lines.append(f"    {words}")
    for reading in requirement.get("readings", ()):
        attempts = requirement.get("attempts", 1) > 1
        lines.append(f"    {reading_words(reading, attempts=attempts, brief=brief)}")
    return lines


def _reasons(requirement: Object, *, working: bool) -> list[str]:
    lines = [f"    Why: {visible(requirement['why'])}"] if requirement.get("why") else []
    rules, others = split_basis(requirement)
    for entries, label in ((rules, "Governed by"), (others, "Beside it:")):
        for entry in entries:
            governs = entries is rules
            if working:
                lines += _method(label, basis_words(requirement, entry, governs=governs), entry)
            elif answer := answer_words(requirement, entry, governs=governs):
                lines.append(f"    {label} {answer}")
    if change := change_words(requirement):
        lines.append(f"    What would change it: {change}")
    options = requirement.get("options") or []
    if options and options != requirement.get("accepts"):
        lines.append(f"    Choices: {'; '.join(visible(option) for option in options)}")
    evidence = evidence_words(requirement)
    return lines if evidence == ONE_READING else [*lines, f"    Evidence: {evidence}"]


def _method(label: str, words: str, entry: Object) -> list[str]:
    lines = [f"    {label} {words}"] if words else []
    indent = "      " if words else "    "
    lines.append(f"{indent}Source: {source_words(entry)}")
    working = working_words(entry)
    return [*lines, f"{indent}Working: {working}"] if working else lines
