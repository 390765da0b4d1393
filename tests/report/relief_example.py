"""Charts of constructed stress reliefs as chart objects: band 595 to 650 degC, 25 mm, couples that lag each other.

Courses and results are constructed and computed by hand, with readings every 2 min:
- not met: 20 to 470 in 180 min, to 550 in 16 min, to 598 in 48 min, to 610 in 6 min, held 75 min, to 300 in 124 min;
  30 min from minute 170: 445 to 560 degC, 115 C° in half an hour, 230 C°/h against 222.2;
- met: 20 to 610 in 236 min (150 C°/h), held 75 min, to 300 in 124 min; soak from 242 to 317 min with a lag of 12 min;
- open: the same, couple 4 open from minute 270 on: the soak that is shown ends at 268 min.
"""

import copy
from array import array
from datetime import datetime, timedelta
from itertools import pairwise
from math import nan
from typing import Any

from traveler.chart.drawing import drawn_points
from traveler.chart.model import Channel, Chart

START = "2026-10-24T22:48:00+02:00"
NOT_MET = ((0, 20), (180, 470), (196, 550), (244, 598), (250, 610), (325, 610), (449, 300))
MET = ((0, 20), (236, 610), (311, 610), (435, 300))
RULE = "ASME BPVC section VIII, division 1 UCS-56(d)"


def course(points: tuple[tuple[float, float], ...], minute: float) -> float:
    """The value of a course at a minute, straight between its points."""
    if minute <= points[0][0]:
        return points[0][1]
    for (start, low), (end, high) in pairwise(points):
        if minute <= end:
            return low + (high - low) * (minute - start) / (end - start)
    return points[-1][1]


