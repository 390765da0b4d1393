"""Judged charts on the printed sheets: texts, and a drawing whose every place is a part of its width and height."""

from collections.abc import Mapping, Sequence
from typing import Any

from traveler.report.chart_clock import ChartClock, clock_of
from traveler.report.chart_text import ticks
from traveler.report.chart_words import (
    MOST_PLACES,
    axis_words,
    below_criterion,
    criterion_cells,
    facts,
    further_places,
    is_logged,
    marked_places,
    place_numbers,
    place_words,
    taken_back_words,
    then_words,
    title_words,
    unit_words,
)
from traveler.report.relief_canvas import Window
from traveler.report.relief_curves import LETTERS, Curve, Curves, Piece, Spans, alone, curves_of, spans
from traveler.report.relief_window import OF_A_SOAK, OF_A_WELD, level_marks, window_of
from traveler.report.words import Object, count_words, visible

COLUMNS = 120
"""Columns in which a place for the letter of a curve is looked for."""
_APART = 0.03
"""Part of the height that a letter needs for itself."""
_ROOM_OF_A_LETTER = 0.045
_REACHES_THE_END = 0.98
_MOST_ROWS_OF_MARKS = 5
_WIDTH_OF_A_SIGN = 0.01


def chart_sheet(chart: Object) -> dict[str, Any]:
    """One chart object as JSON-ready texts and places; without a drawing where it was taken back or shows nothing."""
    back = taken_back_words(chart)
    numbers = place_numbers(chart["drawing"])
    plot = None if back else _plot(chart)
    return {
        "number": visible(chart.get("chart") or ""),
        "title": title_words(chart),
        "verdict": "superseded" if back else visible(chart["verdict"]),
        "back": [back, then_words(chart)] if back else [],
        "plot": plot,
        "no_plot": "" if back or plot else "No drawing: there are no readings at two times.",
        "rows": [] if back else [_row(criterion, numbers) for criterion in chart["criteria"]],
        "facts": [[label, "; ".join(texts)] for label, texts in facts(chart)],
    }


def _row(criterion: Object, numbers: Mapping[str, list[int]]) -> dict[str, list[str]]:
    return {"cells": criterion_cells(criterion), "below": below_criterion(criterion, numbers)}


def _plot(chart: Object) -> dict[str, Any] | None:
    drawing = chart["drawing"]
    window = window_of(drawing, None)
    if window is None:
        return None
    frame = _Frame(window)
    curves, clock = curves_of(drawing), clock_of(drawing["started_at"])
    unit = unit_words(drawing)
    low, high = drawing["band"]
    marks = level_marks(drawing, window, OF_A_WELD if is_logged(chart) else OF_A_SOAK)
    return {
        "band": None if low is None or high is None else [frame.y(high), frame.y(low)],
        "levels": [[frame.y(value), f"{words} {unit}"] for value, words in marks],
        "curves": _curves(curves, frame),
        "envelope": [[frame.piece(p) for p in pieces] for pieces in (curves.least, curves.greatest)],
        "soaks": [[frame.x(from_s), frame.x(to_s)] for from_s, to_s in drawing["soaks"]],
        "marks": _marks(drawing, frame),
        "x_ticks": [[frame.x(at), label] for at, label in clock.ticks(window.low_s, window.high_s, 14)],
        "y_ticks": [[frame.y(value), f"{value:g}"] for value in ticks(window.bottom, window.top, 8)],
        "x_words": axis_words(drawing, clock),
        "y_words": unit,
        "legend": _legend(curves),
        "places": _places(drawing, clock),
        "alt": _alt(drawing, curves, clock, unit),
    }


class _Frame:
    """Places on the drawing: x from the left, y from the top, each as a part of 1."""

    def __init__(self, window: Window) -> None:
        self.window = window

    def x(self, seconds: float) -> float:
        window = self.window
        return round((seconds - window.low_s) / (window.high_s - window.low_s), 5)

    def y(self, value: float) -> float:
        window = self.window
        return round((window.top - value) / (window.top - window.bottom), 5)

    def piece(self, piece: Piece) -> list[list[float]]:
        return [[self.x(seconds), self.y(value)] for seconds, value in piece]


def _curves(curves: Curves, frame: _Frame) -> list[dict[str, Any]]:
    """Each curve with its dashes by number and its letter: at its end, and once more where it stands alone."""
    drawn = [[frame.piece(piece) for piece in curve.pieces] for curve in curves.lettered]
    reaches = [spans(pieces, 0.0, 1.0, COLUMNS) for pieces in drawn]
    columns = alone([*reaches, *_outer(curves, frame)], _APART)
    lasts = [pieces[-1][-1] if pieces else None for pieces in drawn]
    heights = _spread([last[1] if last and last[0] >= _REACHES_THE_END else None for last in lasts])
    found = []
    for at, curve in enumerate(curves.lettered):
        last, height, column = lasts[at], heights[at], columns[at]
        span = None if column is None or len(drawn) == 1 else reaches[at][column]
        found.append(
            {
                "letter": curve.letter,
                "dashes": LETTERS.index(curve.letter),
                "pieces": drawn[at],
                "end": [*last, height] if last and height is not None else None,
                "stops": last if height is None else None,
                "alone": [(column + 0.5) / COLUMNS, sum(span) / 2] if span and column is not None else None,
            }
        )
    return found


