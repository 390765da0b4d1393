"""What a recorded cycle is worth, against the differential equation, other marches and constant temperature."""

from array import array
from collections.abc import Sequence
from itertools import pairwise
from math import exp, log, nan, pi
from random import Random

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from traveler.chart.couples import Couple
from traveler.chart.cycle import cycle_parameters, hydrogen_left_along, known_stretches
from traveler.metals.hollomon_jaffe import accumulated, hollomon_jaffe
from traveler.metals.hydrogen import (
    diffusivity_coe_moreton,
    diffusivity_sakamoto_tabaru,
    fraction_left,
    hydrogen_left,
)
from traveler.metals.outcome import Outcome

Corners = Sequence[tuple[float, float]]
"""(hours, degC), straight between them."""


def cycle(hold_c: float, hold_h: float, up: float, down: float, start_c: float = 20.0) -> Corners:
    """Heated and cooled by so many C deg/h."""
    there = (hold_c - start_c) / up
    back = there + hold_h + (hold_c - start_c) / down
    return [(0.0, start_c), (there, hold_c), (there + hold_h, hold_c), (back, start_c)]


def sampled(corners: Corners, every_s: float) -> tuple["array[float]", "array[float]"]:
    """Seconds and temperatures of a logger, the corners among them."""
    last = corners[-1][0] * 3600
    times = sorted(
        {*(every_s * row for row in range(int(last / every_s) + 1)), *(at * 3600 for at, _ in corners)}
    )
    return array("d", times), array("d", (at(corners, seconds / 3600) for seconds in times))


def at(corners: Corners, hour: float) -> float:
    for (start_h, start_c), (end_h, end_c) in pairwise(corners):
        if hour <= end_h:
            return start_c + (end_c - start_c) * (hour - start_h) / (end_h - start_h)
    return corners[-1][1]


def solved(corners: Corners, constant: float) -> float:
    """By the differential equation in the hold t that P is worth at T: dP/dt = T/(1000 t ln 10) [1000 K].

    As the logarithm u = log10 t of that hold, with P = T (C + u) kept while T moves.
    """
    u = -12.0
    temperature_k = 400.0
    for (start_h, start_c), (end_h, end_c) in pairwise(corners):
        slope = (end_c - start_c) / (end_h - start_h)
        edge_h = start_h + (400.0 - 273.15 - start_c) / slope if slope else start_h
        first_h, last_h = start_h, end_h
        if start_c + 273.15 < 400:
            first_h = max(first_h, edge_h)
        if end_c + 273.15 < 400:
            last_h = min(last_h, edge_h)
        if first_h >= last_h:
            continue

        def change(
            hour: float, now: Sequence[float], slope: float = slope, h: float = start_h, c: float = start_c
        ) -> list[float]:
            kelvin = c + slope * (hour - h) + 273.15
            return [10 ** -now[0] / log(10) - (constant + now[0]) * slope / kelvin]

        found = solve_ivp(change, (first_h, last_h), [u], method="LSODA", rtol=1e-9, atol=1e-10)
        u = float(found.y[0][-1])
        temperature_k = start_c + slope * (last_h - start_h) + 273.15
    return temperature_k * (constant + u) / 1000


def parameters(times: "array[float]", values: "array[float]") -> tuple[float, ...]:
    return cycle_parameters(times, Couple("TC1", values), "degC")


# Recomputed by marching in small steps and by the integral, which agree to 0.003; no published result.
RAMPS = [
    (600, 2, 200, 200, 17.759),
    (620, 1, 100, 100, 17.987),
    (675, 1, 222, 278, 19.026),
    (595, 1, 55, 55, 17.555),
    (600, 1, 100, 100, 17.582),
]


