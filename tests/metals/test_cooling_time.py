"""What holds for every cooling time: hotter, thinner and with more heat is never faster; no number at the pole."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traveler.metals.cooling_time import (
    SHAPE_FACTORS,
    cooling_time,
    cooling_time_range,
    cooling_time_thick,
    cooling_time_thin,
    transition_thickness,
)
from traveler.metals.haz_hardness import yurioka_hardness
from traveler.metals.outcome import Outcome

STEEL_4130 = {"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}

heat_inputs = st.floats(0.2, 4)
thicknesses = st.floats(1, 100)
starts = st.floats(-20, 495)
modest = settings(max_examples=60, deadline=None)


def value(outcome: Outcome) -> float:
    assert outcome.value is not None
    return outcome.value


@modest
@given(heat_inputs, thicknesses, starts, starts, st.sampled_from(sorted(SHAPE_FACTORS)))
def test_more_preheat_never_cools_faster(
    q: float, thickness_mm: float, one_c: float, other_c: float, form: str
) -> None:
    cold, hot = (cooling_time_range(q, thickness_mm, start_c, form) for start_c in sorted((one_c, other_c)))
    assert value(cold[0]) <= value(hot[0]) * (1 + 1e-12)
    assert value(cold[1]) <= value(hot[1]) * (1 + 1e-12)
    assert value(hot[0]) <= value(hot[1])


@modest
@given(heat_inputs, heat_inputs, thicknesses, thicknesses, starts)
def test_more_heat_and_thinner_metal_never_cool_faster(
    one_q: float, other_q: float, one_mm: float, other_mm: float, start_c: float
) -> None:
    cool, warm = sorted((one_q, other_q))
    thin, thick = sorted((one_mm, other_mm))
    assert value(cooling_time(cool, thick, start_c)) <= value(cooling_time(warm, thin, start_c)) * (1 + 1e-12)


@modest
@given(heat_inputs, starts, st.sampled_from(sorted(SHAPE_FACTORS)))
def test_both_heat_flows_agree_at_the_transition(q: float, start_c: float, form: str) -> None:
    factors = SHAPE_FACTORS[form]
    at_mm = value(transition_thickness(q, start_c, factors.f2_min, factors.f3_min))
    thin = value(cooling_time_thin(q, at_mm, start_c, factors.f2_min))
    assert thin == pytest.approx(value(cooling_time_thick(q, start_c, factors.f3_min)), rel=1e-9)


@pytest.mark.parametrize("start_c", [500.0, 550.0, 800.0, 1200.0])
def test_a_start_at_the_pole_or_above_has_no_cooling_time(start_c: float) -> None:
    answers = [
        cooling_time_thick(1.0, start_c),
        cooling_time_thin(1.0, 10, start_c),
        cooling_time(1.0, 10, start_c),
        transition_thickness(1.0, start_c),
        *cooling_time_range(1.0, 10, start_c, "butt fill"),
    ]
    for answer in answers:
        assert (answer.value, answer.status) == (None, "not applicable")
        assert answer.reasons[0].endswith("a cooling time down to 500 degC needs a start below it")


@pytest.mark.parametrize("thickness_mm", [0.0, -3.0, float("nan")])
def test_no_such_thickness(thickness_mm: float) -> None:
    with pytest.raises(ValueError, match="thickness_mm"):
        cooling_time(1.0, thickness_mm, 20)


@pytest.mark.parametrize(
    ("arguments", "named"),
    [((0.0, 10, 20), "heat_input_kj_mm"), ((1.0, 10, -300), "start_c"), ((1.0, 10, 20, 0.0), "shape factor")],
)
def test_no_such_weld(arguments: tuple[float, ...], named: str) -> None:
    with pytest.raises(ValueError, match=named):
        cooling_time(*arguments)


def test_a_range_says_how_well_its_shape_factors_are_known() -> None:
    for form, words in (
        ("T fillet", "written down from memory"),
        ("butt fill", "read in texts that quote them"),
    ):
        for end in cooling_time_range(0.6, 6.4, 20, form):
            assert end.reasons[-1] == f"shape factors of a {form}: {words}"


def test_no_such_form_of_weld() -> None:
    with pytest.raises(
        ValueError, match="'plug' is no form of weld, expected one of bead on plate, butt fill"
    ):
        cooling_time_range(1.0, 10, 20, "plug")


def test_neither_the_thickness_alone_nor_a_squared_difference_decides() -> None:
    """The greater flow governs: 20 mm are thick for 1 kJ/mm and thin for 3; each reciprocal is squared by itself."""
    assert cooling_time(1.0, 20, 20).method == "t8/5 three-dimensional"
    assert cooling_time(3.0, 20, 20).method == "t8/5 two-dimensional"
    squared_as_a_whole = (4300 - 4.3 * 20) * 1e5 * (0.6 / 6.4) ** 2 * (1 / 480 - 1 / 780) ** 2
    assert value(cooling_time_thin(0.6, 6.4, 20)) > 4 * squared_as_a_whole


def test_arc_energy_in_place_of_heat_input_would_look_128_hv_softer() -> None:
    """TIG at 1.0 kJ/mm of arc energy is 0.6 of heat input: 10.0 s and 481 HV, not 27.7 s and 353 HV."""
    right, wrong = (value(cooling_time(q, 6.4, 20)) for q in (0.6, 1.0))
    assert wrong / right == pytest.approx(1 / 0.6**2)
    softer = value(yurioka_hardness(STEEL_4130, right)) - value(yurioka_hardness(STEEL_4130, wrong))
    assert softer == pytest.approx(128, abs=1)