def couples(points: Any, count: int, open_from: float | None = None) -> list[dict[str, Any]]:
    """``count`` couples, each 4 min behind the one before; the last is open from a minute on."""
    minutes = range(0, 462, 2)
    channels = []
    for at in range(count):
        values = array("d", (round(course(points, minute - 4 * (at % 4)) + at // 4, 1) for minute in minutes))
        if open_from is not None and at == count - 1:
            values = array("d", (v if m < open_from else nan for m, v in zip(minutes, values, strict=True)))
        channels.append(Channel(f"TC{at + 1}", "part", values))
    chart = Chart(
        array("d", (60.0 * minute for minute in minutes)),
        datetime.fromisoformat(START),
        "degC",
        tuple(channels),
        120.0,
        "",
        {},
    )
    drawn = drawn_points(chart)
    return [
        {"name": name, "role": "part", "points": [[list(point) for point in piece] for piece in pieces]}
        for name, pieces in drawn.items()
    ]


def criterion(name: str, verdict: str, **more: Any) -> dict[str, Any]:
    return {
        "criterion": name,
        "bound": None,
        "limit": None,
        "limit_shown": None,
        "worst": None,
        "worst_shown": None,
        "unit": None,
        "couple": None,
        "at": None,
        "at_s": None,
        "margin": None,
        "margin_shown": None,
        "verdict": verdict,
        "decides": True,
        "source": RULE,
        "mark": "secondary",
        "reasons": [],
    } | more


def _criteria(heating: dict[str, Any], soak_time: dict[str, Any]) -> list[dict[str, Any]]:
    return [
        criterion(
            "soak temperature", "met", bound="at_least", limit=595.0, limit_shown="595 °C (1103 °F)",
            worst=595.0, worst_shown="595 °C (1103 °F)", unit="degC", couple="TC4", margin=0.0,
            at="2026-10-25T02:58:00+02:00", at_s=15000.0, margin_shown="0 C° left",
            source="ASME BPVC section VIII, division 1 table UCS-56-1", mark="seen",
            reasons=["coldest couple within the counted soak"],
        ),
        heating,
        soak_time,
        criterion(
            "spread in the soak", "met", bound="at_most", limit=83.3, limit_shown="150 F° (83.3 C°)",
            worst=15.0, worst_shown="15 C° (27 F°)", unit="delta_degC", couple="TC1 and TC4",
            at="2026-10-25T03:01:00+02:00", at_s=15180.0, margin=68.3, margin_shown="68.3 C° left",
        ),
        criterion(
            "temperature at loading", "not shown", bound="at_most", limit=426.7, decides=False,
            limit_shown="800 °F (426.7 °C)", unit="degC", reasons=["not shown: no furnace couple"],
        ),
        criterion("couples", "met", source=None, mark=None),
    ]  # fmt: skip


HEATING_MET = criterion(
    "heating rate", "met", bound="at_most", limit=222.2, limit_shown="400 F°/h (222.2 C°/h)", worst=150.0,
    worst_shown="150 C°/h (270 F°/h)", unit="delta_degC/h", couple="TC2", at="2026-10-25T01:40:00+02:00",
    at_s=10320.0, margin=72.2, margin_shown="72.2 C°/h left",
    reasons=["any 30 min between 425 °C and 595 °C"],
)  # fmt: skip
HEATING_NOT_MET = HEATING_MET | {
    "verdict": "not met",
    "worst": 230.0,
    "worst_shown": "230 C°/h (414 F°/h)",
    "couple": "TC1",
    "at": "2026-10-25T01:38:00+02:00",
    "at_s": 10200.0,
    "margin": -7.8,
    "margin_shown": "7.8 C°/h beyond it",
}
SOAK_MET = criterion(
    "soak time", "met", bound="at_least", limit=60.0, limit_shown="60 min", worst=75.0, worst_shown="75 min",
    unit="min", margin=15.0, margin_shown="15 min left", at="2026-10-25T02:50:00+02:00", at_s=14520.0,
    source="ASME BPVC section VIII, division 1 table UCS-56-1", mark="seen", reasons=["25 mm thick"],
)  # fmt: skip


def instant(seconds: float) -> str:
    return (datetime.fromisoformat(START) + timedelta(seconds=seconds)).isoformat()


def chart_object(
    criteria: list[dict[str, Any]], shown: list[dict[str, Any]], soaks: list[list[float]], **drawing: Any
) -> dict[str, Any]:
    order = ("met", "conditional", "not shown", "not met")
    return {
        "verdict": max((c["verdict"] for c in criteria if c["decides"]), key=order.index),
        "criteria": criteria,
        "soaks": [
            f"{instant(start)} to {instant(end)}, {(end - start) / 60:.1f} min" for start, end in soaks
        ],
        "mapping": {
            "delimiter": ";",
            "decimal": ",",
            "time": "column 1, day.month.year hours:minutes",
            "unit": "degC, from the heads of the columns",
            "couples": [couple["name"] for couple in shown],
        },
        "sha256": "c0ffee42" * 8,
        "options": {
            "window": "30 min",
            "soak": "longest",
            "max_gap": "4 min",
            "uncertainty": None,
            "rule": "simple",
            "loaded": None,
            "out": None,
            "method": "logger",
        },
        "judge": 1,
        "notes": ["The clock went back by an hour at 2026-10-25T03:00:00+02:00; times count on."],
        "drawing": {
            "unit": "degC",
            "started_at": START,
            "length_s": 27600.0,
            "couples": shown,
            "soaks": soaks,
            "faults": [],
            "band": [595.0, 650.0],
            "threshold": 425.0,
            "loaded_s": None,
            "out_s": None,
        }
        | drawing,
    }


def met(count: int = 4) -> dict[str, Any]:
    return chart_object(
        copy.deepcopy(_criteria(HEATING_MET, SOAK_MET)), couples(MET, count), [[14520.0, 19020.0]]
    )


def not_met(count: int = 4) -> dict[str, Any]:
    """A heating rate beyond the limit for half an hour; soak from 253 to 331 min, 78 min."""
    fault = {
        "criterion": "heating rate",
        "couple": "TC1",
        "from_s": 10200.0,
        "to_s": 12000.0,
        "words": "TC1 rises 230 C°/h",
    }
    soak = SOAK_MET | {"worst": 78.0, "worst_shown": "78 min", "margin": 18.0, "margin_shown": "18 min left"}
    return chart_object(
        copy.deepcopy(_criteria(HEATING_NOT_MET, soak)),
        couples(NOT_MET, count),
        [[15180.0, 19860.0]],
        faults=[fault],
    )


def open_couple(count: int = 4) -> dict[str, Any]:
    """The last couple opens during the soak: 26 min are shown, and the rest is not."""
    name = f"TC{count}"
    soak = SOAK_MET | {
        "verdict": "not shown",
        "worst": 26.0,
        "worst_shown": "26 min",
        "margin": -34.0,
        "margin_shown": "34 min beyond it",
        "couple": name,
        "reasons": [f"{name} gives no reading from 2026-10-25T03:18:00+02:00 on"],
    }
    faults = [
        {
            "criterion": "soak time",
            "couple": name,
            "from_s": 16080.0,
            "to_s": 27600.0,
            "words": f"{name} open",
        }
    ]
    return chart_object(
        copy.deepcopy(_criteria(HEATING_MET, soak)),
        couples(MET, count, open_from=270),
        [[14520.0, 16080.0]],
        faults=faults,
    )


def stored(chart: dict[str, Any], number: int = 1, **more: Any) -> dict[str, Any]:
    """The same as a job carries it."""
    return (
        chart
        | {
            "chart": number,
            "name": "relief.csv",
            "size": 12345,
            "by": {"name": "Игорь Чернов", "how": "stated"},
            "happened_at": "2026-10-25T07:10:00+01:00",
            "recorded_at": "2026-10-25T07:12:30+01:00",
            "superseded": False,
            "superseded_by": None,
            "reason": None,
            "answers": ["soak temperature", "soak time", "heating rate"],
            "kind": "relief",
        }
        | more
    )


def source_of(judged: dict[str, Any]) -> list[str]:
    """What must be printed about the source of a criterion."""
    return [f"{judged['source']} [{judged['mark']}]"] if judged["source"] else []
