"""One line that says what just happened; the only copy of a message never vanishes by itself."""

from textual.widgets import Static

from traveler.report.words import visible
from traveler.tui.characters import drawable
from traveler.tui.layout import Sentence


class StatusLine(Static):
    """The last thing said stays until the next thing is said or another screen opens."""

    def __init__(self) -> None:
        super().__init__("", id="status", markup=False)
        self._said = ("", False)

    def say(self, words: str, *, alarm: bool = False) -> None:
        """Show ``words``; an alarm is marked by a sign and set in bold."""
        text = f"! {visible(words)}" if alarm else visible(words)
        if (text, alarm) == self._said:
            return  # painting the same again costs bytes on a slow line
        self._said = (text, alarm)
        self.set_class(alarm, "-alarm")
        self.update(Sentence(drawable(self, text)))