@pytest.mark.parametrize(("hold_c", "hold_h", "up", "down", "expected"), RAMPS)
@pytest.mark.parametrize("every_s", [10.0, 120.0, 600.0])
def test_a_cycle_with_its_ramps(
    hold_c: float, hold_h: float, up: float, down: float, expected: float, every_s: float
) -> None:
    corners = cycle(hold_c, hold_h, up, down)
    found = parameters(*sampled(corners, every_s))
    assert found[0] == pytest.approx(expected, abs=0.003)
    assert found == pytest.approx((solved(corners, 20.0), solved(corners, 18.0)), abs=0.003)
    trace = [(hour, temperature) for hour, temperature in corners]
    assert found == pytest.approx((accumulated(trace, 20.0), accumulated(trace, 18.0)), abs=0.002)


@pytest.mark.parametrize(
    ("corners", "expected"),
    [
        # EN 13445-4: P = T (20 + lg t)/1000; holds without ramps to speak of.
        ([(0, 600), (1, 600)], 17.463),
        ([(0, 620), (2, 620)], 18.132),
        ([(0, 595), (1, 595)], 17.363),
        ([(0, 540), (10, 540)], 17.076),
        # 1 h and 1 h at 600 degC, cold between them, are 2 h; 620 degC for 1 h, then 600 degC for 1 h.
        ([(0, 600), (1, 600), (1.001, 20), (9, 20), (9.001, 600), (10, 600), (10.001, 600)], 17.726),
        ([(0, 620), (1, 620), (1.0001, 600), (2, 600)], 17.976),
    ],
)
def test_holds(corners: Corners, expected: float) -> None:
    assert parameters(*sampled(corners, 30.0))[0] == pytest.approx(expected, abs=0.0015)


@pytest.mark.parametrize(("noise", "places"), [(0.05, 1), (0.3, 0), (0.5, 1), (1.0, 1), (2.0, 0)])
def test_noise_and_whole_degrees(noise: float, places: int) -> None:
    """One reading in five seconds, held against the march over every one of them."""
    times, values = sampled(cycle(610, 1.25, 220, 270), 5.0)
    dice = Random(4130)
    read = array("d", (round(max(value + dice.gauss(0, noise), 0.0), places) for value in values))
    found = parameters(times, read)
    trace = list(zip((seconds / 3600 for seconds in times), read, strict=True))
    assert found == pytest.approx((accumulated(trace, 20.0), accumulated(trace, 18.0)), abs=0.002)
    assert found == pytest.approx(
        (solved(cycle(610, 1.25, 220, 270), 20.0), solved(cycle(610, 1.25, 220, 270), 18.0)), abs=0.004
    )


def test_uneven_rows() -> None:
    """The mean of a hold is over time, not over rows: fifty close readings do not outweigh one hour."""
    times = array("d", [*range(0, 500, 10), 4100.0, 4110.0])
    values = array("d", [*[603.0] * 50, 600.0, 600.0])
    trace = list(zip((seconds / 3600 for seconds in times), values, strict=True))
    assert parameters(times, values)[0] == pytest.approx(accumulated(trace, 20.0), abs=5e-4)


def test_fahrenheit_is_the_same_metal() -> None:
    times, values = sampled(cycle(600, 2, 200, 200), 60.0)
    in_f = array("d", (value * 1.8 + 32 for value in values))
    found = cycle_parameters(times, Couple("TC1", in_f), "degF")
    assert found == pytest.approx(parameters(times, values), abs=1e-5)


def test_below_400_k_nothing_is_counted() -> None:
    times, values = sampled([(0, 20), (1, 126), (50, 126), (51, -10)], 60.0)
    assert parameters(times, values) == (0.0, 0.0)


