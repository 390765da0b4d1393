"""Lines of text that follow a cursor: only those that changed are drawn anew, which a slow line notices."""

from collections.abc import Iterable

from rich.cells import set_cell_size
from rich.segment import Segment
from textual.events import Resize
from textual.geometry import Size
from textual.scroll_view import ScrollView
from textual.strip import Strip

from traveler.tui.layout import hung


class Detail(ScrollView, can_focus=False):
    """Safe text, each line wrapped with a hanging indent; it scrolls where there is more than fits."""

    def __init__(self) -> None:
        super().__init__(id="details")
        self._lines: tuple[str, ...] = ()
        self._laid: list[str] = []

    def put(self, lines: Iterable[str]) -> None:
        """Show these lines in place of what is there."""
        self._lines = tuple(lines)
        self._lay()

    def on_resize(self, event: Resize) -> None:
        """Wrap anew."""
        self._lay()

    def _lay(self) -> None:
        width = self.scrollable_content_region.width
        before = self._laid
        self._laid = [line for text in self._lines for line in hung(text, width)] if width else []
        # A change of size paints everything; shorter texts are laid out as if they filled the room.
        size = Size(width, max(len(self._laid), self.scrollable_content_region.height))
        if self.virtual_size != size:
            self.virtual_size = size
        for at in range(max(len(before), len(self._laid))):
            if before[at : at + 1] != self._laid[at : at + 1]:
                self.refresh_line(at)

    def render_line(self, y: int) -> Strip:
        """One line."""
        at = y + self.scroll_offset.y
        text = self._laid[at] if at < len(self._laid) else ""
        return Strip([Segment(set_cell_size(text, self.scrollable_content_region.width), self.rich_style)])
