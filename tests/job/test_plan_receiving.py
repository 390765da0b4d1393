"""Receiving and repair on the plan: what the sheet asks for stands at its step, and nothing where it does not ask."""

from fractions import Fraction

import pytest
from plan_kit import COMPOSITION_4130, material, planned, requirement, sheet, step

from traveler.job.plan_json import step_to_act
from traveler.job.requirement import Plan, Requirement
from traveler.quantity.parse import parse_quantity
from traveler.quantity.quantity import Quantity
from traveler.quantity.units import Kind

EVERY_CHECK = 'checks = ["arc strikes", "thickness", "marking", "hardness", "interruptions", "heat number"]'


def tube(
    wall: str = "0.095 in",
    other: str = "0.065 in",
    *,
    job: str = EVERY_CHECK,
    condition: str = "normalized",
    certificate: str = "3.1",
    extra: str = 'heat_number = "T88"\n',
    units: str = "inch",
    joint: str = "",
    grade: str = "4130",
) -> Plan:
    """TIG between two walls of one tube of certified 4130."""
    composition = COMPOSITION_4130 if certificate == "3.1" else None
    metal = material("tube", grade, condition, composition, certificate, extra)
    text = sheet(
        ("tube", "tube", wall), ("tube", "tube", other), materials=metal, job=job, units=units, joint=joint
    )
    return planned(text)


def asked(plan: Plan, kind: str) -> list[str]:
    return [found.quantity for found in step(plan, kind).requirements]


def test_a_sheet_without_the_keys_is_asked_what_it_always_was() -> None:
    plain = tube(job="")
    assert asked(plain, "cut") == ["cut edge of tube"]
    every = tube()
    assert asked(every, "cut") == [
        "marking of tube",
        "marking moved of tube",
        "hardness as received of tube",
        "measured thickness of tube (J1, member 1)",
        "measured thickness of tube (J1, member 2)",
        "cut edge of tube",
    ]
    for kind in ("fit", "preheat", "hydrogen release", "assemble"):
        assert step_to_act(step(plain, kind)) == step_to_act(step(every, kind))
    assert asked(every, "weld")[-1] == "interruption of welding"
    assert asked(every, "inspect")[0] == "arc strikes"


def test_every_thing_asked_names_its_rule_and_source() -> None:
    for kind in ("cut", "weld", "inspect"):
        plain = {found.quantity for found in step(tube(job=""), kind).requirements}
        for found in step(tube(), kind).requirements:
            if found.quantity not in plain:
                assert [row for row in found.basis if row.role == "governs" and row.source.mark], found


def measured(plan: Plan, wall: str) -> Requirement:
    return requirement(plan, "cut", f"measured thickness of tube{wall}")


@pytest.mark.parametrize(
    ("units", "within", "beyond"), [("inch", "0.1199 in", "0.120 in"), ("metric", "3.04 mm", "3.048 mm")]
)
def test_a_wall_that_no_preheat_rests_on_is_measured_below_the_boundary(
    units: str, within: str, beyond: str
) -> None:
    """Lincoln Electric bulletin, June 2000: under 0.120 in. The boundary itself is not under it."""
    found = measured(tube(units=units), " (J1, member 1)")
    assert found.at_most is not None
    assert parse_quantity(within, Kind.LENGTH).canonical <= found.at_most.canonical
    assert parse_quantity(beyond, Kind.LENGTH).canonical > found.at_most.canonical
    assert found.at_most.canonical < Fraction("0.120") * Fraction("25.4")
    assert "revision" in found.why


def test_a_revision_of_the_thickness_keeps_the_name() -> None:
    """What was measured is under the same name in the next revision."""
    before, after = (asked(tube(wall), "cut") for wall in ("0.095 in", "0.121 in"))
    assert before == after
    assert "measured thickness of tube" in asked(tube("0.095 in", "0.095 in"), "cut")


@pytest.mark.parametrize(
    ("wall", "units", "most"),
    [
        # The rows of the grade table end at 1/8, 1/4, 3/8 in ..., and 0.1 mm over an end still is that row.
        ("1/8 in", "inch", "0.128 in"),
        ("0.120 in", "inch", "0.128 in"),
        ("1/4 in", "inch", "0.253 in"),
        ("6 mm", "metric", "6.45 mm"),
        ("0.26 in", "inch", "0.753 in"),  # 400 F serves up to 3/4 in
        ("1 in", "inch", "2.503 in"),
    ],
)
def test_elsewhere_4130_is_measured_no_thicker_than_its_preheat_serves(
    wall: str, units: str, most: str
) -> None:
    plan = tube(wall, wall, units=units)
    found = measured(plan, "")
    assert text(found.at_most) == most
    before = requirement(plan, "preheat", "preheat temperature").at_least
    at = tube(most, most, units=units)
    assert requirement(at, "preheat", "preheat temperature").at_least == before
    assert "goes onto the sheet by a revision" in found.why


def test_a_minimum_of_ones_own_serves_as_thick_as_the_table_says() -> None:
    own = 'preheat = { at_least = "300 F", by = "Eva Lindqvist", because = "a heavy lug" }\n'
    assert text(measured(tube(joint=own), " (J1, member 1)").at_most) == "0.253 in"
    slight = own.replace("300 F", "199 F")
    assert text(measured(tube(joint=slight), " (J1, member 1)").at_most) == "0.1199 in"


