"""Couples that jump: open circuits, spikes, a torch that only looks like one, and the readings after."""

import pytest
from course_kit import A, chart_of, furnace_run

from traveler.chart.cleaning.trouble import usable
from traveler.chart.couples import Usable
from traveler.chart.model import Options, TemperatureUnit

OPTIONS = Options()


def unknown(result: Usable) -> dict[str, list[tuple[int, int]]]:
    """Unknown ranges of rows by couple."""
    return {couple.name: list(couple.unknown) for couple in result.couples if couple.unknown}


def ramped(start: float, per_row: float, count: int) -> list[float]:
    return [start + per_row * row for row in range(count)]


# One reading a minute, computed by hand: 50 C deg/min and 20 C deg are the limits, and a tie is no jump.
@pytest.mark.parametrize(
    ("step", "jumps"), [(50.0, False), (50.1, True), (-50.1, True), (19.9, False), (1372.0, True)]
)
def test_what_counts_as_a_jump(step: float, jumps: bool) -> None:
    values = [600.0] * 5 + [600.0 + step] * 5
    assert bool(unknown(usable(chart_of({"TC1": values}, 60.0), OPTIONS))) is jumps


@pytest.mark.parametrize(("step", "jumps"), [(20.0, False), (20.1, True)])
def test_a_small_step_is_no_jump_however_fast(step: float, jumps: bool) -> None:
    """20 C deg within a second are the noise of an igniter."""
    values = [600.0] * 50 + [600.0 + step] + [600.0] * 50
    assert bool(unknown(usable(chart_of({"TC1": values}, 1.0), OPTIONS))) is jumps


@pytest.mark.parametrize(("step", "jumps"), [(90.0, False), (90.2, True)])
def test_fahrenheit_has_its_own_size_of_degree(step: float, jumps: bool) -> None:
    """50 C deg/min are 90 F deg/min."""
    unit: TemperatureUnit = "degF"
    values = [1100.0] * 5 + [1100.0 + step] * 5
    result = usable(chart_of({"TC1": values}, 60.0, unit=unit), OPTIONS)
    assert bool(unknown(result)) is jumps
    if jumps:
        assert "jumps from 1100 to 1190.2 °F" in result.criterion.reasons[0]


def test_a_spike_hides_the_time_from_the_reading_before_it_to_the_reading_after() -> None:
    values = [600.0, 600.5, 601.0, 990.0, 601.5, 602.0]
    result = usable(chart_of({"TC1": values}, 10.0), OPTIONS)
    assert unknown(result) == {"TC1": [(2, 4)]}
    assert list(result.couples[0].values[4:]) == [601.5, 602.0]
    assert result.criterion.verdict == "not shown"
    assert result.criterion.reasons == ("TC1 jumps from 601 to 990 °C: unknown from 0:00:20 to 0:00:40",)
    (fault,) = result.faults
    assert (fault.criterion, fault.couple, fault.span.start_s, fault.span.end_s) == ("couples", "TC1", 20, 40)


def test_a_spike_is_not_filled_though_it_is_short() -> None:
    """A reading over the ceiling is no reading under it."""
    values = [600.0] * 5 + [800.0] + [600.0] * 5
    assert unknown(usable(chart_of({"TC1": values}, 10.0), Options(max_gap_s=600))) == {"TC1": [(4, 6)]}


def test_the_highest_of_what_is_not_trusted_is_said() -> None:
    values = [600.0] * 5 + [700.0, 980.0, 1372.0, 1372.0]
    (reason,) = usable(chart_of({"TC1": values}, 1.0), OPTIONS).criterion.reasons
    assert reason == (
        "TC1 jumps from 600 to 700 °C and reads up to 1372 °C: unknown from 0:00:04 to the end of the chart"
    )


@pytest.mark.parametrize("full_scale", [1372.0, 1200.0, 999.9, 20.0, -200.0])
def test_an_open_couple_is_dead_to_the_end(full_scale: float) -> None:
    """What stays at the end of a scale does not come back by waiting, alone or beside three others."""
    run = furnace_run(A)
    open_from = 135  # minute 270, one reading in two minutes
    run["TC4"] = run["TC4"][:open_from] + [full_scale] * (len(run["TC4"]) - open_from)
    for columns in (run, {"TC4": run["TC4"]}):
        result = usable(chart_of(columns), OPTIONS)
        assert unknown(result) == {"TC4": [(134, len(run["TC4"]) - 1)]}
        assert result.couples[-1].values[-1] != result.couples[-1].values[-1]
        assert result.criterion.couple == "TC4"
        assert result.criterion.at_s == 268 * 60


