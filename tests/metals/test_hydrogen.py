"""Hydrogen out of a plate: Crank's numbers, a solution by finite differences, bakes judged, what never turns."""

import tomllib
from functools import cache
from itertools import pairwise
from math import exp, log
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from traveler.metals.hydrogen import (
    diffusivity_coe_moreton,
    diffusivity_sakamoto_tabaru,
    fourier_number_for,
    fraction_left,
    hours_to_leave,
    hydrogen_left,
)
from traveler.metals.outcome import Outcome

PUBLISHED = Path(__file__).parents[2] / "fixtures" / "published" / "hydrogen.toml"
CHECKS = tomllib.loads(PUBLISHED.read_text(encoding="utf-8"))["check"]


def rows(method: str) -> list[tuple[dict[str, Any], dict[str, float]]]:
    return [
        (check, dict(zip(check["columns"], map(float, values), strict=True)))
        for check in CHECKS
        if check["method"] == method
        for values in check["table"]
    ]


@cache
def by_finite_differences(fourier_number: float) -> float:
    """Mean content of a slab of thickness 1 that began at 1, both faces at 0, in 400 cells."""
    cells = 400
    width = 1 / cells

    def change(_: float, content: np.ndarray) -> np.ndarray:
        ghost_left, ghost_right = -content[0], -content[-1]
        padded = np.concatenate(([ghost_left], content, [ghost_right]))
        return np.diff(padded, 2) / width**2

    start, span = np.ones(cells), (0, fourier_number)
    found = solve_ivp(change, span, start, method="LSODA", rtol=1e-6, atol=1e-8, lband=1, uband=1)
    return float(found.y[:, -1].mean())


def number(outcome: Outcome) -> float:
    assert outcome.value is not None
    return outcome.value


@pytest.mark.parametrize(("check", "row"), rows("Crank"))
def test_slab(check: dict[str, Any], row: dict[str, float]) -> None:
    left = fraction_left(row["fourier_number"])
    assert left == pytest.approx(row["left"], abs=float(check["tolerance"]))
    assert left == pytest.approx(by_finite_differences(row["fourier_number"]), abs=2e-4)


@pytest.mark.parametrize("left", [0.999, 0.9, 0.5, 0.1, 0.01, 1e-6])
def test_the_inverse_inverts(left: float) -> None:
    assert fraction_left(fourier_number_for(left)) == pytest.approx(left, rel=1e-9)


def test_the_two_series_meet() -> None:
    """Long series and short-time solution at the seam."""
    assert fraction_left(0.02 - 1e-12) == pytest.approx(fraction_left(0.02), abs=1e-5)


@pytest.mark.parametrize(("check", "row"), rows("Coe-Moreton"))
def test_each_row_of_the_table_is_itself(check: dict[str, Any], row: dict[str, float]) -> None:
    assert number(diffusivity_coe_moreton(row["temperature_c"])) == row["diffusivity_cm2_s"]


def test_between_rows_as_one_activated_process() -> None:
    """By hand between 60 and 155 degC, at 100: the slope in 1/T is 8259 K."""
    activation_k = log(4.9e-5 / 2.0e-7) / (1 / 333.15 - 1 / 428.15)
    assert activation_k == pytest.approx(8259, abs=1)
    by_hand = 2.0e-7 * exp(activation_k * (1 / 333.15 - 1 / 373.15))
    outcome = diffusivity_coe_moreton(100)
    assert number(outcome) == pytest.approx(by_hand, rel=1e-9)
    assert outcome.status == "extrapolated"


def test_below_the_bridge_each_row_lies_over_the_line_of_its_neighbours() -> None:
    """So the line between two rows errs to the slow side: the slope falls from row to row up to 250 degC."""
    found = [(c, number(diffusivity_coe_moreton(c))) for c in (44, 60, 155, 210, 250)]
    slopes = [
        log(hot / cold) / (1 / (cold_c + 273.15) - 1 / (hot_c + 273.15))
        for (cold_c, cold), (hot_c, hot) in pairwise(found)
    ]
    assert slopes == sorted(slopes, reverse=True)


@pytest.mark.parametrize("temperature_c", [20.0, 43.9, 651.0, float("nan")])
def test_outside_the_table_there_is_no_number(temperature_c: float) -> None:
    outcome = diffusivity_coe_moreton(temperature_c)
    assert (outcome.status, outcome.value) == ("not tabulated", None)
    assert outcome.reasons


