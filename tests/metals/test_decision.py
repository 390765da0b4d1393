"""Decision rules: worked cases, two other routes to each probability, and that a guard band leaves something."""

from math import sqrt
from statistics import NormalDist

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from traveler.metals.decision import (
    acceptance_limits,
    conformance_probability,
    false_accept_at_limit,
    statement,
)

MODEST = settings(max_examples=100, deadline=None)

# A class 2 couple type K at 600 C with limits of error 4.5, a recorder with 1.5, a cold junction with 1.0 C deg:
# u = sqrt((4.5^2 + 1.5^2 + 1^2)/3) = 2.80, U = 5.60 (constructed, computed by hand).
U = 2 * sqrt((4.5**2 + 1.5**2 + 1.0**2) / 3)


def test_the_uncertainty_of_the_worked_case() -> None:
    assert round(U / 2, 2) == 2.80
    assert round(U, 2) == 5.60


@pytest.mark.parametrize(
    ("factor", "accepted_from"),
    [(0.0, 593.0), (0.83, 597.6), (1.0, 598.6)],  # constructed, computed by hand
)
def test_a_minimum_is_drawn_in_by_the_guard_band(factor: float, accepted_from: float) -> None:
    low, high = acceptance_limits(593.0, None, factor * U)
    assert high is None
    assert low is not None
    assert round(low, 1) == accepted_from


def test_a_range_is_drawn_in_on_both_sides() -> None:
    # A range of 55 C deg and U = 5.6 C deg leave 44 (constructed, computed by hand).
    low, high = acceptance_limits(595.0, 650.0, 5.5)
    assert (low, high) == (600.5, 644.5)


@pytest.mark.parametrize("guard", [30.0, 27.500001])
def test_a_guard_band_that_leaves_nothing_is_an_error(guard: float) -> None:
    with pytest.raises(ValueError, match="leaves nothing to accept"):
        acceptance_limits(595.0, 650.0, guard)


def test_a_guard_band_of_half_the_range_leaves_one_value() -> None:
    assert acceptance_limits(595.0, 650.0, 27.5) == (622.5, 622.5)
    assert statement(622.5, 595.0, 650.0, 27.5) == "pass"


@pytest.mark.parametrize("guard", [-0.1, float("nan"), float("inf")])
def test_a_guard_band_is_a_number_not_below_zero(guard: float) -> None:
    with pytest.raises(ValueError, match="guard band"):
        acceptance_limits(1.0, None, guard)


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        # ILAC-G8:09/2019, non-binary statement, mirrored for a minimum of 593 with w = 5.5 (exact in binary).
        (600.0, "pass"),
        (598.5, "pass"),
        (598.4, "conditional pass"),
        (596.0, "conditional pass"),
        (593.0, "conditional pass"),
        (592.9, "conditional fail"),
        (587.5, "conditional fail"),
        (587.4, "fail"),
    ],
)
def test_the_four_statements_about_a_minimum(value: float, expected: str) -> None:
    assert statement(value, 593.0, None, 5.5) == expected


@pytest.mark.parametrize("value", [-7.0, -1.5, -1.0, 0.0, 0.4, 1.0, 1.5, 2.5])
def test_a_maximum_is_the_mirror_image_of_a_minimum(value: float) -> None:
    assert statement(value, 0.0, None, 1.0) == statement(-value, None, 0.0, 1.0)


def test_without_a_limit_nothing_can_be_said() -> None:
    with pytest.raises(ValueError, match="without a limit"):
        statement(1.0, None, None, 0.0)
    with pytest.raises(ValueError, match="without a limit"):
        conformance_probability(1.0, 1.0, None, None)
    with pytest.raises(ValueError, match="greater than zero"):
        conformance_probability(1.0, 0.0, 1.0, None)


@pytest.mark.parametrize(
    ("value", "u", "low", "high", "expected"),
    [
        (-5.47, 0.05, None, -5.40, 0.919),  # JCGM 106:2012, the Zener diode [memory]
        (
            593.0,
            U / 2,
            593.0,
            None,
            0.500,
        ),  # constructed, computed by hand with tables of the normal distribution
        (596.0, U / 2, 593.0, None, 0.858),
        (600.0, U / 2, 593.0, None, 0.994),
        (645.0, U / 2, 593.0, 649.0, 0.924),
    ],
)
def test_probability_of_conformance_in_worked_cases(
    value: float, u: float, low: float | None, high: float | None, expected: float
) -> None:
    assert round(conformance_probability(value, u, low, high), 3) == expected


@MODEST
@given(
    value=st.floats(-50, 50),
    u=st.floats(0.01, 20),
    low=st.one_of(st.none(), st.floats(-40, 0)),
    width=st.floats(0.1, 60),
)
def test_probability_by_two_other_routes(value: float, u: float, low: float | None, width: float) -> None:
    high = width if low is None else low + width
    believed = NormalDist(value, u)
    by_statistics = believed.cdf(high) - (0.0 if low is None else believed.cdf(low))
    by_scipy = norm.cdf(high, value, u) - (0.0 if low is None else norm.cdf(low, value, u))
    ours = conformance_probability(value, u, low, high)
    assert ours == pytest.approx(by_statistics, abs=1e-12)
    assert ours == pytest.approx(by_scipy, abs=1e-12)
    assert 0.0 <= round(ours, 12) <= 1.0


@pytest.mark.parametrize(
    ("factor", "below"),
    # ILAC-G8:09/2019, its table of guard bands and false accepts, as quoted [secondary].
    [(0.0, 0.5000001), (0.83, 0.05), (1.0, 0.025), (1.5, 0.0016), (3.0, 1e-6)],
)
def test_false_accepts_stay_below_what_the_table_says(factor: float, below: float) -> None:
    assert false_accept_at_limit(factor) < below
    assert false_accept_at_limit(factor) == pytest.approx(float(norm.sf(2 * factor)), rel=1e-12)
    with pytest.raises(ValueError, match="must not be negative"):
        false_accept_at_limit(-1.0)


@MODEST
@given(value=st.floats(500, 700), factor=st.sampled_from((0.83, 1.0, 1.5)))
def test_what_passes_a_guard_band_complies_at_least_as_surely_as_it_promises(
    value: float, factor: float
) -> None:
    if statement(value, 593.0, None, factor * U) == "pass":
        sure = conformance_probability(value, U / 2, 593.0, None)
        assert sure >= 1 - false_accept_at_limit(factor) - 1e-12
