"""A list of jobs of which only the lines in view are at hand, however many there are."""

from abc import abstractmethod
from collections.abc import Callable, Sequence
from typing import ClassVar, Protocol

from rich.segment import Segment
from rich.style import Style as RichStyle
from textual.events import Resize
from textual.geometry import Region
from textual.strip import Strip
from textual.style import Style
from textual.widget import Widget

from traveler.record.board import Line, Place
from traveler.tui.characters import drawable

ROOM_AT_FIRST = 60
"""Lines fetched before the size of the list is known."""


class Source(Protocol):
    """Where the lines come from, in their order."""

    @abstractmethod
    def after(self, place: Place | None, most: int, *, itself: bool = False) -> list[Line]:
        """At most so many lines behind a place, from the first where it is None; with ``itself`` from it on."""

    @abstractmethod
    def before(self, place: Place | None, most: int) -> list[Line]:
        """At most so many lines right before a place; the last ones where it is None."""

    @abstractmethod
    def line(self, number: str) -> Line | None:
        """The line of a job; None where it is not among them."""


Drawn = Sequence[tuple[str, str]]
"""Parts of one line of the screen, each with its style."""


class JobList(Widget, can_focus=True):
    """Jobs of equal height with a cursor that keeps its job, and its place on the screen, when the lines change.

    ``draw`` makes the lines of the screen of one job for a width, ``height`` of them; what is too long is cut there.
    """

    COMPONENT_CLASSES: ClassVar[set[str]] = {"job-list--cursor"}

    def __init__(self, source: Source, draw: Callable[[Line, int], Sequence[Drawn]], height: int) -> None:
        super().__init__(id="jobs")
        self._source = source
        self._draw = draw
        self._height = height
        self._lines: list[Line] = []
        self._at = 0
        self._painted: list[tuple[Drawn, bool]] = []

    @property
    def key(self) -> str | None:
        """Number of the job under the cursor; None in an empty list."""
        return self._lines[self._at].place.number if self._lines else None

    @property
    def _fits(self) -> int:
        return max(self.size.height // self._height, 1) if self.size.height else ROOM_AT_FIRST

    def on_resize(self, event: Resize) -> None:
        """Fetch as many lines as fit now."""
        self.reload()

    def reload(self) -> None:
        """Fetch the lines in view anew; only those that changed are drawn."""
        old = self._lines[self._at].place if self._lines else None
        self._around(old and self._source.line(old.number), old, self._at)

    def go_to(self, number: str) -> None:
        """Put the cursor on a job, where it is among the lines."""
        line = self._source.line(number)
        if line is not None:
            self._around(line, None, self._at)

    def start(self) -> None:
        """Show the first lines, the cursor on the first: the source has another order now, or other lines."""
        self._show(self._source.after(None, self._fits), 0)

    def move(self, where: str) -> None:
        """up, down, home or end; at the ends the cursor stays. Beyond the lines in view half a page comes into it."""
        if where == "home":
            self.start()
        elif where == "end":
            lines = self._source.before(None, self._fits)
            self._show(lines, len(lines) - 1)
        elif where == "down":
            if self._at + 1 >= len(self._lines):
                self._further_down((self._fits + 1) // 2)
            self._put_cursor(self._at + 1)
        else:
            if self._at == 0:
                self._further_up((self._fits + 1) // 2)
            self._put_cursor(self._at - 1)

    def page(self, where: str) -> None:
        """A page up or down, the cursor at the same place on the screen."""
        at = self._at
        if where == "down":
            self._put_cursor(at if self._further_down(self._fits) else len(self._lines) - 1)
        else:
            self._put_cursor(at if self._further_up(self._fits) else 0)

    def _further_down(self, by: int) -> bool:
        more = self._source.after(self._lines[-1].place, by) if self._lines else []
        if more:
            lines = [*self._lines, *more]
            gone = max(len(lines) - self._fits, 0)
            self._show(lines[gone:], max(self._at - gone, 0))
        return bool(more)

    def _further_up(self, by: int) -> bool:
        more = self._source.before(self._lines[0].place, by) if self._lines else []
        if more:
            lines = [*more, *self._lines][: self._fits]
            self._show(lines, min(self._at + len(more), len(lines) - 1))
        return bool(more)

    def _around(self, line: Line | None, old: Place | None, at: int) -> None:
        """The lines around one, which stays where it stood on the screen; around the place of one that is gone."""
        fits = self._fits
        place = old if line is None else line.place
        if place is None:
            self.start()
            return
        at = min(at, fits - 1)
        from_here = self._source.after(place, fits - at, itself=True)
        above = self._source.before(place, fits - len(from_here))
        if len(above) < fits - len(from_here):
            from_here = self._source.after(place, fits - len(above), itself=True)
        lines = [*above, *from_here]
        self._show(lines, min(len(above), len(lines) - 1))

    def _show(self, lines: list[Line], at: int) -> None:
        self._lines, self._at = lines, max(at, 0)
        self._paint()

    def _put_cursor(self, at: int) -> None:
        self._at = min(max(at, 0), max(len(self._lines) - 1, 0))
        self._paint()

    def _paint(self) -> None:
        """Have those lines drawn that differ from what stands there."""
        before, self._painted = self._painted, self._screen()
        for at in range(max(len(before), len(self._painted))):
            if before[at : at + 1] != self._painted[at : at + 1]:
                self.refresh(Region(0, at, self.size.width, 1))

    def _screen(self) -> list[tuple[Drawn, bool]]:
        """The lines of the screen, and whether the cursor is on them."""
        return [
            (tuple(drawn), at == self._at)
            for at, line in enumerate(self._lines)
            for drawn in self._draw(line, self.size.width or self.app.size.width)
        ]

    def _tone(self, tone: str) -> RichStyle:
        """A style in the words of the theme, as segments take it."""
        return Style.parse(tone, self.app.theme_variables).rich_style if tone else RichStyle()

    def render_line(self, y: int) -> Strip:
        """One line of the screen."""
        width, style = self.size.width, self.rich_style
        if y >= len(self._painted):
            return Strip.blank(width, style)
        drawn, under_cursor = self._painted[y]
        if under_cursor:
            style = self.get_component_rich_style("job-list--cursor")
        segments = [Segment(drawable(self, text), style + self._tone(tone)) for text, tone in drawn]
        return Strip(segments).adjust_cell_length(width, style)
