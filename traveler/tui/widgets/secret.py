"""A field for a secret: shown as stars, given out once, and kept nowhere else."""

from textual.app import ComposeResult
from textual.content import Content
from textual.events import Blur, Focus, Key, Paste, Resize
from textual.widget import Widget
from textual.widgets import Static

from traveler.record.secrets import LONGEST, Secret
from traveler.tui.widgets.field import Field


class _Letters:
    """What was typed so far. No message, no value of a widget and no printed form of anything holds it."""

    def __init__(self) -> None:
        self._typed: list[str] = []

    def __repr__(self) -> str:
        return "..."

    def __len__(self) -> int:
        return len(self._typed)

    def add(self, text: str) -> None:
        # Longer than any secret may be, so that it is refused and not cut to one that fits.
        self._typed += text[: LONGEST + 1 - len(self._typed)]

    def drop(self) -> None:
        del self._typed[-1:]

    def forget(self) -> None:
        self._typed.clear()

    def secret(self) -> Secret:
        return Secret("".join(self._typed))


class SecretEntry(Static, can_focus=True):
    """A line of stars. An ordinary field would tell its text in every message, and in a traceback."""

    def __init__(self) -> None:
        super().__init__(markup=False)
        self.letters = _Letters()

    def on_key(self, event: Key) -> None:
        """A character more, the last one back, or all of them; other keys are for the form."""
        if event.key == "backspace":
            self.letters.drop()
        elif event.key == "ctrl+u":
            self.letters.forget()
        elif event.is_printable and event.character is not None:
            self.letters.add(event.character)
        else:
            return
        event.stop()
        event.prevent_default()
        self.draw()

    def on_paste(self, event: Paste) -> None:
        """The first line, as one would type it."""
        event.stop()
        event.prevent_default()
        self.letters.add((event.text.splitlines() or [""])[0])
        self.draw()

    def on_focus(self, event: Focus) -> None:
        """Show where the next star comes."""
        self.draw()

    def on_blur(self, event: Blur) -> None:
        """No cursor elsewhere."""
        self.draw()

    def on_resize(self, event: Resize) -> None:
        """As many stars as fit."""
        self.draw()

    def draw(self) -> None:
        """A star a character, and the cursor."""
        stars = Content("*" * min(len(self.letters), max(self.size.width - 1, 1)))
        cursor = Content(" ").stylize("reverse") if self.has_focus else Content(" ")
        self.update(Content("").join([stars, cursor]), layout=False)


class SecretField(Field):
    """A secret, by default that of who signs. Its value is empty whatever is typed: it is taken by ``take`` and by
    nothing else."""

    def __init__(
        self,
        key: str = "secret",
        label: str = "Secret",
        hint: str = "their own secret; it is not shown",
    ) -> None:
        super().__init__(key, label, hint)
        self._entry = SecretEntry()

    def compose_entry(self) -> ComposeResult:
        """The line of stars."""
        yield self._entry

    @property
    def value(self) -> str:
        """Nothing: a draft is made of this."""
        return ""

    def put(self, value: str) -> None:
        """Whatever comes back with a draft, a secret is typed anew."""
        self.forget()

    @property
    def entry(self) -> Widget:
        """The line of stars."""
        return self._entry

    @property
    def empty(self) -> bool:
        """Whether nothing is typed."""
        return not len(self._entry.letters)

    def take(self) -> Secret | None:
        """What was typed, None where nothing was; the field is empty afterwards."""
        secret = self._entry.letters.secret() if len(self._entry.letters) else None
        self.forget()
        return secret

    def forget(self) -> None:
        """Empty the field."""
        self._entry.letters.forget()
        self._entry.draw()
