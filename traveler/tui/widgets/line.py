"""One line that takes text as it comes: typed, pasted whole, or sent by a scanner with the keys that go on."""

import re
import unicodedata
from dataclasses import dataclass

from textual.binding import Binding
from textual.events import Blur, Key, Paste
from textual.message import Message
from textual.widgets import Input

from traveler.report.words import visible

GOES_ON = re.compile(r"\r\n|[\r\n\t]")
"""What goes on to the next field when it is typed does so when it is pasted."""


EDITING = {
    key.strip(): binding.action
    for binding in Input.BINDINGS
    if isinstance(binding, Binding) and binding.action != "submit"
    for key in binding.key.split(",")
}
"""What each key does that edits a line."""


class Line(Input):
    """An ordinary input, but that nothing of a paste is dropped unsaid and its end is said in words, not by a bell."""

    @dataclass
    class Left(Message):
        """The line was left, with all that was typed into it by then."""

        text: str

    @dataclass
    class Refused(Message):
        """Why something was not taken."""

        words: str

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
        self.told_full = False

    def watch_value(self, value: str) -> None:
        """There may be room again."""
        self.told_full = False

    async def on_key(self, event: Key) -> None:
        """Keys that edit, in their turn among the letters.

        Textual hands such a key up to the app, which comes back with it when the letters behind it are in already: in a
        burst "31", Backspace, "2" would be 31.
        """
        action = EDITING.get(event.key)
        if action is not None and await self.app.run_action(action, self):
            event.stop()
            event.prevent_default()

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
        """Put ``text`` in place of what is marked, or at the cursor; whether it was taken."""
        if against := self._against(text):
            self.post_message(self.Refused(f"{against}; nothing of what was pasted was taken"))
            return False
        if self.selection.is_empty:
            self.insert_text_at_cursor(text)
        else:
            self.replace(text, *self.selection)
        return True

    def _against(self, text: str) -> str:
        """What stands against taking ``text``."""
        length = len(self.value) - len(self.selected_text) + len(text)
        if length > self.longest:
            return f"{length} characters are too many; expected at most {self.longest}"
        acting = next((character for character in text if unicodedata.category(character) == "Cc"), "")
        return (
            f"the character U+{ord(acting):04X} acts on a terminal and cannot be recorded" if acting else ""
        )

    def restricted(self) -> None:
        """A character more than it takes was typed; of many the first is told."""
        if self.told_full:
            return
        self.told_full = True
        self.post_message(self.Refused(f"no more characters are taken; expected at most {self.longest}"))
