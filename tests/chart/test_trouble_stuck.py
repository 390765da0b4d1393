"""Couples that stand still while others move, and those that only came to rest before them."""

import pytest
from course_kit import LAGS, A, C, Course, D, G, H, chart_of, furnace_run

from traveler.chart.cleaning.trouble import usable
from traveler.chart.couples import Usable
from traveler.chart.model import Options

OPTIONS = Options()
SLOW: Course = ((0, 20), (640, 606), (700, 606), (1200, 148))  # 55 C deg/h, as slow as codes ever ask


def unknown(result: Usable) -> dict[str, list[tuple[int, int]]]:
    """Unknown ranges of rows by couple."""
    return {couple.name: list(couple.unknown) for couple in result.couples if couple.unknown}


def freeze(values: list[float], first: int, last: int) -> list[float]:
    """The readings with one repeated from row ``first`` to row ``last``."""
    return values[: first + 1] + [values[first]] * (last - first) + values[last + 1 :]


def test_a_couple_that_stops_while_all_are_heated() -> None:
    """Twenty minutes at 2.5 C deg/min: the others go on by 50 C deg."""
    run = furnace_run(A)
    run["TC2"] = freeze(run["TC2"], 60, 70)
    result = usable(chart_of(run), OPTIONS)
    assert unknown(result) == {"TC2": [(60, 71)]}
    assert result.criterion.verdict == "not shown"
    assert result.criterion.reasons == (
        f"TC2 stays at {run['TC2'][60]:g} °C while others move by up to 50 C°: unknown from 2:00:00 to 2:22:00",
    )


def test_the_first_of_the_equal_readings_counts_and_the_next_that_moves() -> None:
    run = furnace_run(A)
    clean = list(run["TC2"])
    run["TC2"] = freeze(run["TC2"], 60, 70)
    couple = usable(chart_of(run), OPTIONS).couples[1]
    assert couple.values[60] == clean[60]
    assert couple.values[71] == clean[71]


@pytest.mark.parametrize(("rows", "stuck"), [(5, False), (6, True)])
def test_ten_minutes_may_be_chance(rows: int, stuck: bool) -> None:
    """One reading in two minutes: five steps of equal readings are 10 min, six are 12."""
    run = furnace_run(A)
    run["TC2"] = freeze(run["TC2"], 60, 60 + rows)
    assert bool(unknown(usable(chart_of(run), OPTIONS))) is stuck


def test_four_readings_are_too_few() -> None:
    run = furnace_run(A, every=4)
    run["TC2"] = freeze(run["TC2"], 30, 33)
    assert unknown(usable(chart_of(run, 240.0), OPTIONS)) == {}
    run["TC2"] = freeze(run["TC2"], 30, 34)
    assert unknown(usable(chart_of(run, 240.0), OPTIONS)) == {"TC2": [(30, 35)]}


def test_stuck_to_the_end() -> None:
    run = furnace_run(A)
    last = len(run["TC1"]) - 1
    run["TC1"] = freeze(run["TC1"], 80, last)
    result = usable(chart_of(run), OPTIONS)
    assert unknown(result) == {"TC1": [(80, last)]}
    assert result.criterion.reasons[0].endswith("unknown from 2:40:00 to the end of the chart")


def test_stuck_in_the_soak_and_never_noticed_before_the_cooling() -> None:
    run = furnace_run(A)
    last = len(run["TC3"]) - 1
    run["TC3"] = freeze(run["TC3"], 130, last)
    # Equal readings begin with the first of the soak at 610 degC, minute 244.
    assert unknown(usable(chart_of(run), OPTIONS)) == {"TC3": [(122, last)]}


def test_slow_heating() -> None:
    """55 C deg/h: the others go on by 18 C deg in twenty minutes."""
    run = furnace_run(SLOW)
    run["TC2"] = freeze(run["TC2"], 200, 210)
    assert unknown(usable(chart_of(run), OPTIONS)) == {"TC2": [(200, 211)]}


