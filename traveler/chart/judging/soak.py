"""When all required couples were in the soak band together.

Between two readings the metal is taken to go straight, so the crossings lie between the rows; nothing is counted
across a stretch in which a couple is unknown. The codes leave the reading of a chart open: this one counts the soak
from the last couple in to the first couple out. Common practice, no published source.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import compress, count
from math import inf
from operator import and_

from traveler.chart.judging.exact import crossing, exact, greatest_float, least_float
from traveler.chart.judging.rows import Rows
from traveler.chart.model import SoakMode

_NEAR_S = 1e-6
"""Crossings this close together are compared as exact fractions."""


@dataclass(frozen=True, slots=True)
class Band:
    """Temperatures that count, in the chart's unit; None where a side is open."""

    low: Fraction | None
    high: Fraction | None

    def floats(self) -> tuple[float, float]:
        """The least and the greatest reading inside."""
        low = -inf if self.low is None else least_float(self.low)
        high = inf if self.high is None else greatest_float(self.high)
        return low, high


@dataclass(frozen=True, slots=True)
class Edge:
    """Where a piece of the soak begins or ends [s], and the couple that enters last or leaves first there.

    ``couple`` is None at an end of the chart, beside an unknown stretch, and where only rows count.
    """

    at_s: Fraction
    couple: str | None


@dataclass(frozen=True, slots=True)
class Piece:
    """An uninterrupted piece of soak; rows ``first`` to ``last`` lie in it, none where ``last`` < ``first``."""

    start: Edge
    end: Edge
    first: int
    last: int

    @property
    def length_s(self) -> Fraction:
        """How long it lasts [s]."""
        return self.end.at_s - self.start.at_s


def soak_pieces(rows: Rows, band: Band, between_rows: bool = True) -> list[Piece]:
    """All pieces in order of time, each longer than nothing, with exact ends.

    ``between_rows``: the metal goes straight from row to row, so that a piece may begin and end between two; if not,
    it begins and ends with a row inside.
    """
    return [piece for piece in _Search(rows, band, between_rows).pieces() if piece.length_s > 0]


def counted(pieces: Sequence[Piece], mode: SoakMode) -> list[Piece]:
    """The pieces that count: all of them, or the longest, the first of these where several are as long."""
    return list(pieces) if mode == "sum" or not pieces else [max(pieces, key=lambda piece: piece.length_s)]


def minutes(pieces: Sequence[Piece]) -> Fraction:
    """Their length together [min]."""
    return sum((piece.length_s for piece in pieces), Fraction(0)) / 60


def could_last(rows: Rows, band: Band, plain: Sequence[Piece], hold_s: Fraction, mode: SoakMode) -> bool:
    """Whether the soak may have lasted ``hold_s`` if the unknown couples were in the band all the while.

    The bound is generous by a row on either side of an unknown stretch: what it leaves open is not shown.
    """
    if not any(rows.broken) and not any(rows.unseen):
        return False
    low, high = band.floats()
    inside = bytes(map(and_, map(low.__le__, rows.coldest), map(high.__ge__, rows.hottest)))
    times, last_row = rows.times, len(rows.times) - 1
    spans = []
    for first, last in _runs(inside, 0, len(inside)):
        before, after = max(first - 1, 0), min(last + 1, last_row)
        if rows.unseen.find(1, first, last + 1) >= 0 or rows.broken.find(1, before, after) >= 0:
            spans.append(times[after] - times[before])
    for row in compress(count(), rows.broken[:last_row]):
        # Rows far apart, the couples out of the band on either side: the soak may lie between the two.
        if not inside[row] and not inside[row + 1] and not rows.unseen[row] and not rows.unseen[row + 1]:
            spans.append(times[row + 1] - times[row])
    if mode == "sum":
        return bool(spans) and Fraction(sum(spans)) + 60 * minutes(plain) >= hold_s
    return max(spans, default=0.0) >= hold_s


def _runs(flags: bytes | bytearray, start: int, stop: int) -> Iterator[tuple[int, int]]:
    """First and last row of each run of ones."""
    while (first := flags.find(1, start, stop)) >= 0:
        start = flags.find(0, first, stop)
        if start < 0:
            start = stop
        yield first, start - 1


