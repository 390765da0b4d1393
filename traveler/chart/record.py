"""A judged chart as texts and whole numbers for the log, and the object that commands print and others draw from."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from fractions import Fraction
from typing import Any

from traveler.chart.drawing import drawn_points
from traveler.chart.judging.asked import HAND_READ_SPAN
from traveler.chart.model import Bound, Chart, Criterion, Judged, Limits, Options
from traveler.quantity.parse import stored, unit
from traveler.quantity.quantity import Quantity, compare
from traveler.quantity.show import decimal_text, finite_decimal, rounded_down, rounded_up, show, show_both
from traveler.quantity.units import Kind

Json = dict[str, Any]
Act = Mapping[str, Any]
MOST_DECIMALS = 6


def chart_act(chart: Chart, judged: Judged, limits: Limits, options: Options, judge: int) -> Json:
    """Everything about the chart but its raw bytes: no floats, every number as its decimal text."""
    return {
        "judge": judge,
        "verdict": judged.verdict,
        "criteria": [_criterion_act(criterion, chart) for criterion in judged.criteria],
        "soaks": [_soak_words(chart, soak.start_s, soak.end_s) for soak in judged.soaks],
        "options": _options_act(options, chart),
        "mapping": dict(chart.mapping),
        "notes": [*chart.notes, *judged.notes],
        "drawing": _drawing_act(chart, judged, limits, options),
    }


def chart_object(act: Act) -> Json:
    """The JSON of a chart from its act: numbers rounded for reading, with the words beside them."""
    return {
        "verdict": act["verdict"],
        "criteria": [_criterion_object(criterion) for criterion in act["criteria"]],
        "soaks": list(act["soaks"]),
        "mapping": dict(act["mapping"]),
        "sha256": act["sha256"],
        "options": dict(act["options"]),
        "judge": act["judge"],
        "notes": list(act["notes"]),
        "cycle": [list(pair) for pair in act["cycle"]],
        "drawing": _drawing_object(act["drawing"]),
    }


def criterion_words(act: Act, *, brief: bool = False) -> str:
    """What was found, where and when, then the reasons: "1174 °F at TC-4 flange, 3:34:00; above it for 26.7 min".

    ``brief``: only the last of the reasons, which says what it came to.
    """
    found = None if act["worst"] is None else show(stored(act["worst"], act["unit"]))
    where = [f"{found} at {act['couple']}" if act["couple"] else found] if found else []
    when = [act["at"]] if found and act["at"] else []
    place = ", ".join(part for part in (*where, *when) if part)
    reasons = act["reasons"][-1:] if brief else act["reasons"]
    return "; ".join(part for part in (place, *reasons) if part) or "see the chart"


def number_text(value: Fraction, limit: Fraction | None, bound: Bound | None) -> str:
    """``value`` as a decimal of few places that stands on the same side of the limit as the value itself.

    Rounded away from compliance where that can be; a value that only rounding would carry over the limit gets more
    places, and one that equals a limit without end is rounded to the nearest.
    """
    rounded = rounded_down if bound == "at_least" else rounded_up
    for places in range(1, MOST_DECIMALS + 1):
        text = finite_decimal(value, places) or rounded(value, places)
        if limit is None or _complies(Fraction(text), limit, bound) == _complies(value, limit, bound):
            return text
    return decimal_text(value, MOST_DECIMALS)


def _complies(value: Fraction, limit: Fraction, bound: Bound | None) -> bool:
    return value >= limit if bound == "at_least" else value <= limit


def _in_unit(quantity: Quantity, symbol: str) -> Fraction:
    return unit(symbol).from_canonical(quantity.canonical)


def _criterion_act(criterion: Criterion, chart: Chart) -> Json:
    limit, symbol = criterion.limit, criterion.unit
    number = _in_unit(limit.quantity, symbol) if limit and symbol else None
    worst, margin = criterion.worst, criterion.margin
    return {
        "criterion": criterion.criterion,
        "bound": criterion.bound,
        "limit": None
        if limit is None
        else {"value": limit.quantity.text, "unit": limit.quantity.unit.symbol},
        "source": limit.source if limit else None,
        "mark": limit.mark if limit else None,
        "worst": None if worst is None else number_text(worst, number, criterion.bound),
        "unit": symbol,
        "couple": criterion.couple,
        "at_s": None if criterion.at_s is None else _seconds_text(criterion.at_s),
        "at": None if criterion.at_s is None else chart.stamp(criterion.at_s),
        # Down, as the number beside it is rounded away from compliance: the two agree, and no margin reads too great.
        "margin": None if margin is None else rounded_down(margin, 2 if abs(margin) < 1 else 1),
        "verdict": criterion.verdict,
        "reasons": list(criterion.reasons),
        "decides": criterion.decides,
    }


def _criterion_object(act: Act) -> Json:
    symbol, limit = act["unit"], act["limit"]
    quantity = None if limit is None else stored(limit["value"], limit["unit"])
    margin = act["margin"]
    return {
        "criterion": act["criterion"],
        "bound": act["bound"],
        "limit": None if quantity is None else round(float(_in_unit(quantity, symbol or limit["unit"])), 1),
        "limit_shown": None if quantity is None else show_both(quantity),
        "worst": None if act["worst"] is None else float(act["worst"]),
        "worst_shown": None if act["worst"] is None else show_both(stored(act["worst"], symbol)),
        "unit": symbol,
        "couple": act["couple"],
        "at": act["at"],
        "at_s": None if act["at_s"] is None else float(act["at_s"]),
        "margin": None if margin is None else float(margin),
        "margin_shown": None if margin is None else _margin_words(margin, symbol, act["bound"]),
        "verdict": act["verdict"],
        "decides": act["decides"],
        "source": act["source"],
        "mark": act["mark"],
        "reasons": list(act["reasons"]),
    }


def _margin_words(margin: str, symbol: str, bound: Bound | None) -> str:
    label = unit(_difference(symbol)).label
    if not margin.startswith("-"):
        return f"{margin} {label} left"
    return f"{margin.lstrip('-')} {label} {'short of it' if bound == 'at_least' else 'beyond it'}"


def _difference(symbol: str) -> str:
    """The unit of a difference of two values: what is left to a temperature is no temperature."""
    return f"delta_{symbol}" if unit(symbol).kind is Kind.TEMPERATURE else symbol


def _soak_words(chart: Chart, start_s: float, end_s: float) -> str:
    minutes = rounded_down(Fraction(end_s - start_s) / 60, 1)
    return f"{chart.stamp(start_s)} to {chart.stamp(end_s)}, {minutes} min"


def _options_act(options: Options, chart: Chart) -> Json:
    return {
        "window": _minutes(options.window_s),
        "soak": options.soak,
        "max_gap": "twice the usual interval, at most 10 min"
        if options.max_gap_s is None
        else _minutes(options.max_gap_s),
        "uncertainty": _uncertainty(options, chart),
        "rule": options.rule,
        "loaded": None if options.loaded_s is None else chart.stamp(options.loaded_s),
        "out": None if options.out_s is None else chart.stamp(options.out_s),
        "method": chart.method,
    }


def _uncertainty(options: Options, chart: Chart) -> str | None:
    """What a reading was taken to be off by, in words; None where that was zero because nobody said."""
    if chart.method == "crayon":
        return "1 % of its mark"
    stated = options.uncertainty
    if chart.method == "hand-read" and (stated is None or compare(stated, HAND_READ_SPAN) < 0):
        return f"{show_both(HAND_READ_SPAN)}, read by eye"
    return None if stated is None else show_both(stated)


def _minutes(seconds: float) -> str:
    return f"{seconds / 60:g} min"


def _drawing_act(chart: Chart, judged: Judged, limits: Limits, options: Options) -> Json:
    points = drawn_points(chart)
    return {
        "unit": chart.unit,
        "started_at": chart.stamp(0.0)
        if chart.started_at or isinstance(chart.clock_start, datetime)
        else None,
        "length_s": _seconds_text(chart.times_s[-1]),
        "couples": [
            {
                "name": channel.name,
                "role": channel.role,
                "points": [_points_text(p) for p in points[channel.name]],
            }
            for channel in chart.channels
            if channel.role != "ignored"
        ],
        "soaks": [_span_text(soak.start_s, soak.end_s) for soak in judged.soaks],
        "faults": [
            {
                "criterion": fault.criterion,
                "couple": fault.couple,
                "span": _span_text(fault.span.start_s, fault.span.end_s),
                "words": fault.words,
            }
            for fault in judged.faults
        ],
        "band": [_limit_text(limit, chart) for limit in (limits.soak_min, limits.soak_max)],
        "threshold": _limit_text(limits.threshold, chart),
        "loaded_s": None if options.loaded_s is None else _seconds_text(options.loaded_s),
        "out_s": None if options.out_s is None else _seconds_text(options.out_s),
    }


def _limit_text(limit: Any, chart: Chart) -> str | None:
    return None if limit is None else decimal_text(_in_unit(limit.quantity, chart.unit), 2)


def _points_text(piece: Iterable[tuple[float, float]]) -> str:
    # One text a piece: a list a point would be three times as long in the log.
    return " ".join(f"{_seconds_text(seconds)},{value:g}" for seconds, value in piece)


def _seconds_text(seconds: float) -> str:
    return f"{seconds:.10g}"


def _span_text(start_s: float, end_s: float) -> str:
    return f"{_seconds_text(start_s)},{_seconds_text(end_s)}"


def _pair(text: str) -> list[float]:
    first, second = text.split(",")
    return [float(first), float(second)]


def _number(text: str | None) -> float | None:
    return None if text is None else float(text)


def _drawing_object(act: Act) -> Json:
    return {
        "unit": act["unit"],
        "started_at": act["started_at"],
        "length_s": float(act["length_s"]),
        "couples": [
            {
                "name": couple["name"],
                "role": couple["role"],
                "points": [[_pair(point) for point in piece.split()] for piece in couple["points"]],
            }
            for couple in act["couples"]
        ],
        "soaks": [_pair(soak) for soak in act["soaks"]],
        "faults": [
            {
                "criterion": fault["criterion"],
                "couple": fault["couple"],
                "from_s": _pair(fault["span"])[0],
                "to_s": _pair(fault["span"])[1],
                "words": fault["words"],
            }
            for fault in act["faults"]
        ],
        "band": [_number(text) for text in act["band"]],
        "threshold": _number(act["threshold"]),
        "loaded_s": _number(act["loaded_s"]),
        "out_s": _number(act["out_s"]),
    }
