"""Coating of the finished part: relief before plating, the bake after it, and how strong the metal is for both."""

from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from traveler.job.candidate import Candidate, from_quantity, printed_candidate, safe_temperature
from traveler.job.hardness import as_welded_rows
from traveler.job.requirement import Basis, Evidence, Requirement
from traveler.job.sheet import Coating, Joint, materials_of
from traveler.job.steps.asked import asked
from traveler.job.steps.planning import CONTACT, Draft, Planning
from traveler.job.tempered import tempered_rows
from traveler.library.coating import BakeRow, CoatingRules, load_coating
from traveler.metals.hardness_scales import hrc_from_hv, hv_from_hb
from traveler.quantity.parse import stored
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import decimal_text, show

BAKE_TEMPERATURE = "plating bake temperature"
BAKE_TIME = "plating bake time"
BAKE_START = "time from plating to bake"
RELIEF_BEFORE = "relief before plating"
BY_THIS_JOB = "by the stress relief of this job, nothing cold-worked since"
STATE_IT = (
    "give coating.hardness, measured where the metal is hardest (a coupon's section), or coating.strength"
)


@dataclass(frozen=True, slots=True)
class Needed:
    """Whether the metal is baked, and for how many hours; None where that is not determined, ``why`` says why."""

    treated: bool
    hours: Fraction | None
    why: str


def coat(planning: Planning, joints: tuple[Joint, ...]) -> Draft:
    """What was put on, and where it brings hydrogen into strong steel the relief before it and the bake after it."""
    coating = planning.sheet.coating
    if coating is None:
        return Draft((), ("the sheet has a coating step but no coating ([job] coating)",))
    rules = load_coating()
    coated = replace(asked("coated"), evidence=Evidence(where=f"the sheet says {coating.process}"))
    if rules.processes[coating.process] == "none":
        return Draft((coated,), notes=(f"{coating.process}: brings no hydrogen into the steel, no bake.",))
    needed = hours_needed(coating, rules, planning)
    harder = _harder_beside_weld(coating, planning, needed, rules)
    if harder and coating.strength is not None:
        needed = Needed(True, None, f"{harder}: the bake goes by the hardest place; {STATE_IT}")
    doubts = (f"{harder}: make sure that it was measured there.",) if harder and coating.hardness else ()
    if not needed.treated:
        return Draft((coated,), (), (needed.why, *doubts))
    conflicts = (needed.why,) if needed.hours is None else ()
    top, too_soft = _bake_top(planning, rules)
    requirements = (
        _relief(planning),
        coated,
        _start(planning, rules),
        _bake_temperature(planning, rules, top),
        _bake_time(planning, rules, needed),
    )
    note = f"{coating.process}: the bake lowers the risk of hydrogen and does not rule it out."
    return Draft(requirements, (*conflicts, *too_soft), (note, *doubts))


def hours_needed(coating: Coating, rules: CoatingRules, planning: Planning) -> Needed:
    """Hours of the first row that covers the metal; of two rows that meet the longer, nothing between rows."""
    if coating.strength is None and coating.hardness is None:
        return Needed(
            True,
            None,
            f"how strong the coated metal is, is not known, so its bake is not determined: {STATE_IT}",
        )
    given, least = _given(coating, rules)
    hrc = None if coating.hardness is None else _hrc(coating.hardness, planning)
    softer = hrc is None or hrc < rules.treated_from_hardness["HRC"].number
    if given.canonical < least.canonical and softer:
        said = f"{show(given)} is below {show(least)}: neither relief before plating nor a bake after it is asked"
        return Needed(False, None, f"{said} ({rules.treated_source.title}).")
    if rules.processes[coating.process] == "not here":
        said = f"{coating.process} on metal of {show(given)} takes another treatment than this library has"
        return Needed(True, None, f"{said}: the engineer gives it")
    row = _row(coating, rules, planning)
    if row is None:
        said = f"no row of {rules.rows_source.title} covers metal of {show(given)}"
        return Needed(True, None, f"{said}: the engineer gives the bake, or another coating")
    return Needed(True, row.hours, f"metal of {show(given)}")


def _given(coating: Coating, rules: CoatingRules) -> tuple[Quantity, Quantity]:
    """What the sheet states of the metal, and from where on such metal is treated."""
    if coating.hardness is not None:
        return coating.hardness, rules.treated_from_hardness[coating.hardness.unit.symbol]
    if coating.strength is not None:
        return coating.strength, rules.treated_from
    raise ValueError("a coating without strength or hardness")


def _row(coating: Coating, rules: CoatingRules, planning: Planning) -> BakeRow | None:
    if coating.hardness is not None:
        return _row_of_hrc(_hrc(coating.hardness, planning), rules)
    strength = _given(coating, rules)[0].canonical
    return next((row for row in rules.rows if strength <= row.strength_up_to.canonical), None)


def _row_of_hv(hv: float, rules: CoatingRules, planning: Planning) -> BakeRow | None:
    return _row_of_hrc(_hrc_of_hv(hv, planning), rules)


def _row_of_hrc(hrc: Fraction | None, rules: CoatingRules) -> BakeRow | None:
    return None if hrc is None else next((row for row in rules.rows if hrc < row.below_hrc), None)


