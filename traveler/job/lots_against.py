"""What speaks against a lot that a reading names: by the sheet, by how its grade is known, by how long it was out.

A lot changes no limit. Where the metal or the filler on record is not what the limits were worked out for, somebody
answers for that: by a revision of the sheet, or by a nonconformance.
"""

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any

from traveler.job.concession import conceded_up_to
from traveler.job.lots import (
    FILLER_LOT,
    HEAT_NUMBER,
    grade_in_doubt,
    once_is_allowed,
    out_until,
    runs_laid_with,
)
from traveler.job.person import plain_name
from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import JobState, Reading


def lot_exceptions(state: JobState) -> Iterator[str]:
    """What a strict reader is to know of the lots that the readings name."""
    said = (
        f"step {reading.key[0]}, {reading.key[1]} {reading.value}: {words}"
        for reading in state.readings
        if reading.lot is not None and not reading.superseded
        for words in (
            *_not_of_the_sheet(state, reading, reading.lot),
            *_papers(state, reading, reading.lot),
            *_grade(state, reading, reading.lot),
            *_electrodes(state, reading, reading.lot),
        )
    )
    yield from dict.fromkeys(said)


def against_lots(state: JobState, step: StepPlan) -> Iterator[str]:
    """What of the lots of a step nobody has answered for, a sentence each: it takes a revision or a nonconformance."""
    for requirement in step.requirements:
        key = (step.number, requirement.quantity, requirement.joint)
        for reading in state.standing(step, requirement) if state.index.of_lots(key) else ():
            for words in lot_faults(state, step, requirement, reading):
                yield f"reading {reading.number}, {requirement.quantity}: {words}; that takes a nonconformance"


def lot_faults(
    state: JobState, step: StepPlan, requirement: Requirement, reading: Reading
) -> tuple[str, ...]:
    """What speaks against the lot of a reading and is not let stand.

    Metal or filler of another kind than the limits are for, a reported composition where nothing tells it, runs laid
    with electrodes that were out too long or rebaked too often. A nonconformance covers the runs laid before it was
    approved and no later one.
    """
    if reading.lot is None:
        return ()
    up_to = conceded_up_to(state, step, requirement, reading.number)
    of_the_lot = () if up_to else (*_not_of_the_sheet(state, reading, reading.lot),)
    if not up_to and _composition_taken(state, reading):
        of_the_lot += (*_grade(state, reading, reading.lot),)
    return (*of_the_lot, *_electrodes(state, reading, reading.lot, up_to))


def _not_of_the_sheet(state: JobState, reading: Reading, lot: Mapping[str, Any]) -> Iterator[str]:
    row = _row_of(state, reading)
    called = "grade" if lot["what"] == "material" else "classification"
    if row and plain_name(row[called]) != plain_name(lot["name"]):
        yield f"lot {lot['lot']} is {lot['name']}, the sheet says {row[called]}"


def _papers(state: JobState, reading: Reading, lot: Mapping[str, Any]) -> Iterator[str]:
    row = _row_of(state, reading)
    if lot["what"] == "filler" or not row or row["certificate"] in ("none", lot["certificate"]):
        return
    missing = lot["certificate"] in (None, "none")
    papers = "none is on record for" if missing else f"{lot['certificate']} came with"
    yield f"the sheet says certificate {row['certificate']}, {papers} lot {lot['lot']}"


def _grade(state: JobState, reading: Reading, lot: Mapping[str, Any]) -> Iterator[str]:
    doubt = "" if lot["what"] == "filler" else grade_in_doubt(lot["verified_by"], lot["certificate"])
    if doubt:
        taken = "limits are for the worst composition of the grade"
        if _composition_taken(state, reading):
            taken = "the sheet takes a reported composition all the same"
        yield f"the grade of lot {lot['lot']} {doubt}: {taken}"


def _composition_taken(state: JobState, reading: Reading) -> bool:
    row = _row_of(state, reading)
    return bool(row) and "assumed" not in row.get("composition", "assumed")


def _row_of(state: JobState, reading: Reading) -> dict[str, str]:
    """The sheet's row of the material or filler that a reading is about; empty where there is none."""
    _, quantity, joint = reading.key
    if quantity != FILLER_LOT:
        wanted = quantity.removeprefix(HEAT_NUMBER)
        return next((dict(row) for row in state.plan.materials if dict(row)["id"] == wanted), {})
    filler = next((dict(row)["filler"] for row in state.plan.joints if dict(row)["id"] == joint), None)
    return next((dict(row) for row in state.plan.fillers if dict(row)["id"] == filler), {})


def _electrodes(state: JobState, reading: Reading, lot: Mapping[str, Any], since: int = 0) -> Iterator[str]:
    """Runs laid when the electrodes had been out longer than they may, or with what was rebaked more than once.

    ``since``: place in the log; runs laid before it are left out.
    """
    opening = lot["opening"]
    if opening is None:
        return
    laid = [run for run in runs_laid_with(state, reading) if run.counts_from_seq > since]
    rebakes = opening.get("rebakes", 0)
    if rebakes and laid:
        yield f"{_runs(laid)} laid with lot {lot['lot']}, rebaked {rebakes} times, and {once_is_allowed()}"
    if opening["hours_allowed"] is None:
        return
    until = out_until(opening)
    late = [run for run in laid if datetime.fromisoformat(run.moment.happened_at) > until]
    if late:
        opened = "rebaked" if opening["rebaked"] else "opened"
        yield (
            f"{_runs(late)} laid more than {opening['hours_allowed']} h after lot {lot['lot']} was {opened} "
            f"({opening['at']})"
        )


def _runs(laid: list[Reading]) -> str:
    return f"run{'s' if len(laid) > 1 else ''} {', '.join(str(run.run) for run in laid)}"
