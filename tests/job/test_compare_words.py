"""How a comparison reads: the heats in the reason, a reason told once, a size that moved, a note whose numbers did."""

from plan_kit import planned
from test_compare import beside, by_method_b, ladder

from traveler.job.compare_view import comparison_object
from traveler.job.plan_json import plan_from_act, plan_to_act
from traveler.report.compare_text import comparison_sections, comparison_text, differences_told

MINIMUM = "preheat of J1, preheat temperature: the minimum rises"
DIMENSION = """
[[dimension]]
id = "D1"
title = "hole to edge"
nominal = "{nominal}"
tolerance = "{tolerance}"
"""


def of_heat(number: str, sheet: str) -> str:
    return sheet.replace('id = "a"', f'id = "a"\nheat_number = "{number}"')


def told(old: str, new: str) -> dict:
    return comparison_object(beside(old, new), "the rules changed")


def says(found: dict, words: str) -> list[str]:
    return [entry["says"] for entry in found["differences"] if words in entry["says"]]


def text(found: dict) -> str:
    head = {"sheet": "A-2", "job": "A-1", "revision": 1, "head": "CODE"}
    return " ".join(comparison_text({**head, **found}).split())


def test_the_reason_names_the_element_and_both_heats():
    found = told(of_heat("H-1", by_method_b()), of_heat("H-2", by_method_b(carbon="0.28")))
    (minimum,) = says(found, MINIMUM)
    assert minimum.endswith("because the carbon of a is 0.28 %, was 0.25 % (heat H-2, was H-1)")


def test_without_both_heat_numbers_none_is_named():
    found = told(by_method_b(), of_heat("H-2", by_method_b(carbon="0.28")))
    (minimum,) = says(found, MINIMUM)
    assert "heat H-2" not in minimum


def test_elements_of_one_metal_stand_behind_its_name():
    new = by_method_b(carbon="0.28").replace("Mn = 0.70", "Mn = 0.90")
    (minimum,) = says(
        told(of_heat("H-1", by_method_b()), of_heat("H-2", new)),
        MINIMUM,
    )
    assert (
        "because of these together: in the analysis of a (heat H-2, was H-1) carbon 0.28 % (was 0.25 %; by"
        in minimum
    )
    assert "), manganese 0.90 % (was 0.70 %; by itself " in minimum


def test_what_is_not_certified_is_said_to_count_as_the_worst():
    new = by_method_b().replace('certificate = "3.1"\n', "")
    (minimum,) = says(told(by_method_b(), new), MINIMUM)
    assert minimum.endswith(
        "because the certificate of a is not given, was 3.1; what no certificate shows counts as the worst of the grade"
    )


def test_a_heat_number_is_no_reason_of_itself():
    found = told(of_heat("H-1", ladder()), of_heat("H-2", ladder()))
    assert says(found, "heat number") == ["step 20, fit, heat number of a: must read H-2, was H-1"]


def test_a_size_that_moved_is_neither_stricter_nor_less_strict_and_one_that_shrank_is():
    old = ladder() + DIMENSION.format(nominal="38.0 mm", tolerance="0.3 mm")
    moved = told(old, ladder() + DIMENSION.format(nominal="38.1 mm", tolerance="0.3 mm"))
    sections = dict(comparison_sections(moved))
    assert "Stricter" not in str(list(sections))
    assert any("dimension D1: 37.8 mm (1.488 in) to 38.4 mm (1.512 in), was 37.7 mm" in line
               for line in differences_told(moved, "changed"))  # fmt: skip
    for long in (0, 140):
        assert len(differences_told(moved, "changed", long=long)) == 2  # at fit and at inspection
    assert moved["stricter"]  # what served before may not serve now
    shrank = told(old, ladder() + DIMENSION.format(nominal="38.0 mm", tolerance="0.2 mm"))
    assert all(entry["direction"] == "stricter" for entry in shrank["differences"])
    assert differences_told(shrank, "changed") == []


def test_both_bounds_of_a_temperature_are_told_as_what_they_are():
    found = told(by_method_b(), by_method_b(carbon="0.28"))
    assert len(says(found, "interpass temperature: the minimum rises")) == 1
    assert len(says(found, "interpass temperature: the maximum rises")) == 1


def test_a_note_whose_numbers_moved_is_told_once():
    found = told(by_method_b(), by_method_b(carbon="0.28"))
    (note,) = says(found, "Read just before the arc")
    assert "the note changes: " in note
    assert says(found, "no longer a note") == []


def test_a_long_reason_is_told_once():
    new = by_method_b(carbon="0.28").replace("Mn = 0.70", "Mn = 0.90").replace("Cr = 1.00", "Cr = 1.10")
    lines = differences_told(told(by_method_b(), new), "stricter")
    assert sum("in the analysis of a" in line for line in lines) < len(lines)
    assert any(line.endswith(", for the same reason") for line in lines)


def test_a_conflict_that_several_steps_have_is_told_once():
    new = by_method_b().replace('condition = "normalized"', 'condition = "quenched and tempered"')
    lines = [line for line in differences_told(told(by_method_b(), new), "stricter") if "conflict" in line]
    assert len(lines) == 1
    assert lines[0].startswith("steps 20, 30, 40: new conflict: ")


def test_a_richer_heat_that_moves_no_limit_says_what_sets_it():
    old, new = ladder(), ladder(carbon="0.33")
    found = told(old, new)
    assert [line for line in found["stays"] if "300 °F" in line] == [
        "step 30, preheat of J1: the minimum stays at 300 °F (148.9 °C); grade table 4130 sets it"
    ]
    assert "without effect on what is asked the carbon of a: 0.33 %, was 0.31 % step 30" in text(found)
    assert "stays" not in told(old, old)


def test_another_method_that_sets_the_limit_is_a_difference():
    old = ladder()
    act = plan_to_act(planned(old))
    for step in act["steps"]:
        for requirement in step["requirements"]:
            if requirement["quantity"] == "preheat temperature":
                requirement["governed_at_least"] = "the maker"
    found = comparison_object(beside(old, old, plan_from_act(act)), "the rules changed")
    assert says(found, "set by") == [
        "step 30, preheat of J1, preheat temperature: the minimum is set by grade table 4130, was by the maker, "
        "because the rules changed"
    ]
