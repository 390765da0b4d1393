"""The line that takes what is typed at the bench, in big digits where there is room; draws only what changed."""

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from textual.events import Key, Paste
from textual.geometry import Region, Size
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from traveler.report.words import visible
from traveler.tui.big_digits import ROWS, big

LONGEST = 500
LABEL_WIDTH = 10
ROOM_FOR_BOTH = 70
"""Below so many columns what is typed has the line to itself."""
MARGIN = " "


class BenchEntry(Widget, can_focus=True):
    """Takes characters, Backspace and Ctrl+U; everything else is the screen's. ``text`` is what was typed.

    Beside it stands what the screen puts there where there is room: the time that is left, or the limit.
    """

    class Changed(Message):
        """What is typed has changed."""

    def __init__(self) -> None:
        super().__init__(id="bench-entry")
        self.text = ""
        self._beside = ("", "")
        self._drawn: list[str] = []
        self._drawn_for = Size()

    def put(self, text: str) -> None:
        """Type ``text`` in place of what is there."""
        self.text = text[:LONGEST]
        self._draw()

    @property
    def shows_beside(self) -> bool:
        """Whether there is room for anything beside what is typed."""
        return self.size.height >= ROWS and self.size.width >= ROOM_FOR_BOTH

    def put_beside(self, label: str, text: str) -> None:
        """What stands beside what is typed: a label and digits."""
        self._beside = (label, text)
        self._draw()

    def on_key(self, event: Key) -> None:
        """Take a character, or take the last one back."""
        if event.key in ("backspace", "ctrl+h"):
            self._typed(self.text[:-1])
        elif event.key == "ctrl+u":
            self._typed("")
        elif event.is_printable and event.character:
            self._typed(self.text + event.character)
        else:
            return
        event.stop()
        event.prevent_default()

    def on_paste(self, event: Paste) -> None:
        """The first line of what is pasted."""
        event.stop()
        first = next(iter(event.text.splitlines()), "")
        self._typed(self.text + "".join(ch for ch in first if ch.isprintable()))

    def _typed(self, text: str) -> None:
        self.put(text)
        self.post_message(self.Changed())

    def render_line(self, y: int) -> Strip:
        """One line, as wide as the widget."""
        if self._drawn_for != self.size:
            self._drawn, self._drawn_for = self._lines(), self.size
        text = self._drawn[y] if y < len(self._drawn) else ""
        return Strip([Segment(set_cell_size(text, self.size.width), self.rich_style)], self.size.width)

    def _draw(self) -> None:
        """Repaint the stretch of each line that changed, and nothing else."""
        if self._drawn_for != self.size or not self._drawn:
            self.refresh()  # as a whole, for the room there is now
            return
        before, after = self._drawn, self._lines()
        self._drawn = after
        changed = [
            Region(start, y, end - start, 1)
            for y, (old, new) in enumerate(zip(before, after, strict=True))
            if old != new
            for start, end in [_changed(old, new, self.size.width)]
        ]
        if changed:
            self.refresh(*changed)

    def _lines(self) -> list[str]:
        width, height = self.size
        if height < ROWS:
            return [_end_of(f"{MARGIN}> {visible(self.text)}", width)]
        label, text = self._beside
        beside = big(text, ROOM_FOR_BOTH // 2) if self.shows_beside else None
        if beside is None:
            return self._typed_lines(width)
        labelled = [set_cell_size(label if row == ROWS // 2 else "", LABEL_WIDTH) for row in range(ROWS)]
        room = width - LABEL_WIDTH - len(beside[0]) - len(MARGIN)
        return [
            set_cell_size(left, room) + lead + digits
            for left, lead, digits in zip(self._typed_lines(room - 1), labelled, beside, strict=True)
        ]

    def _typed_lines(self, room: int) -> list[str]:
        lead = f"{MARGIN}> "
        drawn = big(self.text, room - len(lead))
        if drawn is None:
            return ["", "", _end_of(lead + visible(self.text), room), "", ""]
        return [(lead if row == ROWS // 2 else " " * len(lead)) + digits for row, digits in enumerate(drawn)]


def _end_of(text: str, width: int) -> str:
    """As much of the end of a text as fits, with a mark where the next character comes."""
    text = f"{text}_"
    while cell_len(text) > max(width, 1):
        text = text[1:]
    return text


def _changed(old: str, new: str, width: int) -> tuple[int, int]:
    """The first cell that differs, and the one behind the last; the whole line where letters are wide."""
    if cell_len(old) != len(old) or cell_len(new) != len(new):
        return 0, width
    longest = max(len(old), len(new))
    old, new = old.ljust(longest), new.ljust(longest)
    differ = [at for at in range(longest) if old[at] != new[at]]
    return differ[0], min(differ[-1] + 1, max(width, 1))
