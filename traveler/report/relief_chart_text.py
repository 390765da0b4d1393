"""A judged chart as lines of text: the drawing, the verdict table, and how the file was read and judged.

Nothing is told by a colour: curves have letters, failing places numbers over their posts, lines their words.
"""

from collections.abc import Iterator, Sequence

from rich.cells import cell_len, chop_cells

from traveler.report.chart_clock import ChartClock, clock_of
from traveler.report.chart_text import ROWS
from traveler.report.chart_words import (
    MOST_PLACES,
    axis_words,
    facts,
    further_places,
    head_words,
    is_logged,
    marked_places,
    place_words,
    taken_back_words,
    then_words,
    unit_words,
)
from traveler.report.lines import WIDTH, wrapped
from traveler.report.relief_canvas import ENDS, MARGIN, SEVERAL, Head, ReliefCanvas, Window
from traveler.report.relief_chart_table import table_lines
from traveler.report.relief_curves import Curves, Spans, curves_of, spans
from traveler.report.relief_window import OF_A_SOAK, OF_A_WELD, level_marks, window_of
from traveler.report.words import Object, count_words

LEAST_WIDTH = 40
"""Narrower than this a drawing is a smear; the table says everything without it."""
LEAST_PAGE = 20
"""Narrower than this no line is folded any further."""
LONGEST_NAME = 24
_ENVELOPE = "="


def chart_page(
    chart: Object,
    plain: bool,
    width: int = WIDTH,
    rows: int = ROWS,
    window: tuple[float, float] | None = None,
) -> list[str]:
    """Everything about one chart object in lines of at most ``width`` cells, 20 where it is less.

    ``plain`` draws in ASCII, else in braille; ``rows`` are those of the drawing. ``window``: seconds from and to on
    the chart's clock, None for the whole chart. A chart that was taken back shows why, and no drawing.
    """
    width = max(width, LEAST_PAGE)
    lines = wrapped(head_words(chart), width=width)
    if taken_back_words(chart):
        lines += wrapped(then_words(chart), width=width)
    else:
        lines += [*plot_lines(chart, plain, width, rows, window), "", *table_lines(chart, width)]
    told = [f"{label}: {'; '.join(texts)}" for label, texts in facts(chart)]
    return [*lines, "", *(line for words in told for line in wrapped(words, width=width))]


def plot_lines(
    chart: Object,
    plain: bool,
    width: int = WIDTH,
    rows: int = ROWS,
    window: tuple[float, float] | None = None,
) -> list[str]:
    """The drawing alone, with the words for its letters and numbers; a sentence where nothing can be drawn."""
    width = max(width, LEAST_PAGE)
    drawing = chart["drawing"]
    covered = window_of(drawing, window)
    if covered is None:
        return wrapped("No drawing: there are no readings at two times here.", width=width)
    if width < LEAST_WIDTH:
        return wrapped(f"No drawing: it needs {LEAST_WIDTH} columns, and there are {width}.", width=width)
    curves, clock = curves_of(drawing), clock_of(drawing["started_at"])
    heads = [Head(*place) for place in marked_places(drawing) if covered.meets(place[0], place[1])]
    soaks = [(from_s, to_s) for from_s, to_s in drawing["soaks"] if covered.meets(from_s, to_s)]
    soak = "; [ ] soak" if soaks else ""
    canvas = ReliefCanvas(covered, width - MARGIN - ENDS, rows, plain)
    others = _draw(canvas, chart, curves, heads)
    return [
        *canvas.head_lines(heads, unit_words(drawing)),
        *canvas.lines(),
        *canvas.feet(clock, soaks),
        *wrapped(axis_words(drawing, clock) + soak, indent=" " * MARGIN, hang="", width=width),
        *_legend(curves, others, plain, width),
        *_places(drawing, covered, clock, width),
    ]


def _draw(canvas: ReliefCanvas, chart: Object, curves: Curves, heads: Sequence[Head]) -> list[str]:
    """Everything on the canvas, from the back to the front; gives back signs that the legend has to explain."""
    covered, drawing = canvas.window, chart["drawing"]
    ends, band = (OF_A_WELD, "limits") if is_logged(chart) else (OF_A_SOAK, "soak band")
    low, high = drawing["band"]
    banded = low is not None and high is not None
    if banded:
        canvas.shade(low, high)
    for value, words in level_marks(drawing, covered, ends):
        canvas.level(value, words)
    for seconds in {at for head in heads for at in (head.from_s, head.to_s)}:
        if covered.meets(seconds, seconds):
            canvas.post(seconds)
    canvas.curves(*_reaches(curves, covered.low_s, covered.high_s, canvas.fine))
    return canvas.level_words() + ([f"{canvas.band_sign} {band}"] if banded else [])


def _reaches(curves: Curves, low_s: float, high_s: float, count: int) -> tuple[list[str], list[Spans]]:
    letters = [curve.letter for curve in curves.lettered]
    pieces = [curve.pieces for curve in curves.lettered]
    if curves.others:
        letters += [_ENVELOPE, _ENVELOPE]
        pieces += [curves.least, curves.greatest]
    return letters, [spans(of_one, low_s, high_s, count) for of_one in pieces]


def _places(drawing: Object, covered: Window, clock: ChartClock, width: int) -> Iterator[str]:
    """The failing places that the drawing shows, by their numbers."""
    for number, fault in enumerate(drawing["faults"][:MOST_PLACES], start=1):
        if covered.meets(fault["from_s"], fault["to_s"]):
            yield from wrapped(
                f"{number:>2} {place_words(fault, clock)}", indent=" ", hang="   ", width=width
            )
    if more := further_places(drawing):
        yield from wrapped(more, indent="    ", width=width)


def _legend(curves: Curves, others: Sequence[str], plain: bool, width: int) -> Iterator[str]:
    """Letters with their couples and the other signs with their words, each held together on its line."""
    said = [f"{c.letter} {_short(c.name)}{_unread(c.pieces)}" for c in curves.lettered]
    if curves.others:
        sign = f"{_ENVELOPE} " if plain else "without a letter: "
        said.append(f"{sign}least and greatest of {count_words(curves.others, 'other couple')}")
    if plain and len(said) > 1:
        said.append(f"{SEVERAL} several")
    line = ""
    for entry in [*said, *others]:
        if line and 2 + cell_len(line) + 2 + cell_len(entry) > width:
            yield from wrapped(line, indent="  ", width=width)
            line = ""
        line += f"  {entry}" if line else entry
    yield from wrapped(line, indent="  ", width=width)


def _unread(pieces: Sequence[object]) -> str:
    return "" if pieces else " (no readings)"


def _short(name: str) -> str:
    return name if cell_len(name) <= LONGEST_NAME else f"{chop_cells(name, LONGEST_NAME - 1)[0]}+"
