"""The tested procedure beside the plan: its range by ISO 15614-1, and a plan that reaches outside of it."""

from fractions import Fraction

import pytest
from plan_kit import limit, planned, requirement, same_grade, step

from traveler.job.requirement import Basis, Plan


def by_procedure(*said: str, thickness: str = "1/4 in", units: str = "inch", joint: str = "") -> Plan:
    """Certified annealed 4130: 300 F (148.9 C) at least and 500 F between runs at 1/4 in."""
    named = ", ".join(('id = "WPS-12"', 'revision = "B"', *said))
    return planned(same_grade(thickness, units=units, joint=f"{joint}procedure = {{ {named} }}\n"))


def rows(plan: Plan, kind: str, quantity: str) -> list[Basis]:
    return [
        row for row in requirement(plan, kind, quantity).basis if row.method == "procedure WPS-12 revision B"
    ]


def outside(plan: Plan) -> list[str]:
    return [conflict for conflict in step(plan, "weld").conflicts if "WPS-12" in conflict]


@pytest.mark.parametrize(
    ("tested", "least", "hot", "most"),
    [
        # ISO 15614-1:2017 8.4.8 and 8.4.9: 50 C below the preheat, 50 C above the interpass temperature of the test.
        ("150 C", "100.0", "250 C", "300.0"),
        ("40 C", "-10.0", "200 C", "250.0"),  # the example of the discussion that quotes it
        ("300 F", "98.9", "450 F", "282.2"),  # 210 F and 540 F: a difference of 90 F, not of 122
    ],
)
def test_the_range_stands_beside_preheat_and_interpass(tested: str, least: str, hot: str, most: str) -> None:
    plan = by_procedure(f'preheat_tested = "{tested}"', f'interpass_tested = "{hot}"')
    for kind, quantity in (("preheat", "preheat temperature"), ("weld", "interpass temperature")):
        low, high = rows(plan, kind, quantity)
        assert (low.bound, low.value, high.bound, high.value) == ("at_least", least, "at_most", most)
        assert {low.role, high.role} == {"cross-check"}
        assert {low.source.mark, high.source.mark} == {"secondary"}
    assert limit(plan, "weld", "interpass temperature") == ("300 degF", "500 degF")


@pytest.mark.parametrize(
    ("tested", "conflicts"), [("390 F", 0), ("391 F", 1), ("450 F", 1), ("300 F", 0), ("70 F", 0)]
)
def test_a_plan_colder_than_the_procedure_reaches_is_a_conflict(tested: str, conflicts: int) -> None:
    """300 F at least: 390 F less 90 F is 300 F, and complies."""
    assert len(outside(by_procedure(f'preheat_tested = "{tested}"'))) == conflicts


@pytest.mark.parametrize(("tested", "conflicts"), [("410 F", 0), ("409 F", 1), ("300 F", 1)])
def test_a_plan_hotter_than_the_procedure_reaches_is_a_conflict(tested: str, conflicts: int) -> None:
    """500 F at most between runs: 410 F and 90 F are 500 F, and comply."""
    assert len(outside(by_procedure(f'interpass_tested = "{tested}"'))) == conflicts


def test_a_procedure_that_governs_brings_its_maximum() -> None:
    plan = by_procedure('interpass_tested = "350 F"', "governs = true")
    assert outside(plan) == []
    assert limit(plan, "weld", "interpass temperature") == ("300 degF", "440 degF")
    assert limit(plan, "preheat", "preheat temperature") == ("300 degF", "440 degF")
    # Never upward: a procedure that reaches higher leaves the plan's own maximum.
    higher = by_procedure('interpass_tested = "600 F"', "governs = true")
    assert limit(higher, "weld", "interpass temperature") == ("300 degF", "500 degF")
    # And no window is left where its maximum lies under the minimum.
    assert (
        "another procedure is needed"
        in outside(by_procedure('interpass_tested = "200 F"', "governs = true"))[0]
    )


def test_a_minimum_of_ones_own_settles_it() -> None:
    own = 'preheat = { at_least = "400 F", by = "Eva Lindqvist", because = "as tested" }\n'
    assert outside(by_procedure('preheat_tested = "450 F"', joint=own)) == []


@pytest.mark.parametrize(
    ("said", "conflicts"),
    [
        ('thickness_from = "3 mm", thickness_to = "1/4 in"', 0),
        ('thickness_to = "6.3 mm"', 1),
        ('thickness_from = "0.26 in"', 1),
    ],
)
def test_a_member_outside_its_thickness_is_a_conflict(said: str, conflicts: int) -> None:
    assert len(set(outside(by_procedure(said)))) == conflicts


def test_its_name_prints_on_the_steps_and_the_joint_and_its_gas_is_asked() -> None:
    plan = by_procedure('gas = "argon 8 l/min"', 'purge = "none"')
    for kind in ("preheat", "weld"):
        assert step(plan, kind).notes[0] == "By procedure WPS-12 revision B."
    assert dict(plan.joints[0])["procedure"] == "WPS-12 revision B"
    gas = requirement(plan, "weld", "gas and purge")
    assert gas.why == "WPS-12 revision B says gas: argon 8 l/min, purge: none"
    without = planned(same_grade("1/4 in"))
    assert "procedure" not in dict(without.joints[0])
    assert "gas and purge" not in [found.quantity for found in step(without, "weld").requirements]


def test_the_range_is_exact() -> None:
    """300 F less 50 C is 98 8/9 C: the limit compares as a fraction, the row rounds for reading."""
    plan = by_procedure('interpass_tested = "350 F"', "governs = true")
    most = requirement(plan, "weld", "interpass temperature").at_most
    assert most is not None
    assert most.canonical == (Fraction(350) - 32) * Fraction(5, 9) + 50
