"""Cells of a recorded chart on a terminal: curves over posts over levels over the shaded band.

Two forms: plain ASCII, where a letter draws each curve, and braille dots with the letters beside them.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rich.cells import cell_len

from traveler.report.chart_clock import ChartClock
from traveler.report.chart_text import ticks
from traveler.report.lines import padded
from traveler.report.relief_curves import LETTERS, Spans, alone

MARGIN = 7
"""Cells left of the drawing: the figures of the upright axis and the axis itself."""
ENDS = 7
"""Cells right of the drawing, for the letters of the curves that reach it."""
MOST_HEADS, LONGEST_HEAD = 3, 9
SEVERAL = "*"
_BRAILLE = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
_PLAIN = {
    "band": ".",
    "level": "-",
    "post": ":",
    "both": "+",
    "soak": "=",
    "upright": "|",
    "corner": "+",
    "tick": "+",
}
_DRAWN = {
    "band": "░",
    "level": "─",
    "post": "┊",
    "both": "┼",
    "soak": "━",
    "upright": "│",
    "corner": "└",
    "tick": "┬",
}


@dataclass(frozen=True, slots=True)
class Window:
    """What the drawing covers: seconds on the chart's clock, values from bottom to top; both have a length."""

    low_s: float
    high_s: float
    bottom: float
    top: float

    def meets(self, from_s: float, to_s: float) -> bool:
        """Whether a stretch of time lies in the window or runs into it."""
        return from_s <= self.high_s and to_s >= self.low_s


@dataclass(frozen=True, slots=True)
class Head:
    """A few signs over the stretch of the chart that they mark with posts."""

    from_s: float
    to_s: float
    words: str


