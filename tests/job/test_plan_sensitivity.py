"""What would change a minimum: each answer is what the changed sheet itself plans."""

import pytest
from plan_kit import material, planned, requirement, same_grade, sheet

from traveler.job.plan_json import plan_from_act, plan_to_act
from traveler.job.view import plan_object
from traveler.quantity.show import show_both
from traveler.report.requirement_text import requirement_lines


def changes(plan):
    return dict(requirement(plan, "preheat", "preheat temperature").would_change)


def minimum_words(plan):
    return show_both(requirement(plan, "preheat", "preheat temperature").at_least)


def test_the_neighbouring_rows_of_the_ladder():
    found = changes(planned(same_grade("1/4 in")))
    assert found["thickest member 1/8 in"] == "200 °F (93.3 °C)"
    assert found["thickest member over 1/4 in"] == "400 °F (204.4 °C)"
    assert found["filler of class H4"] == "300 °F (148.9 °C), as now"


def test_both_sides_of_the_thin_wall():
    assert changes(planned(same_grade("1/8 in")))["every member under 0.120 in"] == "70 °F (21.1 °C)"
    assert changes(planned(same_grade("0.083 in")))["thickest member 0.120 in"] == "200 °F (93.3 °C)"


def test_the_neighbouring_rows_of_the_makers_table():
    text = sheet(("a", "bar", "2 in"), ("a", "bar", "2 in"), materials=material("a", "4140", "normalized"))
    found = changes(planned(text))
    assert found["thickest member 1-1/2 in"] == "600 °F (315.6 °C)"
    assert found["thickest member over 2-1/2 in"] == "800 °F (426.7 °C)"


def by_method_b(thickness="20 mm", energy="1.0 kJ/mm", hydrogen="H5", restraint="high", certified=True):
    composition = "{ C = 0.25, Si = 0.25, Mn = 0.70, Cr = 1.00, Mo = 0.20 }" if certified else None
    return planned(
        sheet(
            ("a", "plate", thickness),
            ("a", "plate", thickness),
            materials=material("a", "25CrMo4", "normalized", composition, "3.1" if certified else "none"),
            units="metric",
            process="121",
            energy=energy,
            hydrogen=hydrogen,
            restraint=restraint,
        )
    )


@pytest.mark.parametrize(
    ("words", "changed"),
    [
        ("thickest member a quarter thinner", {"thickness": "15 mm"}),
        ("thickest member a quarter thicker", {"thickness": "25 mm"}),
        ("filler of class H4", {"hydrogen": "H4"}),
        ("heat input a quarter less", {"energy": "0.75 kJ/mm"}),
        ("heat input a quarter more", {"energy": "1.25 kJ/mm"}),
        ("restraint medium", {"restraint": "medium"}),
        ("a without its certificate", {"certified": False}),
    ],
)
def test_each_change_gives_what_the_changed_sheet_plans(words, changed):
    assert changes(by_method_b())[words] == minimum_words(by_method_b(**changed))
    assert not changes(by_method_b())[words].endswith("as now")


def test_a_certificate_is_weighed_where_there_is_none():
    """25CrMo4 without a certificate counts with C 0.29, Mn 0.90, Cr 1.20, Mo 0.30; in the middle with less."""
    found = changes(by_method_b(certified=False))
    middle = by_method_b()
    words = found["a certificate of a in the middle of the grade's ranges"]
    assert float(words.split()[0]) < float(minimum_words(by_method_b(certified=False)).split()[0])
    assert abs(float(words.split()[0]) - float(minimum_words(middle).split()[0])) < 15


def test_losing_the_certificate_of_a_grade_with_a_blank_is_not_weighed():
    text = sheet(
        ("a", "plate", "1/2 in"),
        ("a", "plate", "1/2 in"),
        materials=material("a", "A36", "as rolled", "{ C = 0.16, Mn = 0.80 }"),
        process="135",
        filler="ER70S-6",
    )
    assert not [words for words in changes(planned(text)) if "certificate" in words]


def test_it_survives_the_event_and_is_shown():
    plan = planned(same_grade("1/4 in"))
    act = plan_to_act(plan)
    assert plan_from_act(act).steps == plan.steps
    (shown,) = (
        r
        for s in plan_object(plan)["steps"]
        for r in s["requirements"]
        if s["kind"] == "preheat" and r["quantity"] == "preheat temperature"
    )
    assert ["thickest member over 1/4 in", "400 °F (204.4 °C)"] in shown["would_change"]
    lines = requirement_lines(shown)
    assert any(
        line.strip().startswith("What would change it: thickest member 1/8 in: 200 °F") for line in lines
    )


def test_an_event_from_before_it_was_worked_out_is_read():
    act = plan_to_act(planned(same_grade("1/4 in")))
    for one in act["steps"]:
        for entry in one["requirements"]:
            del entry["would_change"]
    read = plan_from_act(act)
    assert all(r.would_change == () for s in read.steps for r in s.requirements)
