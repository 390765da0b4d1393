"""The keys that do something on this screen; a key that cannot be used now stands in brackets."""

from dataclasses import dataclass

from rich.cells import cell_len
from textual.content import Content
from textual.events import Resize
from textual.screen import Screen
from textual.widgets import Static

from traveler.tui.keys import ACTIONS, LAST_SHOWN, UNFINISHED

GAP = "  "
MOST_LINES = 2
SHORT_SCREEN = 18
"""Below so many lines of the terminal one line must do for the keys."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One key with its words, and whether it can be used now."""

    key: str
    words: str
    enabled: bool

    @property
    def text(self) -> str:
        """As it is printed."""
        text = f"{self.key} {self.words}"
        return text if self.enabled else f"({text})"


class KeyBar(Static):
    """Follows the screen's bindings. What does not fit is left out from the end, what cannot be used now before all
    else but the list of everything, the way back last."""

    def __init__(self) -> None:
        super().__init__("", id="keys", markup=False)
        self._told: list[list[Entry]] = []

    def on_mount(self) -> None:
        """Listen to the bindings of the screen."""
        self.screen.bindings_updated_signal.subscribe(self, self._bindings_changed)

    def on_resize(self, event: Resize) -> None:
        """Fit anew."""
        self._show()

    def _bindings_changed(self, screen: Screen[object]) -> None:
        self._show()

    def _show(self) -> None:
        lines = self._lines()
        if lines != self._told:
            self._told = lines
            self.update(Content("\n").join(_drawn(line) for line in lines))

    def _lines(self) -> list[list[Entry]]:
        entries, kept = self._entries()
        width = self.app.size.width - 2
        most = MOST_LINES if self.app.size.height >= SHORT_SCREEN else 1
        if len(_filled([*entries, *kept], width)) > most:
            kept = [entry for entry in kept if entry.words != ACTIONS.description]
        while len(lines := _filled([*entries, *kept], width)) > most and (len(entries) > 1 or kept):
            if len(entries) > 1:
                entries.pop(_least_wanted(entries))
            else:
                kept.pop()
        return lines[:most]

    def _entries(self) -> tuple[list[Entry], list[Entry]]:
        """The entries that may be left out, and those that may not."""
        entries: list[Entry] = []
        kept: list[Entry] = []
        for active in self.screen.active_bindings.values():
            binding = active.binding
            if binding.show:
                entry = Entry(binding.key_display or "", binding.description, active.enabled)
                (kept if binding.action in LAST_SHOWN else entries).append(entry)
        if len(entries) > 1 and entries[0].words == UNFINISHED.description:
            entries[:2] = entries[1::-1]  # what the screen is for stands first
        last = ("Help", ACTIONS.description)
        kept.sort(key=lambda entry: last.index(entry.words) if entry.words in last else -1)
        return entries, kept


def _least_wanted(entries: list[Entry]) -> int:
    """Where the entry stands that is left out next: the last of those that cannot be used now, else the last. What the
    screen is for stays: the first one of its own that can be used.
    """
    own = [at for at, entry in enumerate(entries) if entry.words != UNFINISHED.description]
    first = next((at for at in own if entries[at].enabled), own[0] if own else 0)
    others = [at for at in range(len(entries)) if at != first]
    idle = [at for at in others if not entries[at].enabled]
    return (idle or others)[-1]


def _filled(entries: list[Entry], width: int) -> list[list[Entry]]:
    lines: list[list[Entry]] = [[]]
    for entry in entries:
        line = [*lines[-1], entry]
        if lines[-1] and cell_len(GAP.join(entry.text for entry in line)) > width:
            lines.append([entry])
        else:
            lines[-1] = line
    return lines


def _drawn(line: list[Entry]) -> Content:
    parts = []
    for entry in line:
        content = Content(entry.text)
        parts.append(content.stylize("bold", 0, len(entry.key)) if entry.enabled else content)
    return Content(GAP).join(parts)