class _Search:
    def __init__(self, rows: Rows, band: Band, between_rows: bool) -> None:
        self.rows, self.band, self.between_rows = rows, band, between_rows
        self.low, self.high = band.floats()
        inside = bytearray(map(and_, map(self.low.__le__, rows.coldest), map(self.high.__ge__, rows.hottest)))
        for row in compress(count(), rows.unseen):
            inside[row] = 0
        self.inside = inside

    def pieces(self) -> Iterator[Piece]:
        done = 0
        for first, last in _runs(self.inside, 0, len(self.inside)):
            yield from self._within_steps(done, first - 1)
            yield from self._of_run(first, last)
            done = last + 1
        yield from self._within_steps(done, len(self.inside) - 1)

    def _of_run(self, first: int, last: int) -> Iterator[Piece]:
        """A run of rows inside, cut where nothing is known between two of them."""
        while (cut := self.rows.broken.find(1, first, last)) >= 0:
            yield Piece(self._entering(first), self._at(cut), first, cut)
            first = cut + 1
        yield Piece(self._entering(first), self._leaving(last), first, last)

    def _at(self, row: int) -> Edge:
        return Edge(exact(self.rows.times[row]), None)

    def _entering(self, row: int) -> Edge:
        if row == 0 or self.rows.broken[row - 1] or not self.between_rows:
            return self._at(row)
        return self._edge(row - 1, out=row - 1, last=True)

    def _leaving(self, row: int) -> Edge:
        if row == len(self.rows.times) - 1 or self.rows.broken[row] or not self.between_rows:
            return self._at(row)
        return self._edge(row, out=row + 1, last=False)

    def _edge(self, step: int, out: int, last: bool) -> Edge:
        """The last or the first crossing in a step between rows, over the couples that are out at row ``out``."""
        near = []
        for index, column in enumerate(self.rows.columns):
            if not self.low <= column[out] <= self.high:
                near.append((self._roughly(step, column, column[out] < self.low), index))
        best = max(near)[0] if last else min(near)[0]
        edges = [self._crossing(step, out, index) for at, index in near if abs(at - best) <= _NEAR_S]
        return max(edges, key=lambda edge: edge.at_s) if last else min(edges, key=lambda edge: edge.at_s)

    def _roughly(self, step: int, column: Sequence[float], below: bool) -> float:
        level = self.low if below else self.high
        share = (level - column[step]) / (column[step + 1] - column[step])
        return self.rows.times[step] + share * (self.rows.times[step + 1] - self.rows.times[step])

    def _crossing(self, step: int, out: int, index: int) -> Edge:
        column = self.rows.columns[index]
        level = self.band.low if column[out] < self.low else self.band.high
        assert level is not None
        return Edge(crossing(self.rows.times, column, step, level), self.rows.couples[index].name)

    def _within_steps(self, first: int, last: int) -> Iterator[Piece]:
        """Pieces that begin and end between two rows, over rows ``first`` to ``last``, each of them outside."""
        step = first if self.between_rows else last
        while step < last:
            if self.rows.broken[step]:
                step += 1
                continue
            blocking = self._blocking(step)
            if blocking is not None:
                step = self._unblocked(step + 2, *blocking) - 1
                continue
            piece = self._within(step)
            if piece is not None:
                yield piece
            step += 1

    def _blocking(self, step: int) -> tuple[Sequence[float], bool] | None:
        """A couple that stays on one side of the band over the whole step, and whether it is the side below."""
        low, high = self.low, self.high
        for column in self.rows.columns:
            if column[step] < low and column[step + 1] < low:
                return column, True
            if column[step] > high and column[step + 1] > high:
                return column, False
        return None

    def _unblocked(self, row: int, column: Sequence[float], below: bool) -> int:
        """The first row from ``row`` on at which the couple is no longer on that side."""
        inside_again = self.low.__le__ if below else self.high.__ge__
        size = 64
        while row < len(column):
            found = next(compress(count(row), map(inside_again, column[row : row + size])), None)
            if found is not None:
                return found
            row, size = row + size, 4 * size
        return len(column)

    def _within(self, step: int) -> Piece | None:
        """The piece inside a step at both ends of which some couple is out."""
        ways_in, ways_out = [self._at(step)], [self._at(step + 1)]
        for index, column in enumerate(self.rows.columns):
            if not self.low <= column[step] <= self.high:
                ways_in.append(self._crossing(step, step, index))
            if not self.low <= column[step + 1] <= self.high:
                ways_out.append(self._crossing(step, step + 1, index))
        start = max(ways_in, key=lambda edge: edge.at_s)
        end = min(ways_out, key=lambda edge: edge.at_s)
        return Piece(start, end, step + 1, step) if start.at_s < end.at_s else None
