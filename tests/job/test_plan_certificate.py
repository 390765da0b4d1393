"""A certificate outside the limits of its grade stops the job at its first step."""

from dataclasses import replace
from fractions import Fraction

import pytest
from plan_kit import COMPOSITION_4130, LEAN_STRUCTURAL, material, planned, sheet

from traveler.job.analysis import analyse
from traveler.job.sheet_reader import read_sheet
from traveler.library.load import load_library


def conflicts(grade, composition, condition="normalized", thickness="1/4 in", certificate="3.1"):
    text = sheet(
        ("a", "plate", thickness),
        ("a", "plate", thickness),
        materials=material("a", grade, condition, composition, certificate),
    )
    plan = planned(text)
    return [c for c in plan.steps[0].conflicts if "the certificate of a reports" in c]


# ASTM A29/A29M, 4130: C 0.28 to 0.33, Mn 0.40 to 0.60, Cr 0.80 to 1.10, Mo 0.15 to 0.25; S at most 0.040.
@pytest.mark.parametrize(
    ("right", "wrong", "said"),
    [
        ("C = 0.31", "C = 0.28", None),
        ("C = 0.31", "C = 0.33", None),
        ("C = 0.31", "C = 0.34", "reports C 0.34 %, and 4130 has 0.28 to 0.33 %"),
        ("C = 0.31", "C = 0.27", "reports C 0.27 %, and 4130 has 0.28 to 0.33 %"),
        ("Cr = 0.98", "Cr = 0.10", "reports Cr 0.10 %, and 4130 has 0.8 to 1.1 %"),
        ("Mo = 0.20", "Mo = 0.20, S = 0.041", "reports S 0.041 %, and 4130 has at most 0.04 %"),
        ("Mo = 0.20", "Mo = 0.20, V = 0.10", None),  # the grade says nothing of vanadium
    ],
)
def test_each_element_outside_is_said(right, wrong, said):
    found = conflicts("4130", COMPOSITION_4130.replace(right, wrong))
    assert ([said in conflict for conflict in found] == [True]) if said else found == []


def test_an_analysis_without_a_certificate_is_no_evidence_against_the_grade():
    assert conflicts("4130", COMPOSITION_4130.replace("C = 0.31", "C = 0.40"), certificate="none") == []


def test_limits_that_do_not_reach_the_thickness_tell_nothing():
    """EN 10025-2 table 2 prints other limits above 30 mm (S355J2)."""
    rich = LEAN_STRUCTURAL.replace("C = 0.16", "C = 0.21")
    assert conflicts("S355J2", rich, "as rolled", "20 mm")
    assert not conflicts("S355J2", rich, "as rolled", "40 mm")


def test_two_elements_are_two_conflicts():
    assert (
        len(conflicts("4130", COMPOSITION_4130.replace("C = 0.31", "C = 0.40").replace("0.52", "0.90"))) == 2
    )


@pytest.mark.parametrize(
    ("written", "printed"),
    [("0.30", "0.30"), ("0.3", "0.3"), ("0.300", "0.300"), ("0.310", "0.310"), ("3.0e-1", "0.30")],
)
def test_a_figure_of_the_certificate_keeps_its_decimals(written, printed):
    text = sheet(
        ("a", "plate", "1/4 in"),
        ("a", "plate", "1/4 in"),
        materials=material("a", "4130", "normalized", COMPOSITION_4130.replace("C = 0.31", f"C = {written}")),
    )
    (row,) = planned(text).materials
    assert dict(row)["composition"].startswith(f"C {printed}, Si ")


def test_a_reason_of_an_index_has_the_figure_of_the_certificate():
    text = sheet(
        ("a", "plate", "1/4 in"),
        ("a", "plate", "1/4 in"),
        materials=material("a", "4130", "normalized", COMPOSITION_4130.replace("C = 0.31", "C = 0.30")),
    )
    (row,) = planned(text).materials
    assert "C 0.30 % is above 0.25 %" in dict(row)["indices"]
    assert "C 0.3 %" not in dict(row)["indices"]


def test_an_analysis_that_nobody_wrote_is_printed_in_its_shortest_form():
    """As the middle of a grade's ranges, which is tried beside the certificate: no figure of another analysis."""
    text = sheet(
        ("a", "plate", "1/4 in"),
        ("a", "plate", "1/4 in"),
        materials=material("a", "4130", "normalized", COMPOSITION_4130.replace("C = 0.31", "C = 0.30")),
    )
    (piece,) = read_sheet(text, load_library()).materials
    other = replace(piece, composition=(("C", Fraction(3, 10)), ("Mn", Fraction(1, 2))))
    assert analyse(other, ()).words().startswith("C 0.30, Mn 0.5 (certificate)")