@pytest.mark.parametrize(
    "plan", [tube("3 in", "3 in"), tube(grade="S355J2", condition="as rolled", certificate="none")]
)
def test_where_no_row_ends_the_thickness_is_recorded_and_the_step_says_so(plan: Plan) -> None:
    found = next(r for r in step(plan, "cut").requirements if r.quantity.startswith("measured thickness"))
    assert (found.at_least, found.at_most) == (None, None)
    assert "recorded, not judged" in found.why


def test_hardness_is_judged_by_the_sheets_own_range_alone() -> None:
    of = "hardness as received of tube"
    unjudged = requirement(tube(), "cut", of)
    assert (unjudged.at_least, unjudged.at_most) == (None, None)
    assert "recorded, not judged" in unjudged.why
    # ASM Metals Handbook, one bar of normalized 4130: 197 HB; no range, so it stands beside and limits nothing.
    (bar,) = (row for row in unjudged.basis if row.role == "indicative")
    assert (bar.value, bar.unit, bar.source.mark) == ("197", "HB", "memory")
    own = 'heat_number = "T88"\nhardness = { at_least = "10 HRC", at_most = "22 HRC" }\n'
    judged = requirement(tube(extra=own), "cut", of)
    assert (judged.unit, text(judged.at_least), text(judged.at_most)) == ("HRC", "10 HRC", "22 HRC")
    as_rolled = requirement(tube(condition="as rolled"), "cut", of)
    assert [row.role for row in as_rolled.basis] == ["governs"]


def text(quantity: Quantity | None) -> str:
    return f"{quantity.text} {quantity.unit.symbol}" if quantity else ""


def test_without_a_certificate_the_marking_is_held_against_the_sheet() -> None:
    with_paper = requirement(tube(), "cut", "marking of tube")
    assert with_paper.accepts == ("matches the certificate",)
    without = requirement(tube(certificate="none"), "cut", "marking of tube")
    assert without.accepts == ("grade marked as the sheet says",)
    assert "no marking on the metal" in set(with_paper.options) & set(without.options)


def test_only_metal_without_a_heat_number_on_the_sheet_may_bear_none() -> None:
    of = "marking moved of tube"
    none = "the metal bears no heat number"
    assert none not in requirement(tube(), "cut", of).accepts
    assert none in requirement(tube(extra=""), "cut", of).accepts


def test_what_is_asked_at_receiving_needs_a_cut_step_on_a_route_of_its_own() -> None:
    own = '\n[[step]]\nnumber = 10\nkind = "fit"\n'
    metal = material("tube", condition="normalized", composition=COMPOSITION_4130)
    members = ("tube", "tube", "0.095 in"), ("tube", "tube", "0.065 in")
    plan = planned(sheet(*members, materials=metal, job='checks = ["marking"]') + own)
    assert any("has no cut step" in conflict for conflict in plan.conflicts)


def test_a_crack_is_marked_proved_out_and_free_of_other_metal_before_the_weld() -> None:
    plan = tube(job="", joint='repair = { of = "crack", before = 1, at_most = 2 }\n')
    assert asked(plan, "fit")[:3] == ["crack ends marked", "crack proved out", "other metal at the joint"]
    proof = requirement(plan, "fit", "crack proved out")
    assert proof.options[-1] == "indications remain"
    assert proof.options[-1] not in proof.accepts
    # FAA AC 43.13-1B 4-79: "removal" before welding; 4-80: testing.
    assert [(row.source.title, row.source.mark) for row in proof.basis] == [("FAA AC 43.13-1B", "seen")]
    assert requirement(plan, "fit", "other metal at the joint").accepts == ("none",)
    assert "arc strikes" in asked(plan, "inspect")
    assert any("Repair 2 of J1 (crack); the job lets it have 2" in note for note in step(plan, "weld").notes)
    assert dict(plan.joints[0])["repair"] == "crack, repair 2"
    other = tube(job="", joint='repair = { of = "other damage" }\n')
    assert asked(other, "fit")[0] == "other metal at the joint"
    assert "crack proved out" not in asked(other, "fit")


@pytest.mark.parametrize(("before", "blocked"), [(1, False), (2, True), (7, True)])
def test_one_repair_more_than_the_job_lets_a_joint_have_is_a_conflict(before: int, blocked: bool) -> None:
    plan = tube(job="", joint=f'repair = {{ of = "crack", before = {before}, at_most = 2 }}\n')
    found = [conflict for conflict in step(plan, "weld").conflicts if "the job lets it have 2" in conflict]
    assert bool(found) is blocked


def test_a_repair_on_a_route_of_its_own_needs_a_fit_step() -> None:
    own = '\n[[step]]\nnumber = 10\nkind = "weld"\njoint = "J1"\n'
    metal = material("tube", condition="normalized", composition=COMPOSITION_4130)
    members = ("tube", "tube", "0.095 in"), ("tube", "tube", "0.065 in")
    plan = planned(sheet(*members, materials=metal, joint='repair = { of = "crack" }\n') + own)
    assert any("J1 is a repair and the sheet has no fit step" in conflict for conflict in plan.conflicts)
