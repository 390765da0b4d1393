"""The app: its theme by terminal, its signals, one session, and the way in."""

import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any, ClassVar

from textual.binding import BindingType

from traveler.acts.clock import SystemClock
from traveler.errors import BadInput, TravelerError
from traveler.job.person import Person
from traveler.record.chosen import choose, chosen
from traveler.record.place import key_file
from traveler.record.shop import Shop
from traveler.record.unfinished import UnfinishedFile
from traveler.tui import terminal
from traveler.tui.compat import NO_KEYS, HeedingApp
from traveler.tui.entered import Told
from traveler.tui.idle import Idle
from traveler.tui.keys import COPY, QUIT, STAY, THEME
from traveler.tui.leaving import Leaving, hung_up
from traveler.tui.looks import CALM, PLAIN, VARIABLE, Looks, looks_for
from traveler.tui.screens.board import Board
from traveler.tui.screens.page import KeyPage, Page
from traveler.tui.session import Session
from traveler.tui.theme import THEMES

REMIND_EVERY_S = 24 * 3600.0
"""How often it is said anew in an app that stays open that a backup is due."""
UNDISTURBED_S = 60.0
"""Without a key: what the status line said before was read by then, or nobody is there."""

THEME_CHOICE = "theme"

STYLES_BEYOND = Path(__file__).with_name("styles_beyond.tcss")
"""The greater part of the styles, which the board does without: parsing them would hold up the first paint."""

LOOK_EVERY_S = 1.0
"""How often the shop's file is asked whether another program has written to it."""

SHORT_WAIT_S = 0.2
LEAVING_LOSES = "something you typed is not recorded; press the key again to leave without it"
LEAVING_KEEPS = (
    "something you typed is not recorded; press the key again to leave: it is offered at the next start"
)


class TravelerApp(HeedingApp[int]):
    """The traveler on a terminal. ``start_job`` opens that job at the step where it stands.

    ``keymap``: keys of one's own by id; ``keys_fault``: why there are none although there is a file of them.
    """

    TITLE = "traveler"
    CSS_PATH = "styles.tcss"
    DEFAULT_MODE = "board"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [QUIT, COPY, STAY, THEME]

    def __init__(
        self,
        session: Session,
        start_job: str | None = None,
        looks: Looks = CALM,
        *,
        keymap: Mapping[str, str] = NO_KEYS,
        keys_fault: str = "",
    ) -> None:
        # Textual chooses its filter for NO_COLOR in its constructor; a theme set later cannot undo it.
        self.ascii = terminal.wants_ascii(os.environ)
        super().__init__(ansi_color=True if looks.offered == PLAIN.offered else None)
        self.HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (60, "-middling"), (110, "-wide")]
        self.VERTICAL_BREAKPOINTS = [(0, "-short"), (18, "-tall"), (28, "-high")]
        self.session = session
        self.keymap = keymap
        self.keys_fault = keys_fault
        self.start_job = start_job
        self.looks = looks
        for theme in THEMES:
            self.register_theme(theme)
        self.start_with(looks.theme)
        self.add_mode(self.DEFAULT_MODE, self._begin)
        self.animation_level = "none"
        self.idle = Idle()
        self.since_reminded = Idle()
        self._trouble = ""
        self._warned: dict[str, dict[str, str]] | None = None

    def get_css_variables(self) -> dict[str, str]:
        """As ``App.get_css_variables``, and the kind of line that rules are drawn with."""
        return {**super().get_css_variables(), "line": "ascii" if self.ascii else "solid"}

    def push_screen(self, screen: Any, *args: Any, **kwargs: Any) -> Any:
        """As ``HeedingApp.push_screen``; the styles of all screens but the board are read for the first of those."""
        if not self.stylesheet.has_source(str(STYLES_BEYOND), ""):
            self.stylesheet.read(STYLES_BEYOND)
        return super().push_screen(screen, *args, **kwargs)

    def _begin(self) -> Board:
        """Listen to signals, and begin with the board: Textual would lay out and paint an empty screen below it."""
        self._leave_on_signals()
        board = Board(self.session)
        board.classed_for(self.size)
        # Private to Textual 8.2.8, which reads all styles a second time for a screen that does not say which it knows.
        board._css_update_count = self._css_update_count
        return board

    async def on_mount(self) -> None:
        """Open what stands over the board, and listen to other programs."""
        if self.start_job is not None:
            await self._open_at_its_step(self.start_job)
        if self.session.drafts:
            await self._offer_unfinished()
        remarks = [remark.sentence for remark in self.session.remarks()[:1]]
        if self.keys_fault:
            remarks.append(self.keys_fault)
        if remarks and isinstance(self.screen, Page):
            self.screen.say("; ".join(remarks), alarm=True)
        self.set_interval(LOOK_EVERY_S, self._each_second)

    async def _open_at_its_step(self, number: str) -> None:
        from traveler.tui.screens.job import Job, current_step
        from traveler.tui.screens.step import Step

        board = self.screen
        assert isinstance(board, Board)
        current = current_step(self.session.job(number))
        board.rows.go_to(number)
        job = Job(self.session, number)
        await self.push_screen(job, board.told)
        if current is not None:
            await self.push_screen(Step(self.session, number, current), job.told)

    async def _offer_unfinished(self) -> None:
        """What a session that ended before had not recorded."""
        from traveler.tui.screens.unfinished import Unfinished

        below = self.screen
        assert isinstance(below, Page)
        await self.push_screen(Unfinished(self.session), below.told)
        self._warned = dict(self.session.drafts)  # leaving asks about what is typed from now on

    def heard(self) -> None:
        """Somebody is there."""
        self.idle.heard()

    def _each_second(self) -> None:
        """Draw anew only where another program has written or something came due; hide the work where nobody is there
        any more."""
        if not self.is_headless and hung_up():
            self._leave(128 + 1)  # SIGHUP
        page = self.screen
        # A second may fall between the opening of a screen and its first widget.
        if not isinstance(page, Page) or not page.is_mounted or not page.is_running:
            return
        try:
            changed = self.session.changed()
            if changed or page.over() or page.stale or self.session.trouble != self._trouble:
                self._trouble = self.session.trouble
                page.look_again()
            limit_s = self.session.idle_lock_s
            self._remind(page)
        except TravelerError as error:
            page.not_read(error)
            return
        if limit_s is not None and self.idle.seconds >= limit_s and not self.deaf:
            self._lock()

    def _remind(self, page: Page[object]) -> None:
        """Once a day, on a screen without fields, and never in place of an alarm."""
        due = self.since_reminded.seconds >= REMIND_EVERY_S and self.idle.seconds >= UNDISTURBED_S
        if not due or not isinstance(page, KeyPage) or page.alarmed:
            return
        self.since_reminded.heard()
        page.look_again()
        if reminder := self.session.reminder:
            page.say(reminder, alarm=True)

    def _lock(self) -> None:
        from traveler.tui.screens.locked import Locked

        locked = next((screen for screen in self.screen_stack if isinstance(screen, Locked)), None)
        if locked is None:
            self.push_screen(Locked(self.session), self._unlocked)
        else:
            locked.forget()

    def _unlocked(self, told: Told | None) -> None:
        if told is not None and isinstance(self.screen, Page):
            self.screen.told(told)

    def _leave_on_signals(self) -> None:
        """A hung-up line, an interruption or a kill ends the app in order: everything recorded is written already."""
        if not self.is_headless:
            Leaving(self._leave, self._keep_drafts).listen()

    def _keep_drafts(self) -> None:
        for screen in self.screen_stack:
            if isinstance(screen, Page):
                screen.keep_draft()

    def _leave(self, status: int) -> None:
        self._keep_drafts()
        self.leaving = True
        self.exit(status, return_code=status)

    async def action_quit(self) -> None:
        """Leave; where something was typed and not recorded, only when asked a second time."""
        page = self.screen
        self._keep_drafts()
        if self.session.drafts and self._warned != dict(self.session.drafts) and isinstance(page, Page):
            self._warned = dict(self.session.drafts)
            page.say(LEAVING_KEEPS if self.session.drafts.outlive else LEAVING_LOSES, alarm=True)
            return
        self.exit(0)

    def action_theme(self) -> None:
        """The next theme that the terminal can show, remembered for the next start."""
        offered, page = self.looks.offered, self.screen
        self.theme = offered[(offered.index(self.theme) + 1) % len(offered)]
        if isinstance(page, Page):
            page.look_again()
            page.say(self._theme_words())

    def _theme_words(self) -> str:
        if len(self.looks.offered) == 1:
            return "without colours there is one theme: the terminal's own"
        try:
            choose(os.environ, THEME_CHOICE, self.theme)
        except (OSError, RuntimeError) as error:
            return f"theme {self.theme}; it could not be remembered: {error}"
        later = f"; the next start takes what {VARIABLE} says" if self.looks.stated else ", remembered"
        return f"theme {self.theme}{later}"

    def action_help_quit(self) -> None:
        """Ctrl+C ends nothing by accident."""
        if isinstance(self.screen, Page):
            self.screen.say(f"{self.key_of('app.quit')} leaves the program")


