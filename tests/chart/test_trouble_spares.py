"""Spare couples: which may stand in, from when, and what is said of it."""

from math import nan

from course_kit import A, chart_of, furnace_run

from traveler.chart.cleaning.trouble import usable
from traveler.chart.couples import Usable
from traveler.chart.model import Chart, Options

OPTIONS = Options()
OPEN_FROM = 135  # minute 270 of chart A, one reading in two minutes


def with_spares(spares: dict[str, list[float]], declared: dict[str, str]) -> Chart:
    """Chart A whose couple TC4 is open from minute 270, with spares beside it."""
    run = furnace_run(A)
    run["TC4"][OPEN_FROM:] = [nan] * len(run["TC4"][OPEN_FROM:])
    return chart_of(run | spares, roles=dict.fromkeys(spares, "spare"), spares=declared)


def fourth(result: Usable) -> list[float]:
    """The readings that count as TC4's."""
    return list(next(couple.values for couple in result.couples if couple.name == "TC4"))


def spare_readings() -> list[float]:
    return [value + 2.0 for value in furnace_run(A)["TC4"]]


def test_a_declared_spare_stands_in_from_the_last_good_reading_on() -> None:
    result = usable(with_spares({"SP1": spare_readings()}, {"SP1": "TC4"}), OPTIONS)
    own = furnace_run(A)["TC4"]
    assert fourth(result) == own[:OPEN_FROM] + spare_readings()[OPEN_FROM:]
    assert [couple.name for couple in result.couples] == ["TC1", "TC2", "TC3", "TC4"]
    assert result.criterion.verdict == "met"
    assert result.faults == ()
    sentence = (
        "TC4 has no reading from 4:28:00 to the end of the chart; SP1 stands in for TC4 from 4:28:00 on, "
        "where it reads 2 C° above it"
    )
    assert result.criterion.reasons == (sentence,)
    assert sentence in result.notes


def test_an_undeclared_spare_may_not() -> None:
    for declared in ({}, {"SP1": "TC9"}):
        result = usable(with_spares({"SP1": spare_readings()}, declared), OPTIONS)
        assert result.criterion.verdict == "not shown"
        assert any("SP1 is the spare of no required couple" in note for note in result.notes)


def test_a_spare_of_another_couple_does_not_stand_in() -> None:
    result = usable(with_spares({"SP1": spare_readings()}, {"SP1": "TC3"}), OPTIONS)
    assert result.criterion.verdict == "not shown"
    assert [couple.unknown for couple in result.couples][:3] == [(), (), ()]


def test_a_spare_that_is_dead_as_well_cannot() -> None:
    dead = spare_readings()
    dead[100:] = [nan] * len(dead[100:])
    result = usable(with_spares({"SP1": dead}, {"SP1": "TC4"}), OPTIONS)
    assert result.criterion.verdict == "not shown"
    assert result.criterion.reasons[-1].endswith("SP1 shows nothing there either and cannot stand in for TC4")


def test_a_spare_that_dies_with_it_cannot() -> None:
    """Both open in the same row: the spare's last reading is no reading after the couple's."""
    dead = spare_readings()
    dead[OPEN_FROM:] = [nan] * len(dead[OPEN_FROM:])
    result = usable(with_spares({"SP1": dead}, {"SP1": "TC4"}), OPTIONS)
    assert result.criterion.verdict == "not shown"
    assert fourth(result)[:OPEN_FROM] == furnace_run(A)["TC4"][:OPEN_FROM]


def test_where_the_spare_fails_in_its_turn_nothing_is_known() -> None:
    failing = spare_readings()
    failing[150:160] = [nan] * 10
    result = usable(with_spares({"SP1": failing}, {"SP1": "TC4"}), OPTIONS)
    assert next(couple.unknown for couple in result.couples if couple.name == "TC4") == ((149, 160),)
    assert result.criterion.reasons[0] == "SP1 has no reading from 4:58:00 to 5:20:00"
    assert result.criterion.couple == "TC4"
    assert result.faults[0].couple == "TC4"


def test_a_second_spare_follows_the_first() -> None:
    failing = spare_readings()
    failing[150:] = [nan] * len(failing[150:])
    second = [value + 1.0 for value in spare_readings()]
    chart = with_spares({"SP1": failing, "SP2": second}, {"SP1": "TC4", "SP2": "TC4"})
    result = usable(chart, OPTIONS)
    own = furnace_run(A)["TC4"]
    assert fourth(result) == own[:OPEN_FROM] + spare_readings()[OPEN_FROM:150] + second[150:]
    assert result.criterion.verdict == "met"
    assert len(result.criterion.reasons) == 2


def test_a_failed_couple_does_not_come_back_in_place_of_its_spare() -> None:
    """It was open for twenty minutes and reads well afterwards; the spare that took over stays."""
    run = furnace_run(A)
    run["TC4"][100:110] = [nan] * 10
    chart = chart_of(run | {"SP1": spare_readings()}, roles={"SP1": "spare"}, spares={"SP1": "TC4"})
    assert fourth(usable(chart, OPTIONS))[110:] == spare_readings()[110:]


def test_a_hole_that_is_filled_calls_no_spare() -> None:
    run = furnace_run(A)
    run["TC4"][100] = nan
    chart = chart_of(run | {"SP1": spare_readings()}, roles={"SP1": "spare"}, spares={"SP1": "TC4"})
    result = usable(chart, OPTIONS)
    assert fourth(result) == furnace_run(A)["TC4"]
    assert result.criterion.reasons == ()


def test_a_spare_for_a_couple_that_jumps() -> None:
    run = furnace_run(A)
    run["TC4"][OPEN_FROM:] = [1372.0] * len(run["TC4"][OPEN_FROM:])
    chart = chart_of(run | {"SP1": spare_readings()}, roles={"SP1": "spare"}, spares={"SP1": "TC4"})
    result = usable(chart, OPTIONS)
    assert result.criterion.verdict == "met"
    assert "jumps from 610 to 1372 °C" in result.criterion.reasons[0]
    assert max(fourth(result)) == 612.0


def test_a_couple_that_never_read_at_all_is_replaced_from_the_start() -> None:
    run = furnace_run(A)
    run["TC4"] = [nan] * len(run["TC4"])
    chart = chart_of(run | {"SP1": spare_readings()}, roles={"SP1": "spare"}, spares={"SP1": "TC4"})
    result = usable(chart, OPTIONS)
    assert fourth(result) == spare_readings()
    assert result.criterion.reasons == (
        "TC4 has no reading in the whole chart; SP1 stands in for TC4 from the start",
    )


def test_rows_far_apart_stay_unknown_whatever_spares_there_are() -> None:
    run = furnace_run(A)
    times = [120.0 * row + (3600.0 if row > 50 else 0.0) for row in range(len(run["TC1"]))]
    columns = run | {"SP1": spare_readings()}
    chart = chart_of(columns, 120.0, times, roles={"SP1": "spare"}, spares={"SP1": "TC4"})
    result = usable(chart, OPTIONS)
    assert all(couple.unknown == ((50, 51),) for couple in result.couples)
    assert fourth(result) == run["TC4"]
