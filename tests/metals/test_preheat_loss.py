"""How long preheat lasts: a textbook's example, another library's convection, scipy's integration."""

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from fluids.atmosphere import ATMOSPHERE_1976
from ht.conv_free_immersed import Nu_horizontal_plate_McAdams, Nu_vertical_plate_Churchill
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from traveler.metals.arc_clock import preheat_stays_good_s
from traveler.metals.free_convection import (
    AIR_RANGE_K,
    air_at,
    convection_w_m2k,
    nusselt_above,
    nusselt_vertical,
    radiation_w_m2,
)
from traveler.metals.outcome import Outcome
from traveler.metals.preheat_loss import (
    Orientation,
    heat_flow_w_m2,
    patch_cools_s,
    specific_heat_j_kgk,
    whole_plate_cools_s,
)

PUBLISHED = Path(__file__).parents[2] / "fixtures" / "published" / "preheat_loss.toml"
CHECKS = tomllib.loads(PUBLISHED.read_text(encoding="utf-8"))["check"]


def rows(method: str) -> list[tuple[dict[str, Any], dict[str, float]]]:
    return [
        (check, dict(zip(check["columns"], map(float, values), strict=True)))
        for check in CHECKS
        if check["method"] == method
        for values in check["table"]
    ]


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


def number(outcome: Outcome) -> float:
    assert outcome.value is not None
    return outcome.value


def flow_by_another_library(surface_c: float, emissivity: float) -> float:
    """Vertical plate 300 mm high in air at 20 degC, by `ht` and the air of the US Standard Atmosphere 1976 [W/m2]."""
    film_k = (surface_c + 20) / 2 + 273.15
    viscosity = ATMOSPHERE_1976.viscosity(film_k) / (101_325 / (287.05 * film_k))
    conductivity = ATMOSPHERE_1976.thermal_conductivity(film_k)
    grashof = 9.80665 / film_k * (surface_c - 20) * 0.3**3 / viscosity**2
    film_w_m2k = Nu_vertical_plate_Churchill(Pr=0.69, Gr=grashof) * conductivity / 0.3
    radiated = 5.670374e-8 * ((surface_c + 273.15) ** 4 - 293.15**4)
    return film_w_m2k * (surface_c - 20) + emissivity * radiated


def minutes_by_another_library(from_c: float, to_c: float, thickness_mm: float, emissivity: float) -> float:
    volume, area = 0.3 * 0.3 * thickness_mm / 1000, 2 * 0.3 * 0.3 + 4 * 0.3 * thickness_mm / 1000

    def change(_: float, temperature: np.ndarray) -> list[float]:
        t = float(temperature[0])
        heat = 7850 * volume * (425 + t * (0.773 + t * (-1.69e-3 + t * 2.22e-6)))
        return [-flow_by_another_library(t, emissivity) * area / heat]

    seconds = number(whole_plate_cools_s(from_c, to_c, thickness_mm, emissivity=emissivity))
    found = solve_ivp(change, (0, 1.2 * seconds), [from_c], rtol=1e-8, dense_output=True)
    return brentq(lambda time_s: float(found.sol(time_s)[0]) - to_c, 0, 1.2 * seconds) / 60


def patch_by_finite_differences(
    heated_radius_mm: float, shares: list[float], thickness_mm: float | None = None
) -> list[float]:
    """Seconds until the centre of a disc of 200 degC in a plate of 20 degC is down to each share of its excess.

    800 rings over eight radii, a hundred of them hot, diffusivity 12 mm2/s; with a thickness both faces lose
    heat as well, by the flow of a whole plate.
    """
    cells = 800
    width = 8 * heated_radius_mm / cells
    middle, edge = (np.arange(cells) + 0.5) * width, np.arange(cells + 1) * width
    start = np.where(middle < heated_radius_mm, 200.0, 20.0)
    surface_c = np.linspace(20.01, 201, 200)
    flows = np.array([heat_flow_w_m2(t) for t in surface_c])
    heats = np.array([specific_heat_j_kgk(t) for t in surface_c])

    def change(_: float, temperature: np.ndarray) -> np.ndarray:
        through = np.zeros(cells + 1)
        through[1:-1] = edge[1:-1] * np.diff(temperature) / width
        conducted = 12.0 * np.diff(through) / (middle * width)
        if thickness_mm is None:
            return conducted
        heat = 7850 * np.interp(temperature, surface_c, heats) * thickness_mm / 1000
        return conducted - 2 * np.interp(temperature, surface_c, flows) / heat

    times = np.linspace(0, 450, 901)
    found = solve_ivp(change, (0, 450), start, "LSODA", times, rtol=1e-5, atol=1e-4, lband=1, uband=1)
    return [float(np.interp(-(20 + 180 * share), -found.y[0], times)) for share in shares]


FIRE_SCREEN = next(check for check in CHECKS if check["method"] == "fire screen")


