"""Plain lines of at most 80 terminal cells; a wide character takes two, a word too long is broken."""

import re
from collections.abc import Iterable

WIDTH = 80
_LAST_OF_ONE_CELL = "\xff"  # printable letters and signs (°, ·, é) up to here take one cell each
_BREAK = re.compile(" (?!°|[CF]°)")  # a number stays with its degrees


def wrapped(text: str, indent: str = "", hang: str = "    ", width: int = WIDTH) -> list[str]:
    """``text`` in lines of ``width`` cells: the first behind ``indent``, others behind ``indent + hang``."""
    cells = len if _is_plain(indent + hang + text) else _cells
    used = cells(indent)
    if used + cells(text) <= width:
        return [indent + text]
    lines: list[str] = []
    line, margin, started = indent, indent, False
    for word in _BREAK.split(text):
        gap = " " if started else ""
        more = len(gap) + cells(word)
        if used + more <= width:
            line, used, started = f"{line}{gap}{word}", used + more, True
            continue
        if started:
            lines.append(line)
            margin = indent + hang
        *full, last = _chopped(word, width - cells(indent + hang))
        for piece in full:
            lines.append(margin + piece)
            margin = indent + hang
        line, started = margin + last, True
        used = cells(line)
    return [*lines, line]


def padded(text: str, width: int) -> str:
    """``text`` followed by spaces up to ``width`` cells."""
    return text + " " * (width - _cells(text))


def _is_plain(text: str) -> bool:
    """Whether each of its characters takes one cell of a terminal, as of nearly everything that is printed."""
    return text.isprintable() and (text.isascii() or max(text) <= _LAST_OF_ONE_CELL)


def _cells(text: str) -> int:
    """How many cells of a terminal a text takes."""
    if _is_plain(text):
        return len(text)
    # rich, which knows the widths, is loaded for the first other character.
    from rich.cells import cell_len

    return cell_len(text)


def _chopped(word: str, cells: int) -> list[str]:
    """A word in pieces of at most so many cells, one piece where it fits."""
    if _cells(word) <= cells:
        return [word]
    from rich.cells import chop_cells

    return chop_cells(word, cells) or [""]


def joined(lines: Iterable[str]) -> str:
    """The whole text: no spaces at the ends of lines, one newline at the end."""
    return "\n".join(line.rstrip() for line in lines).strip("\n") + "\n"
