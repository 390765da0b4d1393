"""A sheet beside a job that was done: what differs, and that the reasons are what the planner itself answers."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plan_kit import material, planned, sheet

from traveler.job.compare import compare
from traveler.job.compare_view import comparison_object
from traveler.job.plan_json import plan_from_act, plan_to_act
from traveler.job.sheet_rewrite import write_sheet
from traveler.job.sheet_toml import parse_toml


def plan_of(tables):
    return planned(write_sheet(tables))


def beside(old, new, done=None):
    return compare(done or planned(old), parse_toml(old), parse_toml(new), plan_of)


def limits(found, quantity="preheat temperature"):
    """Of one quantity, by its aspect: was, now, direction, how, the reasons."""
    return {
        item["aspect"]: (
            item["was"],
            item["now"],
            item["direction"],
            item["because"]["how"],
            item["because"]["inputs"],
        )
        for item in comparison_object(found, "the rules changed")["differences"]
        if item["quantity"] == quantity and item["aspect"] in ("minimum", "maximum")
    }


def ladder(thickness="1/4 in", carbon="0.31", process="141"):
    """Annealed 4130: 200 F up to 1/8 in, 300 F up to 1/4 in, 400 F up to 1/2 in."""
    composition = f"{{ C = {carbon}, Si = 0.26, Mn = 0.52, Cr = 0.98, Mo = 0.20 }}"
    return sheet(
        ("a", "plate", thickness),
        ("a", "plate", thickness),
        materials=material("a", composition=composition),
        process=process,
    )


def by_method_b(
    thickness="20 mm", carbon="0.25", energy="1.0 kJ/mm", hydrogen="H5", restraint="high", extra=""
):
    """EN 1011-2 method B governs; the numbers of the tests of what would change."""
    composition = f"{{ C = {carbon}, Si = 0.25, Mn = 0.70, Cr = 1.00, Mo = 0.20 }}"
    return sheet(
        ("a", "plate", thickness),
        ("a", "plate", "20 mm"),
        materials=material("a", "25CrMo4", "normalized", composition, extra=extra),
        units="metric",
        process="121",
        energy=energy,
        hydrogen=hydrogen,
        restraint=restraint,
    )


def test_a_thicker_plate_rises_on_the_ladder():
    found = beside(ladder("1/4 in"), ladder("1/2 in"))
    was, now, direction, how, reasons = limits(found)["minimum"]
    assert (was, now, direction) == ("300 °F (148.9 °C)", "400 °F (204.4 °C)", "stricter")
    # Either member by itself makes the joint as thick.
    assert how == "either"
    assert reasons == [f"the thickness of member {n} of J1 is 1/2 in, was 1/4 in" for n in (1, 2)]
    assert found.stricter


def test_a_thinner_plate_falls():
    was, now, direction, how, reasons = limits(beside(ladder("1/4 in"), ladder("1/8 in")))["minimum"]
    assert (was, now, direction) == ("300 °F (148.9 °C)", "200 °F (93.3 °C)", "less strict")
    assert (how, len(reasons)) == ("together", 2)


def test_richer_carbon_by_method_b():
    """CET rises by the carbon itself and the preheat by 697 + 53 Q times that (EN 1011-2 C.3); Q is 1 kJ/mm here."""
    found = limits(beside(by_method_b(), by_method_b(carbon="0.28")))["minimum"]
    was, now = (float(text.split()[0]) for text in found[:2])
    assert now - was == pytest.approx((697 + 53) * 0.03, abs=1)  # each is rounded up to a whole degree
    assert found[2:] == ("stricter", "alone", ["the carbon of a is 0.28 %, was 0.25 %"])


def test_what_a_limit_needs_together_is_said_with_what_each_would_do():
    old, new = by_method_b(), by_method_b(carbon="0.28", restraint="medium")
    for item in beside(old, new).differences:
        if item.fact.quantity == "preheat temperature" and item.fact.aspect == "minimum":
            assert [entry.what for entry in item.reason.inputs] == ["the carbon of a", "the restraint of J1"]
            alone = (by_method_b(carbon="0.28"), by_method_b(restraint="medium"))
            assert list(item.reason.by_itself) == [limits(beside(old, one))["minimum"][1] for one in alone]
            return
    raise AssertionError("the minimum does not differ")


def test_a_lost_certificate_counts_as_the_worst_case_of_the_grade():
    new = by_method_b().replace('certificate = "3.1"\n', "")
    new = "\n".join(line for line in new.splitlines() if not line.startswith("composition"))
    _, _, direction, how, reasons = limits(beside(by_method_b(), new))["minimum"]
    assert (direction, how) == ("stricter", "alone")
    assert reasons == [
        "the analysis of a is not given, was C 0.25 Si 0.25 Mn 0.70 Cr 1.00 Mo 0.20, certificate 3.1"
    ]


def test_condition_and_tempering_go_together():
    tempered = by_method_b().replace(
        'condition = "normalized"', 'condition = "quenched and tempered"\ntempered_at = "600 C"'
    )
    found = beside(by_method_b(), tempered)
    assert [item.words for item in found.inputs] == [
        "the condition of a is quenched and tempered, tempered at 600 C, was normalized"
    ]


def test_steps_and_requirements_that_come_and_go():
    relief = beside(ladder(), ladder().replace("decides", 'stress_relief = "shop 4130"\ndecides'))
    came = [item for item in relief.differences if item.fact.aspect == "step"]
    assert [(item.fact.step[0], item.direction) for item in came] == [("stress relief", "stricter")]
    # What the new step asks for is not told one by one.
    assert all(
        item.fact.step is None or item.fact.step[0] != "stress relief" or item in came
        for item in relief.differences
    )
    hard = beside(ladder(), ladder().replace("decides", 'hardness_limit = "350 HV"\ndecides'))
    asked = [
        (item.fact.quantity, item.fact.aspect) for item in hard.differences if item.direction == "stricter"
    ]
    assert ("hardness", "asked for") in asked


def test_a_filler_of_another_lot_changes_what_is_asked_at_the_weld():
    def lot(name):
        return ladder().replace('hydrogen = "H5"', f'hydrogen = "H5"\nlot = "{name}"')

    found = beside(lot("L-1"), lot("L-2"))
    assert [(item.fact.quantity, item.direction) for item in found.differences] == [("filler lot", "changed")]
    assert found.differences[0].reason.inputs[0].words == "the lot of rod is L-2, was L-1"
    assert not found.stricter


def test_the_rules_are_named_where_only_they_changed():
    text = ladder()
    act = plan_to_act(planned(text))
    for step in act["steps"]:
        for requirement in step["requirements"]:
            if requirement["quantity"] == "preheat temperature":
                requirement["at_least"]["value"] = "250"
    found = beside(text, text, plan_from_act(act))
    assert {item.fact.aspect for item in found.differences} == {"minimum"}
    assert all(item.reason.rules and not item.reason.inputs for item in found.differences)
    told = comparison_object(found, "the rules changed")["differences"][0]["says"]
    assert told.endswith(
        "the minimum rises from 250 °F (121.1 °C) to 300 °F (148.9 °C), because the rules changed"
    )
    both = beside(text, ladder("1/2 in"), plan_from_act(act))
    told = [item.reason for item in both.differences if item.fact.quantity == "preheat temperature"]
    assert any(reason.rules and reason.inputs for reason in told)


def test_the_same_size_in_another_unit_changes_no_limit():
    found = beside(ladder("1/4 in"), ladder("0.250 in"))
    assert [item for item in found.differences if item.fact.aspect in ("minimum", "maximum")] == []
    assert len(found.inputs) == 2


OPTIONS = {
    "thickness": st.sampled_from(["6 mm", "20 mm", "35 mm"]),
    "carbon": st.sampled_from(["0.22", "0.25", "0.29"]),
    "energy": st.sampled_from(["0.6 kJ/mm", "1.0 kJ/mm", "2.4 kJ/mm"]),
    "hydrogen": st.sampled_from(["H5", "H10"]),
    "restraint": st.sampled_from(["low", "high"]),
}


@settings(max_examples=5, deadline=None)
@given(st.fixed_dictionaries(OPTIONS))
def test_a_sheet_beside_itself_differs_in_nothing(options):
    text = by_method_b(**options)
    found = beside(text, text, plan_from_act(plan_to_act(planned(text))))
    assert (found.inputs, found.differences) == ((), ())


@pytest.mark.slow
@settings(max_examples=8, deadline=None)
@given(st.fixed_dictionaries(OPTIONS), st.fixed_dictionaries(OPTIONS))
def test_the_reasons_give_the_limit_on_sheets_written_by_hand(before, after):
    """Each named input changed on a sheet of its own, by the words of the tests, gives the limit that is told."""
    names = {"thickness": "thickness of member 1", "carbon": "carbon", "energy": "arc energy",
             "hydrogen": "hydrogen", "restraint": "restraint"}  # fmt: skip
    old, new = by_method_b(**before), by_method_b(**after)
    target = minimum(new)
    if minimum(old) == target:
        return
    reason = next(
        item.reason
        for item in beside(old, new).differences
        if (item.fact.quantity, item.fact.aspect) == ("preheat temperature", "minimum")
    )
    named = [key for key, words in names.items() if any(words in item.what for item in reason.inputs)]
    assert len(named) == len(reason.inputs)
    assert all(before[key] != after[key] for key in named)
    chosen = [[key] for key in named] if reason.how == "either" else [named]
    for keys in chosen:
        assert minimum(by_method_b(**{**before, **{key: after[key] for key in keys}})) == target
    if reason.how == "together":
        for key in named:
            others = {other: after[other] for other in named if other != key}
            assert minimum(by_method_b(**{**before, **others})) != target


def minimum(text):
    step = next(step for step in planned(text).steps if step.kind == "preheat")
    found = next(r for r in step.requirements if r.quantity == "preheat temperature").at_least
    return None if found is None else found.canonical


@pytest.mark.slow
def test_every_pair_of_a_small_family_is_explained():
    """No difference without a reason, whatever the pair."""
    family = [by_method_b(), by_method_b(carbon="0.28"), by_method_b(extra='heat_number = "H2"'), ladder()]
    for old, new in product(family, repeat=2):
        for item in beside(old, new).differences:
            assert item.reason.inputs or item.reason.rules


def test_a_member_of_another_metal_takes_the_metal_and_no_more():
    """Two members get a metal of their own each: of what is asked of the one the other is no reason."""
    old = by_method_b()
    new = "".join(
        f'[[material]]\nid = "{id_}"\ngrade = "4130"\ncondition = "annealed"\nheat_number = "{id_}-1"\n'
        for id_ in ("web", "flange")
    )
    new = old.replace("[[filler]]", f"{new}[[filler]]", 1)
    new = new.replace('{ material = "a"', '{ material = "web"', 1).replace(
        '{ material = "a"', '{ material = "flange"', 1
    )
    found = {
        item.fact.quantity: [entry.what for entry in item.reason.inputs]
        for item in beside(old, new).differences
        if item.fact.aspect == "asked for" and item.now is not None
    }
    assert found["heat number of web"] == ["material web", "the material of member 1 of J1"]
    assert found["heat number of flange"] == ["material flange", "the material of member 2 of J1"]
