"""Few points that draw a long chart: no peak vanishes, and nothing is drawn over a gap."""

from array import array
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import compress, filterfalse, pairwise
from math import isnan
from operator import eq, sub

from traveler.chart.model import Chart
from traveler.chart.series import Series

Piece = list[tuple[float, float]]
"""An unbroken stretch of a channel: (seconds, value) over rising time."""

MOST_POINTS = 160
"""Enough for twice the columns of a terminal or for a sheet of paper."""
_FEW_INTERVALS = 3.0
_KEPT = 4
"""Points of a bucket at most: its first, its last, its least and its greatest."""


def drawn_points(chart: Chart, most: int = MOST_POINTS, gap_s: float | None = None) -> dict[str, list[Piece]]:
    """The unbroken pieces of each channel that is not ignored, thinned to ``most`` points a channel.

    Seconds on the chart's clock and values in the chart's unit. A channel with more readings is cut into buckets of
    time, of each of which the first, the last, the least and the greatest reading stay. Readings further apart than
    ``gap_s`` (None: three of the usual intervals) have a gap between them; the edges of the longest gaps stay where
    they are, those of the others to a bucket. A channel without a reading has no pieces. Raises ValueError where
    ``most`` has no room for one bucket.
    """
    if most < _KEPT:
        raise ValueError(f"a channel needs at least {_KEPT} points")
    longest_s = _FEW_INTERVALS * chart.interval_s if gap_s is None else gap_s
    row_gaps = _gaps(chart.times_s, longest_s)
    pieces = {}
    for channel in chart.channels:
        if channel.role == "ignored":
            continue
        times, values, gaps, series = chart.times_s, channel.values, row_gaps, channel.series
        if not series.whole:
            times = array("d", compress(times, map(eq, values, values)))  # no missing reading equals itself
            values = array("d", filterfalse(isnan, values))
            gaps, series = _gaps(times, longest_s), Series(values)
        rows: Sequence[int] = range(len(times))
        if len(rows) > most:
            rows = _kept_rows(series, _bucket_edges(times, gaps, most // _KEPT))
        pieces[channel.name] = _pieces(times, values, gaps, rows)
    return pieces


def _gaps(times: "array[float]", longest_s: float) -> list[int]:
    """Rows before which nothing was read for longer than ``longest_s``."""
    apart = list(map(sub, times[1:], times))
    if max(apart, default=0.0) <= longest_s:
        return []
    return [row for row, seconds in enumerate(apart, start=1) if seconds > longest_s]


def _pieces(
    times: "array[float]", values: "array[float]", gaps: Sequence[int], rows: Sequence[int]
) -> list[Piece]:
    pieces: list[Piece] = []
    before = -1
    for row in rows:
        if before < 0 or bisect_right(gaps, row) > bisect_right(gaps, before):
            pieces.append([])
        pieces[-1].append((times[row], values[row]))
        before = row
    return pieces


def _bucket_edges(times: "array[float]", gaps: Sequence[int], buckets: int) -> list[int]:
    """Rows at which ``buckets`` buckets begin, and the row after the last; a bucket may be empty."""
    longest = sorted(gaps, key=lambda row: times[row - 1] - times[row])[: buckets // 2]
    even = buckets - len(longest)
    width = (times[-1] - times[0]) / even
    edges = {bisect_left(times, times[0] + bucket * width) for bucket in range(1, even)}
    return sorted(edges | set(longest) | {0, len(times)})


def _kept_rows(series: Series, edges: Sequence[int]) -> list[int]:
    kept: list[int] = []
    for start, end in pairwise(edges):
        kept += sorted({start, *series.places(start, end - 1), end - 1})
    return kept