class ReliefCanvas:
    """``columns`` by ``rows`` cells over a window of the chart; draw from the back to the front."""

    def __init__(self, window: Window, columns: int, rows: int, plain: bool) -> None:
        self.window, self.columns, self.rows, self.plain = window, columns, rows, plain
        self._signs = _PLAIN if plain else _DRAWN
        self._cells = [[" "] * columns for _ in range(rows)]
        self._covered = [[False] * columns for _ in range(rows)]
        self._levels: dict[int, list[str]] = {}
        self._ends: dict[int, str] = {}

    @property
    def fine(self) -> int:
        """Columns in which curves are wanted: braille has two dots beside each other in a cell."""
        return self.columns if self.plain else 2 * self.columns

    def column(self, seconds: float) -> int:
        low, high = self.window.low_s, self.window.high_s
        return min(max(int((seconds - low) / (high - low) * self.columns), 0), self.columns - 1)

    def shade(self, low: float, high: float) -> None:
        """The band between two values, light, on the rows whose middle it covers."""
        height = (self.window.top - self.window.bottom) / self.rows
        for row in range(self.rows):
            if low <= self.window.top - (row + 0.5) * height <= high:
                self._cells[row][::2] = [self._signs["band"]] * len(self._cells[row][::2])

    @property
    def band_sign(self) -> str:
        return self._signs["band"]

    def level(self, value: float, words: str) -> None:
        """A line across at a value; its words go on it at the end, where no curve runs."""
        row = self._row(value, self.rows)
        self._cells[row] = [self._signs["level"]] * self.columns
        self._levels.setdefault(row, []).append(words)

    def post(self, seconds: float) -> None:
        column = self.column(seconds)
        for cells in self._cells:
            crossing = cells[column] in (self._signs["level"], self._signs["both"])
            cells[column] = self._signs["both" if crossing else "post"]

    def curves(self, letters: Sequence[str], reaches: Sequence[Spans]) -> None:
        """All curves at once, each with its spans over ``fine`` columns; where several meet no letter can stand."""
        if self.plain:
            self._by_letters(letters, reaches)
        else:
            self._by_dots(reaches)
            self._letters_where_alone(letters, reaches)
        for letter, reach in zip(letters, reaches, strict=True):
            if letter in LETTERS:
                self._letter_at_the_end(letter, reach)

    def level_words(self) -> list[str]:
        """Puts the words of the levels on the first cells of each that no curve and no post needs.

        Gives back, with the sign of a level, those that found no room there.
        """
        homeless = []
        for row, said in self._levels.items():
            words = f" {', '.join(said)} "
            free = "".join("-" if sign == self._signs["level"] else "x" for sign in self._cells[row])
            start = free.find("-" * cell_len(words), 1)
            if start > 0:
                self._cells[row][start : start + cell_len(words)] = list(words)
            else:
                homeless += [f"{self._signs['level'] * 2} {word}" for word in said]
        return homeless

    def head_lines(self, heads: Sequence[Head], unit: str) -> list[str]:
        """The words over the posts, each with a bar over its stretch; the unit of the values before them.

        ``heads`` in order of time. At most three lines: heads that find no room on those share one with the last.
        """
        lines: list[list[Head]] = [[]]
        for head in heads:
            free = next((line for line in lines if not line or self._ends_before(line[-1], head)), None)
            if free is not None:
                free.append(head)
            elif len(lines) < MOST_HEADS:
                lines.append([head])
            else:
                last = lines[-1][-1]
                words = f"{last.words},{head.words}"
                lines[-1][-1] = Head(last.from_s, max(last.to_s, head.to_s), words)
        drawn = [self._head_line(line) for line in lines]
        return [f"{unit:>{MARGIN - 1}} {drawn[0]}".rstrip(), *(" " * MARGIN + line for line in drawn[1:])]

    def _ends_before(self, earlier: Head, head: Head) -> bool:
        return self._place(earlier) + cell_len(self._barred(earlier)) < self._place(head)

    def _head_line(self, heads: Sequence[Head]) -> str:
        line = ""
        for head in heads:
            line = padded(line, self._place(head))[: self._place(head)] + self._barred(head)
        return line

    def _place(self, head: Head) -> int:
        """The column of a head: over its post, or so far before it that its words end on the line."""
        return min(self.column(head.from_s), self.columns + ENDS - cell_len(self._barred(head)))

    def _barred(self, head: Head) -> str:
        """The words of a head, cut to a few cells, with its bar."""
        words = head.words if len(head.words) <= LONGEST_HEAD else f"{head.words[: LONGEST_HEAD - 1]}+"
        covered = self.column(head.to_s) - self.column(head.from_s) + 1
        return words + self._signs["level"] * (covered - len(words))

    def lines(self) -> Iterator[str]:
        """The drawing with the figures of the upright axis and the letters at the ends of the curves."""
        values = ticks(self.window.bottom, self.window.top, max(2, self.rows // 3))
        figures = {self._row(value, self.rows): f"{value:g}" for value in values}
        for row, cells in enumerate(self._cells):
            figure = figures.get(row, "")
            figure = figure if len(figure) < MARGIN else ""
            drawn = f"{figure:>{MARGIN - 1}}{self._signs['upright']}{''.join(cells)}"
            yield f"{drawn} {_run_words(self._ends.get(row, ''))}".rstrip()

    def feet(self, clock: ChartClock, soaks: Sequence[tuple[float, float]]) -> Iterator[str]:
        """The axis of time with the soak laid on it in brackets, and its figures."""
        cells = [self._signs["level"]] * self.columns
        figures = ""
        for seconds, label in clock.ticks(self.window.low_s, self.window.high_s, max(2, self.columns // 8)):
            column = self.column(seconds)
            cells[column] = self._signs["tick"]
            start = MARGIN + column - len(label) // 2
            if start > len(figures):
                figures = figures.ljust(start) + label
        for from_s, to_s in soaks:
            start, end = self.column(from_s), self.column(to_s)
            word = " soak " if end - start > 9 else ""
            cells[start : end + 1] = list(word.center(end - start + 1, self._signs["soak"]))
            if start < end:
                cells[start], cells[end] = "[", "]"
        yield " " * (MARGIN - 1) + self._signs["corner"] + "".join(cells)
        yield figures

    def _row(self, value: float, rows: int) -> int:
        top, bottom = self.window.top, self.window.bottom
        return min(max(int((top - value) / (top - bottom) * rows), 0), rows - 1)

    def _by_letters(self, letters: Sequence[str], reaches: Sequence[Spans]) -> None:
        for letter, reach in zip(letters, reaches, strict=True):
            for column, span in enumerate(reach):
                if span is None:
                    continue
                for row in range(self._row(span[1], self.rows), self._row(span[0], self.rows) + 1):
                    covered = self._covered[row][column] and self._cells[row][column] != letter
                    self._cells[row][column] = SEVERAL if covered else letter
                    self._covered[row][column] = True

    def _by_dots(self, reaches: Sequence[Spans]) -> None:
        masks = [[0] * self.columns for _ in range(self.rows)]
        for reach in reaches:
            for fine, span in enumerate(reach):
                if span is None:
                    continue
                column, side = divmod(fine, 2)
                for part in range(self._row(span[1], 4 * self.rows), self._row(span[0], 4 * self.rows) + 1):
                    masks[part // 4][column] |= _BRAILLE[part % 4][side]
        for row, masks_of_row in enumerate(masks):
            for column, mask in enumerate(masks_of_row):
                if mask:
                    self._cells[row][column] = chr(0x2800 + mask)
                    self._covered[row][column] = True

    def _letters_where_alone(self, letters: Sequence[str], reaches: Sequence[Spans]) -> None:
        """A letter on each curve where it is furthest from the others, if it is ever a row from them."""
        height = (self.window.top - self.window.bottom) / self.rows
        for letter, reach, column in zip(letters, reaches, alone(reaches, height), strict=True):
            span = None if column is None else reach[column]
            if column is not None and span is not None and letter in LETTERS:
                self._cells[self._row(sum(span) / 2, self.rows)][column // 2] = letter

    def _letter_at_the_end(self, letter: str, reach: Spans) -> None:
        """Beside the drawing where the curve reaches its end, else on the curve where it stops."""
        last = max((column for column, span in enumerate(reach) if span is not None), default=None)
        if last is None or (span := reach[last]) is None:
            return
        row = self._row(sum(span) / 2, self.rows)
        if last >= len(reach) - 2:
            self._ends[row] = self._ends.get(row, "") + letter
        else:
            self._cells[row][last * self.columns // self.fine] = letter


def _run_words(letters: str) -> str:
    """ "abdefg" as "abd-g": runs of three and more by their ends, cut to the room beside the drawing."""
    places = sorted(LETTERS.index(letter) for letter in letters)
    runs: list[list[int]] = []
    for place in places:
        if runs and place == runs[-1][-1] + 1:
            runs[-1].append(place)
        else:
            runs.append([place])
    words = "".join(
        f"{LETTERS[run[0]]}-{LETTERS[run[-1]]}" if len(run) > 2 else "".join(LETTERS[at] for at in run)
        for run in runs
    )
    return words if len(words) < ENDS else f"{words[: ENDS - 2]}+"
