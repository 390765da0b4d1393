"""The formulas among the preheat methods, each as rows: EN 1011-2 methods B and A, SEW 088, Seferian."""

from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from traveler.job.analysis import Analysis
from traveler.job.arc import joint_heat_input_kj_mm
from traveler.job.candidate import Candidate, from_outcome, in_words
from traveler.job.hydrogen import hydrogen_of
from traveler.job.preheat_tables import CE_ELEMENTS, guaranteed_cev, worst_ce_iiw
from traveler.job.sheet import Joint, Member, Site
from traveler.job.surcharge import surcharges
from traveler.library.model import Library, Printed, Role, Units
from traveler.metals.carbon_equivalents import cet
from traveler.metals.en1011_method_a import METHOD_A_SOURCE, combined_thickness_mm, no_preheat_up_to_mm
from traveler.metals.en1011_method_b import METHOD_B_SOURCE, THICKNESS_RANGE, effective_cet, preheat_method_b
from traveler.metals.outcome import Outcome, Source
from traveler.metals.seferian import SEFERIAN_SOURCE, preheat_seferian
from traveler.metals.sew_088 import SEW_088_SOURCE, preheat_sew_088
from traveler.metals.worst_case import greatest_cet_under_cev
from traveler.quantity.show import show

METHOD_A = "EN 1011-2 method A, table C.1"
METHOD_B = "EN 1011-2 method B"
SEW_088 = "SEW 088"
SEFERIAN = "Seferian"
CET_ELEMENTS = ("C", "Mn", "Mo", "Cr", "Cu", "Ni")
SEFERIAN_ELEMENTS = ("C", "Mn", "Cr", "Ni", "Mo")
NOT_LOW_ALLOY = ("austenitic", "nickel")
Additions = tuple[tuple[str, Printed], ...]
WAYS_OF_HEAT_THREE = ("T fillet", "lap fillet")


def method_b(
    joint: Joint,
    member: Member,
    analysis: Analysis,
    site: Site | None,
    library: Library,
    units: Units,
    role: Role,
) -> list[Candidate]:
    """Method B, and beside it the same raised for high restraint, cold and damp.

    Metal thicker than its range has the value at the end of the range as well: it needs at least that much.
    """
    id = member.material.id
    if unknown := _unknown(METHOD_B, METHOD_B_SOURCE, CET_ELEMENTS, analysis, units, role, id):
        return [unknown]
    inputs, remark = _cet_inputs(joint, member, analysis)
    added = surcharges(joint, site, library, units)
    outcome = _remarked(preheat_method_b(*inputs, *_rest(joint, analysis)), remark)
    rows = _with_additions(METHOD_B, outcome, added, units, role, id)
    greatest_mm = THICKNESS_RANGE.high
    if greatest_mm is not None and inputs[1] > greatest_mm:
        at_the_end = preheat_method_b(inputs[0], greatest_mm, *inputs[2:], *_rest(joint, analysis))
        at_the_end = _remarked(at_the_end, remark)
        method = f"{METHOD_B} at {greatest_mm:g} mm, where its range ends"
        rows += _with_additions(method, at_the_end, added, units, role, id)
    return rows


def _with_additions(
    method: str, outcome: Outcome, added: Additions, units: Units, role: Role, id: str
) -> list[Candidate]:
    named = outcome if outcome.method == method else replace(outcome, method=method)
    plain = from_outcome(named, "at_least", units, role, id)
    if not added or outcome.value is None:
        return [plain]
    total = sum((printed.for_units(units).canonical for _, printed in added), Fraction(0))
    raised = from_outcome(outcome, "at_least", units, role, id, span=total)
    working = (*raised.basis.working, *(_addition(words, printed, units) for words, printed in added))
    name = ", ".join((method, *(words for words, _ in added)))
    return [plain, replace(raised, basis=replace(raised.basis, method=name, working=working))]


def _addition(words: str, printed: Printed, units: Units) -> tuple[str, str]:
    source = printed.source
    return (
        f"added for {words}",
        f"{show(printed.for_units(units))} ({source.title}, {source.clause}) [{source.mark}]",
    )


def sew_088(joint: Joint, member: Member, analysis: Analysis, units: Units, role: Role) -> Candidate:
    """The older line of method B, without additions."""
    id = member.material.id
    if unknown := _unknown(SEW_088, SEW_088_SOURCE, CET_ELEMENTS, analysis, units, role, id):
        return unknown
    inputs, remark = _cet_inputs(joint, member, analysis)
    outcome = preheat_sew_088(*inputs, *_rest(joint, analysis))
    return from_outcome(_remarked(outcome, remark), "at_least", units, role, id)


def seferian(joint: Joint, member: Member, analysis: Analysis, units: Units, role: Role) -> Candidate:
    """Seferian's rule; where it asks for none it says so in words, since its 0 is no temperature to hold."""
    id = member.material.id
    if unknown := _unknown(SEFERIAN, SEFERIAN_SOURCE, SEFERIAN_ELEMENTS, analysis, units, role, id):
        return unknown
    outcome = preheat_seferian(analysis.composition, float(joint.thickest.thickness.canonical))
    if not outcome.value:
        outcome = replace(outcome, value=None)
    return from_outcome(outcome, "at_least", units, role, id)


