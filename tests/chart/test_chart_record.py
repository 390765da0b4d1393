"""Numbers of a judged chart as they are kept and printed. Constructed, computed by hand."""

from dataclasses import replace
from datetime import datetime, time
from typing import Any

import pytest
from course_kit import LIMITS, A, H, chart_of, furnace_run, limit, only

from traveler.chart.judging.judge import CHART_JUDGE, judge_chart
from traveler.chart.model import Chart, Limits, Options
from traveler.chart.record import chart_act, chart_object
from traveler.quantity.parse import stored


def kept(chart: Chart, limits: Limits = LIMITS, options: Options | None = None) -> dict[str, Any]:
    """The JSON of the chart, and what goes with it into the log."""
    options = options or Options(max_gap_s=86400.0)
    act = chart_act(chart, judge_chart(chart, limits, options), limits, options, CHART_JUDGE)
    return chart_object({**act, "sha256": chart.sha256, "cycle": []})


def printed(found: dict[str, Any], name: str) -> tuple[str, str]:
    entry = next(one for one in found["criteria"] if one["criterion"] == name)
    return entry["worst_shown"], entry["margin_shown"]


def test_the_margin_agrees_with_the_number_beside_it() -> None:
    """Chart H: 610 at 311 to 427 at 340 is 6.310 C° a minute, so 595 is left at 313.38 min.

    The soak from 242 lasts 71.38 min: 71.3, of which 11.3 are left of 60. The cooling of the first couple falls 168 in
    26.62 min, 378.7 C°/h, by which it passes 278 by 100.7.
    """
    found = kept(chart_of(furnace_run(H, every=1), every_s=60.0))
    assert printed(found, "soak time") == ("71.3 min", "11.3 min left")
    assert printed(found, "cooling rate") == ("378.7 C°/h (681.7 F°/h)", "100.7 C°/h beyond it")


@pytest.mark.parametrize(
    ("reading", "shown"),
    # 1100 °F is 593 1/3 °C
    [
        (593.3, "0.04 C° short of it"),
        (593.4, "0.06 C° left"),
        (592.0, "1.4 C° short of it"),
        (594.4, "1.0 C° left"),
    ],
)
def test_a_margin_never_reads_too_great(reading: float, shown: str) -> None:
    chart = chart_of({"TC1": [reading] * 41})
    assert printed(kept(chart, only(soak_min=limit("1100", "degF"))), "soak temperature")[1] == shown


@pytest.mark.parametrize(
    ("method", "stated", "words"),
    [
        ("logger", None, None),
        ("logger", "3", "3 C° (5.4 F°)"),
        ("hand-read", None, "5 C° (9.0 F°), read by eye"),
        ("hand-read", "3", "5 C° (9.0 F°), read by eye"),
        ("hand-read", "6", "6 C° (10.8 F°)"),
        ("crayon", None, "1 % of its mark"),
    ],
)
def test_what_a_reading_was_taken_to_be_off_by(method: Any, stated: str | None, words: str | None) -> None:
    chart = chart_of(furnace_run(A), method=method)
    options = Options(uncertainty=None if stated is None else stored(stated, "delta_degC"))
    assert kept(chart, options=options)["options"]["uncertainty"] == words


@pytest.mark.parametrize(
    ("start", "drawn"),
    [(datetime(2026, 3, 4, 6), "2026-03-04T06:00:00"), (time(6), None), (None, None)],
)
def test_the_drawing_has_the_clock_of_the_logger(start: datetime | time | None, drawn: str | None) -> None:
    """As the table beside it has; a clock without a date is drawn from the start."""
    chart = replace(chart_of(furnace_run(A)), clock_start=start)
    assert kept(chart)["drawing"]["started_at"] == drawn
