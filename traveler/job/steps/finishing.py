"""At inspection, where the sheet asks: arc strikes, and what was straightened, how and how hot."""

from traveler.job.candidate import safe_temperature
from traveler.job.finishing import ARC_STRIKES, NOTHING, STRAIGHTENING
from traveler.job.interpass import QT, missing_tempering_temperature
from traveler.job.relief import soak_band
from traveler.job.requirement import Requirement
from traveler.job.sheet import Joint, materials_of
from traveler.job.steps.asked import asked
from traveler.job.steps.planning import Draft, Planning
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show, show_both

COLD = "cold"
COLD_ALONE = (NOTHING, COLD, "with heat")


def finished(planning: Planning, joints: tuple[Joint, ...]) -> Draft:
    """What the sheet asks for of the welded part besides the tests that every job has; arc strikes at a repair too."""
    requirements: list[Requirement] = []
    if ARC_STRIKES in planning.sheet.checks or any(joint.repair for joint in joints):
        requirements.append(asked(ARC_STRIKES))
    straightened = _straightening(planning)
    return Draft((*requirements, *straightened.requirements), straightened.conflicts, straightened.notes)


def _straightening(planning: Planning) -> Draft:
    allowed = planning.sheet.straightening
    if allowed is None:
        return Draft(())
    if allowed == "not allowed":
        return Draft((_straightened((NOTHING, "straightened all the same"), 1),))
    note = (planning.library.cautions["cold straightening"],)
    if allowed == COLD:
        return Draft((_straightened(COLD_ALONE, 2),), notes=note)
    ceiling, why = _ceiling(planning)
    if ceiling is None:
        conflict = f"straightening with heat has no ceiling here: {why}"
        return Draft((_straightened(COLD_ALONE, 2),), (conflict,), note)
    hot = f"with heat, measured and never above {show_both(ceiling)}"
    options = (NOTHING, COLD, hot, "with heat, hotter or not measured")
    return Draft((_straightened(options, 3, (("ceiling", f"{show(ceiling)}, {why}"),)),), notes=note)


def _straightened(
    options: tuple[str, ...], accepted: int, working: tuple[tuple[str, str], ...] = ()
) -> Requirement:
    """Of the options the first ``accepted`` comply."""
    return asked(STRAIGHTENING, options=options, accepts=options[:accepted], working=working)


def _ceiling(planning: Planning) -> tuple[Quantity | None, str]:
    """What the metal may be heated to without harm: the top of its stress relief, or its tempering less the margin."""
    sheet, library = planning.sheet, planning.library
    materials = materials_of(sheet.joints)
    missing = [words for material in materials if (words := missing_tempering_temperature(material))]
    if missing:
        return None, "; ".join(missing)
    if sheet.stress_relief is not None:
        high = soak_band(sheet, sheet.stress_relief, library).high
        if high is not None and high.limit is not None:
            return high.limit, f"the top of the stress relief by {high.basis.method}"
    margin = library.printed["temper margin"].for_units(planning.units)
    tempered = [m.tempered_at for m in materials if m.condition == QT and m.tempered_at]
    if not tempered:
        return None, "name a stress-relief profile, whose top it is, or have it straightened cold"
    lowest = min(tempered, key=lambda quantity: quantity.canonical)
    ceiling = safe_temperature(lowest.canonical - margin.canonical, "at_most", planning.units)
    return ceiling, f"the tempering temperature less {show(margin)}"
