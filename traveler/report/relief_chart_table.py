"""The verdict table of a judged chart in lines of text: in columns, or a paragraph a criterion where it is narrow."""

from collections.abc import Iterator, Sequence

from traveler.report.chart_words import (
    TABLE_HEADS,
    below_criterion,
    criterion_cells,
    is_logged,
    place_numbers,
)
from traveler.report.lines import padded, wrapped
from traveler.report.words import Object

LEAST_TABLE_WIDTH = 72
"""Narrower than this the columns break every word."""
_SHARES = (14, 16, 20)
"""Cells of criterion, limit and worst in 80 columns; a wider terminal gives each its share of the rest."""
_FIXED = (11, 11)
"""Margin and verdict: as wide as the longest verdict."""
_GAP = 2
NOTHING = "-"


def table_lines(chart: Object, width: int) -> list[str]:
    """A row a criterion with its reasons and source beneath, in lines of at most ``width`` cells."""
    if not chart["criteria"]:
        at_the_arcs = (
            "Read where the arcs were started; its readings stand with the requirements of the step."
        )
        return wrapped(at_the_arcs if is_logged(chart) else "Nothing was judged.", hang="", width=width)
    numbers = place_numbers(chart["drawing"])
    form = _in_columns if width >= LEAST_TABLE_WIDTH else _in_paragraphs
    lines = list(_row(TABLE_HEADS, _widths(width))) if form is _in_columns else []
    for criterion in chart["criteria"]:
        lines += form(criterion_cells(criterion), below_criterion(criterion, numbers), width)
    return lines


def _in_columns(cells: Sequence[str], below: Sequence[str], width: int) -> Iterator[str]:
    criterion, limit, worst, where, margin, verdict = cells
    worst_where = ", ".join(filter(None, (worst, where)))
    yield from _row((criterion, limit, worst_where, margin, verdict), _widths(width))
    for words in below:
        yield from wrapped(words, indent="    ", hang="  ", width=width)


def _row(cells: Sequence[str], widths: Sequence[int]) -> Iterator[str]:
    folded = [wrapped(cell or NOTHING, hang="", width=room) for cell, room in zip(cells, widths, strict=True)]
    for line in range(max(map(len, folded))):
        parts = [of_cell[line] if line < len(of_cell) else "" for of_cell in folded]
        yield (" " * _GAP).join(padded(part, room) for part, room in zip(parts, widths, strict=True)).rstrip()


def _widths(width: int) -> list[int]:
    room = width - sum(_FIXED) - _GAP * (len(TABLE_HEADS) - 1)
    shared = [room * share // sum(_SHARES) for share in _SHARES]
    return [*shared[:-1], room - sum(shared[:-1]), *_FIXED]


def _in_paragraphs(cells: Sequence[str], below: Sequence[str], width: int) -> Iterator[str]:
    criterion, limit, worst, where, margin, verdict = cells
    yield from wrapped(f"{criterion}: {verdict}", hang="  ", width=width)
    for label, words in (("limit", limit), ("worst", worst), ("where", where), ("margin", margin)):
        if words:
            yield from wrapped(f"{label}: {words}", indent="  ", hang="  ", width=width)
    for words in below:
        yield from wrapped(words, indent="    ", hang="  ", width=width)