@pytest.mark.parametrize("temperature_c", [20.0, 651.0])
def test_outside_the_table_the_band_is_empty(temperature_c: float) -> None:
    for outcome in (hydrogen_left(25, temperature_c, 1).most, hours_to_leave(25, temperature_c, 0.1).least):
        assert (outcome.status, outcome.value) == ("not tabulated", None)


@pytest.mark.parametrize(("check", "row"), rows("hours to remove nine tenths"))
def test_hours_of_a_bake(check: dict[str, Any], row: dict[str, float]) -> None:
    band = hours_to_leave(row["thickness_mm"], row["temperature_c"], 0.1)
    tolerance = float(check["relative_tolerance"])
    assert number(band.least) == pytest.approx(row["least_h"], rel=tolerance)
    assert number(band.most) == pytest.approx(row["most_h"], rel=tolerance)


@pytest.mark.parametrize(("check", "row"), rows("rule of thumb"))
def test_a_rule_of_thumb_judged(check: dict[str, Any], row: dict[str, float]) -> None:
    band = hydrogen_left(row["thickness_mm"], row["temperature_c"], row["hours"])
    tolerance = float(check["tolerance"])
    assert 1 - number(band.least) == pytest.approx(row["removed_at_best"], abs=tolerance)
    assert 1 - number(band.most) == pytest.approx(row["removed_at_worst"], abs=tolerance)


def test_the_bounds_say_whose_they_are_and_how_far_to_trust_them() -> None:
    band = hydrogen_left(25, 250, 2)
    assert (band.least.status, band.most.status) == ("ok", "extrapolated")
    assert "Coe-Moreton" in band.least.method
    assert "Sakamoto-Tabaru" in band.most.method
    assert band.most.reasons == ("temperature 250 degC is above 62 degC",)


def test_in_the_cold_the_two_diffusivities_change_places() -> None:
    assert number(diffusivity_sakamoto_tabaru(60)) > number(diffusivity_coe_moreton(60))
    band = hydrogen_left(3, 60, 24)
    assert number(band.least) < number(band.most)
    assert "Coe-Moreton" in band.most.method


@pytest.mark.parametrize(
    ("thickness_mm", "hours"), [(0, 1), (-1, 1), (float("nan"), 1), (25, -1), (25, float("inf"))]
)
def test_no_such_bake(thickness_mm: float, hours: float) -> None:
    with pytest.raises(ValueError, match=r"thickness_mm|hours"):
        hydrogen_left(thickness_mm, 250, hours)


@pytest.mark.parametrize("left", [0.0, 1.0, -0.1, float("nan")])
def test_no_such_share(left: float) -> None:
    with pytest.raises(ValueError, match="left"):
        hours_to_leave(25, 250, left)


thicknesses_mm = st.floats(1, 150)
temperatures_c = st.floats(44, 650)
holds_h = st.floats(0, 100)


@settings(max_examples=60, deadline=None)
@given(thicknesses_mm, temperatures_c, holds_h, holds_h)
def test_a_longer_bake_never_leaves_more(
    thickness_mm: float, temperature_c: float, one_h: float, other_h: float
) -> None:
    short, long = (hydrogen_left(thickness_mm, temperature_c, h) for h in sorted((one_h, other_h)))
    assert number(long.least) <= number(short.least) + 1e-5
    assert number(long.most) <= number(short.most) + 1e-5


@settings(max_examples=60, deadline=None)
@given(thicknesses_mm, thicknesses_mm, temperatures_c, holds_h)
def test_a_thicker_plate_never_keeps_less(
    one_mm: float, other_mm: float, temperature_c: float, hours: float
) -> None:
    thin, thick = (hydrogen_left(mm, temperature_c, hours) for mm in sorted((one_mm, other_mm)))
    assert number(thick.least) >= number(thin.least) - 1e-5
    assert number(thick.most) >= number(thin.most) - 1e-5


@settings(max_examples=60, deadline=None)
@given(thicknesses_mm, temperatures_c, holds_h)
def test_the_band_is_one(thickness_mm: float, temperature_c: float, hours: float) -> None:
    band = hydrogen_left(thickness_mm, temperature_c, hours)
    assert 0 <= number(band.least) <= number(band.most) <= 1


@settings(max_examples=60, deadline=None)
@given(thicknesses_mm, st.floats(155, 650), st.floats(0.02, 0.98))
def test_the_time_of_a_bake_leaves_what_was_asked(
    thickness_mm: float, temperature_c: float, left: float
) -> None:
    hours = number(hours_to_leave(thickness_mm, temperature_c, left).most)
    assert number(hydrogen_left(thickness_mm, temperature_c, hours).most) == pytest.approx(left, abs=1e-6)