def test_fire_screen_of_the_textbook() -> None:
    film_w_m2k = convection_w_m2k(232, 23, 0.71)
    assert round(film_w_m2k, 1) == float(FIRE_SCREEN["film_w_m2k"])
    area_m2 = 0.71 * 1.02
    assert film_w_m2k * area_m2 * (232 - 23) == pytest.approx(float(FIRE_SCREEN["convection_w"]), rel=0.005)
    assert radiation_w_m2(232, 23, 1.0) * area_m2 == pytest.approx(
        float(FIRE_SCREEN["radiation_w"]), rel=0.005
    )


@pytest.mark.parametrize("rayleigh", [1e4, 1e6, 1e8, 1.813e9, 1e11])
def test_convection_as_another_library_has_it(rayleigh: float) -> None:
    assert nusselt_vertical(rayleigh, 0.69) == pytest.approx(
        Nu_vertical_plate_Churchill(Pr=0.69, Gr=rayleigh / 0.69), rel=1e-9
    )
    assert nusselt_above(rayleigh) == pytest.approx(
        Nu_horizontal_plate_McAdams(Pr=0.69, Gr=rayleigh / 0.69, buoyancy=True), rel=1e-9
    )


@pytest.mark.parametrize("temperature_k", [250, 300, 333, 400, 475, 500, 600])
def test_air_as_the_standard_atmosphere_has_it(temperature_k: float) -> None:
    """US Standard Atmosphere 1976: Sutherland's viscosity and its own conductivity, at 101 325 Pa."""
    air = air_at(temperature_k)
    density = 101_325 / (287.05 * temperature_k)
    viscosity = ATMOSPHERE_1976.viscosity(temperature_k) / density
    assert air.viscosity_m2_s == pytest.approx(viscosity, rel=0.03)
    assert air.conductivity_w_mk == pytest.approx(
        ATMOSPHERE_1976.thermal_conductivity(temperature_k), rel=0.01
    )


@pytest.mark.parametrize(
    "temperature_k", [*(end + side for end, side in zip(AIR_RANGE_K, (-1, 1), strict=True)), float("nan")]
)
def test_no_air_outside_the_table(temperature_k: float) -> None:
    with pytest.raises(ValueError, match="air is tabulated"):
        air_at(temperature_k)


@pytest.mark.parametrize(("check", "row"), rows("whole plate"))
def test_whole_plate(check: dict[str, Any], row: dict[str, float]) -> None:
    for share in (90, 80, 70):
        to_c = row["from_c"] * share / 100
        clock = whole_plate_cools_s(row["from_c"], to_c, row["thickness_mm"], emissivity=row["emissivity"])
        minutes = number(clock) / 60
        printed = row[f"to_{share}"]
        allowed = float(check["rounding_min"]) + float(check["relative_tolerance"]) * printed
        assert abs(minutes - printed) <= allowed
        second = minutes_by_another_library(row["from_c"], to_c, row["thickness_mm"], row["emissivity"])
        assert minutes == pytest.approx(second, rel=0.01)
        assert clock.status == "ok"


@pytest.mark.parametrize(("check", "row"), rows("quarter inch above 300 degF"))
def test_quarter_inch_above_300_f(check: dict[str, Any], row: dict[str, float]) -> None:
    for surface, emissivity in (("scaled", 0.8), ("bright", 0.3)):
        clock = whole_plate_cools_s(celsius(row["from_f"]), celsius(300), 6.35, emissivity=emissivity)
        allowed = float(check["rounding_min"]) + float(check["relative_tolerance"]) * row[surface]
        assert abs(number(clock) / 60 - row[surface]) <= allowed


@pytest.mark.parametrize(("check", "row"), rows("patch by conduction"))
def test_patch_by_conduction(check: dict[str, Any], row: dict[str, float]) -> None:
    shares = [0.9, 0.8, 0.7]
    found = [number(patch_cools_s(200, 20 + 180 * share, row["heated_radius_mm"])) for share in shares]
    assert found == pytest.approx([row["ten"], row["twenty"], row["thirty"]], abs=float(check["tolerance"]))
    assert found == pytest.approx(patch_by_finite_differences(row["heated_radius_mm"], shares), rel=0.01)


@pytest.mark.parametrize(("thickness_mm", "heated_radius_mm"), [(6.4, 75.0), (6.4, 150.0), (25.0, 75.0)])
def test_patch_that_loses_heat_both_ways(thickness_mm: float, heated_radius_mm: float) -> None:
    """The product of the two losses stays within 5 % of the equation solved in rings, and never over it."""
    shares = [0.9, 0.8, 0.7]
    solved = patch_by_finite_differences(heated_radius_mm, shares, thickness_mm)
    for share, seconds in zip(shares, solved, strict=True):
        clock = preheat_stays_good_s(200, 20 + 180 * share, thickness_mm, heated_radius_mm)
        assert 0.95 * seconds <= number(clock) <= seconds
        assert number(clock) < min(clock.inputs["by_surface_s"], clock.inputs["by_conduction_s"])


