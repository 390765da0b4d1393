"""Stress-relief profiles in whole plans: hold and rates, each by its own thickness, against what the rules print."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from plan_kit import LEAN_STRUCTURAL, limit, material, planned, requirement, sheet, step

from traveler.job.relief import greatest_rate, least_hold
from traveler.library.load import load_library

PROFILES = load_library().profiles


def relieved(
    profile, *members, grade="A106 Gr B", condition="as rolled", units="inch", joint_type="butt", extra=""
):
    text = sheet(
        *members,
        materials=material("a", grade, condition, LEAN_STRUCTURAL if not extra else None, extra=extra),
        units=units,
        job=f'stress_relief = "{profile}"',
    )
    return planned(text.replace('type = "butt"', f'type = "{joint_type}"'))


# Minutes at temperature by thickness in inches. AWS D1.1 table 5.2 (from memory): 15 min to 1/4 in, 15 min for each 1/4
# in or fraction to 2 in, beyond it 15 min for each inch or fraction. ASME B31.3-2016 table 331.1.1 (read in a copy): 1
# h/in, at least 15 min, over 2 in 2 h and 15 min/in.
@pytest.mark.parametrize(
    ("profile", "thickness_in", "minutes"),
    [
        ("D1.1", "3/16", 15),
        ("D1.1", "1/4", 15),
        ("D1.1", "3/8", 30),
        ("D1.1", "1/2", 30),
        ("D1.1", "1", 60),
        ("D1.1", "2", 120),
        ("D1.1", "2.1", 135),
        ("D1.1", "3", 135),
        ("D1.1", "6", 180),
        ("D1.1 QT", "3/8", 30),
        ("B31.3-2016 P-1", "1/8", 15),
        ("B31.3-2016 P-1", "1/2", 30),
        ("B31.3-2016 P-1", "3", 135),
    ],
)
def test_hold_by_the_inch(profile, thickness_in, minutes):
    assert least_hold(PROFILES[profile], Fraction(thickness_in)).canonical == minutes * 60


# EN 13445-4 (from memory): 30 min up to 35 mm, e - 5 min up to 90 mm, 40 + 0.5 e min above.
@pytest.mark.parametrize(
    ("thickness_mm", "minutes"), [(10, 30), (35, 30), (40, 35), (90, 85), (100, 90), (200, 140)]
)
def test_hold_of_en_13445_4(thickness_mm, minutes):
    assert (
        least_hold(PROFILES["EN 13445-4"], Fraction(thickness_mm) / Fraction("25.4")).canonical
        == minutes * 60
    )


def rate(profile, what, thickness_mm, units):
    rule = PROFILES[profile]
    cap, over = getattr(rule, f"{what}_max"), getattr(rule, f"{what}_over")
    return float(
        greatest_rate(
            cap, over, rule.rate_floor, units, Fraction(str(thickness_mm)) / Fraction("25.4")
        ).number
    )


# AWS D1.1 5.8 (secondary; cooling from memory): 400/t F°/h, 5600/t C°/h up to 220; 500/t F°/h, 7000/t C°/h up to 260;
# never asked below 100 F°/h, 55 C°/h. B31.1 132.5 as quoted, B31.3 taken to be alike (from memory): 600 F°/h over half
# the thickness in inches. EN 13445-4 (from memory): 220 C°/h to 25 mm, 5500/e to 100 mm, 55 above; cooling 280, 7000/e.
@pytest.mark.parametrize(
    ("profile", "what", "thickness_mm", "units", "expected"),
    [
        ("D1.1", "heating", 25.4, "inch", 400),
        ("D1.1", "heating", 38.1, "inch", 266.6),
        ("D1.1", "heating", 127, "inch", 100),
        ("D1.1", "heating", 25.4, "metric", 220),
        ("D1.1", "heating", 38.1, "metric", 146.9),
        ("D1.1", "heating", 76.2, "metric", 73.4),
        ("D1.1", "heating", 127, "metric", 55),
        ("D1.1", "cooling", 20, "metric", 260),
        ("D1.1", "cooling", 50, "metric", 140),
        ("B31.3-2016 P-1", "heating", 25.4, "inch", 600),
        ("B31.3-2016 P-1", "heating", 50.8, "inch", 600),
        ("B31.3-2016 P-1", "heating", 76.2, "inch", 400),
        ("B31.3-2016 P-1", "cooling", 127, "inch", 240),
        ("B31.3-2016 P-1", "heating", 50.8, "metric", 335),
        ("EN 13445-4", "heating", 25, "metric", 220),
        ("EN 13445-4", "heating", 50, "metric", 110),
        ("EN 13445-4", "heating", 120, "metric", 55),
        ("EN 13445-4", "cooling", 25, "metric", 280),
        ("EN 13445-4", "cooling", 70, "inch", 100),
        ("UCS-56 P-1", "heating", 50.8, "inch", 200),
        ("UCS-56 P-1", "cooling", 76.2, "inch", 166.6),
    ],
)
def test_rates(profile, what, thickness_mm, units, expected):
    assert rate(profile, what, thickness_mm, units) == pytest.approx(expected)


@given(
    profile=st.sampled_from(sorted(PROFILES)),
    one=st.decimals(min_value=1, max_value=200, places=1),
    other=st.decimals(min_value=1, max_value=200, places=1),
)
def test_thicker_never_holds_shorter_nor_heats_faster(profile, one, other):
    thin, thick = (Fraction(value) / Fraction("25.4") for value in sorted((one, other)))
    rule = PROFILES[profile]
    assert least_hold(rule, thin).canonical <= least_hold(rule, thick).canonical
    slow, fast = (
        greatest_rate(rule.heating_max, rule.heating_over, rule.rate_floor, "metric", t).canonical
        for t in (thick, thin)
    )
    assert slow <= fast


def test_hold_and_rates_go_by_their_own_thickness():
    """ASME VIII-1 UW-40(f), quoted in a slide: the thinner of two butt-welded parts; rates by the thickest."""
    members = (("a", "tube", "1 in"), ("a", "tube", "3 in"))
    butt = relieved("UCS-56 P-1", *members)
    assert limit(butt, "stress relief", "soak time")[0] == "60 min"
    assert limit(butt, "stress relief", "heating rate")[1] == "133.3 delta_degF/h"
    fillet = relieved("UCS-56 P-1", *members, joint_type="T fillet")
    assert limit(fillet, "stress relief", "soak time")[0] == "135 min"
    row, *_ = requirement(butt, "stress relief", "soak time").basis
    assert dict(row.working)["thickness of the hold"] == "1.000 in (25.4 mm)"
    shop = planned(
        sheet(
            ("a", "bar", "1 in"),
            ("a", "bar", "3 in"),
            materials=material("a", "4130", "annealed"),
            job='stress_relief = "shop 4130"',
        )
    )
    assert limit(shop, "stress relief", "soak time")[0] == "180 min"


def test_b31_3_has_a_range_and_no_loading_limit():
    plan = relieved("B31.3-2016 P-1", ("a", "tube", "1 in"), ("a", "tube", "1 in"))
    assert limit(plan, "stress relief", "soak temperature") == ("1100 degF", "1200 degF")
    assert not [r for r in step(plan, "stress relief").requirements if "loading" in r.quantity]
    metric = relieved("B31.3-2016 P-1", ("a", "tube", "25 mm"), ("a", "tube", "25 mm"), units="metric")
    assert limit(metric, "stress relief", "soak temperature") == ("595 degC", "650 degC")


def test_d11_for_quenched_and_tempered_steel_has_a_maximum_and_leaves_the_minimum_to_the_engineer():
    plan = relieved(
        "D1.1 QT",
        ("a", "plate", "1 in"),
        ("a", "plate", "1 in"),
        grade="A514 Gr B",
        condition="quenched and tempered",
        extra='tempered_at = "1150 F"',
    )
    found = requirement(plan, "stress relief", "soak temperature")
    assert found.undetermined
    assert (found.at_least, found.at_most.text) == (None, "1100")
    assert any("names no least soak temperature" in c for c in step(plan, "stress relief").conflicts)


def test_en_13445_4_has_no_soak_temperature_here():
    plan = relieved(
        "EN 13445-4", ("a", "plate", "40 mm"), ("a", "plate", "40 mm"), grade="S355J2", units="metric"
    )
    assert requirement(plan, "stress relief", "soak temperature").undetermined
    assert limit(plan, "stress relief", "soak time")[0] == "35 min"


@pytest.mark.parametrize(
    ("profile", "grade"), [("D1.1", "4130"), ("D1.1 QT", "A36"), ("B31.3-2016 P-1", "4130")]
)
def test_a_profile_that_does_not_cover_the_metal_is_a_conflict(profile, grade):
    plan = relieved(
        profile, ("a", "plate", "1 in"), ("a", "plate", "1 in"), grade=grade, condition="normalized"
    )
    assert any("does not cover a" in c for c in step(plan, "stress relief").conflicts)


# ASME B31.3-2016 table 331.1.2 (read in a copy): 30, 55, 85, 110 °C lower for 2, 4, 10, 20 h, and 15 min each further
# 25 mm; UCS-56.1 the same (from memory); AWS D1.1 table 5.3 (from memory) 2, 4, 10, 20 h for each inch.
@pytest.mark.parametrize(
    ("profile", "spans", "hours", "per_inch", "beyond"),
    [
        ("B31.3-2016 P-1", [30, 55, 85, 110], [2, 4, 10, 20], False, 15),
        ("UCS-56 P-1", [30, 55, 85, 110], [2, 4, 10, 20], False, 15),
        ("UCS-56 P-3", [30, 55], [2, 4], False, 15),
        ("UCS-56 P-10A", [30, 55], [2, 4], False, 15),
        ("D1.1", [30, 60, 90, 120], [2, 4, 10, 20], True, None),
    ],
)
def test_lower_temperatures_stand_only_as_printed(profile, spans, hours, per_inch, beyond):
    lower = PROFILES[profile].lower
    assert [below.for_units("metric").number for below, _ in lower.rows] == spans
    assert [number for _, number in lower.rows] == hours
    assert (lower.per_inch, lower.minutes_beyond) == (per_inch, beyond)


def test_the_lower_soak_is_a_note_and_no_limit():
    plan = relieved("B31.3-2016 P-1", ("a", "tube", "1 in"), ("a", "tube", "1 in"))
    (note,) = (n for n in step(plan, "stress relief").notes if n.startswith("Lower soak"))
    assert "30 C° lower for 2 h, 55 C° lower for 4 h" in note
    assert "[seen]" in note
    assert PROFILES["UCS-56 P-4"].lower is None
