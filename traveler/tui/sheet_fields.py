"""The fields of each page of a new job, in the words of the trade, filled with what was entered or is proposed."""

from collections.abc import Callable, Mapping, Sequence
from typing import get_args

from traveler.job.decision_rule import DECISION_RULES
from traveler.job.sheet import Check, Condition, Straightening
from traveler.job.sheet import Form as MetalForm
from traveler.job.sheet_joint import DEFAULT_RESTRAINT, JOINT_TYPES, RESTRAINTS
from traveler.job.sheet_metal import CERTIFICATES
from traveler.job.sheet_pages import PageKind, ids, page_kind, place_in_list, proposed_id
from traveler.job.sheet_write import YES, Entered
from traveler.library.model import Units
from traveler.tui.new_jobs import NewJobs
from traveler.tui.widgets.field import ChoiceField, Field, TextField
from traveler.tui.widgets.offers import OfferField

NO = "no"
SHOPS_OWN = "as the shop has it"
UNASKED = "not asked"
UNSAID: Mapping[str, str] = {
    "decision_rule": SHOPS_OWN,
    "self_inspection": NO,
    "damp": NO,
    "straightening": UNASKED,
}
"""Options that leave their key out of the sheet."""

REGISTER = "register"
THEN = "then"
ASIDE = (REGISTER, THEN)
"""Fields of a page that are no keys of the sheet."""

_PART = "type a part of it, Enter"


def make_fields(page: str, entered: Entered, door: NewJobs) -> list[Field]:
    """The fields of a page that are keys of the sheet, and before them the register's lot where there are lots."""
    fields = _MAKERS[page_kind(page)](page, entered, door)
    for field in fields:
        kept = entered.get(f"{page}.{field.key}", "")
        if kept or field.key in UNSAID:
            field.put(kept or UNSAID[field.key])
    return fields


def sheet_values(values: Mapping[str, str]) -> dict[str, str]:
    """What stands in the fields as the sheet has it: without what is aside, and empty where it is left out."""
    return {
        key: "" if UNSAID.get(key) == value else value for key, value in values.items() if key not in ASIDE
    }


def _job(page: str, entered: Entered, door: NewJobs) -> list[Field]:
    proposed = {} if entered else door.proposed()
    decides = proposed.get("job.decides", "")
    units = ChoiceField("units", "Units", "which of a source's two printed limits applies", get_args(Units))
    units.put(proposed.get("job.units", ""))
    return [
        TextField("number", "Number", "once in a shop, such as B-208", proposed.get("job.number", "")),
        TextField("title", "Title", "what the job is"),
        TextField("part", "Part", "part number, side; may stay empty"),
        units,
        TextField("decides", "Decides", "who answers for the limits, such as welding engineer", decides),
        OfferField(
            "stress_relief",
            "Relief by",
            f"the rule of stress relief: {_PART}; empty: none",
            door.profiles(),
            needed=False,
        ),
        TextField("hardness_limit", "Hardness", "the limit, such as 350 HV, 22 HRC; may stay empty"),
        ChoiceField(
            "decision_rule",
            "Judged by",
            "what is done where an instrument's uncertainty reaches beyond a limit",
            (SHOPS_OWN, *DECISION_RULES),
        ),
        ChoiceField(
            "self_inspection", "Own work", "may who performed a step accept it? It prints", (NO, YES)
        ),
        TextField(
            "checks", "Also check", f"with commas between: {', '.join(get_args(Check))}; may stay empty"
        ),
        ChoiceField(
            "straightening",
            "Straighten",
            "may the welded part be straightened? Then the crack test comes after it",
            (UNASKED, *get_args(Straightening)),
        ),
        TextField("quantity", "Pieces", "how many are made together, such as 5; empty: one"),
        TextField("serials", "Serials", "of the pieces, with commas, such as RU3-01, RU3-02; may stay empty"),
    ]


def _material(page: str, entered: Entered, door: NewJobs) -> list[Field]:
    certificate = ChoiceField(
        "certificate",
        "Certificate",
        "type of EN 10204; only from 2.2 on does it prove an analysis",
        CERTIFICATES,
    )
    certificate.put("none")
    return [
        *_register("material", door),
        TextField("id", "Called", "what the joints call it", _id(page, entered, "M")),
        OfferField("grade", "Grade", f"{_PART}, then its digit", door.grades()),
        ChoiceField("condition", "Condition", "as it comes to the weld", get_args(Condition)),
        TextField("heat_number", "Heat", "the heat number as marked; may stay empty"),
        certificate,
        TextField("composition", "Analysis", "percent as certified, such as C 0.30 Mn 0.51; may stay empty"),
        TextField("tempered_at", "Tempered at", "for quenched and tempered only, such as 1100 F"),
    ]