def method_a_gate(joint: Joint, member: Member, analysis: Analysis, role: Role) -> Candidate:
    """Whether table C.1 of method A lets the joint go without preheat: in words, never as a temperature."""
    id = member.material.id
    combined_mm = _combined_mm(joint)
    carbon_equivalent = worst_ce_iiw(member, analysis)
    if joint.filler.filler.kind in NOT_LOW_ALLOY:
        reason = "the method holds for unalloyed and low-alloy fillers only"
        return in_words(METHOD_A, "at_least", METHOD_A_SOURCE, role, id, "not applicable", (reason,))
    if carbon_equivalent is None:
        reason = _unknown_words(analysis.missing_for(CE_ELEMENTS), id)
        return in_words(METHOD_A, "at_least", METHOD_A_SOURCE, role, id, "not applicable", (reason,))
    outcome = no_preheat_up_to_mm(
        carbon_equivalent,
        float(hydrogen_of(joint).ml_100g),
        float(joint_heat_input_kj_mm(joint)),
        analysis.composition,
    )
    said = outcome.reasons
    if outcome.value is not None:
        needed = combined_mm > outcome.value
        answer = "preheat needed" if needed else "no preheat needed"
        over = "over" if needed else "not over"
        said = (f"{answer}: combined thickness {combined_mm:g} mm is {over} {outcome.value:g} mm", *said)
    working = (
        ("CE(IIW)", f"{carbon_equivalent:.2f} %"),
        ("hydrogen", f"{float(hydrogen_of(joint).ml_100g):g} ml/100 g"),
        ("heat input", f"{float(joint_heat_input_kj_mm(joint)):.2f} kJ/mm"),
        ("combined thickness", f"{combined_mm:g} mm"),
    )
    return in_words(METHOD_A, "at_least", outcome.source, role, id, outcome.status, said, working)


def _combined_mm(joint: Joint) -> float:
    """Every member is a way for the heat; one of a fillet runs through, a bead lies on one plate with two sides.

    The sheet does not say which member runs through: the thickest is taken, which is the safe side.
    """
    ways = [float(member.thickness.canonical) for member in joint.members]
    if joint.type in WAYS_OF_HEAT_THREE or len(ways) == 1:
        ways.append(max(ways))
    return round(combined_thickness_mm(ways), 2)


def _cet_inputs(
    joint: Joint, member: Member, analysis: Analysis
) -> tuple[tuple[float, float, float, float], str | None]:
    """CET with the lead over the deposit, thickness, hydrogen and heat input, as method B and SEW 088 take them.

    Also the remark that the deposit leads, or that the CET was capped by what the product standard guarantees.
    """
    filler = joint.filler.filler
    parent_cet, remark = _worst_cet(member, analysis)
    deposit_cet = cet(filler.deposit) if filler.deposit else 0.0
    leading_cet = effective_cet(parent_cet, deposit_cet) if filler.kind not in NOT_LOW_ALLOY else parent_cet
    if leading_cet > parent_cet:
        remark = (
            f"CET {leading_cet:.3f} % is 0.03 % above the deposit's {deposit_cet:.3f} %: the weld metal leads"
        )
    inputs = (
        leading_cet,
        float(joint.thickest.thickness.canonical),
        float(hydrogen_of(joint).ml_100g),
        float(joint_heat_input_kj_mm(joint)),
    )
    return inputs, remark


def _worst_cet(member: Member, analysis: Analysis) -> tuple[float, str | None]:
    """CET on the worse side; where contents are assumed, no more than the guaranteed CE(IIW) leaves."""
    computed = cet(analysis.composition)
    guaranteed = guaranteed_cev(member)
    if guaranteed is None or not analysis.assumed:
        return computed, None
    capped = _greatest_cet(tuple(analysis.reported.items()), tuple(analysis.assumed.items()), guaranteed)
    if capped >= computed:
        return computed, None
    return capped, f"CET {capped:.3f} % is the most that the guaranteed CE(IIW) of {guaranteed:g} % leaves"


@lru_cache(maxsize=256)  # asked for every "what if" of every joint of the same few metals
def _greatest_cet(
    reported: tuple[tuple[str, float], ...], assumed: tuple[tuple[str, float], ...], guaranteed: float
) -> float:
    return greatest_cet_under_cev(dict(reported), dict(assumed), guaranteed)


def _remarked(outcome: Outcome, remark: str | None) -> Outcome:
    return outcome if remark is None else replace(outcome, reasons=(*outcome.reasons, remark))


def _rest(joint: Joint, analysis: Analysis) -> tuple[dict[str, float], bool]:
    return analysis.composition, joint.filler.filler.kind not in NOT_LOW_ALLOY


def _unknown(
    method: str,
    source: Source,
    elements: tuple[str, ...],
    analysis: Analysis,
    units: Units,
    role: Role,
    id: str,
) -> Candidate | None:
    """The row that says nothing because an element is a blank; None where all of them are known."""
    missing = analysis.missing_for(elements)
    if not missing:
        return None
    silent = Outcome(method, None, "degC", "not applicable", source, (_unknown_words(missing, id),))
    return from_outcome(silent, "at_least", units, role, id)


def _unknown_words(missing: tuple[str, ...], id: str) -> str:
    return f"{', '.join(missing)} of {id} is not known and the grade does not limit it"