@settings(max_examples=40, deadline=None)
@example([(1.0, 20.0), (1.0, 128.0)], 20.0)  # a minute above the 127 degC from which on heat counts
@example([(1.0, 20.0), (1.0, 126.9)], 90.0)
@example([(1.0, 126.0), (3.0, 127.5), (1.0, 125.0)], 20.0)
@given(
    st.lists(st.tuples(st.floats(0.02, 3), st.floats(20, 720)), min_size=2, max_size=8),
    st.sampled_from([20.0, 90.0, 400.0]),
)
def test_any_course(steps: list[tuple[float, float]], every_s: float) -> None:
    corners = [
        (sum(hours for hours, _ in steps[: index + 1]), temperature)
        for index, (_, temperature) in enumerate(steps)
    ]
    corners = [(hour - corners[0][0], temperature) for hour, temperature in corners]
    times, values = sampled(corners, every_s)
    found = parameters(times, values)
    assert found == pytest.approx((accumulated(corners, 20.0), accumulated(corners, 18.0)), abs=0.002)


def test_only_the_known_stretches_count() -> None:
    """An hour at 600 degC is seen of three: what an open couple reads is not heat."""
    times = array("d", range(0, 10801, 60))
    values = array("d", [600.0] * 181)
    for row in range(61, 180):
        values[row] = 1372.0
    values[180] = nan
    couple = Couple("TC1", values, ((60, 180),))
    assert cycle_parameters(times, couple, "degC")[0] == pytest.approx(hollomon_jaffe(600, 1), abs=1e-9)
    assert cycle_parameters(times, Couple("TC1", values, ((0, 180),)), "degC") == (0.0, 0.0)


@pytest.mark.parametrize(
    ("unknown", "expected"),
    [
        ((), [(0, 9)]),
        (((3, 5),), [(0, 3), (5, 9)]),
        (((0, 5),), [(5, 9)]),
        (((5, 9),), [(0, 5)]),
        (((0, 9),), []),
        (((2, 4), (4, 7)), [(0, 2), (7, 9)]),  # row 4 alone is no stretch
        (((0, 1), (1, 2), (8, 9)), [(2, 8)]),
    ],
)
def test_known_stretches(unknown: tuple[tuple[int, int], ...], expected: list[tuple[int, int]]) -> None:
    assert list(known_stretches(Couple("TC1", array("d", [600.0] * 10), unknown))) == expected


def number(outcome: Outcome) -> float:
    assert outcome.value is not None
    return outcome.value


@pytest.mark.parametrize("temperature_c", [60.0, 155.0, 200.0, 316.0, 350.0, 600.0, 650.0])
@pytest.mark.parametrize(("thickness_mm", "hours"), [(6.4, 1.0), (25.4, 4.0), (75.0, 0.1)])
def test_a_steady_bake_is_what_it_is_elsewhere(
    temperature_c: float, thickness_mm: float, hours: float
) -> None:
    steady = hydrogen_left(thickness_mm, temperature_c, hours)
    course = [temperature_c] * 50
    along = hydrogen_left_along(thickness_mm, [hours * row / 49 for row in range(50)], course)
    assert number(along.least) == pytest.approx(number(steady.least), rel=1e-9)
    assert number(along.most) == pytest.approx(number(steady.most), rel=1e-9)


def test_one_inch_at_600_f_for_an_hour() -> None:
    """The rule of thumb leaves 62 to 81 % (constant temperature, Crank's series)."""
    band = hydrogen_left_along(25.4, [0.0, 0.5, 1.0], [315.6, 315.6, 315.6])
    assert (round(number(band.least), 2), round(number(band.most), 2)) == (0.62, 0.81)


def by_integral(thickness_mm: float, corners: Corners) -> tuple[float, float]:
    """Fourier numbers of the faster and the slower side by quadrature, from 44 degC up."""

    def both(hour: float) -> tuple[float, float]:
        temperature_c = at(corners, hour)
        slow, fast = sorted(
            (
                number(diffusivity_coe_moreton(temperature_c)),
                number(diffusivity_sakamoto_tabaru(temperature_c)),
            )
        )
        return fast, slow

    breaks = [hour for hour, _ in corners[1:-1]]
    area = [
        quad(lambda hour, side=side: both(hour)[side], 0, corners[-1][0], points=breaks, limit=400)[0]
        for side in (0, 1)
    ]
    return area[0] * 3600 * 100 / thickness_mm**2, area[1] * 3600 * 100 / thickness_mm**2


