"""One large digit in a place of its own, which draws only the lines of it that changed."""

from rich.segment import Segment
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from traveler.tui.big_digits import COLUMNS, shape


class BigDigit(Widget):
    """A place for one digit. A widget a digit, since of a widget a terminal is sent whole lines."""

    def __init__(self, classes: str) -> None:
        super().__init__(classes=classes)
        self._lines = shape(" ")

    def put(self, character: str) -> None:
        """Show that character, a blank for none."""
        before, self._lines = self._lines, shape(character)
        changed = [
            Region(0, y, COLUMNS, 1)
            for y, (old, new) in enumerate(zip(before, self._lines, strict=True))
            if old != new
        ]
        if changed:
            self.refresh(*changed)

    def render_line(self, y: int) -> Strip:
        """One line of it."""
        text = self._lines[y] if y < len(self._lines) else " " * COLUMNS
        return Strip([Segment(text, self.rich_style)], COLUMNS).crop(0, self.size.width)
