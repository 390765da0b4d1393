"""What every register has: entries in a list, the one under the cursor in full, and acts on it by letters."""

from abc import abstractmethod
from collections.abc import Callable, Mapping, Sequence

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.screen import Screen
from textual.widgets import OptionList, Static

from traveler.tui.entered import Told
from traveler.tui.layout import Row, lead_width
from traveler.tui.register_act import RegisterAct, ToldCode
from traveler.tui.register_wording import Entry
from traveler.tui.screens.page import ListPage
from traveler.tui.screens.working import TextPage
from traveler.tui.session import Session
from traveler.tui.theme import tone
from traveler.tui.widgets.detail import Detail
from traveler.tui.widgets.rows import Rows

TONES = {"!": "open", "~": "conditional", "+": "met"}
"""The word of state whose colour an entry of that sign has."""


class RegisterList(ListPage[None]):
    """``acts`` are what may be done about the entry under the cursor, ``new`` without one, each by its action's
    argument; why not, in ``against``."""

    TITLE = ""
    NOTHING = ""
    """Said where there is no entry yet: what to do."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.entries: Sequence[Entry] = ()
        self.against: Mapping[str, str] = {}

    @abstractmethod
    def read(self) -> Sequence[Entry]:
        """The entries, those first that need somebody."""

    @abstractmethod
    def brief(self) -> str:
        """What matters of them in a line."""

    @abstractmethod
    def whole(self, key: str) -> Screen[None]:
        """What Enter opens."""

    def new(self) -> Mapping[str, Callable[[], RegisterAct]]:
        """What can be entered where no entry is needed."""
        return {}

    def acts(self, key: str) -> Mapping[str, Callable[[], RegisterAct]]:
        """What can be entered about an entry, made as it stands when the form is opened."""
        return {}

    def against_acts(self, key: str) -> Mapping[str, str]:
        """Why acts on an entry cannot be done now, whoever would."""
        return {}

    def compose_body(self) -> ComposeResult:
        """The entries and the one under the cursor, or that there is none."""
        with Horizontal(id="both"):
            yield Rows()
            yield Detail()
        yield Static(self.NOTHING, id="empty", markup=False)

    def reload(self) -> None:
        """Read the register."""
        self.entries = self.read()
        self.set_heading(self.TITLE, self.brief())
        width = lead_width([entry.lead for entry in self.entries], 14)
        self.rows.show([self._row(entry, width) for entry in self.entries])
        self.set_class(not self.entries, "-empty")
        self._look_at_entry()

    def _row(self, entry: Entry, width: int) -> Row:
        colour = tone(TONES.get(entry.sign, ""), plain=self.plain)
        return Row(entry.key, entry.lead, width, entry.lines, colour)

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """The details and the acts follow the cursor."""
        self._look_at_entry()
        self.query_one(Detail).scroll_home(animate=False)

    def _look_at_entry(self) -> None:
        key = self.rows.key
        entry = next((entry for entry in self.entries if entry.key == key), None)
        self.against = {} if entry is None else self.against_acts(entry.key)
        self.query_one(Detail).put(() if entry is None else entry.details)
        self.refresh_bindings()

    def action_page(self, where: str) -> None:
        """Page through the details where they are shown and go on, else through the list."""
        details = self.query_one(Detail)
        if not details.display or not details.max_scroll_y:
            super().action_page(where)
        elif where == "up":
            details.scroll_page_up(animate=False)
        else:
            details.scroll_page_down(animate=False)

    def why_not(self, action: str) -> str:
        """Nothing about an entry where there is none; else what stands against it."""
        name = _argument(action)
        if name in self.new():
            return ""
        if self.rows.key is None:
            return "nothing is listed yet"
        return self.against.get(name, "")

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """As for every list; the acts are told apart by their argument."""
        asked = f"act('{parameters[0]}')" if action == "act" else action
        if action in ("act", "open", "unfinished"):
            return super().check_action(asked, parameters)
        return True

    async def action_open(self) -> None:
        """Read the whole entry."""
        if self.rows.key is not None:
            await self.app.push_screen(self.whole(self.rows.key))

    async def action_act(self, name: str) -> None:
        """Open the form of an act."""
        from traveler.tui.screens.register_form import RegisterForm

        key = self.rows.key
        made = self.new().get(name) or (self.acts(key).get(name) if key is not None else None)
        if made is not None:
            await self.open_form(lambda: RegisterForm(self.session, made), self.told_after)

    def told_after(self, told: Told | None) -> None:
        """Say what came of it, with the register as it stands then; a recovery code has a screen of its own."""
        from traveler.tui.screens.recovery_code import RecoveryCode

        before = {entry.key for entry in self.entries}
        self.look_again()
        if told is not None and told.recorded:
            new = [entry.key for entry in self.entries if entry.key not in before]
            self.rows.go_to(new[0] if new else self.rows.key)
        self.told(told)
        if isinstance(told, ToldCode) and told.code is not None:
            self.app.push_screen(RecoveryCode(self.session, told.code), lambda _: self.told(told))


class EntryPage(TextPage):
    """One entry with its history, read anew when others write. ``lines`` gives it; its first line is the heading."""

    PURPOSE = "One entry of a register in full: who entered what, and when."

    def __init__(self, session: Session, title: str, lines: Callable[[], Sequence[str]]) -> None:
        super().__init__(session)
        self.title_shown = title
        self.lines = lines

    def reload(self) -> None:
        """Read it."""
        self.set_heading(self.title_shown)
        self.put_lines("text", self.lines())


def _argument(action: str) -> str:
    return action.removeprefix("act('").removesuffix("')")
