"""What every screen has: a heading, a body, the status line and the keys."""

from abc import abstractmethod
from typing import TYPE_CHECKING, ClassVar, Protocol, TypeVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.events import Key, ScreenResume
from textual.widgets import Static

from traveler.errors import FileHeld, TravelerError
from traveler.tui.characters import drawable
from traveler.tui.compat import HeedingApp, QuietScreen
from traveler.tui.entered import Told
from traveler.tui.keys import ACTIONS, LIST_KEYS
from traveler.tui.layout import Heading, Lines
from traveler.tui.session import Session
from traveler.tui.widgets.key_bar import KeyBar
from traveler.tui.widgets.rows import Rows
from traveler.tui.widgets.status_line import StatusLine

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from textual.screen import Screen

Result = TypeVar("Result")

WAITING = "waiting for the file, which another program holds ..."


class Page(QuietScreen[Result]):
    """A screen over the session. ``reload`` fetches what it shows anew; it is called on each return to the screen."""

    BINDINGS: ClassVar[list[BindingType]] = [ACTIONS]
    PURPOSE = ""
    """What the screen is for, in two sentences; the help begins with it."""
    STYLED_AS_IT_COMES = False
    """Whether each widget finds, when it comes, all classes that its styles ask for; else all are styled once more."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.stale = False
        self._just_opened = True

    def compose(self) -> ComposeResult:
        """Heading, body, status and keys from the top down."""
        yield Static("", id="heading", markup=False)
        yield from self.compose_body()
        yield StatusLine()
        yield KeyBar()

    @abstractmethod
    def compose_body(self) -> ComposeResult:
        """What stands between heading and status line."""

    @abstractmethod
    def reload(self) -> None:
        """Fetch what is shown anew and draw what changed. May raise TravelerError."""

    def on_mount(self) -> None:
        """Show the first content before anything is painted."""
        self.look_again()

    def on_screen_resume(self, event: ScreenResume) -> None:
        """Another screen may have changed what is shown here; a screen that was just opened has looked already."""
        if self._just_opened:
            self._just_opened = False
            event.refresh_styles = not self.STYLED_AS_IT_COMES
            return
        self.look_again()

    def over(self) -> bool:
        """Whether time alone has changed what is shown here."""
        return False

    def look_again(self) -> None:
        """Reload; a file that cannot be read is said, and what was shown stays."""
        if not self.query("#heading"):
            return  # the app is ending, and nothing of the screen stands any more
        try:
            self.reload()
        except TravelerError as error:
            self.not_read(error)
        else:
            if self.stale:
                self.stale = False
                self.say("the file can be read again")
            if self.session.trouble:
                self.say(f"nothing more can be recorded: {self.session.trouble}", alarm=True)
        self.refresh_bindings()

    def not_read(self, error: TravelerError) -> None:
        """The file could not be read: say so, and look again each second."""
        self.stale = True
        self.say(WAITING if isinstance(error, FileHeld) else str(error), alarm=True)

    def mishap(self, error: TravelerError) -> None:
        """What a key asked for could not be done."""
        self.say(str(error), alarm=True)

    @property
    def plain(self) -> bool:
        """Whether only the terminal's own few colours are used."""
        return self.app.current_theme.ansi

    def say(self, words: str, *, alarm: bool = False) -> None:
        """Put a sentence on the status line."""
        self.query_one(StatusLine).say(words, alarm=alarm)

    @property
    def alarmed(self) -> bool:
        """Whether an alarm stands on the status line."""
        return self.query_one(StatusLine).has_class("-alarm")

    def told(self, told: Told | None) -> None:
        """What came of the form that was open over this screen."""
        if told is not None:
            self.say(told.sentence, alarm=not told.complies)

    async def open_form(
        self, make: "Callable[[], Screen[Told]]", told: "Callable[[Told | None], None]"
    ) -> None:
        """Open a form over this screen; where what it is about cannot be read, say so here."""
        try:
            form = make()
        except TravelerError as error:
            self.say(str(error), alarm=True)
        else:
            await self.app.push_screen(form, told)

    def set_heading(self, left: str, right: str = "") -> None:
        """The heading: where this is, and the word of state at the right."""
        self.query_one("#heading", Static).update(Heading(drawable(self, left), drawable(self, right)))

    def put_lines(self, name: str, lines: "Iterable[str]") -> None:
        """Draw lines of safe text in the Static of that name, each wrapped with a hanging indent."""
        self.query_one(f"#{name}", Static).update(Lines(tuple(drawable(self, line) for line in lines)))

    def keep_draft(self) -> None:
        """Put aside what was typed and not recorded, where anything can be typed here."""

    async def action_help(self) -> None:
        """Open the help, which begins with this screen."""
        from traveler.tui.screens.help import Help

        await self.app.push_screen(Help(self.session, self))

    async def action_actions(self) -> None:
        """Open the list of everything that can be done."""
        from traveler.tui.screens.everything import Everything

        await self.app.push_screen(Everything(self.session, self))

    def key_of(self, name: str) -> str:
        """The key of that id as it is printed on the keyboard."""
        app = self.app
        assert isinstance(app, HeedingApp)
        return app.key_of(name)

    def why_not(self, action: str) -> str:
        """Why an action of this screen cannot be done now; empty where it can. The key is then shown in brackets."""
        return ""


class Moving(Protocol):
    """A list with a cursor."""

    @property
    def key(self) -> str | None:
        """Key of the row under the cursor; None in an empty list."""

    def move(self, where: str) -> None:
        """up, down, home or end; at the ends the cursor stays."""

    def page(self, where: str) -> None:
        """A page up or down."""


class KeyPage(Page[Result]):
    """A screen with a list and no fields: letters are keys here."""

    BINDINGS: ClassVar[list[BindingType]] = list(LIST_KEYS)

    @property
    @abstractmethod
    def rows(self) -> Moving:
        """The list."""

    def action_move(self, where: str) -> None:
        """Move the cursor of the list."""
        self.rows.move(where)

    def action_page(self, where: str) -> None:
        """Move the cursor by a page."""
        self.rows.page(where)

    def action_back(self) -> None:
        """Leave this screen."""
        self.dismiss(None)

    async def action_unfinished(self) -> None:
        """Open the list of what was typed and not recorded."""
        from traveler.tui.screens.unfinished import Unfinished

        await self.app.push_screen(Unfinished(self.session), self.told)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Greyed while ``why_not`` has a reason; what was typed and not recorded can be shown where there is any."""
        if action == "unfinished":
            return bool(self.session.drafts)
        return None if self.why_not(action) else True

    def on_key(self, event: Key) -> None:
        """A key whose action cannot be done now says why."""
        active = self.active_bindings.get(event.key)
        if active is not None and not active.enabled:
            reason = self.why_not(active.binding.action)
            if reason:
                event.stop()
                self.say(f"{active.binding.description}: {reason}", alarm=True)


class ListPage(KeyPage[Result]):
    """Such a screen with a list of rows that are all at hand."""

    AUTO_FOCUS = "Rows"

    @property
    def rows(self) -> Rows:
        """The list."""
        return self.query_one(Rows)
