"""What every hold time, rate limit and measuring rule keeps, and inputs that none of them takes."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traveler.metals.arc import arc_energy_kj_mm, heat_input_kj_mm
from traveler.metals.measuring import (
    measuring_distance_iso_13916_mm,
    preheat_reach_d11_mm,
    waiting_time_iso_13916_s,
)
from traveler.metals.soak import hold_minutes, rate_limit

thicknesses_in = st.fractions(min_value=Fraction(1, 32), max_value=8, max_denominator=64)


def by_fraction(thickness_in: Fraction) -> Fraction:
    """P-No. 1 by UCS-56: minutes by the exact thickness."""
    return hold_minutes(thickness_in, Fraction(15), Fraction(60), Fraction(2), Fraction(15))


def by_fraction_thereof(thickness_in: Fraction) -> Fraction:
    """AWS D1.1: the same minutes, each begun quarter inch or inch counting whole."""
    return hold_minutes(thickness_in, Fraction(15), Fraction(60), Fraction(2), Fraction(15), Fraction(1, 4))


@settings(max_examples=60, deadline=None)
@given(thicknesses_in, thicknesses_in)
def test_a_thicker_part_never_soaks_shorter(one: Fraction, other: Fraction) -> None:
    thin, thick = sorted((one, other))
    assert by_fraction(thin) <= by_fraction(thick)
    assert by_fraction_thereof(thin) <= by_fraction_thereof(thick)


@settings(max_examples=60, deadline=None)
@given(thicknesses_in)
def test_or_fraction_thereof_never_soaks_shorter(thickness_in: Fraction) -> None:
    longer = by_fraction_thereof(thickness_in)
    assert longer >= by_fraction(thickness_in)
    assert longer.denominator == 1
    assert longer % 15 == 0


@settings(max_examples=60, deadline=None)
@given(thicknesses_in, thicknesses_in)
def test_a_thicker_part_is_never_heated_faster(one: Fraction, other: Fraction) -> None:
    thin, thick = sorted((one, other))
    slow, fast = (rate_limit(part, Fraction(400), Fraction(100)) for part in (thick, thin))
    assert Fraction(100) <= slow <= fast <= Fraction(400)


def test_a_rule_without_a_knee_goes_on() -> None:
    """1 h per inch and at least 1 h: common practice for 4130, no published source."""
    assert hold_minutes(Fraction(1, 4), Fraction(60), Fraction(60)) == 60
    assert hold_minutes(Fraction(5, 2), Fraction(60), Fraction(60)) == 150


@pytest.mark.parametrize("thickness_in", [Fraction(0), Fraction(-1)])
def test_no_such_thickness_in_the_furnace(thickness_in: Fraction) -> None:
    with pytest.raises(ValueError, match="thickness_in"):
        by_fraction(thickness_in)
    with pytest.raises(ValueError, match="thickness_in"):
        rate_limit(thickness_in, Fraction(400), Fraction(100))


def test_no_such_rule() -> None:
    with pytest.raises(ValueError, match="floor"):
        rate_limit(Fraction(1), cap=Fraction(50), floor=Fraction(100))
    with pytest.raises(ValueError, match="round_up_in"):
        hold_minutes(Fraction(1), Fraction(15), Fraction(60), round_up_in=Fraction(0))


@pytest.mark.parametrize(
    "rule", [measuring_distance_iso_13916_mm, waiting_time_iso_13916_s, preheat_reach_d11_mm]
)
@pytest.mark.parametrize("thickness_mm", [0.0, -1.0, float("nan")])
def test_no_such_thickness_on_the_bench(rule: object, thickness_mm: float) -> None:
    assert callable(rule)
    with pytest.raises(ValueError, match="must be greater than zero"):
        rule(thickness_mm)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.5, 300), st.floats(0.5, 300))
def test_distance_and_wait_never_shrink_with_thickness(one: float, other: float) -> None:
    thin, thick = sorted((one, other))
    for rule in (measuring_distance_iso_13916_mm, waiting_time_iso_13916_s, preheat_reach_d11_mm):
        assert rule(thin) <= rule(thick)


@pytest.mark.parametrize("inputs", [(0, 150, 2), (12, -150, 2), (12, 150, 0)])
def test_no_such_arc(inputs: tuple[int, int, int]) -> None:
    with pytest.raises(ValueError, match="must be greater than zero"):
        arc_energy_kj_mm(*map(Fraction, inputs))


@pytest.mark.parametrize("efficiency", ["0", "-0.6", "1.2"])
def test_no_such_efficiency(efficiency: str) -> None:
    with pytest.raises(ValueError, match="efficiency"):
        heat_input_kj_mm(Fraction(1), Fraction(efficiency))
