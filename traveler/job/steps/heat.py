"""Preheat before the weld, and slow cooling after it."""

from dataclasses import replace
from math import ceil

from traveler.job.arc_clock import reading_clock
from traveler.job.bake import bake_asked, bake_note, hydrogen_row
from traveler.job.candidate import from_quantity, printed_candidate
from traveler.job.quantities import BAKE_TEMPERATURE, BAKE_TIME, PREHEAT, UNCOVERING
from traveler.job.requirement import Basis, Evidence, Requirement
from traveler.job.sensitivity import would_change
from traveler.job.sheet import Joint
from traveler.job.steps.planning import CONTACT, Draft, Planning, choice, hardenable, text
from traveler.metals.measuring import (
    measuring_distance_iso_13916_mm,
    preheat_reach_d11_mm,
    waiting_time_iso_13916_s,
)
from traveler.quantity.parse import stored
from traveler.quantity.show import rounded_up

BAKE = "hydrogen bake"


def preheat(planning: Planning, joints: tuple[Joint, ...]) -> Draft:
    """Minimum by the governing method; a maximum only where filler, tempering temperature or maker set one."""
    (joint,) = joints
    minimum, maximum = planning.minima[joint.id], planning.maxima[joint.id]
    site = planning.sheet.site
    good_for_s, clock = reading_clock(joint, minimum, maximum, site, planning.library, planning.units)
    requirement = Requirement(
        quantity=PREHEAT,
        type="number",
        unit="degC",
        at_least=minimum.limit,
        at_most=maximum.hard,
        governed_at_least=minimum.governed_by,
        governed_at_most=maximum.hard_governed_by,
        undetermined=minimum.limit is None,
        joint=joint.id,
        why="keeps hydrogen moving and the zone beside the weld from turning hard and brittle",
        evidence=replace(preheat_evidence(joint), good_for_s=good_for_s),
        basis=(*minimum.basis, *maximum.hard_basis, *([clock] if clock else [])),
        would_change=would_change(joint, minimum, planning.library, planning.units, site),
    )
    requirements = [requirement]
    if minimum.confirm_route:
        requirements.append(
            text(
                "route confirmed by the responsible engineer",
                planning.library.cautions["confirm route"],
                joint.id,
            )
        )
    reach_mm = preheat_reach_d11_mm(float(joint.thickest.thickness.canonical))
    notes = (
        f"Heat at least {reach_mm:.0f} mm ({reach_mm / 25.4:.1f} in) each way from the joint, through the thickness "
        "(AWS D1.1: the thickest part, at least 75 mm).",
        _clock_note(good_for_s, clock),
    )
    conflicts = (*minimum.conflicts, *maximum.conflicts)
    return Draft(tuple(requirements), conflicts, (*notes, *minimum.notes, *_nickel_note(joint)))


def _clock_note(good_for_s: int | None, clock: Basis | None) -> str:
    if clock is None or good_for_s is None:
        return "Read just before the arc."
    reading = dict(clock.working)["reading"]
    return (
        f"Read just before the arc. A reading of {reading} is good for about {good_for_s} s where a torch heated a "
        "patch: start the arc within that, or read again. A reading nearer the minimum is good for less."
    )


def preheat_evidence(joint: Joint) -> Evidence:
    """ISO 13916: on each member, four thicknesses from the groove edge, or after a wait on the heated face."""
    thickest_mm = float(joint.thickest.thickness.canonical)
    distances = ", ".join(
        f"{measuring_distance_iso_13916_mm(float(member.thickness.canonical)):.0f} mm"
        for member in joint.members
    )
    if thickest_mm > 50:
        place = f"on each member {distances} from the groove edge"
    else:
        place = f"on each member 4 t from the groove edge ({distances})"
    return Evidence(
        readings=max(2, len(joint.members)),
        where=f"{place}, away from the heat, or on the heated face after the wait",
        wait_s=ceil(waiting_time_iso_13916_s(thickest_mm)),
        instruments=CONTACT,
    )