@pytest.mark.parametrize("course", [A, C, D, G, H, SLOW], ids=["A", "C", "D", "G", "H", "slow"])
@pytest.mark.parametrize("every", [1, 2, 4])
@pytest.mark.parametrize("lags", [LAGS, (0, 12), (0, 20, 40), (0, 0, 0, 30)])
def test_the_first_and_the_last_in_the_soak_are_not_stuck(
    course: Course, every: int, lags: tuple[int, ...]
) -> None:
    """The first is at rest while the others still creep towards it, the last while the others leave."""
    run = furnace_run(course, lags, every)
    result = usable(chart_of(run, 60.0 * every), OPTIONS)
    assert unknown(result) == {}
    assert result.criterion.verdict == "met"
    assert result.criterion.reasons == ()


@pytest.mark.parametrize("lags", [LAGS, (0, 12), (0, 20, 40)])
def test_a_logger_of_whole_degrees(lags: tuple[int, ...]) -> None:
    """An hour of one and the same number in the soak, and at both ends in the cold."""
    cold_at_both_ends: Course = ((0, 20), (30, 20), (266, 610), (341, 610), (577, 21), (640, 21))
    run = {
        name: [float(round(value)) for value in values]
        for name, values in furnace_run(cold_at_both_ends, lags).items()
    }
    assert unknown(usable(chart_of(run), OPTIONS)) == {}


def test_thin_metal_that_is_cold_while_thick_metal_cools() -> None:
    """To the end of the chart the thin couple reads room temperature and the thick ones come down to it."""
    thin = [max(20.0, 300.0 - 5 * row) for row in range(150)]
    thick = [max(24.0, 300.0 - 2 * row) for row in range(150)]
    thicker = [max(28.0, 310.0 - 2 * row) for row in range(150)]
    chart = chart_of({"TC1": thin, "TC2": thick, "TC3": thicker}, 60.0)
    assert unknown(usable(chart, OPTIONS)) == {}


def test_a_couple_alone_cannot_be_found_stuck() -> None:
    run = furnace_run(A, (0,))
    run["TC1"] = freeze(run["TC1"], 60, 70)
    assert unknown(usable(chart_of(run), OPTIONS)) == {}


def test_a_couple_at_rest_beside_one_that_jumps() -> None:
    """Open for a while, the other did not move: its numbers are no movement."""
    rest = [610.0] * 60
    jumping = [608.0, 609.0] * 10 + [1372.0] * 10 + [608.0, 609.0] * 15
    chart = chart_of({"TC1": rest, "TC2": jumping}, 60.0)
    assert list(unknown(usable(chart, OPTIONS))) == ["TC2"]


def test_where_it_moves_again_is_no_jump() -> None:
    """After 40 min it has 100 C deg to catch up within two."""
    run = furnace_run(A)
    run["TC2"] = freeze(run["TC2"], 60, 80)
    result = usable(chart_of(run), OPTIONS)
    assert unknown(result) == {"TC2": [(60, 81)]}
    assert len(result.criterion.reasons) == 1


def test_readings_of_a_spare_are_looked_at_too() -> None:
    run = furnace_run(A)
    run["SP"] = freeze(list(run["TC2"]), 60, 90)
    run["TC2"][80:] = [float("nan")] * len(run["TC2"][80:])
    chart = chart_of(run, roles={"SP": "spare"}, spares={"SP": "TC2"})
    result = usable(chart, OPTIONS)
    assert unknown(result) == {"TC2": [(79, len(run["TC2"]) - 1)]}
    assert "SP shows nothing there either" in result.notes[0]


def test_scanned_channels_are_compared_though_no_row_has_two() -> None:
    """One channel a row, the others empty there; one reading of each in two minutes."""
    run = furnace_run(A)
    run["TC2"] = freeze(run["TC2"], 60, 70)
    nan = float("nan")
    scanned = {
        name: [value if at == channel else nan for value in values for at in range(4)]
        for channel, (name, values) in enumerate(run.items())
    }
    result = usable(chart_of(scanned, 30.0), Options(max_gap_s=240))
    # At the ends of the chart three of the four have no reading yet or any more.
    assert [(first, last) for first, last in unknown(result)["TC2"] if last - first > 4] == [(241, 285)]
