"""The working behind a requirement's limit, as lines of safe text. No widgets here."""

from collections.abc import Iterator, Sequence

from traveler.quantity.parse import QuantityError, parse_quantity, stored, unit
from traveler.quantity.show import show_both
from traveler.report.requirement_words import (
    evidence_words,
    limit_words,
    source_words,
    split_basis,
    verdict_words,
    working_words,
)
from traveler.report.words import Object, amount, visible
from traveler.tui.wording import readings_lines, requirement_name

_ROLES = {
    "governs": "a governing method, does not set this limit",
    "cross-check": "a cross-check, does not govern",
    "indicative": "indicative, does not govern",
}
_BOUNDS = {"at_least": "at least", "at_most": "at most"}
AS_PRINTED = "as printed"
NO_ANSWER = ("not applicable", "not tabulated")


def working_lines(step: Object, requirement: Object) -> list[str]:
    """What governs and what would change it, what does not govern, what only indicates, then the readings."""
    rules, others = split_basis(requirement)
    silent = [entry for entry in others if entry["status"] in NO_ANSWER]
    beside = [entry for entry in others if entry["role"] != "indicative" and entry not in silent]
    indicative = [entry for entry in others if entry["role"] == "indicative" and entry not in silent]
    lines = [f"{requirement_name(step, requirement)}: {limit_words(requirement)}"]
    if requirement.get("why"):
        lines.append(f"Why: {visible(requirement['why'])}")
    lines += [f"Shown by: {evidence_words(requirement)}", ""]
    lines.append("WHAT SETS THE LIMIT" if rules else "NO METHOD SETS A LIMIT")
    lines += [line for entry in rules for line in _method(entry, governs=True)]
    lines += _part("WHAT WOULD CHANGE IT", _changes(requirement))
    lines += _part(
        "LESS STRICT, EXTRAPOLATED, OR A CROSS-CHECK", (line for entry in beside for line in _method(entry))
    )
    lines += _part("ONLY INDICATIVE", (line for entry in indicative for line in _compact(entry)))
    lines += _part("GIVES NO ANSWER HERE", (line for entry in silent for line in _compact(entry)))
    lines += ["", "READINGS", f"Verdict: {verdict_words(requirement)}"]
    return [*lines, *readings_lines(requirement)]


def _part(title: str, lines: Iterator[str]) -> list[str]:
    found = list(lines)
    return ["", title, *found] if found else []


def _changes(requirement: Object) -> Iterator[str]:
    """Each change with the limit that it would give; what would change nothing stands together at the end."""
    return _pairs(requirement.get("would_change") or (), "")


def _pairs(pairs: Sequence[Sequence[object]], indent: str) -> Iterator[str]:
    shown = [(visible(words), visible(value)) for words, value in pairs]
    widest = max((len(words) for words, _ in shown), default=0)
    yield from (f"{indent}{words.ljust(widest)}  {value}" for words, value in shown)


def _method(entry: Object, *, governs: bool = False) -> Iterator[str]:
    """A method in full: answer, standing, source, reasons, then its inputs and contributions in a column."""
    yield _answer(entry)
    role = "governs, and sets this limit" if governs else _ROLES.get(entry["role"], visible(entry["role"]))
    yield f"    role: {role}; status: {visible(entry['status'])}"
    yield f"    source: {source_words(entry)}"
    for reason in entry.get("reasons") or ():
        yield f"    note: {visible(reason)}"
    yield from _pairs(entry.get("working") or (), "    ")


def _compact(entry: Object) -> Iterator[str]:
    """A method that decides nothing: the same in few lines, its role where the heading does not say it."""
    standing = [] if entry["status"] == "ok" else [visible(entry["status"])]
    if entry["role"] != "indicative":
        standing.append(_ROLES.get(entry["role"], visible(entry["role"])))
    yield "; ".join([_answer(entry), *standing])
    reasons = "; ".join(visible(reason) for reason in entry.get("reasons") or ())
    if reasons:
        yield f"    note: {reasons}"
    if working := working_words(entry):
        yield f"    from: {working}"
    yield f"    source: {source_words(entry)}"


def _answer(entry: Object) -> str:
    member = f" for {visible(entry['member'])}" if entry.get("member") else ""
    if entry.get("value") is None:
        return f"{visible(entry['method'])}{member}{'' if entry['status'] == 'ok' else ': no value'}"
    bound = _BOUNDS.get(str(entry.get("bound")), "")
    return f"{visible(entry['method'])}{member}: {f'{bound} {_value(entry)}'.strip()}"


def _value(entry: Object) -> str:
    """A band with its two ends; else the value in both units where the unit is one of the table."""
    if entry.get("value_to") is not None:
        return f"{amount(entry['value'])} to {amount(entry['value_to'], entry.get('unit'))}"
    printed = _printed(entry)
    if printed:
        return printed
    try:
        return show_both(stored(f"{entry['value']:g}", entry["unit"] or ""))
    except QuantityError:
        return amount(entry["value"], entry.get("unit"))


def _printed(entry: Object) -> str:
    """The value as its table prints it, with the other unit beside it; empty where something was added to it."""
    typed = next((value for words, value in entry.get("working") or () if words == AS_PRINTED), None)
    if typed is None:
        return ""
    try:
        printed = parse_quantity(str(typed), unit(str(entry["unit"])).kind)
    except QuantityError:
        return ""
    return show_both(printed) if round(float(printed.canonical), 1) == entry["value"] else ""
