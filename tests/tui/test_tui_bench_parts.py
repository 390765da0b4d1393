"""Parts of bench mode without a screen: the unit of a bare number, the countdown by two clocks, the large digits."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from traveler.errors import BadInput
from traveler.job.heat_clock import HeatClock
from traveler.quantity.arc_typed import parse_arc_energy
from traveler.quantity.parse import parse_quantity
from traveler.quantity.units import Kind
from traveler.tui.bench_clock import OUT, SET_BACK, Countdown
from traveler.tui.bench_units import with_unit
from traveler.tui.big_digits import COLUMNS, ROWS, can_be_big, shape

TAKEN = datetime(2026, 3, 14, 9, 30, tzinfo=UTC)


def asked(unit: str | None, limit: str | None = None) -> dict[str, Any]:
    bound = dict(zip(("value", "unit"), limit.split(), strict=True)) if limit else None
    return {"type": "number" if unit else "text", "unit": unit, "limit": {"at_least": bound, "at_most": None}}


@pytest.mark.parametrize(
    ("unit", "limit", "units", "typed", "meant"),
    [
        ("degC", None, "inch", "312", "312 F"),
        ("degC", None, "metric", "156.5", "156.5 C"),
        ("degC", None, "inch", "-4", "-4 F"),
        ("degC", None, "inch", "156 C", "156 C"),
        ("degC", None, "inch", "melts 300 F", "melts 300 F"),
        ("mm", None, "inch", "1/16", "1/16 in"),
        ("mm", None, "metric", ".8", ".8 mm"),
        ("kJ/mm", None, "inch", "22.9", "22.9 kJ/in"),
        ("kJ/mm", None, "inch", "12 150 4", "12 V 150 A 4 in/min"),
        ("kJ/mm", None, "metric", "12 150 90", "12 V 150 A 90 mm/min"),
        ("delta_degC/h", None, "inch", "400", "400 F/h"),
        ("h", "48 h", "inch", "50", "50 h"),
        ("s", "30 min", "metric", "45", "45 min"),
        ("HV", "350 HV", "inch", "320", "320 HV"),
        (None, None, "inch", "4711", "4711"),
        ("degC", None, "inch", "", ""),
    ],
)
def test_the_unit_is_the_jobs(
    unit: str | None, limit: str | None, units: str, typed: str, meant: str
) -> None:
    assert with_unit(asked(unit, limit), units, typed) == meant


def test_a_decimal_comma_is_left_for_the_act_to_refuse() -> None:
    with pytest.raises(BadInput, match=r"write 31\.5"):
        parse_quantity(with_unit(asked("degC"), "inch", "31,5"), Kind.TEMPERATURE)


def test_three_numbers_are_volts_amps_and_travel() -> None:
    # 12 V x 150 A over 4 in/min: 27 kJ in an inch.
    energy = parse_arc_energy(with_unit(asked("kJ/mm"), "inch", "12 150 4"))
    assert energy.number * 254 / 10 == 27


def clock(seconds: int = 200, reading: int = 3) -> HeatClock:
    return HeatClock(reading, TAKEN, seconds, TAKEN)


def after(seconds: float) -> datetime:
    return TAKEN + timedelta(seconds=seconds)


def test_the_countdown_goes_in_steps_and_in_the_last_two_minutes_by_the_second() -> None:
    countdown = Countdown()
    assert countdown.words(after(0), 0.0) == ""
    countdown.follow(clock(), after(0), 1000.0)
    shown = [countdown.words(after(s), 1000.0 + s) for s in (0, 3, 5, 79, 80, 81, 199, 200, 900)]
    assert shown == [
        "Arc by 09:33:20, 3:20 left", "Arc by 09:33:20, 3:15 left", "Arc by 09:33:20, 3:15 left",
        "Arc by 09:33:20, 2:00 left", "Arc by 09:33:20, 2:00 left", "Arc by 09:33:20, 1:59 left",
        "Arc by 09:33:20, 0:01 left", OUT, OUT,
    ]  # fmt: skip


def test_the_shorter_of_two_clocks_counts_and_a_clock_set_back_stays_said() -> None:
    countdown = Countdown()
    countdown.follow(clock(), after(0), 0.0)
    assert countdown.left_s(after(100), 40.0) == 100  # the machine slept for a minute
    assert countdown.left_s(after(100), 150.0) == 0  # the time of day stood still meanwhile
    assert countdown.words(after(100), 150.0) == SET_BACK
    assert countdown.words(after(199), 199.0) == SET_BACK
    countdown.follow(clock(), after(160), 160.0)  # read anew from the file: the same reading
    assert countdown.words(after(160), 160.0) == SET_BACK
    countdown.follow(clock(reading=4), after(161), 161.0)
    assert countdown.words(after(161), 161.0) == "Arc by 09:33:20, 0:39 left"
    assert countdown.words(after(-1), 162.0) == SET_BACK


def test_each_shape_is_its_own_and_as_large_as_the_place_for_it() -> None:
    shapes = {character: shape(character) for character in "0123456789.:-/ "}
    assert len(set(shapes.values())) == len(shapes)
    for lines in shapes.values():
        assert [len(line) for line in lines] == [COLUMNS] * ROWS
        assert set("".join(lines)) <= {" ", "#"}
    assert can_be_big("-12.5", 5)
    assert not can_be_big("123456", 5)
    assert not can_be_big("12 V", 5)
