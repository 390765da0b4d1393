"""The list of everything that can be done: typed letters find, a digit or Enter does it."""

import asyncio
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.events import Key
from textual.widgets import Static

from traveler.tui.compat import HeedingApp
from traveler.tui.here import Doable, doable_elsewhere, doable_here
from traveler.tui.keys import HELP_ON_FORM, LISTED_KEYS
from traveler.tui.layout import Row, lead_width
from traveler.tui.screens.page import Page
from traveler.tui.session import Session
from traveler.tui.widgets.rows import Rows

DIGITS = 9
LONGEST = 40


class Everything(Page[None]):
    """Lies over a screen; what is chosen is done there, and what was typed there stays."""

    BINDINGS: ClassVar[list[BindingType]] = [*LISTED_KEYS, HELP_ON_FORM]
    AUTO_FOCUS = "Rows"
    PURPOSE = (
        "Everything that can be done, here first and then elsewhere. Letters find; Enter or a digit does it."
    )

    def __init__(self, session: Session, page: Page[Any]) -> None:
        super().__init__(session)
        app = page.app
        keymap = app.keymap if isinstance(app, HeedingApp) else {}
        here = [entry for entry in doable_here(page) if not entry.moves]
        possible = [entry for entry in here if not entry.reason]
        impossible = [entry for entry in here if entry.reason]
        self.all = [*possible, *impossible, *doable_elsewhere(page, keymap)]
        self.found = self.all
        self.typed = ""

    def compose_body(self) -> ComposeResult:
        """What is sought, and the list."""
        yield Static("", id="sought", markup=False)
        yield Rows()

    def reload(self) -> None:
        """Show what has the letters."""
        words = self.typed.lower().split()
        self.found = [entry for entry in self.all if all(word in _sought(entry) for word in words)]
        self.set_heading("Everything that can be done", f"{len(self.found)} of {len(self.all)}")
        self.put_lines("sought", [f"Find: {self.typed}_"])
        leads = [_lead(at, entry) for at, entry in enumerate(self.found)]
        width = lead_width(leads, 16)
        self.rows.show([_row(lead, entry, width) for lead, entry in zip(leads, self.found, strict=True)])

    @property
    def rows(self) -> Rows:
        """The list."""
        return self.query_one(Rows)

    def on_key(self, event: Key) -> None:
        """A letter more of what is sought."""
        if event.is_printable and event.character is not None and len(self.typed) < LONGEST:
            event.stop()
            self._seek(self.typed + event.character)

    def action_erase(self) -> None:
        """The last letter back."""
        self._seek(self.typed[:-1])

    def _seek(self, typed: str) -> None:
        self.typed = typed
        self.reload()
        if self.found:
            self.rows.go_to(self.found[0].name)
        self.say(
            ""
            if self.found
            else f"nothing has these letters; {self.key_of('listed.erase')} takes the last one back"
        )

    def action_move(self, where: str) -> None:
        """Move the cursor."""
        self.rows.move(where)

    def action_page(self, where: str) -> None:
        """Move the cursor by a page."""
        self.rows.page(where)

    def action_back(self) -> None:
        """Do nothing."""
        self.dismiss(None)

    async def action_pick(self, number: int) -> None:
        """Do the one of that number."""
        await self._letters_before()
        if number <= len(self.found):
            await self._do(self.found[number - 1])

    async def action_take(self) -> None:
        """Do the one under the cursor."""
        await self._letters_before()
        entry = next((entry for entry in self.found if entry.name == self.rows.key), None)
        if entry is not None:
            await self._do(entry)

    async def _letters_before(self) -> None:
        """Wait for the letters that were pressed before this key and may still stand in the queue."""
        taken = asyncio.Event()
        if (self.focused or self).call_later(taken.set):
            await taken.wait()
        taken.clear()
        if self.call_later(taken.set):
            await taken.wait()

    async def _do(self, entry: Doable) -> None:
        """Close, then do it; the app hands on no later key before that is open which it opens."""
        if entry.reason or entry.node is None:
            self.rows.go_to(entry.name)
            self.say(f"{entry.words}: {entry.reason}", alarm=True)
            return
        app, node = self.app, entry.node
        await app.pop_screen()
        await app.run_action(entry.action, node)


def _sought(entry: Doable) -> str:
    return f"{entry.label} {entry.words} {entry.key} {entry.reason}".lower()


def _lead(at: int, entry: Doable) -> str:
    if entry.reason:
        return f"  ({entry.key})"
    return f"{at + 1 if at < DIGITS else ' '} {entry.key}"


def _row(lead: str, entry: Doable, width: int) -> Row:
    return Row(entry.name, lead, width, (entry.words, *([entry.reason] if entry.reason else [])))