def test_a_couple_that_was_open_for_an_hour_is_back_where_the_others_are() -> None:
    run = furnace_run(A)
    clean = list(run["TC2"])
    run["TC2"][40:70] = [1372.0] * 30  # while all are heated by 150 C deg
    result = usable(chart_of(run), OPTIONS)
    assert unknown(result) == {"TC2": [(39, 70)]}
    assert list(result.couples[1].values[70:]) == clean[70:]


def test_alone_it_is_trusted_again_near_its_last_reading_only() -> None:
    near = [300.0] * 5 + [1372.0] * 10 + [390.0] * 5
    far = [300.0] * 5 + [1372.0] * 10 + [410.0] * 5
    assert unknown(usable(chart_of({"TC1": near}, 60.0), OPTIONS)) == {"TC1": [(4, 15)]}
    assert unknown(usable(chart_of({"TC1": far}, 60.0), OPTIONS)) == {"TC1": [(4, 19)]}


def test_a_couple_that_was_plugged_in_late_counts_from_then_on() -> None:
    run = furnace_run(A)
    run["TC3"][:20] = [1372.0] * 20
    result = usable(chart_of(run), OPTIONS)
    assert unknown(result) == {"TC3": [(0, 20)]}
    assert result.criterion.reasons[0].endswith("unknown from the start of the chart to 0:40:00")


@pytest.mark.parametrize("per_minute", [60.0, 120.0, 200.0])
def test_a_torch_is_no_jump(per_minute: float) -> None:
    """A bracket of 1/8 in under a torch, one reading in half a minute: fast from row to row, and steadily so."""
    rise = ramped(20.0, per_minute / 2, int(580 * 2 / per_minute) + 1)
    values = [20.0] * 4 + rise + [600.0] * 60 + ramped(570.0, -30.0, 10) + ramped(290.0, -5.0, 20)
    assert unknown(usable(chart_of({"TC1": values}, 30.0), OPTIONS)) == {}


def test_a_drift_to_the_end_of_the_scale_is_no_torch() -> None:
    """An input that pulls an open couple up over some seconds: 6000 C deg/min."""
    values = [600.0] * 10 + [700.0, 790.0, 880.0, 960.0, 1040.0, 1120.0, 1200.0, 1280.0] + [1372.0] * 20
    assert unknown(usable(chart_of({"TC1": values}, 1.0), OPTIONS)) == {"TC1": [(9, 37)]}


def test_all_couples_at_once() -> None:
    """A lead that touches the furnace's supply: three rows, then everything as before."""
    run = furnace_run(A)
    for values in run.values():
        values[140:143] = [1372.0] * 3
    result = usable(chart_of(run), OPTIONS)
    assert unknown(result) == {name: [(139, 143)] for name in run}
    assert len(result.faults) == 4


def test_a_jump_beside_a_missing_reading() -> None:
    nan = float("nan")
    values = [600.0, 600.0, nan, 1372.0, nan, 600.0, 600.0]
    assert unknown(usable(chart_of({"TC1": values}, 10.0), Options(max_gap_s=600))) == {"TC1": [(1, 5)]}


@pytest.mark.parametrize("full_scale", [1372.0, 20.0])
def test_couples_that_open_together_do_not_vouch_for_one_another(full_scale: float) -> None:
    """The plug of all four is pulled: their common end of scale is no temperature, however long it lasts."""
    run = furnace_run(A)
    last = len(run["TC1"]) - 1
    for values in run.values():
        values[140:] = [full_scale] * len(values[140:])
    result = usable(chart_of(run), OPTIONS)
    assert unknown(result) == {name: [(139, last)] for name in run}


def test_a_couple_that_jumps_on_and_on_is_given_up() -> None:
    values = [600.0, 600.0, 600.0, 900.0] * 150
    (couple,) = usable(chart_of({"TC1": values}, 1.0), OPTIONS).couples
    assert len(couple.unknown) == 101
    assert couple.unknown[-1] == (402, 599)
