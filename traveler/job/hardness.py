"""A hardness limit of the job against what is predicted beside the weld: said at planning, never a block."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from traveler.job.analysis import Analysis, analyse, lean_composition
from traveler.job.interpass import Maximum
from traveler.job.preheat import Minimum
from traveler.job.requirement import Basis
from traveler.job.rough import hv_down, hv_up
from traveler.job.sheet import Joint, Material, Sheet, materials_of
from traveler.job.tempered import Soak, after_relief
from traveler.job.weld_cycle import Prediction, Start, predict_for, predictions, starts
from traveler.job.weld_cycle_rows import AUSTENITIC, hardness_row, short_band
from traveler.library.model import Library
from traveler.metals.hardness_scales import hv_from_hb, hv_from_hrc
from traveler.metals.haz_band import SCATTER_HV
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show


@dataclass(frozen=True, slots=True)
class Case:
    """One metal beside one joint, with the starts of its runs and a prediction for each."""

    joint: Joint
    material: Material
    analysis: Analysis
    begin: list[Start]
    found: list[Prediction]


def limit_hv(limit: Quantity, library: Library) -> float | None:
    """A hardness limit in HV by ASTM E140; None where the table does not reach."""
    number = float(limit.number)
    if limit.unit.symbol == "HV":
        return number
    convert = hv_from_hrc if limit.unit.symbol == "HRC" else hv_from_hb
    return convert(library.hardness_rows, number).value


def as_welded_rows(
    sheet: Sheet, minima: Mapping[str, Minimum], maxima: Mapping[str, Maximum], library: Library
) -> tuple[Basis, ...]:
    """The row of each metal at the joint where it may get hardest, without what the weld step already shows."""
    rows: dict[str, tuple[float, Basis]] = {}
    for joint in sheet.joints:
        begin = starts(joint, minima[joint.id], maxima[joint.id], library, sheet.units)
        for material in _metals(joint):
            row = hardness_row(joint, material, begin)
            hardest = float(row.value_to or 0)
            if material.id not in rows or hardest > rows[material.id][0]:
                kept = (("joint", joint.id), *(pair for pair in row.working if _belongs_here(pair[0])))
                rows[material.id] = (hardest, replace(row, working=kept))
    return tuple(row for _, row in rows.values())


def _belongs_here(words: str) -> bool:
    return words == "start" or words.startswith("from ")


def hardness_cautions(
    sheet: Sheet,
    minima: Mapping[str, Minimum],
    maxima: Mapping[str, Maximum],
    library: Library,
    relief_called: bool,
    soak: Soak | None,
) -> tuple[str, ...]:
    """A sentence for each metal whose whole band lies above the job's limit, after the relief where one is called for.

    Where no certificate gives the composition it is the hardest of the grade, and the sentence says so.
    """
    limit = sheet.hardness_limit
    greatest_hv = None if limit is None else limit_hv(limit, library)
    if limit is None or greatest_hv is None:
        return ()
    cautions = []
    for joint in sheet.joints:
        begin = starts(joint, minima[joint.id], maxima[joint.id], library, sheet.units)
        for material in _metals(joint):
            analysis = analyse(material, sheet.joints)
            found = predictions(joint, material, analysis, begin)
            if isinstance(found, str) or found[0].low_hv is None or found[0].low_hv <= greatest_hv:
                continue
            case = Case(joint, material, analysis, begin, found)
            if said := _words(case, limit, greatest_hv, relief_called, soak):
                cautions.append(said)
    return tuple(cautions)


def _metals(joint: Joint) -> list[Material]:
    return [m for m in materials_of((joint,)) if m.steel.family != AUSTENITIC]


def _assumed(case: Case, greatest_hv: float) -> str:
    """That a leaner heat of the grade may comply, where no certificate rules it out."""
    lean = lean_composition(case.material)
    if not case.analysis.assumed or lean is None:
        return ""
    lean_hv = predict_for(case.joint, case.material, lean, case.begin[0]).low_hv
    contents = ", ".join(case.analysis.assumed)
    may = "" if lean_hv is not None and lean_hv > greatest_hv else ": a certificate may show softer metal"
    return f", with {contents} at the grade's maximum{may}"


def _words(
    case: Case, limit: Quantity, greatest_hv: float, relief_called: bool, soak: Soak | None
) -> str | None:
    """The caution, or None where the relief is expected to bring the metal below the limit."""
    start = (
        f"hardness limit {show(limit)}: {case.material.id} beside {case.joint.id} is predicted at "
        f"{short_band(case.found[0])} as welded from {case.begin[0].text()}, all of it above the limit"
        f"{_assumed(case, greatest_hv)}"
    )
    for begin, hotter in zip(case.begin[1:], case.found[1:], strict=True):
        start += f" (from {begin.text()}: {short_band(hotter)})"
    end = (
        f"Such predictions scatter by about {SCATTER_HV:.0f} HV either way; a coupon's HV10 settles it. The engineer "
        "weighs more preheat, more heat input, a stress relief or another limit."
    )
    if not relief_called:
        return f"{start}; no stress relief follows. {end}"
    left = _left_by_relief(case, greatest_hv, soak)
    return None if left is None else f"{start}; {left}. {end}"


def _left_by_relief(case: Case, greatest_hv: float, soak: Soak | None) -> str | None:
    if soak is None:
        return "what the stress relief leaves is not predicted, since its range is not settled"
    soft, hard = after_relief(soak, case.analysis.composition)
    if soft.value is None or hard.value is None:
        return f"what the stress relief leaves is not predicted ({'; '.join(soft.reasons[:1])})"
    if soft.value <= greatest_hv:
        return None
    band = f"{hv_down(soft.value)} to {hv_up(hard.value)} HV"
    return f"after the stress relief ({soak.words()}) still at {band} where it was all martensite"
