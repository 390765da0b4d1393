"""The weld map: for each joint its members with their heats, its runs with welder and filler, tests and repairs."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from traveler.report.decided_words import nonconformance_title
from traveler.report.requirement_words import value_words
from traveler.report.words import Object, count_words, visible

_HEAT = "heat number of "
_WELDER, _LOT, _ENERGY, _INTERPASS = "welder", "filler lot", "arc energy", "interpass temperature"
_RESULTS = (
    "crack proved out", "arc strikes", "straightening", "visual result", "crack test", "hardness", "wait before test",
)  # fmt: skip
_CRACK_TEST = "crack test"
"""Of this the place to look at is the method: magnetic particles or penetrant."""
NOT_RECORDED = "not recorded"

_Found = tuple[Object, Object, Object]
"""A step, a requirement of it and one of its readings that stands."""


def weld_map(obj: Object) -> list[dict[str, Any]]:
    """A page entry a joint: ``facts`` as label and text, ``runs`` as rows of texts."""
    since = _since([r for step in obj["steps"] for need in step["requirements"] for r in need["readings"]])
    return [_joint(obj, joint, since) for joint in obj["joints"]]


def _joint(obj: Object, joint: Object, since: Mapping[int, int]) -> dict[str, Any]:
    id_ = joint["id"]
    filler = ", ".join(filter(None, (joint.get("filler"), _classification(obj, joint))))
    facts = [
        ("Type, process", f"{visible(joint.get('type') or 'not stated')}, {visible(joint['process'])}"),
        *(
            (label, visible(joint[key]))
            for label, key in (("Procedure", "procedure"), ("Repair of", "repair"))
            if joint.get(key)
        ),
        *(("Member", words) for words in _members(obj, joint)),
        ("Filler", visible(filler) or "not stated"),
        *(("Filler lot", _lot_words(reading)) for _, _, reading in _standing(obj, id_, (_LOT,))),
        *(("Test", words) for words in _tests(obj, id_)),
        *(("Attempts, repairs", words) for words in _repairs(obj, id_)),
    ]
    return {"joint": visible(id_), "facts": [list(fact) for fact in facts], "runs": _runs(obj, id_, since)}


def _classification(obj: Object, joint: Object) -> str:
    named = (entry for entry in obj["fillers"] if entry["id"] == joint.get("filler"))
    return next((entry.get("classification") or "" for entry in named), "")


def _members(obj: Object, joint: Object) -> Iterator[str]:
    """Each member as the plan names it, with grade, condition and the heats of its material, as stated and as read."""
    by_id = {entry["id"]: entry for entry in obj["materials"]}
    for member in str(joint.get("members") or "").split("; "):
        # An id may have blanks in it: the longest that fits is the one meant.
        fitting = [id_ for id_ in by_id if member.startswith((f"{id_} ", f"{id_}, "))]
        material = by_id[max(fitting, key=len)] if fitting else None
        yield visible(member) if material is None else _member_words(obj, member, material)


def _member_words(obj: Object, member: str, material: Object) -> str:
    stated = material.get("heat number") or "not stated"
    read = [
        value_words(reading) + _lot_of(reading)
        for step in obj["steps"]
        for requirement in step["requirements"]
        if requirement["quantity"] == f"{_HEAT}{material['id']}"
        for reading in requirement["readings"]
        if not reading["superseded"]
    ]
    marked = f"; read on the metal: {', '.join(dict.fromkeys(read))}" if read else "; not read on the metal"
    condition = visible(material.get("condition") or "condition not stated")
    return f"{visible(member)}: {visible(material['grade'])}, {condition}, heat {visible(stated)}{marked}"


def _lot_words(reading: Object) -> str:
    return f"{value_words(reading)}{_lot_of(reading)}, reading {reading['reading']}"


def _lot_of(reading: Object) -> str:
    return f" (lot {visible(reading['lot']['lot'])})" if reading.get("lot") else ""


def _standing(obj: Object, joint: str, quantities: Sequence[str]) -> Iterator[_Found]:
    """Readings of a joint that were not superseded, in the order of the steps."""
    for step in obj["steps"]:
        for requirement in step["requirements"]:
            if requirement["quantity"] in quantities and _is_of(step, requirement, joint):
                for reading in requirement["readings"]:
                    if not reading["superseded"]:
                        yield step, requirement, reading


def _is_of(step: Object, requirement: Object, joint: str) -> bool:
    named = requirement.get("joint")
    return bool(named == joint if named else joint in step["joints"])


def _since(step_readings: Sequence[Object]) -> Mapping[int, int]:
    """From when each reading counts: a correction stands where the one that it corrects stood."""
    since: dict[int, int] = {}
    for reading in sorted(step_readings, key=lambda entry: int(entry["reading"])):
        own = since.setdefault(reading["reading"], reading["reading"])
        if reading.get("superseded_by") is not None:
            since[reading["superseded_by"]] = own
    return since


def _runs(obj: Object, joint: str, since: Mapping[int, int]) -> list[list[str]]:
    """Run, welder, filler lot, arc energy, interpass temperature, verdicts: a row a run that was recorded."""
    laid = [
        found for found in _standing(obj, joint, (_ENERGY, _INTERPASS)) if found[2].get("run") is not None
    ]
    welders = [reading for _, _, reading in _standing(obj, joint, (_WELDER,))]
    lots = [reading for _, _, reading in _standing(obj, joint, (_LOT,))]
    rows = []
    for run in sorted({reading["run"] for _, _, reading in laid}):
        of_run = [(need["quantity"], reading) for _, need, reading in laid if reading["run"] == run]
        energies = [reading for quantity, reading in of_run if quantity == _ENERGY]
        warm = [reading for quantity, reading in of_run if quantity == _INTERPASS]
        moment = max(since[reading["reading"]] for reading in energies or warm)
        rows.append(
            [
                str(run),
                _named_for(run, moment, welders, since) or NOT_RECORDED,
                _named_for(run, moment, lots, since) or NOT_RECORDED,
                "; ".join(value_words(reading) for reading in energies) or NOT_RECORDED,
                "; ".join(value_words(reading) for reading in warm) or NOT_RECORDED,
                ", ".join(dict.fromkeys(visible(reading["verdict"]) for _, reading in of_run)),
            ]
        )
    return rows


def _named_for(run: int, moment: int, named: Sequence[Object], since: Mapping[int, int]) -> str:
    """Who or what was named last before a run, or for the run itself; what was entered first is for those before."""
    own = [reading for reading in named if reading.get("run") == run]
    general = [reading for reading in named if reading.get("run") is None]
    before = [reading for reading in general if since[reading["reading"]] < moment]
    chosen = own[-1:] or before[-1:] or general[:1]
    return ", ".join(value_words(reading) + _lot_of(reading) for reading in chosen)


def _tests(obj: Object, joint: str) -> Iterator[str]:
    for step, requirement, reading in _standing(obj, joint, _RESULTS):
        tested = requirement["quantity"] == _CRACK_TEST
        method = (requirement.get("evidence") or {}).get("where") if tested else ""
        how = f" by {visible(method)}" if method else ""
        yield (
            f"{visible(requirement['quantity'])}{how}: {value_words(reading)}, {visible(reading['verdict'])}, "
            f"reading {reading['reading']} of step {step['number']}"
        )


def _repairs(obj: Object, joint: str) -> Iterator[str]:
    """Preheats tried again, and nonconformances of steps with this joint with their dispositions."""
    steps = [step for step in obj["steps"] if joint in step["joints"]]
    for step in steps:
        for requirement in step["requirements"]:
            if requirement["attempts"] > 1 and _is_of(step, requirement, joint):
                tried = count_words(requirement["attempts"], "attempt")
                yield f"{visible(requirement['quantity'])} of step {step['number']}: {tried}"
    numbers = {step["number"] for step in steps}
    for entry in obj.get("nonconformances", ()):
        if entry["joint"] == joint or (entry["joint"] is None and entry["step"] in numbers):
            yield nonconformance_title(entry)
