"""Where in a job a heat of metal or a lot of filler went: by what the sheets say and by what was recorded."""

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from traveler.job.lots import FILLER_LOT, names_lot, runs_laid_with
from traveler.job.person import plain_name
from traveler.job.register import Lot
from traveler.job.state import JobState, Reading, Revision


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is looked for: heat or batch numbers as compared (see ``plain_name``), and ids of lots.

    ``only_lots``: one lot was asked for, so that what is known to be of another lot of the same heat is left out.
    """

    numbers: frozenset[str]
    lots: frozenset[str]
    only_lots: bool = False


@dataclass(frozen=True, slots=True)
class Planned:
    """A material or filler to which a sheet gives the number: its joints, and the steps about them.

    ``revision``: the latest one whose sheet says so; not the current one where a later sheet says otherwise.
    """

    what: str
    id: str
    name: str
    joints: tuple[str, ...]
    steps: tuple[int, ...]
    revision: int


@dataclass(frozen=True, slots=True)
class Recorded:
    """A reading that names it; ``runs`` are the runs of weld laid with a filler lot."""

    reading: Reading
    kind: str
    runs: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class JobUse:
    """Everything in one job that is of it; ``through``: the components that are of it, where it is an assembly."""

    state: JobState
    planned: tuple[Planned, ...]
    recorded: tuple[Recorded, ...]
    through: tuple[str, ...] = ()


def wanted_of(text: str, lots: Iterable[Lot], every: Iterable[Lot]) -> Wanted:
    """What to look for where ``text`` was asked and ``lots`` are those that it names, among ``every`` lot of the shop.

    What was cut from a lot is of it, and a lot's heat number is looked for too.
    """
    found = {lot.id: lot for lot in lots}
    for lot in every:  # a remnant is entered after what it was cut from
        if lot.remnant_of in found:
            found[lot.id] = lot
    asked = plain_name(text)
    by_id = bool(found) and all(plain_name(lot.heat or "") != asked for lot in found.values())
    heats = {plain_name(lot.heat) for lot in found.values() if lot.heat is not None}
    return Wanted(frozenset({*heats, *(() if by_id else (asked,))} - {""}), frozenset(found), only_lots=by_id)


def used_in(state: JobState, wanted: Wanted) -> JobUse | None:
    """What of the job is of it; None where nothing is."""
    planned = {(row.what, row.id): row for revision in state.revisions for row in _planned(revision, wanted)}
    recorded = tuple(
        Recorded(reading, kind, _runs(state, reading))
        for reading in state.readings
        if (kind := names_lot(reading.key[1])) is not None and _is_of_it(reading, wanted)
    )
    return JobUse(state, tuple(planned.values()), recorded) if planned or recorded else None


def _is_of_it(reading: Reading, wanted: Wanted) -> bool:
    if reading.lot is not None and (reading.lot["lot"] in wanted.lots or wanted.only_lots):
        return reading.lot["lot"] in wanted.lots
    return plain_name(reading.value) in wanted.numbers


def _planned(revision: Revision, wanted: Wanted) -> Iterator[Planned]:
    plan = revision.plan
    members = _materials_of_joints(revision.sheet)
    for rows, what, number, name in (
        (plan.materials, "material", "heat number", "grade"),
        (plan.fillers, "filler", "lot", "classification"),
    ):
        for row in map(dict, rows):
            if plain_name(row[number]) not in wanted.numbers:
                continue
            joints = tuple(
                joint["id"]
                for joint in map(dict, plan.joints)
                if (
                    joint["filler"] == row["id"]
                    if what == "filler"
                    else row["id"] in members.get(joint["id"], ())
                )
            )
            steps = tuple(step.number for step in plan.steps if set(step.joints) & set(joints))
            yield Planned(what, row["id"], row[name], joints, steps, revision.number)


def _materials_of_joints(sheet: str) -> Mapping[str, tuple[str, ...]]:
    """Ids of the materials of each joint, out of the sheet as it was written; it was read when it was issued."""
    return {
        joint["id"]: tuple(member["material"] for member in joint["member"])
        for joint in tomllib.loads(sheet).get("joint", ())
    }


def _runs(state: JobState, reading: Reading) -> tuple[int, ...]:
    if reading.key[1] != FILLER_LOT or reading.superseded:
        return ()
    return tuple(sorted({laid.run for laid in runs_laid_with(state, reading) if laid.run is not None}))
