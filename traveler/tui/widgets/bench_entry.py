"""The line that takes what is typed at the bench, in large digits where there is room."""

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.events import Key, Paste
from textual.message import Message
from textual.widgets import Static

from traveler.report.words import visible
from traveler.tui.big_digits import ROWS, can_be_big
from traveler.tui.widgets.big_digit import BigDigit
from traveler.tui.widgets.key_bar import SHORT_SCREEN

LONGEST = 500
DIGITS_TYPED = 5
DIGITS_BESIDE = 4
ROOM_FOR_BOTH = 80
"""Below so many columns of the terminal what is typed has the line to itself."""
LEAD = " > "
_AT_MIDDLE = "\n" * (ROWS // 2)


class BenchEntry(Horizontal, can_focus=True):
    """Takes characters, Backspace and Ctrl+U; everything else is the screen's. ``text`` is what was typed.

    Beside it stands what the screen puts there where there is room: the time that is left, or the limit.
    """

    class Changed(Message):
        """What is typed has changed."""

    def __init__(self) -> None:
        super().__init__(id="bench-entry")
        self.text = ""
        self._plain_shown = ""

    def compose(self) -> ComposeResult:
        """What is typed, then what stands beside it."""
        yield Static(LEAD, id="bench-plain", markup=False)
        for _ in range(DIGITS_TYPED):
            yield BigDigit("typed")
        yield Static("", id="bench-label", markup=False)
        for _ in range(DIGITS_BESIDE):
            yield BigDigit("beside")

    def put(self, text: str) -> None:
        """Type ``text`` in place of what is there."""
        self.text = text[:LONGEST]
        self._draw()

    @property
    def is_large(self) -> bool:
        """Whether there are lines enough for large digits."""
        return self.app.size.height >= SHORT_SCREEN

    @property
    def shows_beside(self) -> bool:
        """Whether there is room for anything beside what is typed."""
        return self.is_large and self.app.size.width >= ROOM_FOR_BOTH

    def fits_beside(self, text: str) -> bool:
        """Whether that can stand there in large digits."""
        return self.shows_beside and can_be_big(text, DIGITS_BESIDE)

    def put_beside(self, label: str, text: str) -> None:
        """What stands beside what is typed: a label and digits; nothing where they do not fit."""
        fits = self.fits_beside(text)
        self.set_class(not self.shows_beside, "-alone")
        self._put_digits("beside", text.rjust(DIGITS_BESIDE) if fits else " " * DIGITS_BESIDE)
        shown = f"{_AT_MIDDLE}{label}" if fits else ""
        beside = self.query_one("#bench-label", Static)
        if beside.content != shown:
            beside.update(shown)

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
        self._typed(self.text + "".join(character for character in first if character.isprintable()))

    def _typed(self, text: str) -> None:
        self.put(text)
        self.post_message(self.Changed())

    def _draw(self) -> None:
        large = self.is_large and can_be_big(self.text, DIGITS_TYPED)
        self.set_class(not large, "-plain")
        self._put_digits("typed", self.text.ljust(DIGITS_TYPED) if large else " " * DIGITS_TYPED)
        lead = _AT_MIDDLE + LEAD if self.is_large else LEAD
        plain = (
            lead if large else lead + _end_of(visible(self.text), self.app.size.width - len(LEAD) - 1) + "_"
        )
        if plain != self._plain_shown:
            self._plain_shown = plain
            self.query_one("#bench-plain", Static).update(Content(plain))

    def _put_digits(self, which: str, text: str) -> None:
        for digit, character in zip(self.query(f".{which}").results(BigDigit), text, strict=True):
            digit.put(character)


def _end_of(text: str, width: int) -> str:
    """As much of the end of a text as fits."""
    while text and cell_len(text) > max(width, 1):
        text = text[1:]
    return text