@pytest.mark.parametrize("every_s", [5.0, 60.0, 300.0])
def test_a_bake_with_its_ramps(every_s: float) -> None:
    corners = cycle(300, 2, 120, 60, start_c=45.0)
    fast, slow = by_integral(25.4, corners)
    times, values = sampled(corners, every_s)
    band = hydrogen_left_along(25.4, [seconds / 3600 for seconds in times], values)
    assert number(band.least) == pytest.approx(fraction_left(fast), rel=0.004)
    assert number(band.most) == pytest.approx(fraction_left(slow), rel=0.002)


def test_below_the_table_only_the_faster_side_counts() -> None:
    """At 30 degC the slower diffusivity is not known, and nothing leaves by it."""
    band = hydrogen_left_along(3.0, [0.0, 24.0, 48.0], [30.0, 30.0, 30.0])
    assert number(band.most) == 1.0
    by_hand = 1.04e-3 * exp(-21_480 / (8.314 * 303.15)) * 48 * 3600 * 100 / 9
    assert number(band.least) == pytest.approx(
        1 - 4 * (by_hand / pi) ** 0.5 if by_hand < 0.02 else fraction_left(by_hand)
    )
    assert band.most.reasons == ("below 44 degC nothing is counted",)
    assert number(hydrogen_left_along(3.0, [0.0, 48.0], [5.0, 5.0]).least) == 1.0


def test_above_the_table_its_last_row_counts() -> None:
    hot = hydrogen_left_along(25.4, [0.0, 0.1], [720.0, 720.0])
    last = hydrogen_left_along(25.4, [0.0, 0.1], [650.0, 650.0])
    assert number(hot.least) == number(last.least)
    assert number(hot.most) == number(last.most)
    assert hot.least.status == hot.most.status == "extrapolated"
    assert "above 650 degC the diffusivities of 650 degC are taken" in hot.least.reasons


def test_nothing_is_counted_beside_a_missing_temperature() -> None:
    seen = hydrogen_left_along(25.4, [0.0, 1.0], [300.0, 300.0])
    holed = hydrogen_left_along(25.4, [0.0, 1.0, 2.0, 3.0], [300.0, 300.0, nan, 300.0])
    assert number(holed.least) == number(seen.least)
    assert number(holed.most) == number(seen.most)
    assert "nothing is counted where the temperature is not known" in holed.most.reasons
    assert number(hydrogen_left_along(25.4, [0.0, 1.0], [nan, nan]).most) == 1.0


def test_the_faster_side_alone_is_within_its_table_in_a_bake() -> None:
    band = hydrogen_left_along(25.4, [0.0, 1.0], [300.0, 300.0])
    assert band.least.status == "ok"
    assert band.most.status == "extrapolated"


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(st.lists(st.floats(-20, 800), min_size=2, max_size=8), st.floats(1, 100))
def test_the_slower_side_never_leaves_less(temperatures: list[float], thickness_mm: float) -> None:
    times = [0.1 * row for row in range(len(temperatures))]
    band = hydrogen_left_along(thickness_mm, times, temperatures)
    assert 0 <= number(band.least) <= number(band.most) <= 1


@pytest.mark.parametrize(
    ("thickness_mm", "times", "temperatures", "words"),
    [
        (0.0, [0.0, 1.0], [300.0, 300.0], "thickness_mm"),
        (25.4, [0.0], [300.0], "make no course"),
        (25.4, [0.0, 1.0, 2.0], [300.0, 300.0], "make no course"),
        (25.4, [0.0, 0.0], [300.0, 300.0], "must rise"),
    ],
)
def test_no_such_course(
    thickness_mm: float, times: list[float], temperatures: list[float], words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        hydrogen_left_along(thickness_mm, times, temperatures)
