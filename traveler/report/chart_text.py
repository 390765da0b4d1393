"""Charts as lines of text: bands, curves, limits and posts on axes.

Two forms of the same chart: plain ASCII, and blocks with braille dots, which tell closer curves apart. A chart
never stands alone: whoever draws one prints the table of its points beside it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor, log10

from rich.cells import cell_len, chop_cells

from traveler.report.lines import WIDTH, padded

ROWS = 16
MARGIN = 7
"""Cells left of the drawing: the figures of the upright axis and the axis itself."""
LABELS = 6
"""Cells right of the drawing, for the names of curves."""

Point = tuple[float, float]
_BRAILLE = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
_SIGNS = {
    "band": ("#", "█"),
    "scatter": (".", "░"),
    "limit": ("-", "─"),
    "post": ("|", "│"),
    "both": ("+", "┼"),
}


@dataclass(frozen=True, slots=True)
class Band:
    """An area between two curves over rising x: (x, low, high); ``scatter`` goes on both sides, drawn lighter."""

    points: tuple[tuple[float, float, float], ...]
    scatter: float = 0.0


@dataclass(frozen=True, slots=True)
class Curve:
    """A line through points of rising x. ``sign``: the character that draws it in ASCII; ``name`` stands at its end."""

    points: tuple[Point, ...]
    sign: str
    name: str


@dataclass(frozen=True, slots=True)
class Axis:
    """What an axis measures, with its unit, and the range that must be on it."""

    words: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Mark:
    """A straight line at a value, with the words beside it: a limit across the chart or a post up it."""

    at: float
    words: str


@dataclass(frozen=True, slots=True)
class Size:
    """Cells across the whole chart, and rows of the drawing between its words."""

    width: int
    rows: int


PRINTED = Size(WIDTH, ROWS)


def chart_lines(
    x: Axis,
    y: Axis,
    bands: Sequence[Band] = (),
    curves: Sequence[Curve] = (),
    limits: Sequence[Mark] = (),
    posts: Sequence[Mark] = (),
    plain: bool = False,
    size: Size = PRINTED,
) -> list[str]:
    """The chart in lines of at most ``size.width`` cells, without a title; nothing that only a colour tells.

    ``limits`` are drawn at their y, ``posts`` at their x; what lies outside an axis is left out. Raises ValueError for
    an axis without length.
    """
    canvas = _Canvas(x, y, plain, size)
    for band in bands:
        canvas.shade(band)
    for limit in limits:
        canvas.across(limit.at)
    for post in posts:
        canvas.upright(post.at)
    for curve in curves:
        canvas.trace(curve)
    heads = canvas.post_words([post for post in posts if canvas.has_x(post.at)])
    legend = _legend(bands, curves, [limit for limit in limits if canvas.has_y(limit.at)], plain)
    return [y.words, *heads, *canvas.rows(), *canvas.feet(), *legend]


class _Canvas:
    """Cells of the drawing, top row first."""

    def __init__(self, x: Axis, y: Axis, plain: bool, size: Size) -> None:
        if not (x.low < x.high and y.low < y.high):
            raise ValueError("an axis must have a length")
        self.x, self.y, self.plain = x, y, plain
        self.width, self.height = size.width, size.rows
        self.columns = self.width - MARGIN - LABELS
        self.cells = [[" "] * self.columns for _ in range(self.height)]
        self.ends = [""] * self.height

    def has_x(self, at: float) -> bool:
        """Half a cell beyond an end is still on it: a converted value may lie there by its rounding."""
        half = (self.x.high - self.x.low) / (self.columns - 1) / 2
        return self.x.low - half <= at <= self.x.high + half

    def has_y(self, at: float) -> bool:
        return self.y.low <= at <= self.y.high

    def column(self, at: float) -> int:
        place = round((at - self.x.low) / (self.x.high - self.x.low) * (self.columns - 1))
        return min(max(place, 0), self.columns - 1)

    def row(self, at: float) -> int:
        return round((self.y.high - at) / (self.y.high - self.y.low) * (self.height - 1))

    def x_of(self, column: float) -> float:
        return self.x.low + column / (self.columns - 1) * (self.x.high - self.x.low)

    def y_of(self, row: float) -> float:
        return self.y.high - row / (self.height - 1) * (self.y.high - self.y.low)

    def shade(self, band: Band) -> None:
        """A cell is filled by the upper and the lower half of it that the band covers."""
        for column in range(self.columns):
            ends = _between(band.points, self.x_of(column))
            if ends is None:
                continue
            low, high = ends
            for row in range(self.height):
                halves = [low <= self.y_of(row + part) <= high for part in (-0.25, 0.25)]
                middle = self.y_of(row)
                if any(halves) or self.row(low) == row == self.row(high):
                    self.cells[row][column] = self._filled(halves)
                elif low - band.scatter <= middle <= high + band.scatter and self.cells[row][column] == " ":
                    self.cells[row][column] = self._sign("scatter")

    def across(self, at: float) -> None:
        if self.has_y(at):
            row = self.row(at)
            self.cells[row] = [self._sign("limit")] * self.columns

    def upright(self, at: float) -> None:
        if not self.has_x(at):
            return
        column = self.column(at)
        for row in range(self.height):
            crossing = self.cells[row][column] == self._sign("limit")
            self.cells[row][column] = self._sign("both" if crossing else "post")

    def trace(self, curve: Curve) -> None:
        inside = [point for point in curve.points if self.has_x(point[0])]
        if not inside:
            return
        if self.plain:
            self._trace_plain(curve)
        else:
            self._trace_dots(curve)
        self._name(curve.name, self.row(min(max(inside[-1][1], self.y.low), self.y.high)))

    def _name(self, name: str, row: int) -> None:
        """The name at the end of a curve, on the next row down that has none yet."""
        free = next((at for at in (*range(row, self.height), *range(row)) if not self.ends[at]), row)
        self.ends[free] = name

    def _trace_plain(self, curve: Curve) -> None:
        for column in range(self.columns):
            value = _at(curve.points, self.x_of(column))
            if value is not None and self.has_y(value):
                self.cells[self.row(value)][column] = curve.sign

    def _trace_dots(self, curve: Curve) -> None:
        dots: dict[tuple[int, int], int] = {}
        for fine in range(2 * self.columns):
            value = _at(curve.points, self.x_of((fine - 0.5) / 2))
            if value is None or not self.has_y(value):
                continue
            height = (self.y.high - value) / (self.y.high - self.y.low) * (self.height - 1) * 4 + 1.5
            row, part = divmod(round(height), 4)
            if row < self.height:
                key = (row, fine // 2)
                dots[key] = dots.get(key, 0) | _BRAILLE[part][fine % 2]
        for (row, column), pattern in dots.items():
            old = self.cells[row][column]
            held = ord(old) - 0x2800 if "\u2800" <= old <= "\u28ff" else 0
            self.cells[row][column] = chr(0x2800 + (held | pattern))

    def _filled(self, halves: list[bool]) -> str:
        if self.plain:
            return "#"
        return {(True, False): "▀", (False, True): "▄"}.get((halves[0], halves[1]), "█")

    def _sign(self, of: str) -> str:
        return _SIGNS[of][0 if self.plain else 1]

    def post_words(self, posts: Sequence[Mark]) -> list[str]:
        """The words of the posts over them, on a further line where they would run into each other."""
        lines: list[str] = []
        for post in sorted(posts, key=lambda post: post.at):
            words = chop_cells(post.words, self.width)[0] if post.words else ""
            start = max(0, min(MARGIN + self.column(post.at), self.width - cell_len(words)))
            for index, line in enumerate(lines):
                if cell_len(line) < start:
                    lines[index] = padded(line, start) + words
                    break
            else:
                lines.append(" " * start + words)
        return lines

    def rows(self) -> Iterator[str]:
        """The drawing with the figures of the upright axis on the rows where they fall."""
        figures = {self.row(value): f"{value:g}" for value in ticks(self.y.low, self.y.high, 6)}
        upright = "|" if self.plain else "│"
        for index, (cells, end) in enumerate(zip(self.cells, self.ends, strict=True)):
            figure = figures.get(index, "")
            yield f"{figure:>{MARGIN - 1}}{upright}{''.join(cells)} {end}".rstrip()

    def feet(self) -> Iterator[str]:
        """The lower axis, its figures and its words."""
        values = ticks(self.x.low, self.x.high, 8)
        cells = ["-" if self.plain else "─"] * self.columns
        figures = ""
        for value in values:
            column = self.column(value)
            cells[column] = "+" if self.plain else "┬"
            text = f"{value:g}"
            start = MARGIN + column - len(text) // 2
            if start > len(figures) or not figures:
                figures = figures.ljust(start) + text
        yield " " * (MARGIN - 1) + ("+" if self.plain else "└") + "".join(cells)
        yield figures
        yield " " * MARGIN + self.x.words


def ticks(low: float, high: float, most: int) -> list[float]:
    """Round values from ``low`` to ``high``, at most so many, 1, 2 or 5 times a power of ten apart."""
    raw = (high - low) / most
    power = 10 ** floor(log10(raw))
    step = next(times * power for times in (1, 2, 5, 10) if times * power >= raw)
    return [index * step for index in range(ceil(low / step), floor(high / step) + 1)]


def _at(points: Sequence[Point], x: float) -> float | None:
    """The value at ``x``, straight between the points; None outside them."""
    for (start, from_y), (end, to_y) in pairwise(points):
        if start <= x <= end:
            return from_y if start == end else from_y + (to_y - from_y) * (x - start) / (end - start)
    return None


def _between(points: Sequence[tuple[float, float, float]], x: float) -> tuple[float, float] | None:
    low = _at([(at, value) for at, value, _ in points], x)
    high = _at([(at, value) for at, _, value in points], x)
    return None if low is None or high is None else (low, high)


def _legend(bands: Sequence[Band], curves: Sequence[Curve], limits: Sequence[Mark], plain: bool) -> list[str]:
    form = 0 if plain else 1
    said = []
    if bands:
        said.append(f"{_SIGNS['band'][form]} band")
    if any(band.scatter for band in bands):
        said.append(f"{_SIGNS['scatter'][form]} scatter beside it")
    said += [f"{_SIGNS['limit'][form] * 2} {limit.words}" for limit in limits]
    if plain:
        said += [f"{curve.sign} {curve.name}" for curve in curves]
    return [" " * MARGIN + "   ".join(said)] if said else []
