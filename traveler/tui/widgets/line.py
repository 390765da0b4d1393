"""One line that takes text as it comes: typed, pasted whole, or sent by a scanner with the keys that go on."""

import re
from dataclasses import dataclass

from textual.events import Blur, Paste
from textual.message import Message
from textual.widgets import Input

from traveler.report.words import visible

GOES_ON = re.compile(r"\r\n|[\r\n\t]")
"""What goes on to the next field when it is typed does so when it is pasted."""


class Line(Input):
    """An ordinary input, but that nothing of a paste is dropped unsaid and its end is said in words, not by a bell."""

    @dataclass
    class Left(Message):
        """The line was left, with all that was typed into it by then."""

        text: str

    @dataclass
    class TooLong(Message):
        """So many characters would stand in it, more than it takes; they were not taken."""

        length: int
        longest: int
        pasted: bool

    @dataclass
    class MorePasted(Message):
        """What was pasted behind a Tab or the end of a line: for the fields that follow."""

        parts: list[str]

    def __init__(self, value: str, placeholder: str, longest: int) -> None:
        super().__init__(
            value, visible(placeholder), select_on_focus=bool(value), compact=True, max_length=longest
        )
        self.longest = longest
        self.cursor_blink = False

    def on_blur(self, event: Blur) -> None:
        """Tell the field."""
        self.post_message(self.Left(self.value))

    def on_paste(self, event: Paste) -> None:
        """As it would be typed: a Tab or the end of a line goes on to the next field."""
        event.stop()
        event.prevent_default()
        first, *following = GOES_ON.split(event.text)
        if self.take(first) and following:
            self.post_message(self.MorePasted(following))

    def take(self, text: str) -> bool:
        """Put ``text`` in place of what is marked, or at the cursor; whether there was room for it."""
        length = len(self.value) - len(self.selected_text) + len(text)
        if length > self.longest:
            self.post_message(self.TooLong(length, self.longest, pasted=True))
            return False
        if self.selection.is_empty:
            self.insert_text_at_cursor(text)
        else:
            self.replace(text, *self.selection)
        return True

    def restricted(self) -> None:
        """A character more than it takes was typed."""
        self.post_message(self.TooLong(len(self.value) + 1, self.longest, pasted=False))
