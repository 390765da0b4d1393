"""Work that the sheet gives to a vendor: read, its faults named, frozen with the plan, carried into the next part."""

import json

import pytest
from plan_kit import COMPOSITION_4130, material, planned, sheet

from traveler.errors import BadSheet
from traveler.job.again import Asked, Origin, sheet_again
from traveler.job.compare import compare
from traveler.job.plan_json import plan_from_act, plan_to_act
from traveler.job.requirement import Outside
from traveler.job.sheet_reader import read_sheet
from traveler.job.sheet_toml import parse_toml
from traveler.job.view import plan_object
from traveler.library.load import load_library

FULL = 'outside = { vendor = "Alder [A36] [/]", order = "4471", returns = ["furnace chart", "load, with photo"] }'


def text(step: str = FULL, kind: str = "other") -> str:
    base = sheet(
        ("plate", "plate", "1/4 in"), ("plate", "plate", "1/4 in"),
        materials=material("plate", composition=COMPOSITION_4130),
    )  # fmt: skip
    joint = 'joint = "J1"\n' if kind in ("preheat", "weld") else ""
    return f'{base}\n[[step]]\nnumber = 40\nkind = "{kind}"\n{joint}{step}\n'


def faults(step: str, kind: str = "other") -> tuple[str, ...]:
    with pytest.raises(BadSheet) as caught:
        read_sheet(text(step, kind), load_library())
    return caught.value.faults


def test_vendor_order_and_papers_come_as_they_were_written() -> None:
    (step,) = planned(text()).steps
    assert step.outside == Outside("Alder [A36] [/]", "4471", ("furnace chart", "load, with photo"))


@pytest.mark.parametrize(
    ("kind", "paper"),
    [
        ("cut", "heat number transfer"),
        ("stress relief", "furnace chart"),
        ("stress relief", "furnace load number"),
        ("stress relief", "thermocouple placement"),
        ("stress relief", "hardness"),
        ("hydrogen release", "bake record"),
        ("inspect", "technique and its revision"),
        ("inspect", "name and level of who tested"),
        ("fit", "certificate of conformity"),
    ],
)
def test_papers_that_are_left_out_are_the_usual_ones_of_the_kind(kind: str, paper: str) -> None:
    outside = planned(text('outside = { vendor = "V" }', kind)).steps[0].outside
    assert outside is not None
    assert outside.order is None
    assert paper in outside.returns


def test_an_empty_list_asks_for_no_paper() -> None:
    outside = planned(text('outside = { vendor = "V", returns = [] }')).steps[0].outside
    assert outside is not None
    assert outside.returns == ()


def test_the_frozen_plan_is_the_same_and_a_plan_without_a_vendor_does_not_speak_of_one() -> None:
    plan = planned(text())
    act = json.loads(json.dumps(plan_to_act(plan)))
    assert plan_from_act(act) == plan
    assert plan_object(plan)["steps"][0]["outside"]["vendor"] == "Alder [A36] [/]"
    without = planned(text(""))
    assert "outside" not in json.dumps(plan_to_act(without))
    assert "outside" not in plan_object(without)["steps"][0]


@pytest.mark.parametrize(
    ("step", "expected"),
    [
        ('outside = "Alder"', 'step[0].outside: read "Alder"; expected a table such as { vendor'),
        ("outside = {}", "step[0].outside.vendor: missing; expected who does the work of the step"),
        ('outside = { vendor = " " }', "step[0].outside.vendor: read empty text"),
        ('outside = { vendor = "V", order = 7 }', "step[0].outside.order: read the number 7"),
        ('outside = { vendor = "V", returns = "chart" }', 'step[0].outside.returns: read "chart"; expected a list of'),
        ('outside = { vendor = "V", returns = ["a", 3] }', "step[0].outside.returns[1]: read the number 3"),
        ('outside = { vendor = "V", returns = ["a", ""] }', "step[0].outside.returns[1]: read empty text"),
        ('outside = { vendor = "V", returns = ["a", "a"] }', 'step[0].outside.returns[1]: read "a" a second time'),
        ('outside = { vendor = "V", price = "9" }', "step[0].outside.price: read an unknown key"),
    ],
)  # fmt: skip
def test_a_fault_names_its_place(step: str, expected: str) -> None:
    (fault,) = faults(step)
    assert fault.startswith(expected)


@pytest.mark.parametrize("kind", ["preheat", "weld"])
def test_what_is_read_run_by_run_is_not_given_away(kind: str) -> None:
    (fault,) = faults('outside = { vendor = "V" }', kind)
    assert fault.startswith("step[0].outside: read a vendor for a preheat or a weld")


def test_the_next_part_goes_to_the_same_vendor_on_another_order() -> None:
    made = sheet_again(text(), Origin("T-1", 1, "closed", "AAAA"), Asked("N-1"), {})
    (step,) = parse_toml(made.text)["step"]
    assert step["outside"] == {"vendor": "Alder [A36] [/]", "returns": ["furnace chart", "load, with photo"]}
    assert 'outside: T-1 had order "4471"; give the new one' in made.text
    assert any(told.startswith("step 40: outside:") for told in made.to_do)


def test_a_comparison_says_that_a_step_went_to_a_vendor() -> None:
    old, new = parse_toml(text("")), parse_toml(text())
    found = compare(
        planned(text("")), old, new, lambda tables: planned(text() if "outside" in str(tables) else text(""))
    )
    (difference,) = [item for item in found.differences if item.fact.aspect == "at a vendor"]
    assert difference.direction == "stricter"
    assert difference.now is not None
    assert difference.now.words == "done by Alder [A36] [/], with furnace chart, load, with photo"
