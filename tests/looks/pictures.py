"""Writes the pictures of docs: ``.venv/bin/python tests/looks/pictures.py``, or ``pytest --regold``.

A picture is what the app draws on the invented demo shop at a fixed time, letter by letter, as SVG.
"""

import os
import re
import sys
import tempfile
from collections.abc import Iterator
from html import escape
from pathlib import Path

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1] / "kits"))

from looks_kit import Shot, shots
from rich.cells import cell_len
from rich.segment import Segment

from traveler.tui.theme import WORKBENCH

DOCS = Path(__file__).parents[2] / "docs"
PICTURES = ("board", "chart", "job", "reading", "step")
"""Screens of looks_screens.py."""
SIZE = (80, 24)
CELL_WIDTH, LINE_HEIGHT, BASE_LINE, MARGIN = 8.4, 18, 13, 8
FONT = "ui-monospace, 'DejaVu Sans Mono', Menlo, Consolas, monospace"
WORDS = re.compile(r"[\u2800-\u28ff]+|[^\s\u2800-\u28ff]+( [^\s\u2800-\u28ff]+)*")
"""What is placed by itself: words with a blank between them, and dots, for which a font may have another width."""
INK, GROUND = str(WORKBENCH.foreground), str(WORKBENCH.background)


def picture(shot: Shot) -> str:
    """A screen as SVG, without anything that would have to be fetched."""
    width, height = SIZE[0] * CELL_WIDTH + 2 * MARGIN, SIZE[1] * LINE_HEIGHT + 2 * MARGIN
    drawn = "\n".join(piece for row, line in enumerate(shot.lines) for piece in _line(row, line))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" font-size="14" '
        f'font-family="{FONT}" fill="{INK}" xml:space="preserve">\n'
        f'<rect width="{width:g}" height="{height:g}" rx="6" fill="{GROUND}"/>\n{drawn}\n</svg>\n'
    )


def _line(row: int, line: tuple[Segment, ...]) -> Iterator[str]:
    column, top = 0, MARGIN + row * LINE_HEIGHT
    for text, ink, ground, bold in _runs(line):
        left, cells = MARGIN + column * CELL_WIDTH, cell_len(text)
        width = cells * CELL_WIDTH
        column += cells
        if ground != GROUND:
            yield f'<rect x="{left:g}" y="{top}" width="{width:g}" height="{LINE_HEIGHT}" fill="{ground}"/>'
        fill = "" if ink == INK else f' fill="{ink}"'
        weight = ' font-weight="bold"' if bold else ""
        for word in WORDS.finditer(text):
            at = left + cell_len(text[: word.start()]) * CELL_WIDTH
            yield (
                f'<text x="{at:g}" y="{top + BASE_LINE}" textLength="{cell_len(word[0]) * CELL_WIDTH:g}"{fill}{weight}>'
                f"{escape(word[0], quote=False)}</text>"
            )


def _runs(line: tuple[Segment, ...]) -> Iterator[tuple[str, str, str, bool]]:
    """Stretches of one look: text, ink, ground, bold."""
    text, look = "", (INK, GROUND, False)
    for segment in line:
        found = _look(segment)
        if found != look and text:
            yield text, *look
            text = ""
        text, look = text + segment.text, found
    if text:
        yield text, *look


def _look(segment: Segment) -> tuple[str, str, bool]:
    style = segment.style
    ink = style.color.get_truecolor().hex if style and style.color else INK
    ground = style.bgcolor.get_truecolor().hex if style and style.bgcolor else GROUND
    bold = bool(style and style.bold)
    return (ground, ink, bold) if style and style.reverse else (ink, ground, bold)


def pictures() -> dict[str, str]:
    """The pictures by the names of their files."""
    return {f"{name}.svg": picture(shots(SIZE)[name]) for name in PICTURES}


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as home:
        os.environ.update(HOME=home, XDG_STATE_HOME=f"{home}/state", TERM="xterm-256color")
        for name, drawn in pictures().items():
            (DOCS / name).write_text(drawn, encoding="utf-8")
