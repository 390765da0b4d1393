"""What a logger left running shows at an arc, rounded so that it stays on its side of the limit. Constructed."""

from array import array

import pytest
from judge_kit import NOON, WINDOW, Story, step_of

from traveler.acts.chart_readings import logged_readings
from traveler.chart.cleaning.trouble import usable
from traveler.chart.model import Channel, Chart, Options

WELD = step_of(WINDOW, kind="weld", at=40)  # 300 to 500 °F


def logged(first: float, second: float, arc: str) -> list[tuple[str, str]]:
    """The readings at an arc between two rows that are 100 s apart: value and place, one other couple at 400 °F."""
    columns = {"TC1": [first, second], "TC2": [400.0, 400.0]}
    channels = tuple(Channel(name, "part", array("d", values)) for name, values in columns.items())
    chart = Chart(array("d", [0.0, 100.0]), None, "degF", channels, 100.0, "0" * 64, {})
    couples = usable(chart, Options()).couples
    found = logged_readings(Story(WELD).state(), WELD, chart, couples, 1, {1: arc}, NOON)
    return [(entry["value"], entry["place"]) for entry in found]


@pytest.mark.parametrize(
    ("first", "second", "arc", "value"),
    [
        (299.0, 301.0, "50 s", "300"),  # the limit itself
        (299.0, 300.0, "97 s", "299.9"),  # 299.97: not rounded up to what would comply
        (299.999, 299.999, "50 s", "299.9"),
        (310.0, 310.3, "50 s", "310.1"),  # 310.15
        (500.0, 501.0, "3 s", "500.1"),  # 500.03: not rounded down to what would comply
        (499.0, 500.0, "97 s", "499.9"),
    ],
)
def test_a_reading_between_two_rows(first: float, second: float, arc: str, value: str) -> None:
    assert (value, "TC1") in logged(first, second, arc)
