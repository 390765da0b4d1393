"""Instruments and lots of the shop as plain text: the lists, where a heat went, and what is answered for."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from traveler.report.decided_words import CRAYON, calibration_state
from traveler.report.lines import joined, padded, wrapped
from traveler.report.people_text import change_words
from traveler.report.words import count_words, stamp, visible

Json = Mapping[str, Any]
HANG = " " * 5


def instruments_text(instruments: Iterable[Json]) -> str:
    """One instrument a paragraph: id, name, type, and below whether it can be relied on, and how far."""
    lines: list[str] = []
    for entry in instruments:
        lines += wrapped(f"{padded(entry['instrument'], 4)} {_named(entry)}", hang=HANG)
        for remark in instrument_remarks(entry):
            lines += wrapped(remark, indent=HANG)
    return joined(lines or ["No instruments are registered; a reading keeps its instrument in words."])


def lots_text(lots: Iterable[Json]) -> str:
    """One lot a paragraph: id, what it is, its heat or batch number, and below its papers."""
    lines = [line for lot in lots for line in _lot_lines(lot)]
    return joined(lines or ["No lots are registered."])


def instrument_text(entry: Json) -> str:
    """One instrument with everything that was entered about it."""
    return joined([*instruments_text([entry]).splitlines(), "", *_history(entry)])


def lot_text(entry: Json) -> str:
    """One lot with everything that was entered about it."""
    return joined([*_lot_lines(entry), "", *_history(entry)])


def setting_text(entry: Json) -> str:
    """One setting with everything that it was set to."""
    given = visible(entry["value"] or "not set")
    return joined([f"{entry['setting']}: {given}", *(["", *_history(entry)] if entry["history"] else [])])


def questioned_text(instrument: str, since: str, questioned: Sequence[tuple[str, Sequence[int]]]) -> str:
    """Which readings a finding would put in question, by job."""
    return joined(
        [line for words in questioned_lines(instrument, since, questioned) for line in wrapped(words)]
    )


def questioned_lines(
    instrument: str, since: str, questioned: Sequence[tuple[str, Sequence[int]]]
) -> list[str]:
    """The same, unwrapped."""
    if not questioned:
        return [f"{visible(instrument)}, last good on {since}: it read nothing since."]
    lines = [f"{visible(instrument)}, last good on {since}. What it read since would be in question:"]
    for job, readings in questioned:
        numbers = ", ".join(map(str, readings))
        lines.append(f"  job {visible(job)}: reading{'s' if len(readings) > 1 else ''} {numbers}")
    return lines


def where_text(found: Json) -> str:
    """Where a heat or a lot went: its lots, then each job with joints, steps and runs."""
    asked, jobs = visible(found["asked"]), found["jobs"]
    lines = [line for lot in found["lots"] for line in _lot_lines(lot)]
    if not jobs:
        return joined([*lines, f"{asked} is in no job."])
    for job in jobs:
        head = f"JOB {visible(job['job'])}, {visible(job['state'])}: {visible(job['title'])}"
        lines += ["", *wrapped(head)]
        for row in job["planned"]:
            lines += wrapped(planned_words(row, job["revision"]), indent="  ")
        for reading in job["recorded"]:
            lines += wrapped(recorded_words(reading), indent="  ")
        lines += [line for words in through_words(job) for line in wrapped(words, indent="  ")]
    return joined([*lines, "", f"{asked} is in {count_words(len(jobs), 'job')}."])


def through_words(job: Json) -> list[str]:
    """By which components a heat is in an assembly."""
    through = job.get("through")
    return [f"in it are pieces of {', '.join(map(visible, through))}"] if through else []


def questions_shown(traveler: Json, readings: Sequence[int], stands: bool, who: str) -> str:
    """The readings that somebody is about to answer for, as shown before their secret is asked."""
    every = [
        (step, requirement, reading)
        for step in traveler["steps"]
        for requirement in step["requirements"]
        for reading in requirement["readings"]
    ]
    waiting = set(readings) or {
        number for question in traveler["questions"] for number in _unanswered(question)
    }
    verb = "stand" if stands else "do not stand"
    lines = [
        "",
        *wrapped(f"{visible(who)} signs that these readings of job {visible(traveler['job'])} {verb}:"),
    ]
    for step, requirement, reading in every:
        if reading["reading"] in waiting:
            where = f"step {step['number']}, {visible(requirement['quantity'])}, reading {reading['reading']}"
            lines += wrapped(f"{where}: {visible(reading['shown'])}, {reading['verdict']}", indent="  ")
    return joined(lines)


def _unanswered(question: Json) -> set[int]:
    answered = {number for answer in question["answers"] for number in answer["readings"]}
    return set(question["readings"]) - answered


def _history(entry: Json) -> Iterator[str]:
    yield "HISTORY"
    for change in entry["history"]:
        yield from wrapped(change_words(change), indent="  ")


def _named(entry: Json) -> str:
    serial = f", serial number {visible(entry['serial'])}" if entry["serial"] else ""
    return f"{visible(entry['name'])}, {entry['type']}{serial}: {calibration_state(entry)}"


def instrument_remarks(entry: Json) -> Iterator[str]:
    """Why an instrument cannot be relied on, its calibration, range and uncertainty."""
    if entry["why"]:
        yield visible(entry["why"])
    if entry["calibrated"]:
        certificate = visible(entry["certificate"])
        yield f"calibrated {entry['calibrated']}, due {entry['due']}, certificate {certificate}"
    span, uncertainty = entry["shown"]["range"], entry["shown"]["uncertainty"]
    if span:
        yield f"range {span}"
    if uncertainty:
        yield f"uncertainty {uncertainty}, k = 2"
    elif entry["type"] != CRAYON:
        yield "uncertainty not stated: taken as zero, and under a guard band its readings show nothing"


def lot_papers(lot: Json) -> list[str]:
    """The certificate of a lot, its file, who sold it."""
    papers = [f"certificate {lot['certificate'] or 'not stated'}"]
    papers += [f"{visible(lot['file']['name'])}, SHA-256 {lot['file']['sha256']}"] if lot["file"] else []
    papers += [f"from {visible(lot['supplier'])}"] if lot["supplier"] else []
    return papers


def _lot_lines(lot: Json) -> Iterator[str]:
    number = {"material": "heat", "filler": "batch"}[lot["what"]]
    heat = f", {number} {visible(lot['heat'])}" if lot["heat"] else ""
    of = f", remnant of {lot['remnant_of']}" if lot["remnant_of"] else ""
    yield from wrapped(f"{padded(lot['lot'], 4)} {visible(lot['name'])}{heat}{of}", hang=HANG)
    yield from wrapped("; ".join(lot_papers(lot)), indent=HANG)
    if lot["doubt"]:
        yield from wrapped(f"the grade {lot['doubt']}", indent=HANG)
    elif lot["verified_by"]:
        yield from wrapped(f"verified by {lot['verified_by']}", indent=HANG)
    for opening in lot["openings"]:
        word = "rebaked" if opening["rebaked"] else "opened"
        allowed = f", may be out {opening['hours_allowed']} h" if opening["hours_allowed"] is not None else ""
        yield from wrapped(f"{word} {stamp(opening['at'])}{allowed}", indent=HANG)


def planned_words(row: Json, revision: int) -> str:
    """A material or filler of a sheet with the joints and steps that it is in."""
    joints = f"joint{'s' if len(row['joints']) > 1 else ''} {', '.join(map(visible, row['joints']))}"
    steps = f"step{'s' if len(row['steps']) > 1 else ''} {', '.join(map(str, row['steps']))}"
    old = "" if row["revision"] == revision else f" (the sheet of revision {row['revision']}; no longer)"
    where = f"{joints}; {steps}" if row["joints"] else "no joint"
    return f"{row['what']} {visible(row['id'])}, {visible(row['name'])}{old}: {where}"


def recorded_words(entry: Json) -> str:
    """A reading that names a heat or a lot, with the runs laid with it."""
    joint = f" {visible(entry['joint'])}" if entry["joint"] else ""
    runs = (
        f": run{'s' if len(entry['runs']) > 1 else ''} {', '.join(map(str, entry['runs']))}"
        if entry["runs"]
        else ""
    )
    lot = f", lot {entry['lot']}" if entry["lot"] else ""
    struck = ", superseded" if entry["superseded"] else ""
    return (
        f"step {entry['step']}{joint}, reading {entry['reading']}, {visible(entry['quantity'])} "
        f"{visible(entry['value'])}{lot}{runs}{struck}; {visible(entry['by'])}, {stamp(entry['happened_at'])}"
    )
