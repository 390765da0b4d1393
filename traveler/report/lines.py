"""Plain lines of at most 80 terminal cells; a wide character takes two, a word too long is broken."""

import re
from collections.abc import Iterable

from rich.cells import cell_len, chop_cells

WIDTH = 80
_BREAK = re.compile(" (?!°|[CF]°)")  # a number stays with its degrees


def wrapped(text: str, indent: str = "", hang: str = "    ", width: int = WIDTH) -> list[str]:
    """``text`` in lines of ``width`` cells: the first behind ``indent``, others behind ``indent + hang``."""
    lines: list[str] = []
    line, margin, started = indent, indent, False
    for word in _BREAK.split(text):
        gap = " " if started else ""
        if cell_len(line) + len(gap) + cell_len(word) <= width:
            line, started = f"{line}{gap}{word}", True
            continue
        if started:
            lines.append(line)
            margin = indent + hang
        *full, last = chop_cells(word, width - cell_len(indent + hang)) or [""]
        for piece in full:
            lines.append(margin + piece)
            margin = indent + hang
        line, started = margin + last, True
    return [*lines, line]


def padded(text: str, width: int) -> str:
    """``text`` followed by spaces up to ``width`` cells."""
    return text + " " * (width - cell_len(text))


def joined(lines: Iterable[str]) -> str:
    """The whole text: no spaces at the ends of lines, one newline at the end."""
    return "\n".join(line.rstrip() for line in lines).strip("\n") + "\n"
