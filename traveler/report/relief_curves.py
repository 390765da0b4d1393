"""The curves of a recorded chart: which couple has which letter, how far each reaches, where each stands alone."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf

from traveler.report.words import Object, visible

LETTERS = "abcdefghjkmn"
"""A drawing tells twelve curves apart, by letter and on paper by dashes too; i and l would look like strokes."""
ENVELOPE_COLUMNS = 160

Piece = Sequence[Sequence[float]]
"""An unbroken stretch of readings: [seconds, value] over rising time."""
Spans = list[tuple[float, float] | None]
"""The least and the greatest value in each column of equal width; None where nothing was read."""


@dataclass(frozen=True, slots=True)
class Curve:
    """One couple with its letter; ``name`` is safe to print and says what the couple is where it is no part couple."""

    letter: str
    name: str
    pieces: Sequence[Piece]


@dataclass(frozen=True, slots=True)
class Curves:
    """What is drawn: couples by letter, and the least and greatest of ``others`` couples that have none."""

    lettered: tuple[Curve, ...]
    others: int
    least: Sequence[Piece]
    greatest: Sequence[Piece]


def curves_of(drawing: Object) -> Curves:
    """Every couple by letter; beyond twelve those with a failing place and the furnace, and an envelope of the rest."""
    couples = drawing["couples"]
    if len(couples) <= len(LETTERS):
        return Curves(_lettered(couples), 0, (), ())
    failing = {fault["couple"] for fault in drawing["faults"]}
    singled = [at for at, c in enumerate(couples) if c["name"] in failing or c["role"] == "furnace"]
    singled = singled[: len(LETTERS)]
    rest = [couple["points"] for at, couple in enumerate(couples) if at not in singled]
    least, greatest = _envelope(rest, drawing["length_s"])
    return Curves(_lettered([couples[at] for at in singled]), len(rest), least, greatest)


def spans(pieces: Sequence[Piece], low_s: float, high_s: float, count: int) -> Spans:
    """How far a curve reaches in each of ``count`` columns from ``low_s`` to ``high_s``.

    Straight between the points of a piece, nothing between pieces; one walk over points and columns together.
    """
    least, greatest = [inf] * count, [-inf] * count
    per_second = count / (high_s - low_s)

    def reach(column: int, *values: float) -> None:
        least[column] = min(least[column], *values)
        greatest[column] = max(greatest[column], *values)

    for piece in pieces:
        if len(piece) == 1 and low_s <= piece[0][0] <= high_s:
            reach(_column(piece[0][0], low_s, per_second, count), piece[0][1], piece[0][1])
        for start_s, from_value, end_s, to_value in _clipped(piece, low_s, high_s):
            first = _column(start_s, low_s, per_second, count)
            last = _column(end_s, low_s, per_second, count)
            if first == last:
                reach(first, from_value, to_value)
                continue
            rise = (to_value - from_value) / (end_s - start_s)
            value = from_value
            for column in range(first, last):
                edge = from_value + rise * (low_s + (column + 1) / per_second - start_s)
                reach(column, value, edge)
                value = edge
            reach(last, value, to_value)
    return [(low, high) if low <= high else None for low, high in zip(least, greatest, strict=True)]


def alone(reaches: Sequence[Spans], apart: float) -> list[int | None]:
    """For each curve the column where it is furthest from all others; None where it never is ``apart`` from them."""
    best: list[tuple[float, int | None]] = [(apart, None)] * len(reaches)
    for column in range(len(reaches[0]) if reaches else 0):
        present = sorted((span[0], span[1], at) for at, r in enumerate(reaches) if (span := r[column]))
        below = -inf
        for place, (low, high, at) in enumerate(present):
            above = present[place + 1][0] if place + 1 < len(present) else inf
            distance = min(low - below, above - high)
            if distance > best[at][0]:
                best[at] = (distance, column)
            below = max(below, high)
    return [column for _, column in best]


def _lettered(couples: Sequence[Object]) -> tuple[Curve, ...]:
    return tuple(
        Curve(letter, _named(couple), couple["points"])
        for letter, couple in zip(LETTERS, couples, strict=False)
    )


def _named(couple: Object) -> str:
    name = visible(couple["name"])
    return name if couple["role"] == "part" else f"{name} ({visible(couple['role'])})"


def _column(seconds: float, low_s: float, per_second: float, count: int) -> int:
    return min(max(int((seconds - low_s) * per_second), 0), count - 1)


def _clipped(piece: Piece, low_s: float, high_s: float) -> Iterator[tuple[float, float, float, float]]:
    """The lines between neighbouring points, as far as they lie in the window: start, value, end, value."""
    for (start, from_value), (end, to_value) in pairwise(piece):
        if end < low_s or start > high_s:
            continue
        if start >= low_s and end <= high_s:
            yield start, from_value, end, to_value
            continue
        rise = (to_value - from_value) / (end - start)
        first, last = max(start, low_s), min(end, high_s)
        yield first, from_value + rise * (first - start), last, from_value + rise * (last - start)


def _envelope(couples: Sequence[Sequence[Piece]], length_s: float) -> tuple[list[Piece], list[Piece]]:
    """The least and the greatest of many couples, each value at the middle of its column."""
    if length_s <= 0:
        return [], []
    every = [spans(pieces, 0.0, length_s, ENVELOPE_COLUMNS) for pieces in couples]
    least: list[list[tuple[float, float]]] = [[]]
    greatest: list[list[tuple[float, float]]] = [[]]
    for column in range(ENVELOPE_COLUMNS):
        found = [span for spans_of_one in every if (span := spans_of_one[column])]
        if not found:
            least.append([])
            greatest.append([])
            continue
        middle = (column + 0.5) * length_s / ENVELOPE_COLUMNS
        least[-1].append((middle, min(low for low, _ in found)))
        greatest[-1].append((middle, max(high for _, high in found)))
    return [piece for piece in least if piece], [piece for piece in greatest if piece]