def _hrc(hardness: Quantity, planning: Planning) -> Fraction | None:
    """By ASTM E140 where it is another scale; None where the table does not reach."""
    if hardness.unit.symbol == "HRC":
        return hardness.number
    number = float(hardness.number)
    hv = number if hardness.unit.symbol == "HV" else hv_from_hb(planning.library.hardness_rows, number).value
    return None if hv is None else _hrc_of_hv(hv, planning)


def _hrc_of_hv(hv: float, planning: Planning) -> Fraction | None:
    """Rounded up to a tenth: a hardness that is converted never slips under the end of a row."""
    hrc = hrc_from_hv(planning.library.hardness_rows, hv).value
    return None if hrc is None else Fraction(ceil(round(hrc * 10, 6)), 10)


def _beside_weld(planning: Planning) -> tuple[Basis, ...]:
    """Predicted hardness where the metal is hardest: after the stress relief, without one as welded."""
    soak = planning.soak
    if soak is not None:
        return tempered_rows(soak, planning.sheet)
    return as_welded_rows(planning.sheet, planning.minima, planning.maxima, planning.library)


def _harder_beside_weld(
    coating: Coating, planning: Planning, needed: Needed, rules: CoatingRules
) -> str | None:
    """That all which is predicted beside the weld takes a longer bake than what the sheet states of the metal."""
    given = coating.strength or coating.hardness
    if given is None or (needed.treated and needed.hours is None):
        return None
    for predicted in _beside_weld(planning):
        hv = float(predicted.value or 0)
        if hv < rules.treated_from_hardness["HV"].number:
            continue
        row = _row_of_hv(hv, rules, planning)
        if row is None or row.hours > (needed.hours or 0):
            metal = predicted.member or "the metal"
            return f"{metal} is predicted at {predicted.value} HV and more beside the weld, harder than {show(given)}"
    return None


def _relief(planning: Planning) -> Requirement:
    requirement = asked(RELIEF_BEFORE)
    if planning.relief.called:
        return requirement
    options = tuple(option for option in requirement.options if option != BY_THIS_JOB)
    accepts = tuple(option for option in requirement.accepts if option != BY_THIS_JOB)
    return asked(RELIEF_BEFORE, options=options, accepts=accepts)


def _start(planning: Planning, rules: CoatingRules) -> Requirement:
    limit = printed_candidate("start of the bake", "at_most", rules.start, planning.units)
    return Requirement(
        quantity=BAKE_START,
        type="number",
        unit="h",
        at_most=limit.limit,
        governed_at_most=limit.basis.method,
        why="hydrogen goes to where the metal is strained; soon after the bath it still comes out",
        evidence=Evidence(where="from the bath to the bake"),
        basis=(limit.basis,),
    )


def _bake_top(planning: Planning, rules: CoatingRules) -> tuple[Candidate, tuple[str, ...]]:
    """The top of the bake; of quenched and tempered metal below its tempering temperature by the margin."""
    top = printed_candidate("bake after plating", "at_most", rules.bake_to, planning.units)
    margin = planning.library.printed["temper margin"]
    for material in materials_of(planning.sheet.joints):
        if material.tempered_at is None:
            continue
        ceiling_c = material.tempered_at.canonical - margin.for_units(planning.units).canonical
        if top.limit and ceiling_c < top.limit.canonical:
            limit = safe_temperature(ceiling_c, "at_most", planning.units)
            method = "tempering temperature less margin"
            top = from_quantity(method, "at_most", limit, margin.source, member=material.id)
    low = rules.bake_from.for_units(planning.units)
    if top.limit and top.limit.canonical < low.canonical:
        return top, (
            f"the bake from {show(low)} would soften metal that was tempered lower: the engineer gives another way",
        )
    return top, ()


def _bake_temperature(planning: Planning, rules: CoatingRules, top: Candidate) -> Requirement:
    low = printed_candidate("bake after plating", "at_least", rules.bake_from, planning.units)
    return Requirement(
        quantity=BAKE_TEMPERATURE,
        type="number",
        unit="degC",
        at_least=low.limit,
        at_most=top.limit,
        governed_at_least=low.basis.method,
        governed_at_most=top.basis.method,
        why="drives the hydrogen of the bath out of strong steel before it breaks",
        evidence=Evidence(where="on the part", instruments=CONTACT),
        basis=(low.basis, top.basis),
    )


def _bake_time(planning: Planning, rules: CoatingRules, needed: Needed) -> Requirement:
    why = f"{needed.why}; the whole of it in one piece"
    beside = _beside_weld(planning)
    if needed.hours is None:
        return Requirement(
            quantity=BAKE_TIME, type="number", unit="h", undetermined=True, why=needed.why, basis=beside
        )
    limit = stored(decimal_text(needed.hours, 0), "h")
    row = from_quantity(
        "bake after plating", "at_least", limit, rules.rows_source, working=(("of", needed.why),)
    )
    return Requirement(
        quantity=BAKE_TIME,
        type="number",
        unit="h",
        at_least=limit,
        governed_at_least=row.basis.method,
        why=why,
        basis=(row.basis, *beside),
    )