def _nickel_note(joint: Joint) -> tuple[str, ...]:
    if joint.filler.filler.kind != "nickel":
        return ()
    return (
        "No temperature crayon near nickel filler: its residue can crack the weld; use a contact thermometer.",
    )


def slow_cool(planning: Planning, joints: tuple[Joint, ...]) -> Draft:
    """Covered until below a temperature; with stress relief to follow, held at preheat until it begins will do too."""
    requirements: list[Requirement] = []
    printed = planning.library.printed["uncover"]
    limit = printed_candidate(UNCOVERING, "at_most", printed, planning.units)
    why = "fast cooling hardens the zone beside the weld and traps hydrogen in it"
    for joint in joints:
        if planning.relief.called:
            options = (
                "slow cooled under cover",
                "held at preheat until the stress relief began",
                "in open air",
            )
            cooling = choice("cooling after welding", options, options[:2], why, joint.id)
            requirements.append(replace(cooling, basis=_left(planning, joint)))
            continue
        covered = ("slow cooled under cover", "in open air")
        cooling = choice("cooling after welding", covered, covered[:1], why, joint.id)
        requirements.append(replace(cooling, basis=_left(planning, joint)))
        requirements.append(
            Requirement(
                quantity=UNCOVERING,
                type="number",
                unit="degC",
                at_most=limit.limit,
                governed_at_most=UNCOVERING,
                joint=joint.id,
                why="kept covered until the metal is below this",
                evidence=Evidence(where="beside the weld, when the cover comes off", instruments=CONTACT),
                basis=(limit.basis,),
            )
        )
    notes = [note for joint in joints if (note := _bake(planning, joint))]
    notes.append(planning.library.cautions["bake is no temper"])
    chart_limits = tuple(limit for joint in joints for limit in _bake_limits(planning, joint))
    return Draft(tuple(requirements), notes=tuple(notes), chart_limits=chart_limits)


def _left(planning: Planning, joint: Joint) -> tuple[Basis, ...]:
    minimum, maximum = planning.minima[joint.id], planning.maxima[joint.id]
    row = hydrogen_row(joint, minimum, maximum, planning.library, planning.units)
    return () if row is None else (row,)


def _bake(planning: Planning, joint: Joint) -> str | None:
    if planning.relief.called:
        return None
    minimum, maximum = planning.minima[joint.id], planning.maxima[joint.id]
    return bake_note(joint, minimum, maximum, planning.library, planning.units)


def _bake_limits(planning: Planning, joint: Joint) -> tuple[Requirement, ...]:
    """What a recorded chart of the bake is held against, where the note asks for one with settled numbers."""
    if planning.relief.called:
        return ()
    library, units = planning.library, planning.units
    bake = bake_asked(joint, planning.minima[joint.id], planning.maxima[joint.id], library, units)
    if bake is None:
        return ()
    source = library.printed["bake from"].source
    low = from_quantity(BAKE, "at_least", bake.coldest, source, member=joint.id)
    high = None if bake.hottest is None else from_quantity(BAKE, "at_most", bake.hottest, source)
    hours = rounded_up(bake.hours, 1).removesuffix(".0")
    time = from_quantity(BAKE, "at_least", stored(hours, "h"), library.numbers["bake hours, most"][1])
    temperature = Requirement(
        quantity=BAKE_TEMPERATURE,
        type="number",
        unit="degC",
        at_least=bake.coldest,
        at_most=bake.hottest,
        governed_at_least=BAKE,
        governed_at_most=BAKE if high else None,
        joint=joint.id,
        why="lets the hydrogen out before the joint is cold",
        basis=(low.basis, *([high.basis] if high else [])),
    )
    hold = Requirement(
        quantity=BAKE_TIME,
        type="number",
        unit="h",
        at_least=time.limit,
        governed_at_least=BAKE,
        joint=joint.id,
        why="from when the coldest place is in the range until the first place leaves it",
        basis=(time.basis,),
    )
    return temperature, hold


def needs_slow_cool(joint: Joint) -> bool:
    """A joint with a hardenable member is not left to cool in the open."""
    return hardenable(joint)
