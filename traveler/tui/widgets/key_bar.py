"""The keys that do something on this screen, on one line; a key that cannot be used now stands in brackets."""

from rich.cells import cell_len
from textual.content import Content
from textual.events import Resize
from textual.screen import Screen
from textual.widgets import Static

GAP = "  "


class KeyBar(Static):
    """Follows the screen's bindings. Entries that do not fit are left out from the end; help is kept."""

    def __init__(self) -> None:
        super().__init__("", id="keys", markup=False)
        self._told: tuple[tuple[str, bool], ...] = ()

    def on_mount(self) -> None:
        """Listen to the bindings of the screen."""
        self.screen.bindings_updated_signal.subscribe(self, self._bindings_changed)

    def on_resize(self, event: Resize) -> None:
        """Fit anew."""
        self._show(force=True)

    def _bindings_changed(self, screen: Screen[object]) -> None:
        if screen.is_current:
            self._show()

    def _show(self, *, force: bool = False) -> None:
        entries = self._fitting(self._entries())
        if entries != self._told or force:
            self._told = entries
            self.update(self._drawn(entries))

    def _entries(self) -> tuple[tuple[str, bool], ...]:
        shown = []
        for active in self.screen.active_bindings.values():
            binding = active.binding
            if binding.show and binding.key_display:
                words = f"{binding.key_display} {binding.description}"
                shown.append((words if active.enabled else f"({words})", active.enabled))
        return tuple(shown)

    def _fitting(self, entries: tuple[tuple[str, bool], ...]) -> tuple[tuple[str, bool], ...]:
        kept = list(entries)
        while len(kept) > 2 and sum(cell_len(words) + len(GAP) for words, _ in kept) - len(GAP) > self.size.width:
            # The last two are Help and Back; what is left out is in the help.
            del kept[-3]
        return tuple(kept)

    def _drawn(self, entries: tuple[tuple[str, bool], ...]) -> Content:
        parts: list[Content] = []
        for words, enabled in entries:
            content = Content(words)
            key_length = len(words.partition(" ")[0])
            parts.append(content.stylize("bold", 0, key_length) if enabled else content)
        return Content(GAP).join(parts)
