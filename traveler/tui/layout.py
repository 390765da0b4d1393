"""Lines that fit: text wrapped at words by terminal cells, and rows of two columns as a Textual visual."""

import re
from abc import abstractmethod
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from rich.cells import cell_len, chop_cells, set_cell_size
from textual.content import Content
from textual.css.styles import RulesMap
from textual.strip import Strip
from textual.style import Style
from textual.visual import RenderOptions, Visual

LEAST_TEXT_WIDTH = 12
_BREAK = re.compile(" (?!°)")  # a number stays with its degrees


def wrapped(text: str, width: int) -> list[str]:
    """``text`` in lines of at most ``width`` cells, broken at spaces where that can be; at least one line."""
    lines: list[str] = []
    line = ""
    for word in _BREAK.split(text):
        candidate = f"{line} {word}" if line else word
        if cell_len(candidate) <= width:
            line = candidate
            continue
        if line:
            lines.append(line)
        *full, line = chop_cells(word, max(width, 2)) or [""]
        lines += full
    return [*lines, line]


def hung(text: str, width: int, hang: str = "  ") -> list[str]:
    """``text`` wrapped, every line but the first behind ``hang``; its own indent is kept."""
    body = text.lstrip(" ")
    margin = text[: len(text) - len(body)]
    first, *rest = wrapped(body, max(width - len(margin) - len(hang), LEAST_TEXT_WIDTH)) if body else [""]
    return [margin + first, *(margin + hang + line for line in rest)]


def paragraph(lines: Iterable[str], width: int) -> str:
    """Lines, each wrapped with a hanging indent, as one text."""
    return "\n".join(line for text in lines for line in hung(text, width))


class Laid(Visual):
    """Text that lays itself out for the width it is given, so that nothing has to be redone on a resize."""

    @abstractmethod
    def content(self, width: int) -> Content:
        """The text for that width."""

    def render_strips(
        self, width: int, height: int | None, style: Style, options: RenderOptions
    ) -> list[Strip]:
        """As ``Visual.render_strips``."""
        width = max(width, 1)
        return self.content(width).render_strips(width, height, style, options)

    def get_optimal_width(self, rules: RulesMap, container_width: int) -> int:
        """The whole width."""
        return container_width

    def get_height(self, rules: RulesMap, width: int) -> int:
        """Lines at that width; in a window of one cell nothing is left of it, which no text can be wrapped to."""
        width = max(width, 1)
        return self.content(width).get_height(rules, width)


@dataclass(frozen=True)
class Lines(Laid):
    """Lines of safe text, each wrapped with a hanging indent."""

    lines: tuple[str, ...]

    def content(self, width: int) -> Content:
        """As ``Laid.content``."""
        return Content(paragraph(self.lines, width))


@dataclass(frozen=True)
class Sentence(Laid):
    """Safe text wrapped at words, a number and its degrees on one line."""

    text: str

    def content(self, width: int) -> Content:
        """As ``Laid.content``."""
        return Content("\n".join(wrapped(self.text, width)))


@dataclass(frozen=True)
class Fitted(Laid):
    """Lines of safe text made for the width they get; those still longer are wrapped. ``said`` has the last word."""

    lines: Callable[[int], Iterable[str]]
    said: Callable[[str], str] = str

    def content(self, width: int) -> Content:
        """As ``Laid.content``."""
        fitting = ([line] if cell_len(line) <= width else hung(line, width) for line in self.lines(width))
        return Content(self.said("\n".join(line for lines in fitting for line in lines)))


@dataclass(frozen=True)
class Heading(Laid):
    """Safe text at the two ends of a line; where they do not fit, the right one at the end of the last, or beneath."""

    left: str
    right: str = ""

    def content(self, width: int) -> Content:
        """As ``Laid.content``."""
        *lines, last = [self.left] if cell_len(self.left) <= width else wrapped(self.left, width)
        gap = width - cell_len(last) - cell_len(self.right)
        if gap >= (2 if self.right else 0):
            return Content("\n".join([*lines, f"{last}{' ' * gap}{self.right}"]))
        return Content("\n".join([*lines, last, self.right]))


@dataclass(frozen=True)
class Row(Laid):
    """One entry of a list: a short lead in its own column, beside it lines of text, each wrapped on its own.

    ``key`` identifies the entry. ``tone`` is the style of the lead. Where the lead is wider than its column the text
    begins on the next line. All text must be safe to print.
    """

    key: str
    lead: str
    lead_width: int
    lines: tuple[str, ...]
    tone: str = ""

    def content(self, width: int) -> Content:
        """The entry for a list of that width."""
        room = width - self.lead_width
        beside = room >= LEAST_TEXT_WIDTH
        margin = " " * (self.lead_width if beside else 2)
        body = [
            line for text in self.lines for line in hung(text, max(width - len(margin), LEAST_TEXT_WIDTH))
        ]
        if beside and cell_len(self.lead) < self.lead_width:
            first = set_cell_size(self.lead, self.lead_width) + (body[0] if body else "")
            text = "\n".join([first, *(margin + line for line in body[1:])])
            styled = len(self.lead)
        else:
            leads = wrapped(self.lead, width)
            text = "\n".join([*leads, *(margin + line for line in body)])
            styled = sum(len(line) + 1 for line in leads) - 1
        content = Content(text)
        return content.stylize(self.tone, 0, styled) if self.tone else content


def lead_width(leads: Sequence[str], most: int) -> int:
    """Width of the column of leads: the widest of those that fit in ``most`` cells, and a space."""
    return max((cell_len(lead) for lead in leads if cell_len(lead) <= most), default=0) + 2