def _filler(page: str, entered: Entered, door: NewJobs) -> list[Field]:
    return [
        *_register("filler", door),
        TextField("id", "Called", "what the joints call it", _id(page, entered, "F")),
        OfferField("classification", "Filler", f"{_PART}, then its digit", door.classifications()),
        TextField("hydrogen", "Hydrogen", "class such as H5; empty: a figure is assumed"),
        TextField("lot", "Lot", "the lot that must be read at the weld; may stay empty"),
    ]


def _joint(page: str, entered: Entered, door: NewJobs) -> list[Field]:
    fillers = ids(entered, "filler")
    filler = ChoiceField("filler", "Filler", "of those entered", fillers)
    if len(fillers) == 1:
        filler.put(fillers[0])
    restraint = ChoiceField("restraint", "Restraint", "high adds 25 C° to method B", RESTRAINTS)
    restraint.put(DEFAULT_RESTRAINT)
    return [
        TextField("id", "Called", "the joint's name", _id(page, entered, "J")),
        ChoiceField("type", "Type", "how the members meet", JOINT_TYPES),
        OfferField(
            "process", "Process", "ISO 4063 number or a part of its name, such as TIG", door.processes()
        ),
        filler,
        TextField(
            "arc_energy", "Arc", "12 V 150 A 90 mm/min, or the energy: 1.0 kJ/mm, 25 kJ/in, 12 kJ 80 mm"
        ),
        restraint,
    ]


def _member(page: str, entered: Entered, door: NewJobs) -> list[Field]:
    materials = ids(entered, "material")
    material = ChoiceField("material", "Material", "of those entered", materials)
    at = place_in_list(page)[1]
    if len(materials) == 1:
        material.put(materials[0])
    elif at < len(materials):
        material.put(materials[at])
    return [
        material,
        ChoiceField("form", "Form", "a casting has tables of its own", get_args(MetalForm)),
        TextField("thickness", "Thickness", "at the joint, of a tube its wall, such as 1/4 in or 6.4 mm"),
    ]


def _dimension(page: str, entered: Entered, door: NewJobs) -> list[Field]:
    return [
        TextField("id", "Called", "its name", _id(page, entered, "D")),
        TextField("title", "What", "what is measured, such as bolt hole to edge"),
        TextField("nominal", "Nominal", "such as 38.0 mm"),
        TextField("tolerance", "Tolerance", "plus or minus, such as 0.3 mm, or a class: ISO 13920-B"),
    ]


def _site(page: str, entered: Entered, door: NewJobs) -> list[Field]:
    return [
        TextField("temperature", "Shop at", "metal and air before heating, such as 60 F; may stay empty"),
        ChoiceField("damp", "Damp", "very humid air or rain?", (NO, YES)),
    ]


def _register(what: str, door: NewJobs) -> list[Field]:
    lots = door.lots(what)
    hint = "a lot received: heat number or a part of its name, Enter; empty: none"
    return [OfferField(REGISTER, "From lot", hint, lots, needed=False)] if lots else []


def _id(page: str, entered: Entered, letter: str) -> str:
    return proposed_id(entered, place_in_list(page)[0], letter)


_MAKERS: Mapping[PageKind, Callable[[str, Entered, NewJobs], list[Field]]] = {
    "job": _job,
    "material": _material,
    "filler": _filler,
    "joint": _joint,
    "member": _member,
    "dimension": _dimension,
    "site": _site,
}


def on_and_on(page: str, entered: Entered, pages: Sequence[str]) -> dict[str, str]:
    """What can come after a page, by words: "" for the page behind it, a list's name for one more entry of it, and
    "-" before a place for taking that out of the sheet.
    """
    name = place_in_list(page)[0]
    kind = page_kind(page)
    if kind in ("job", "site", "joint"):
        return {}
    last = page == [other for other in pages if place_in_list(other)[0] == name][-1]
    several = sum(place_in_list(other)[0] == name for other in pages)
    after: dict[str, str] = {"go on": ""}
    if kind == "member":
        if not last:
            return {}
        joint = name.rpartition(".")[0]
        after |= {"another member of this joint": name, "another joint": "joint"}
        after["a dimension to check"] = "dimension"
        if several > 2:
            after["take this member out"] = f"-{page}"
        if len([other for other in pages if page_kind(other) == "joint"]) > 1:
            after["take this joint out"] = f"-{joint}"
        return after
    after[f"another {kind}"] = name
    if several > 1 or kind == "dimension":
        after[f"take this {kind} out"] = f"-{page}"
    return after
