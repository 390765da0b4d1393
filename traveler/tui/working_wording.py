"""The working behind a requirement's limit, as lines of safe text. No widgets here."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from rich.cells import cell_len

from traveler.quantity.parse import QuantityError, parse_quantity, stored, unit
from traveler.quantity.show import show_both
from traveler.report.requirement_words import (
    UNCHANGED,
    evidence_words,
    limit_words,
    source_words,
    split_basis,
    standing,
    verdict_words,
    working_words,
)
from traveler.report.words import Object, amount, visible
from traveler.tui.layout import LEAST_TEXT_WIDTH, wrapped
from traveler.tui.wording import readings_lines, requirement_name

_BOUNDS = {"at_least": "at least", "at_most": "at most"}
WIDTH = 76
FIRST_COLUMN = 0.55
"""Most of the width that the first of two columns takes."""
LEAST_SECOND = 30
"""Cells that the second needs where its texts are long."""
AS_PRINTED = "as printed"
NO_ANSWER = ("not applicable", "not tabulated")


def working_lines(step: Object, requirement: Object, decides: str = "", width: int = WIDTH) -> list[str]:
    """The limit and who answers for it, what sets it, what would change it, every other method, then the readings.

    ``decides``: who answers for the limits of the job, as its sheet says. ``width``: cells of a line.
    """
    rules, others = split_basis(requirement)
    silent = [entry for entry in others if entry["status"] in NO_ANSWER]
    beside = [entry for entry in others if entry["role"] != "indicative" and entry not in silent]
    indicative = [entry for entry in others if entry["role"] == "indicative" and entry not in silent]
    lines = [f"{requirement_name(step, requirement)}: {limit_words(requirement)}"]
    if decides:
        lines.append(f"Answers for it: {visible(decides)}")
    if requirement.get("why"):
        lines.append(f"Why: {visible(requirement['why'])}")
    lines.append(f"Shown by: {evidence_words(requirement)}")
    if held := _compared_with(requirement):
        lines.append(f"Compared with: {held}")
    lines += _part("SIDE BY SIDE, THE STRICTEST FIRST", _side_by_side(rules, beside, width))
    lines += ["", "WHAT SETS THE LIMIT" if rules else "NO METHOD SETS A LIMIT"]
    lines += [line for entry in rules for line in _method(entry, width, governs=True)]
    lines += _part("WHAT WOULD CHANGE IT", _changes(requirement, width))
    lines += _part(
        "LESS STRICT, EXTRAPOLATED, OR A CROSS-CHECK",
        (line for entry in beside for line in _method(entry, width)),
    )
    lines += _part("ONLY INDICATIVE", (line for entry in indicative for line in _compact(entry)))
    lines += _part("GIVES NO ANSWER HERE", (line for entry in silent for line in _compact(entry)))
    lines += ["", "READINGS", f"Verdict: {verdict_words(requirement)}"]
    return [*lines, *readings_lines(requirement)]


def _part(title: str, lines: Iterator[str]) -> list[str]:
    found = list(lines)
    return ["", title, *found] if found else []


def _compared_with(requirement: Object) -> str:
    """The bounds as they are compared: as printed, in their own unit, whatever the unit of the reading."""
    limit = requirement.get("limit") or {}
    bounds = [
        f"{words} {amount(limit[bound]['value'], limit[bound]['unit'])}"
        for bound, words in _BOUNDS.items()
        if limit.get(bound)
    ]
    return f"{', '.join(bounds)}, as printed, whatever the unit of the reading" if bounds else ""


def _side_by_side(rules: Sequence[Object], beside: Sequence[Object], width: int) -> Iterator[str]:
    """Every method that gives a bound, a line each: its value, whose it is, and why it does not set the limit.

    The strictest stands first, the one that sets the limit behind a ">".
    """
    for bound, words in _BOUNDS.items():
        entries = [
            entry for entry in [*rules, *beside] if entry["bound"] == bound and entry["value"] is not None
        ]
        if len(entries) < 2:
            continue
        entries.sort(key=_size, reverse=bound == "at_least")
        yield f"{words}:"
        pairs = []
        for entry in entries:
            sets = entry in rules
            why = "sets the limit" if sets else standing(entry, governs=False)[0].partition(",")[0]
            pairs.append((f"{'>' if sets else ' '} {_value(entry)}", f"{_whose(entry)}: {why}"))
        yield from _pairs(pairs, "", width)


def _size(entry: Object) -> Fraction:
    """For the order of values that may stand in several units; nothing is judged by it."""
    try:
        return stored(f"{entry['value']:g}", entry["unit"] or "").canonical
    except QuantityError:
        return Fraction(entry["value"])


def _changes(requirement: Object, width: int) -> Iterator[str]:
    """Each change with the limit that it would give; what would change nothing stands together at the end."""
    pairs = [(visible(words), visible(value)) for words, value in requirement.get("would_change") or ()]
    pairs.sort(key=lambda pair: pair[1].endswith(UNCHANGED))
    yield from _pairs(pairs, "", width)


def _pairs(pairs: Sequence[tuple[str, str]], indent: str, width: int) -> Iterator[str]:
    """Two columns, the second wrapped in its own; what is too long for the first stands on a line of its own."""
    room = width - len(indent) - 2
    first = max((cell_len(words) for words, _ in pairs if cell_len(words) <= room * FIRST_COLUMN), default=0)
    longest = max((cell_len(value) for _, value in pairs), default=0)
    if room - first < min(longest, LEAST_SECOND):
        first = 0
    margin = " " * (first or 2)
    for words, value in pairs:
        lines = wrapped(value, max(room - len(margin), LEAST_TEXT_WIDTH))
        if cell_len(words) > first:
            yield f"{indent}{words}"
        else:
            yield f"{indent}{words}{' ' * (first - cell_len(words))}  {lines.pop(0)}"
        yield from (f"{indent}{margin}  {line}" for line in lines)


def _method(entry: Object, width: int, *, governs: bool = False) -> Iterator[str]:
    """A method in full: answer, standing, source, reasons, then its inputs and contributions in a column."""
    yield _answer(entry)
    yield f"    {_standing(entry, governs=governs)}; status: {visible(entry['status'])}"
    yield f"    source: {source_words(entry)}"
    for reason in entry.get("reasons") or ():
        yield f"    note: {visible(reason)}"
    working = [(visible(words), visible(value)) for words, value in entry.get("working") or ()]
    yield from _pairs(working, "    ", width)


def _standing(entry: Object, *, governs: bool) -> str:
    """That it sets the limit, or why it does not."""
    if governs:
        return "governs, and sets this limit"
    why = standing(entry, governs=False)[0]
    return f"does not set it: {why}" if entry["status"] == "ok" else why


def _compact(entry: Object) -> Iterator[str]:
    """A method that decides nothing: the same in few lines, its role where the heading does not say it."""
    stands = [] if entry["status"] == "ok" else [visible(entry["status"])]
    if entry["role"] != "indicative":
        stands.append(_standing(entry, governs=False))
    yield "; ".join([_answer(entry), *stands])
    reasons = "; ".join(visible(reason) for reason in entry.get("reasons") or ())
    if reasons:
        yield f"    note: {reasons}"
    if working := working_words(entry):
        yield f"    from: {working}"
    yield f"    source: {source_words(entry)}"


def _answer(entry: Object) -> str:
    if entry.get("value") is None:
        return f"{_whose(entry)}{'' if entry['status'] == 'ok' else ': no value'}"
    bound = _BOUNDS.get(str(entry.get("bound")), "")
    return f"{_whose(entry)}: {f'{bound} {_value(entry)}'.strip()}"


def _whose(entry: Object) -> str:
    member = f" for {visible(entry['member'])}" if entry.get("member") else ""
    return f"{visible(entry['method'])}{member}"


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
