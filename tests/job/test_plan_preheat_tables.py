"""The maker's table by grade and the codes' rule tables in whole plans, against the numbers that they print."""

import pytest
from plan_kit import COMPOSITION_4130, LEAN_STRUCTURAL, limit, material, planned, requirement, sheet, step

MAKER = "mining-machine maker's table"
B313 = "ASME B31.3 table 330.1.1"
NAVAL = "naval S-number table"


def one_grade(grade, thickness, condition="normalized", form="bar", **options):
    composition = options.pop("composition", None)
    certificate = options.pop("certificate", "3.1" if composition else "none")
    return planned(
        sheet(
            ("a", form, thickness),
            ("a", form, thickness),
            materials=material("a", grade, condition, composition, certificate),
            **options,
        )
    )


def row(plan, method):
    return next(r for r in requirement(plan, "preheat", "preheat temperature").basis if r.method == method)


# P&H Manufacturing Operating Procedure 22-MOP-5-10, read in a copy: °F by thickest part up to 3/4, 1-1/2, 2-1/2 in,
# and above.
PRINTED = {
    ("4130", "casting"): (400, 500, 500, 500),
    ("4140", "casting"): (600, 600, 700, 700),
    ("4140", "bar"): (600, 600, 700, 800),
    ("4340", "bar"): (600, 600, 700, 800),
    ("8630", "bar"): (300, 400, 450, 500),
    ("8620", "bar"): (250, 250, 300, 300),
    ("1045", "bar"): (300, 300, 300, 300),
    ("1030", "bar"): (250, 250, 300, 350),
}
THICKNESSES = ("3/4 in", "1-1/2 in", "2-1/2 in", "3 in")


@pytest.mark.parametrize(
    ("grade", "form", "thickness", "expected_f"),
    [
        (grade, form, thickness, expected)
        for (grade, form), row_f in PRINTED.items()
        for thickness, expected in zip(THICKNESSES, row_f, strict=True)
    ],
)
def test_the_makers_table_governs_the_grades_that_it_lists(grade, form, thickness, expected_f):
    found = row(one_grade(grade, thickness, form=form), MAKER)
    assert (found.role, found.status, found.source.mark) == ("governs", "ok", "seen")
    assert dict(found.working)["as printed"] == f"{expected_f} °F"


@pytest.mark.parametrize(
    ("grade", "thickness", "expected"), [("4140", "1/2 in", "600"), ("8630", "1 in", "400")]
)
def test_it_settles_grades_that_leave_method_b(grade, thickness, expected):
    """4140 (C 0.38 to 0.43 %) is outside EN 1011-2 method B, whose box ends at 0.32 %."""
    found = requirement(one_grade(grade, thickness), "preheat", "preheat temperature")
    assert (found.at_least.text, found.governed_at_least) == (expected, MAKER)


@pytest.mark.parametrize(
    ("thickness", "expected"), [("19.15 mm", "400 °F"), ("19.16 mm", "500 °F"), ("9.5 mm", "400 °F")]
)
def test_a_tenth_of_a_millimetre_over_a_row_is_still_that_row(thickness, expected):
    assert dict(row(one_grade("4130", thickness, form="casting"), MAKER).working)["as printed"] == expected


def test_wrought_4130_keeps_its_ladder():
    plan = one_grade("4130", "1/4 in", form="plate", composition=COMPOSITION_4130)
    found = row(plan, MAKER)
    assert (found.role, found.reasons) == ("cross-check", ("the row is for castings",))
    assert limit(plan, "preheat", "preheat temperature")[0] == "300 degF"


@pytest.mark.parametrize("grade", ["42CrMo4", "4135"])
def test_a_grade_that_the_table_does_not_list_is_only_compared_with_it(grade):
    plan = one_grade(grade, "1 in")
    found = row(plan, MAKER)
    assert found.role == "cross-check"
    assert any(f"{grade} is not in the table" in reason for reason in found.reasons)
    assert requirement(plan, "preheat", "preheat temperature").undetermined


def test_a_casting_of_a_grade_without_a_row_is_not_determined():
    plan = one_grade("8630", "1 in", form="casting")
    assert requirement(plan, "preheat", "preheat temperature").undetermined
    assert not [r for r in requirement(plan, "preheat", "preheat temperature").basis if r.method == MAKER]