def _outer(curves: Curves, frame: _Frame) -> list[Spans]:
    """How far the envelope reaches, if there is one."""
    outer = [curves.least, curves.greatest] if curves.others else []
    return [spans([frame.piece(piece) for piece in pieces], 0.0, 1.0, COLUMNS) for pieces in outer]


def _spread(ends: Sequence[float | None]) -> list[float | None]:
    """Heights for letters as near as can be to the ends of their curves, each with room for itself.

    Letters that would touch form a group about the middle of their ends.
    """
    groups: list[list[tuple[float, int]]] = []
    for end in sorted((end, at) for at, end in enumerate(ends) if end is not None):
        groups.append([end])
        while len(groups) > 1 and _lowest(groups[-2]) + _ROOM_OF_A_LETTER > _highest(groups[-1]):
            groups[-2:] = [groups[-2] + groups[-1]]
    placed = {
        at: round(_highest(group) + place * _ROOM_OF_A_LETTER, 5)
        for group in groups
        for place, (_, at) in enumerate(group)
    }
    return [placed.get(at) for at in range(len(ends))]


def _highest(group: Sequence[tuple[float, int]]) -> float:
    length = _ROOM_OF_A_LETTER * (len(group) - 1)
    middle = sum(end for end, _ in group) / len(group)
    return min(max(middle - length / 2, 0.0), 1.0 - length)


def _lowest(group: Sequence[tuple[float, int]]) -> float:
    return _highest(group) + _ROOM_OF_A_LETTER * (len(group) - 1)


def _marks(drawing: Object, frame: _Frame) -> list[dict[str, Any]]:
    """Numbers of the failing places over the drawing, and when the part went in and out; each over its stretch.

    Those that overlap stand in rows of their own, and share the last row's where there is no further one.
    """
    rows: list[list[dict[str, Any]]] = [[] for _ in range(_MOST_ROWS_OF_MARKS)]
    for from_s, to_s, words in marked_places(drawing):
        start, end = frame.x(from_s), frame.x(to_s)
        free = next((row for row, marks in enumerate(rows) if not marks or _reach(marks[-1]) < start), None)
        if free is None:
            last = rows[-1][-1]
            last |= {"to": max(last["to"], end), "words": f"{last['words']},{words}"}
        else:
            rows[free].append({"from": start, "to": end, "row": free, "words": words})
    return [mark for marks in rows for mark in marks]


def _reach(mark: Object) -> float:
    """Where a mark ends: its bar or the last of its signs."""
    return float(max(mark["to"], mark["from"] + _WIDTH_OF_A_SIGN * (len(mark["words"]) + 1)))


def _legend(curves: Curves) -> list[list[Any]]:
    """Number of the dashes (None: the envelope), letter and name of each curve."""
    entries: list[list[Any]] = [[LETTERS.index(c.letter), c.letter, _legend_name(c)] for c in curves.lettered]
    if curves.others:
        entries.append([None, "", f"least and greatest of {count_words(curves.others, 'other couple')}"])
    return entries


def _legend_name(curve: Curve) -> str:
    return curve.name if curve.pieces else f"{curve.name} (no readings)"


def _places(drawing: Object, clock: ChartClock) -> list[list[str]]:
    """The failing places by number, with what happens there."""
    listed = enumerate(drawing["faults"][:MOST_PLACES], start=1)
    places = [[str(number), place_words(fault, clock)] for number, fault in listed]
    more = further_places(drawing)
    return [*places, ["", more]] if more else places


def _alt(drawing: Object, curves: Curves, clock: ChartClock, unit: str) -> str:
    """The drawing in words for whoever hears the sheet instead of seeing it."""
    names = [_legend_name(curve) for curve in curves.lettered]
    if curves.others:
        names.append(count_words(curves.others, "other couple"))
    soaks = [clock.span_words(from_s, to_s) for from_s, to_s in drawing["soaks"]]
    faults = [place_words(fault, clock) for fault in drawing["faults"][:MOST_PLACES]]
    return (
        f"Temperatures in {unit} over {clock.span_words(0.0, drawing['length_s'])} of {', '.join(names)}. "
        f"Soak: {', '.join(soaks) or 'none'}. Failing places: {'; '.join(faults) or 'none'}."
    )
