"""From a job sheet and the library to the plan: every step with its requirements, conflicts and cautions."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from traveler.job.analysis import analyse, certificate_conflicts
from traveler.job.arc import joint_heat_input_kj_mm
from traveler.job.hardness import hardness_cautions
from traveler.job.hydrogen import hydrogen_of
from traveler.job.indices import index_words
from traveler.job.interpass import maximum_interpass
from traveler.job.preheat import minimum_preheat
from traveler.job.relief import decide_relief
from traveler.job.requirement import Outside, Plan, StepPlan
from traveler.job.route import Stop, lay_route, missing_steps, relieved_before
from traveler.job.sheet import Joint, Material, Sheet, SheetFiller, SheetStep, materials_of
from traveler.job.steps.besides import with_besides
from traveler.job.steps.coating import coat
from traveler.job.steps.cut_and_fit import cut, fit
from traveler.job.steps.heat import preheat, slow_cool
from traveler.job.steps.inspect import assemble, inspect, other
from traveler.job.steps.planning import Draft, Planning
from traveler.job.steps.stress_relief import stress_relief
from traveler.job.steps.weld import weld
from traveler.library.model import Library
from traveler.quantity.show import decimal_text, show_both

PLANNERS: dict[str, Callable[[Planning, tuple[Joint, ...]], Draft]] = {
    "cut": cut,
    "fit": fit,
    "preheat": preheat,
    "weld": weld,
    "hydrogen release": slow_cool,
    "stress relief": stress_relief,
    "inspect": inspect,
    "assemble": assemble,
    "other": other,
    "coating": coat,
}
Row = tuple[tuple[str, str], ...]


def plan_job(sheet: Sheet, library: Library) -> Plan:
    """Work out every limit of every step. Nothing is guessed: what cannot be settled is a conflict."""
    minima = {joint.id: minimum_preheat(joint, library, sheet.units, sheet.site) for joint in sheet.joints}
    maxima = {
        joint.id: maximum_interpass(joint, minima[joint.id], library, sheet.units) for joint in sheet.joints
    }
    planning = Planning(sheet, library, minima, maxima, decide_relief(sheet, library))
    route = lay_route(planning)
    return Plan(
        number=sheet.number,
        title=sheet.title,
        part=sheet.part,
        units=sheet.units,
        decides=sheet.decides,
        steps=_steps(planning, route),
        conflicts=missing_steps(planning, route) if sheet.steps else (),
        cautions=_cautions(planning),
        materials=tuple(_material_row(material, sheet.joints) for material in sheet.materials),
        fillers=tuple(_filler_row(filler, sheet) for filler in sheet.fillers),
        joints=tuple(_joint_row(joint) for joint in sheet.joints),
        decision_rule=sheet.decision_rule,
        self_inspection=sheet.self_inspection,
        made_from=sheet.made_from,
        quantity=sheet.quantity,
        serials=sheet.serials,
    )


def _steps(planning: Planning, route: Sequence[Stop]) -> tuple[StepPlan, ...]:
    """Metal that is not what the sheet calls it stops the job at its first step."""
    steps = [_step(replace(planning, relieved=relieved_before(route, stop)), stop) for stop in route]
    sheet = planning.sheet
    wrong = [
        c for material in materials_of(sheet.joints) for c in certificate_conflicts(material, sheet.joints)
    ]
    if steps and wrong:
        steps[0] = replace(steps[0], conflicts=(*wrong, *steps[0].conflicts))
    return tuple(steps)


def _step(planning: Planning, stop: Stop) -> StepPlan:
    draft = PLANNERS[stop.task or stop.kind](planning, stop.joints)
    draft = with_besides(planning, stop.kind, stop.joints, draft)
    asked = next((step for step in planning.sheet.steps if step.number == stop.number), None)
    return StepPlan(
        number=stop.number,
        kind=stop.kind,
        title=stop.title,
        joints=tuple(joint.id for joint in stop.joints),
        requirements=draft.requirements,
        conflicts=tuple(dict.fromkeys(draft.conflicts)),
        notes=draft.notes,
        chart_limits=draft.chart_limits,
        points=asked.points if asked else (),
        outside=_outside(asked, planning.library) if asked else None,
    )


def _outside(step: SheetStep, library: Library) -> Outside | None:
    """Where the sheet does not say which papers come back, those that are usual for the kind of step."""
    asked = step.outside
    if asked is None:
        return None
    returns = library.usual_papers(step.kind) if asked.returns is None else asked.returns
    return Outside(asked.vendor, asked.order, returns)


def _cautions(planning: Planning) -> tuple[str, ...]:
    library, sheet = planning.library, planning.sheet
    cautions = [caution for maximum in planning.maxima.values() for caution in maximum.cautions]
    if planning.relief.advice:
        cautions.append(planning.relief.advice)
    cautions += hardness_cautions(
        sheet, planning.minima, planning.maxima, library, planning.relief.called, planning.soak
    )
    names = ["general", "hot metal", "fume", "coatings", "chlorinated solvent", "fire watch"]
    if any(member.form == "tube" for joint in sheet.joints for member in joint.members):
        names.append("closed hollow parts")
    return (*cautions, *(library.cautions[name] for name in names))


def _material_row(material: Material, joints: tuple[Joint, ...]) -> Row:
    analysis = analyse(material, joints)
    return (
        ("id", material.id),
        ("grade", material.steel.name),
        ("spec", material.steel.spec),
        ("condition", material.condition),
        ("heat number", material.heat_number or "none given"),
        ("certificate", material.certificate),
        ("composition", analysis.words()),
        ("indices", index_words(analysis, material.steel.family)),
        ("tempered at", show_both(material.tempered_at) if material.tempered_at else ""),
    )


def _filler_row(filler: SheetFiller, sheet: Sheet) -> Row:
    users = [joint for joint in sheet.joints if joint.filler.id == filler.id]
    hydrogen = "; ".join(dict.fromkeys(hydrogen_of(joint).words() for joint in users)) or "not used"
    return (
        ("id", filler.id),
        ("classification", filler.filler.classification),
        ("hydrogen", f"{filler.hydrogen_class}: {hydrogen}" if filler.hydrogen_class else hydrogen),
        ("lot", filler.lot or "none given"),
    )


def _joint_row(joint: Joint) -> Row:
    members = "; ".join(
        f"{member.material.id} {member.form} {show_both(member.thickness)}" for member in joint.members
    )
    return (
        ("id", joint.id),
        ("type", joint.type),
        ("process", f"{joint.process.number} {joint.process.name}"),
        ("filler", joint.filler.id),
        ("arc energy", show_both(joint.arc_energy)),
        ("heat input", f"{decimal_text(joint_heat_input_kj_mm(joint), 3)} kJ/mm"),
        ("hydrogen", hydrogen_of(joint).words()),
        ("restraint", joint.restraint),
        ("members", members),
        *_named_besides(joint),
    )


def _named_besides(joint: Joint) -> Row:
    """Its procedure and its repair, where the sheet has them: without them the row is as it always was."""
    named = []
    if joint.procedure is not None:
        named.append(("procedure", joint.procedure.name))
    if joint.repair is not None:
        named.append(("repair", f"{joint.repair.of}, repair {joint.repair.before + 1}"))
    return tuple(named)
