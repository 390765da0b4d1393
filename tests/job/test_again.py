"""Any job made again: the written sheet plans, and no limit of it rests on the old heat."""

from importlib.resources import files

import pytest
from plan_kit import planned

from traveler.job.again import Asked, Origin, sheet_again
from traveler.job.as_built import AsBuilt
from traveler.job.sheet_toml import parse_toml

SHEETS = sorted(
    (item for item in files("traveler.demo").joinpath("sheets").iterdir() if item.name.endswith(".toml")),
    key=lambda item: item.name,
)


@pytest.mark.parametrize("item", SHEETS, ids=lambda item: item.name)
def test_the_sheet_plans_with_the_worst_case_of_each_grade(item):
    text = item.read_text(encoding="utf-8")
    number = parse_toml(text)["job"]["number"]
    made = sheet_again(text, Origin(number, 3, "closed", "AAAA-BBBB"), Asked("N-1"), {})
    plan, old = planned(made.text), planned(text)
    assert (plan.number, plan.made_from) == ("N-1", number)
    assert [dict(row)["heat number"] for row in plan.materials] == ["none given"] * len(old.materials)
    assert {dict(row)["certificate"] for row in plan.materials} == {"none"}
    assert {dict(row)["lot"] for row in plan.fillers} == {"none given"}
    # A repair was of the old part: of a new one the joint is what it is without it.
    assert plan.joints == tuple(tuple(row for row in joint if row[0] != "repair") for joint in old.joints)
    lowest = {(s.kind, r.joint, r.quantity): r.at_least for s in old.steps for r in s.requirements}
    for step in plan.steps:
        for requirement in step.requirements:
            before = lowest.get((step.kind, requirement.joint, requirement.quantity))
            if requirement.quantity == "preheat temperature" and before and requirement.at_least:
                assert requirement.at_least.canonical >= before.canonical


def test_a_part_made_again_twice_names_the_last_job_and_measurement():
    text = SHEETS[0].read_text(encoding="utf-8")
    text += '\n[[dimension]]\nid = "Z9"\ntitle = "jig stop"\nnominal = "84 mm"\ntolerance = "0.5 mm"\n'
    first = sheet_again(
        text,
        Origin("A", 1, "closed", "AAAA"),
        Asked("B", as_built=("Z9",)),
        {"Z9": AsBuilt("Z9", "84.3", "mm", 60, False)},
    ).text
    second = sheet_again(
        first,
        Origin("B", 1, "closed", "BBBB"),
        Asked("C"),
        {"Z9": AsBuilt("Z9", "85", "mm", 60, True)},
    ).text
    stop = parse_toml(second)["dimension"][-1]
    assert stop["nominal"] == "84.3 mm"
    assert stop["as_built"] == "85 mm at the inspection of B, outside its tolerance"
    assert parse_toml(second)["job"]["made_from"] == "B"
    # Not measured that time: what was known stays.
    kept = sheet_again(first, Origin("B", 1, "closed", "BBBB"), Asked("C"), {}).text
    assert parse_toml(kept)["dimension"][-1]["as_built"].startswith("84.3 mm at the inspection of A")
