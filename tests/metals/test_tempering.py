"""Tempering: the parameter against its published values, hardness against a handbook, and what must never turn."""

import tomllib
from collections.abc import Sequence
from decimal import Decimal, localcontext
from itertools import pairwise
from math import log, log10
from pathlib import Path
from typing import Any

import pytest
from e140_rows import hrc_of_brinell, hrc_of_vickers
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from traveler.metals.composition import Composition
from traveler.metals.hollomon_jaffe import accumulated, equivalent_hours, hollomon_jaffe, hours_at
from traveler.metals.tempering import grange_baughman_parameter, tempered_hardness

PUBLISHED = Path(__file__).parents[2] / "fixtures" / "published" / "tempering.toml"
CHECKS = tomllib.loads(PUBLISHED.read_text(encoding="utf-8"))["check"]
TYPICAL_4130 = {"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}


def rows(method: str) -> list[tuple[dict[str, Any], dict[str, float]]]:
    return [
        (check, dict(zip(check["columns"], map(float, values), strict=True)))
        for check in CHECKS
        if check["method"] == method
        for values in check["table"]
    ]


def decimal_parameter(temperature_c: float, hours: float, constant: float) -> Decimal:
    """By natural logarithms in 40 digits [1000 K]."""
    with localcontext(prec=40):
        kelvin = Decimal(str(temperature_c)) + Decimal("273.15")
        return kelvin * (Decimal(str(constant)) + Decimal(str(hours)).ln() / Decimal(10).ln()) / 1000


def solved(trace: Sequence[tuple[float, float]], constant: float = 20.0) -> float:
    """The parameter by its differential equation, in the logarithm of the hold it is worth [1000 K].

    With u = log10 t and P = T (C + u) kept while T moves: du/dt = 10^-u/ln 10 - (C + u) T'/T.
    """
    hold, start_k = -12.0, 400.0
    for (start_h, start_c), (end_h, end_c) in pairwise(trace):
        slope = (end_c - start_c) / (end_h - start_h)
        first_h, last_h = start_h, end_h
        if start_c + 273.15 < start_k:
            first_h = start_h + (start_k - 273.15 - start_c) / slope
        if end_c + 273.15 < start_k:
            last_h = start_h + (start_k - 273.15 - start_c) / slope

        def change(
            time_h: float, u: Sequence[float], slope: float = slope, c: float = start_c, h: float = start_h
        ) -> list[float]:
            kelvin = c + slope * (time_h - h) + 273.15
            return [10 ** -u[0] / log(10) - (constant + u[0]) * slope / kelvin]

        found = solve_ivp(change, (first_h, last_h), [hold], method="LSODA", rtol=1e-9, atol=1e-10)
        hold, last_c = float(found.y[0][-1]), start_c + slope * (last_h - start_h)
    return (last_c + 273.15) * (constant + hold) / 1000


@pytest.mark.parametrize(("check", "row"), rows("Hollomon-Jaffe"))
def test_parameter_of_a_hold(check: dict[str, Any], row: dict[str, float]) -> None:
    value = hollomon_jaffe(row["temperature_c"], row["hours"])
    assert value == pytest.approx(row["result"], abs=float(check["tolerance"]))
    assert value == pytest.approx(float(decimal_parameter(row["temperature_c"], row["hours"], 20)), abs=1e-9)


@pytest.mark.parametrize(("check", "row"), rows("Grange-Baughman parameter"))
def test_parameter_in_fahrenheit(check: dict[str, Any], row: dict[str, float]) -> None:
    """The second route is their own: degF + 459.67."""
    value = grange_baughman_parameter(row["temperature_c"], row["hours"])
    assert value == pytest.approx(row["result"], abs=float(check["tolerance"]))
    fahrenheit = row["temperature_c"] * 1.8 + 32
    assert value == pytest.approx((fahrenheit + 459.67) * (18 + log10(row["hours"])) / 1000, abs=1e-9)


@pytest.mark.parametrize(("check", "row"), rows("equivalent time"))
def test_equivalent_time(check: dict[str, Any], row: dict[str, float]) -> None:
    value = equivalent_hours(row["temperature_c"], row["hours"], row["at_temperature_c"])
    assert value == pytest.approx(row["result"], abs=float(check["tolerance"]))
    there = decimal_parameter(row["at_temperature_c"], value, 20)
    assert float(there) == pytest.approx(hollomon_jaffe(row["temperature_c"], row["hours"]), abs=1e-9)


@pytest.mark.parametrize(("check", "row"), rows("trace"))
def test_parameter_of_a_whole_treatment(check: dict[str, Any], row: dict[str, float]) -> None:
    hot, hold = row["temperature_c"], row["hours"]
    up, down = (hot - 20) / row["heat_c_per_h"], (hot - 20) / row["cool_c_per_h"]
    trace = [(0, 20), (up, hot), (up + hold, hot), (up + hold + down, 20)]
    value = accumulated(trace)
    assert value == pytest.approx(row["result"], abs=float(check["tolerance"]))
    assert hours_at(value, hot) == pytest.approx(row["equivalent_h"], abs=float(check["tolerance"]))
    assert value == pytest.approx(solved(trace), abs=1e-4)


def test_a_hold_in_two_pieces_is_the_hold() -> None:
    assert accumulated([(0, 600), (1, 600), (2, 600)]) == pytest.approx(hollomon_jaffe(600, 2), abs=1e-12)


def test_two_cycles_hardly_care_for_their_order() -> None:
    """600 degC 2 h and 650 degC 1 h: 18.522 and 18.514; a sum of equivalent times gives 18.506 to 18.531."""
    one = accumulated([(0, 600), (2, 600), (2.0001, 650), (3.0001, 650)])
    other = accumulated([(0, 650), (1, 650), (1.0001, 600), (3.0001, 600)])
    assert (round(one, 3), round(other, 3)) == (18.522, 18.514)


def test_hollomon_jaffe_is_not_the_lower_temperature_table() -> None:
    """ASME asks for 2 and 20 h at 30 and 110 degC less than 593 degC; by the parameter it is 4.6 and 875 h."""
    assert equivalent_hours(593.3, 1, 565.6) == pytest.approx(4.6, abs=0.05)
    assert equivalent_hours(593.3, 1, 482.2) == pytest.approx(875, rel=0.002)


@pytest.mark.parametrize(
    "trace",
    [
        [],
        [(0, 600)],
        [(0, 600), (0, 610)],
        [(1, 600), (0, 610)],
        [(0, 600), (1, -300)],
        [(0, 20), (float("nan"), 20)],
    ],
)
def test_no_such_trace(trace: list[tuple[float, float]]) -> None:
    with pytest.raises(ValueError, match=r"trace|temperature_c"):
        accumulated(trace)


def test_a_cold_trace_tempers_nothing() -> None:
    assert accumulated([(0, 20), (1000, 120)]) == 0.0


@pytest.mark.parametrize("check", [check for check in CHECKS if check["method"] == "tempered hardness"])
def test_hardness_of_tempered_4130_in_the_handbook(check: dict[str, Any]) -> None:
    errors = [
        hrc_of_vickers(value) - hrc_of_brinell(float(brinell))
        for temperature_c, brinell in check["table"]
        if (value := hardness(grange_baughman_parameter(float(temperature_c), 1), check["composition"]))
    ]
    assert sum(map(abs, errors)) / len(check["table"]) <= float(check["mean_error_hrc"])


def hardness(parameter: float, composition: Composition = TYPICAL_4130) -> float:
    outcome = tempered_hardness(parameter, composition)
    assert outcome.value is not None
    return outcome.value


def test_a_600_f_bake_is_no_temper() -> None:
    """4130 after 4 h at 316 degC keeps about 460 HV."""
    assert hardness(grange_baughman_parameter(316, 4)) == pytest.approx(460, abs=15)


def test_the_working_adds_up() -> None:
    outcome = tempered_hardness(29.0, TYPICAL_4130)
    assert sum(outcome.parts.values()) == outcome.value
    assert list(outcome.parts) == ["carbon base", "Mn", "Si", "Cr", "Mo"]
    assert outcome.parts["Mo"] == pytest.approx(0.20 * (120 + 105) / 2)
    assert outcome.parts["Cr"] == pytest.approx(0.95 * 55)


def test_molybdenum_counts_whole_without_chromium() -> None:
    assert tempered_hardness(28.0, {"C": 0.30, "Mo": 0.20, "Cr": 0.49}).parts["Mo"] == pytest.approx(48)
    assert tempered_hardness(28.0, {"C": 0.30, "Mo": 0.20, "Cr": 0.50}).parts["Mo"] == pytest.approx(24)


@pytest.mark.parametrize(
    ("parameter", "composition", "sentence"),
    [
        (28.0, {"C": 0.24}, "C 0.24 % is below 0.25 %"),
        (28.0, {"C": 0.67}, "C 0.67 % is above 0.66 %"),
        (14.9, {"C": 0.30}, "tempering parameter 14.9 (1000 R) is below 15 (1000 R)"),
        (32.6, {"C": 0.30}, "tempering parameter 32.6 (1000 R) is above 32.5 (1000 R)"),
        (28.0, {}, "C 0 % is below 0.25 %"),
    ],
)
def test_refused(parameter: float, composition: Composition, sentence: str) -> None:
    outcome = tempered_hardness(parameter, composition)
    assert (outcome.status, outcome.value, outcome.parts) == ("not applicable", None, {})
    assert outcome.reasons[0] == sentence


@pytest.mark.parametrize(
    ("parameter", "change", "sentence"),
    [
        (19.9, {}, "tempering parameter 19.9 (1000 R) is below 20 (1000 R)"),
        (30.1, {}, "tempering parameter 30.1 (1000 R) is above 30 (1000 R)"),
        (28.0, {"Cr": 1.3}, "Cr 1.3 % is above 1.2 %"),
        (28.0, {"Cu": 0.5}, "Cu 0.5 % is above 0.35 %, and the method has no factor for it"),
        (28.0, {"W": 1.0}, "W 1 % is above 0.06 %, and the method has no factor for it"),
    ],
)
def test_stretched_but_still_given(parameter: float, change: Composition, sentence: str) -> None:
    outcome = tempered_hardness(parameter, {**TYPICAL_4130, **change})
    assert outcome.status == "extrapolated"
    assert outcome.reasons[0] == sentence
    assert outcome.value is not None


def test_nothing_is_promised_below_20_hrc() -> None:
    outcome = tempered_hardness(30.0, {"C": 0.30, "Mn": 0.5})
    assert outcome.status == "extrapolated"
    assert "is below 238 HV" in outcome.reasons[0]


def test_it_says_that_the_base_is_our_fit() -> None:
    outcome = tempered_hardness(28.0, TYPICAL_4130)
    assert outcome.status == "ok"
    assert any("our fit" in reason for reason in outcome.reasons)
    assert "our fit" in outcome.source.title


@pytest.mark.parametrize("parameter", [0.0, -1.0, float("nan"), float("inf")])
def test_no_such_parameter(parameter: float) -> None:
    with pytest.raises(ValueError, match="parameter"):
        tempered_hardness(parameter, TYPICAL_4130)


temperatures_c = st.floats(300, 700)
holds_h = st.floats(0.25, 10)
chromium_steels = st.fixed_dictionaries({
    "C": st.floats(0.25, 0.66), "Mn": st.floats(0, 1.9), "Si": st.floats(0, 0.6), "Ni": st.floats(0, 2),
    "Cr": st.floats(0.5, 1.2), "Mo": st.floats(0, 0.35), "V": st.floats(0, 0.1),
})  # fmt: skip


@settings(max_examples=100, deadline=None)
@given(temperatures_c, temperatures_c, holds_h, holds_h, chromium_steels)
def test_hotter_or_longer_never_hardens(
    one_c: float, other_c: float, one_h: float, other_h: float, steel: Composition
) -> None:
    (cold, hot), (short, long) = sorted((one_c, other_c)), sorted((one_h, other_h))
    more = grange_baughman_parameter(hot, long)
    if more <= 32.5:
        soft = hardness(more, steel)
        assert soft <= hardness(grange_baughman_parameter(cold, long), steel) + 1e-9
        assert soft <= hardness(grange_baughman_parameter(hot, short), steel) + 1e-9


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.1, 5), st.floats(20, 720)), min_size=1, max_size=6), st.floats(100, 720)
)
def test_more_heat_never_takes_tempering_back(legs: list[tuple[float, float]], last_c: float) -> None:
    trace, time_h = [(0.0, 20.0)], 0.0
    for hours, temperature_c in legs:
        time_h += hours
        trace.append((time_h, temperature_c))
    assert accumulated([*trace, (time_h + 1, last_c)]) >= accumulated(trace)
