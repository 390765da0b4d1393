"""The thermal record in one table: each limit on heat with the coldest and the hottest reading, and the charts."""

from collections.abc import Iterator

from traveler.quantity.parse import QuantityError, stored
from traveler.quantity.quantity import Quantity, comparable
from traveler.quantity.units import BY_SYMBOL, Kind
from traveler.report.requirement_words import limit_words, value_words
from traveler.report.words import Object, visible

_HEAT = (Kind.TEMPERATURE, Kind.RATE, Kind.SPAN)
_HEATED_STEPS = ("preheat", "weld", "hydrogen release", "stress relief")


def thermal_rows(obj: Object) -> list[list[str]]:
    """Step, what, limit, readings that stand, least, greatest, verdict; behind those of a step its charts."""
    rows = []
    for step in obj["steps"]:
        number = str(step["number"])
        rows += [
            _row(number, requirement)
            for requirement in step["requirements"]
            if _is_thermal(step, requirement)
        ]
        rows += [[number, *_chart_cells(chart)] for chart in step.get("charts") or ()]
    return rows


def _is_thermal(step: Object, requirement: Object) -> bool:
    unit = BY_SYMBOL.get(requirement.get("unit") or "")
    if unit is None:
        return False
    return unit.kind in _HEAT or (unit.kind is Kind.TIME and step["kind"] in _HEATED_STEPS)


def _row(number: str, requirement: Object) -> list[str]:
    joint = f" ({visible(requirement['joint'])})" if requirement.get("joint") else ""
    readings = [reading for reading in requirement["readings"] if not reading["superseded"]]
    attempt = max((reading["attempt"] for reading in readings), default=1)
    standing = [reading for reading in readings if reading["attempt"] == attempt]
    tried = f", attempt {attempt}" if attempt > 1 else ""
    sizes = list(_sizes(standing))
    least = min(sizes, key=lambda entry: entry[0].canonical)[1] if sizes else None
    greatest = max(sizes, key=lambda entry: entry[0].canonical)[1] if sizes else None
    return [
        number,
        f"{visible(requirement['quantity'])}{joint}{tried}",
        limit_words(requirement),
        str(len(standing)),
        _said(least),
        _said(greatest) if greatest is not least else "the same",
        visible(requirement["verdict"]),
    ]


def _sizes(readings: list[Object]) -> Iterator[tuple[Quantity, Object]]:
    """Each reading with its size; one that is none, or of another kind than the first, is left out."""
    first = None
    for reading in readings:
        try:
            size = stored(reading["value"], reading["unit"]) if reading.get("unit") else None
        except QuantityError:
            size = None
        if size is not None and (first is None or comparable(first, size)):
            first = first or size
            yield size, reading


def _said(reading: Object | None) -> str:
    return "–" if reading is None else f"{value_words(reading)}, reading {reading['reading']}"


def _chart_cells(chart: Object) -> list[str]:
    back = ", superseded" if chart.get("superseded") else ""
    judged = f"judged by {len(chart['criteria'])}"
    drawn = f"chart {chart['chart']}, {visible(chart['name'])}{back}"
    return [drawn, "drawn with its limits at the step", "–", judged, "–", visible(chart["verdict"])]