def test_the_engineer_confirms_the_route_from_600_f_on():
    def asked(plan):
        return any("route confirmed" in r.quantity for r in step(plan, "preheat").requirements)

    assert asked(one_grade("4140", "1/2 in"))
    assert not asked(one_grade("8630", "3 in"))


def test_hardenable_metal_is_cut_at_the_minimum_of_its_table():
    notes = step(one_grade("4140", "1 in"), "cut").notes
    assert any("at least 600 °F" in note for note in notes)


# ASME B31.3-2010 table 330.1.1 and NAVSEA S9074-AR-GIB-010/278 table IV, both read in copies.
@pytest.mark.parametrize(
    ("table", "grade", "thickness", "units", "expected", "kind"),
    [
        (B313, "A106 Gr B", "10 mm", "metric", "10.0", "recommended"),
        (B313, "A106 Gr B", "24.9 mm", "metric", "10.0", "recommended"),
        (B313, "A106 Gr B", "25 mm", "metric", "79.0", "recommended"),
        (B313, "A106 Gr B", "30 mm", "metric", "79.0", "recommended"),
        (B313, "A106 Gr B", "1/2 in", "inch", "10.0", "recommended"),
        (B313, "A106 Gr B", "1 in", "inch", "79.4", "recommended"),
        (B313, "A588 Gr B", "1/2 in", "inch", "79.4", "recommended"),
        (B313, "A588 Gr B", "3/8 in", "inch", "10.0", "recommended"),
        (B313, "304L", "2 in", "inch", "10.0", "recommended"),
        (NAVAL, "A106 Gr B", "1 in", "inch", "15.6", "required"),
        (NAVAL, "A588 Gr B", "5/8 in", "inch", "15.6", "required"),
        (NAVAL, "A588 Gr B", "3/4 in", "inch", "79.4", "required"),
    ],
)
def test_rule_tables_stand_beside_the_limit(table, grade, thickness, units, expected, kind):
    condition = "annealed" if grade == "304L" else "as rolled"
    found = row(one_grade(grade, thickness, condition, units=units), table)
    assert (found.role, found.status, found.value) == ("cross-check", "ok", expected)
    assert dict(found.working)["the table calls it"] == kind
    assert found.source.edition in ("2010", "revision not noted")


def test_rich_carbon_over_1_in_takes_the_stricter_naval_row():
    """Table IV: S-1 175 °F where C is above 0.30 % and the thickness above 1 in; 60 °F else."""
    lean = LEAN_STRUCTURAL
    rich = lean.replace("C = 0.16", "C = 0.31")
    assert row(one_grade("A106 Gr B", "2 in", "as rolled", composition=lean), NAVAL).value == "15.6"
    assert row(one_grade("A106 Gr B", "2 in", "as rolled", composition=rich), NAVAL).value == "79.4"


def test_an_unknown_strength_takes_the_stricter_row_and_says_so():
    found = row(one_grade("1020", "1/4 in", "as rolled"), B313)
    assert found.value == "79.4"
    assert found.reasons == ("the specified minimum tensile strength of 1020 is not known: the stricter row",)


def test_4130_has_no_p_number_so_p_4_is_an_analogue_and_no_more():
    plan = one_grade("4130", "1/2 in", form="plate", composition=COMPOSITION_4130)
    by_table = {table: row(plan, table) for table in (B313, NAVAL)}
    assert by_table[B313].value == "148.9"  # 300 °F, required for P-4 at every thickness
    assert (
        by_table[NAVAL].value == "121.1"
    )  # 250 °F: no strength is known, so not the 60 °F up to 1/2 in and 60 ksi
    for found in by_table.values():
        assert found.role == "indicative"
        assert found.reasons[0] == "analogue only: 4130 has no P-Number of its own"


def test_a_group_without_a_row_is_not_tabulated():
    found = row(one_grade("A514 Gr B", "1 in", "quenched and tempered", form="plate"), B313)
    assert (found.status, found.value) == ("not tabulated", None)


def test_grades_without_p_number_or_analogue_have_no_row():
    methods = {
        r.method for r in requirement(one_grade("4140", "1 in"), "preheat", "preheat temperature").basis
    }
    assert not methods & {B313, NAVAL}