def run(shop_path: Path, person_name: str, start_job: str | None = None, *, lasting: bool = True) -> int:
    """Open the app on a shop's file, created where there is none; returns the exit status. With ``lasting`` False what
    is typed and not recorded goes with the program, as a demo shop does.

    0 left by the person, 2 the terminal cannot show the app, 128 + n ended by signal n. Raises TravelerError where
    the file cannot be used or has no such job, or TRAVELER_THEME names no theme.
    """
    refused = terminal.refusal(os.environ)
    if refused is not None:
        print(f"traveler: {refused}", file=sys.stderr)
        return 2
    looks = looks_for(os.environ, chosen(os.environ, THEME_CHOICE))
    with Shop.open(shop_path) if shop_path.exists() else Shop.create(shop_path) as shop:
        session = Session(shop, SystemClock(), Person(person_name))
        # The app stands still while it waits; it says so instead, and tries again.
        shop.wait_at_most(SHORT_WAIT_S)
        if lasting:
            session.drafts.keep_in(UnfinishedFile(shop.shop_id), person_name)
        return _run(session, start_job, looks)


def _run(session: Session, start_job: str | None, looks: Looks) -> int:
    if start_job is not None:
        session.job(start_job)  # said before the screen is taken over
    keymap, keys_fault = _own_keys()
    app = TravelerApp(session, start_job, looks, keymap=keymap, keys_fault=keys_fault)
    status = app.run(mouse=terminal.wants_mouse(os.environ))
    return status if status is not None else (app.return_code or 0)


def own_keys_text() -> str:
    """The keys as a file to begin with, its first line where it belongs. Raises BadInput where there is a wrong one."""
    from traveler.tui.key_file import key_file_text, read_key_file

    path = key_file(os.environ)
    return f"# {path}\n{key_file_text(read_key_file(path))}"


def _own_keys() -> tuple[Mapping[str, str], str]:
    """The keys of one's own; where their file is wrong none, and a sentence."""
    path = key_file(os.environ)
    if not path.exists():
        return NO_KEYS, ""
    # Every screen is loaded to hold the keys against it.
    from traveler.tui.key_file import read_key_file

    try:
        return read_key_file(path), ""
    except BadInput as error:
        return NO_KEYS, f"{error}; the app has its own keys"
