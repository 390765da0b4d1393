"""The sheet for the same part once more: the old one without what belonged to its heats of steel."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Any

from traveler.errors import BadInput
from traveler.job.as_built import AsBuilt
from traveler.job.sheet_rewrite import toml_value, write_sheet
from traveler.job.sheet_toml import parse_toml
from traveler.job.sheet_words import shown

OF_THE_HEAT = ("heat_number", "certificate", "composition", "tempered_at")
OF_THE_LOT = ("lot",)
OF_ONE_JOB = {"material": OF_THE_HEAT, "filler": OF_THE_LOT}
"""Of which table which keys say what is true of one heat or one lot, and of no other."""
OF_ONE_PART = ("made_from", "serials")
"""Keys of ``[job]`` that say which pieces they are."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is wanted of the new sheet.

    ``same_heat``: ids of materials and fillers that are of the heat or lot of the old job. ``as_built``: ids of the
    dimensions whose measured size becomes the nominal one.
    """

    number: str
    same_heat: tuple[str, ...] = ()
    as_built: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Origin:
    """The job that is made again, as it stood: the code is that of its last event."""

    job: str
    revision: int
    state: str
    code: str

    @property
    def words(self) -> str:
        """ "job H-014, revision 2, closed, code K3QF-..."."""
        return f"job {self.job}, revision {self.revision}, {self.state}, code {self.code}"


@dataclass(frozen=True, slots=True)
class NewSheet:
    """The sheet as text, and what is left to do on it, a sentence each."""

    text: str
    to_do: tuple[str, ...]


@dataclass(slots=True)
class _Work:
    origin: Origin
    remarks: dict[tuple[str, int], list[str]] = field(default_factory=dict)
    to_do: list[str] = field(default_factory=list)


def sheet_again(old: str, origin: Origin, asked: Asked, measured: Mapping[str, AsBuilt]) -> NewSheet:
    """The sheet of the old job under its new number, to be filled in.

    Heat numbers, certificates, compositions, tempering temperatures, lots and orders of vendors are left out and stand
    as comments, so that a sheet that is not filled in plans with the worst case of each grade. Dimensions carry what
    was measured; drawing and tolerance stay. Comments of the old sheet do not come along. Raises BadInput for an id
    that the sheet does not have or that nobody measured.
    """
    root = parse_toml(old)
    _refuse_unknown(root, asked, measured)
    work = _Work(origin)
    if serials := root["job"].get("serials"):
        work.remarks["job", 0] = [f"serials =    # {origin.job} had {toml_value(serials)}"]
    job = {key: value for key, value in root["job"].items() if key not in OF_ONE_PART}
    _coating(work, job)
    new: dict[str, Any] = {"job": {**job, "number": asked.number, "made_from": origin.job}}
    for name, value in root.items():
        if name == "job":
            continue
        if isinstance(value, list):
            new[name] = [
                _table(work, name, place, table, asked, measured) for place, table in enumerate(value)
            ]
        else:
            new[name] = value
    return NewSheet(write_sheet(new, _head(origin), work.remarks), tuple(work.to_do))


def _head(origin: Origin) -> list[str]:
    return [
        f"Made again from {origin.words}.",
        "Fill in what the comments ask for, from the certificates of the new heats.",
    ]


def _refuse_unknown(root: Mapping[str, Any], asked: Asked, measured: Mapping[str, AsBuilt]) -> None:
    have = [table["id"] for name in OF_ONE_JOB for table in root.get(name, ())]
    _refuse(asked.same_heat, have, "the sheet has no material or filler {}")
    dimensions = [table["id"] for table in root.get("dimension", ())]
    _refuse(asked.as_built, dimensions, "the sheet has no dimension {}")
    known = [id_ for id_ in dimensions if id_ in measured]
    _refuse(asked.as_built, known, "dimension {} was not measured at an inspection that is accepted")


def _refuse(asked: Collection[str], have: Collection[str], told: str) -> None:
    for id_ in asked:
        if id_ not in have:
            expected = f"one of {', '.join(have)}" if have else "none, since there are none"
            raise BadInput(f"{told.format(shown(id_))}; expected {expected}")


def _table(
    work: _Work,
    name: str,
    place: int,
    table: Mapping[str, Any],
    asked: Asked,
    measured: Mapping[str, AsBuilt],
) -> dict[str, Any]:
    new = dict(table)
    if name in OF_ONE_JOB and table["id"] not in asked.same_heat:
        gone = [key for key in OF_ONE_JOB[name] if key in new]
        _emptied(work, name, place, new, gone)
    if name == "joint" and "preheat" in table:
        _own_minimum(work, place, table)
    if name == "joint" and "repair" in table:
        _repair(work, place, new)
    if name == "step" and "outside" in table:
        new["outside"] = _outside(work, place, table)
    if name == "dimension" and table["id"] in measured:
        found = measured[table["id"]]
        new = _measured(work, new, found, as_nominal=table["id"] in asked.as_built)
    return new


def _emptied(work: _Work, name: str, place: int, table: dict[str, Any], gone: list[str]) -> None:
    if not gone:
        return
    told = [f"{key} =    # {work.origin.job} had {toml_value(table[key])}" for key in gone]
    work.remarks[name, place] = ["to be given of the new one:", *told]
    work.to_do.append(f"{name} {table['id']}: give {', '.join(key.replace('_', ' ') for key in gone)}")
    for key in gone:
        del table[key]


def _own_minimum(work: _Work, place: int, joint: Mapping[str, Any]) -> None:
    own = joint["preheat"]
    told = f"preheat: {own['by']} answered for {own['at_least']} in {work.origin.job}; ask whether it holds again"
    work.remarks.setdefault(("joint", place), []).append(told)
    work.to_do.append(f"joint {joint['id']}: {told}")


def _repair(work: _Work, place: int, joint: dict[str, Any]) -> None:
    """The crack was in the old part; a new one has none."""
    told = f"repair: {toml_value(joint.pop('repair'))} was of the part of {work.origin.job}, and is not of a new one"
    work.remarks.setdefault(("joint", place), []).append(told)
    work.to_do.append(f"joint {joint['id']}: {told}")


def _coating(work: _Work, job: Mapping[str, Any]) -> None:
    """How strong the metal is was found on the old heats; it stays, and is to be asked again."""
    stated = {key: value for key, value in job.get("coating", {}).items() if key != "process"}
    if stated:
        told = (
            f"coating: {toml_value(stated)} is of the heats of {work.origin.job}; ask whether it holds again"
        )
        work.remarks["job", 0] = [told]
        work.to_do.append(told)


def _outside(work: _Work, place: int, step: Mapping[str, Any]) -> dict[str, Any]:
    """The vendor without the number of the order, which is of one job alone."""
    outside = dict(step["outside"])
    order = outside.pop("order", None)
    if order is not None:
        told = f"outside: {work.origin.job} had order {toml_value(order)}; give the new one"
        work.remarks["step", place] = [told]
        work.to_do.append(f"step {step['number']}: {told}")
    return outside


def _measured(work: _Work, table: dict[str, Any], found: AsBuilt, *, as_nominal: bool) -> dict[str, Any]:
    """With what was measured in words; as the nominal size too where that is asked."""
    beyond = ", outside its tolerance" if found.outside else ""
    words = f"{found.typed} at the inspection of {work.origin.job}{beyond}"
    if as_nominal:
        words += f", taken as nominal; the sheet before had {table['nominal']}"
        table = {**table, "nominal": found.typed}
    return {**table, "as_built": words}
