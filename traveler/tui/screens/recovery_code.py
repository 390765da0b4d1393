"""A new recovery code, shown this once."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from traveler.record.secrets import Secret
from traveler.tui.keys_registers import RECOVERY_CODE_KEYS
from traveler.tui.screens.page import Page
from traveler.tui.session import Session

WORDS = (
    "Write this code on paper now. It is shown this once, and nothing keeps it.",
    "Keep the paper where nobody else finds it. The code sets a new secret when the owner has lost theirs and nobody "
    "else can reset it.",
)


class RecoveryCode(Page[None]):
    """Stays until the key says that it is written down; no key of a list or of a form leaves it."""

    PURPOSE = "The code that sets a new secret when the old one is lost. It is shown once: write it down."

    BINDINGS: ClassVar[list[BindingType]] = list(RECOVERY_CODE_KEYS)

    def __init__(self, session: Session, code: Secret) -> None:
        super().__init__(session)
        self.code = code

    def compose_body(self) -> ComposeResult:
        """What to do, and the code."""
        with VerticalScroll(id="reading-matter", can_focus=False):
            yield Static("", id="text", markup=False)
            yield Static("", id="code", markup=False)

    def reload(self) -> None:
        """Draw it."""
        self.set_heading("Recovery code", "shown this once")
        self.put_lines("text", (WORDS[0], "", WORDS[1], ""))
        self.query_one("#code", Static).update(Content(self.code.reveal()))
        self.say("F10 once it is written down")

    def action_written(self) -> None:
        """It is written down."""
        self.dismiss(None)