@pytest.mark.parametrize("orientation", ["vertical", "horizontal"])
def test_lying_or_standing_differs_little(orientation: Orientation) -> None:
    standing = number(whole_plate_cools_s(200, 160, 10))
    assert number(whole_plate_cools_s(200, 160, 10, orientation=orientation)) == pytest.approx(
        standing, rel=0.1
    )


def test_thick_metal_in_a_strong_draught_of_heat_is_stretched() -> None:
    """300 mm of steel at 550 degC: the Biot number passes 0.1."""
    clock = whole_plate_cools_s(550, 500, 300)
    assert clock.status == "extrapolated"
    assert clock.reasons[0].startswith("Biot number")
    assert whole_plate_cools_s(200, 160, 75).inputs["biot"] == pytest.approx(0.0167, abs=0.001)


@pytest.mark.parametrize(("from_c", "to_c", "ambient_c"), [(620, 300, 20), (150, 15, 5)])
def test_outside_the_specific_heat_it_is_stretched(from_c: float, to_c: float, ambient_c: float) -> None:
    assert whole_plate_cools_s(from_c, to_c, 6, ambient_c).status == "extrapolated"


@pytest.mark.parametrize("radius_mm", [None, 75.0])
def test_metal_never_falls_below_its_surroundings(radius_mm: float | None) -> None:
    clock = preheat_stays_good_s(60, 20, 6, radius_mm, ambient_c=25)
    assert (clock.status, clock.value) == ("not applicable", None)
    assert clock.reasons == ("20 degC is not above the surroundings, so metal does not fall below it",)


@pytest.mark.parametrize("radius_mm", [None, 75.0])
def test_a_reading_below_the_minimum_has_no_time_left(radius_mm: float | None) -> None:
    clock = preheat_stays_good_s(140, 150, 6, radius_mm)
    assert clock.value == 0.0
    assert clock.reasons[0] == "the reading 140 degC is below the minimum 150 degC already"
    assert clock.inputs["from_c"] == 140


@pytest.mark.parametrize("radius_mm", [None, 75.0])
def test_a_reading_at_the_minimum_has_none_either(radius_mm: float | None) -> None:
    clock = preheat_stays_good_s(150, 150, 6, radius_mm)
    assert clock.value == 0.0
    assert clock.reasons == ("still air; a draught cools faster",)


@pytest.mark.parametrize(
    "call",
    [
        lambda: preheat_stays_good_s(200, 150, 0),
        lambda: preheat_stays_good_s(200, 150, 6, -75),
        lambda: preheat_stays_good_s(200, 150, 6, 75, diffusivity_mm2_s=0),
        lambda: preheat_stays_good_s(200, 150, 6, emissivity=0),
        lambda: preheat_stays_good_s(200, 150, 6, emissivity=1.2),
        lambda: preheat_stays_good_s(200, 150, 6, side_mm=0),
        lambda: whole_plate_cools_s(150, 200, 6),
        lambda: patch_cools_s(150, 200, 75),
        lambda: convection_w_m2k(20, 20, 0.3),
    ],
)
def test_no_such_plate(call: Any) -> None:
    with pytest.raises(ValueError, match=r"must (be|not be)"):
        call()


readings_c = st.floats(150, 400)
thicknesses_mm = st.floats(1, 100)
radii_mm = st.one_of(st.none(), st.floats(20, 300))


@settings(max_examples=40, deadline=None)
@given(readings_c, thicknesses_mm, thicknesses_mm)
def test_thicker_stays_hot_longer(reading_c: float, one_mm: float, other_mm: float) -> None:
    thin, thick = sorted((one_mm, other_mm))
    assert number(preheat_stays_good_s(reading_c, 140, thin)) <= number(
        preheat_stays_good_s(reading_c, 140, thick)
    )


@settings(max_examples=40, deadline=None)
@given(readings_c, readings_c, thicknesses_mm, radii_mm)
def test_a_hotter_reading_stays_good_longer(
    one_c: float, other_c: float, thickness_mm: float, radius_mm: float | None
) -> None:
    cool, hot = (
        number(preheat_stays_good_s(c, 140, thickness_mm, radius_mm)) for c in sorted((one_c, other_c))
    )
    assert cool <= hot * (1 + 1e-4) + 1e-6


@settings(max_examples=40, deadline=None)
@given(readings_c, thicknesses_mm, st.floats(20, 300), st.floats(20, 300))
def test_a_wider_patch_stays_good_longer(
    reading_c: float, thickness_mm: float, one_mm: float, other_mm: float
) -> None:
    narrow, wide = (
        preheat_stays_good_s(reading_c, 140, thickness_mm, mm) for mm in sorted((one_mm, other_mm))
    )
    whole = preheat_stays_good_s(reading_c, 140, thickness_mm)
    assert number(narrow) <= number(wide) * (1 + 1e-4) + 1e-6
    assert number(wide) <= number(whole)
