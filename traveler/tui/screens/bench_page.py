"""What bench mode shows: one requirement with its limit, its last reading and what comes next, and the clock."""

from abc import abstractmethod
from collections.abc import Mapping
from dataclasses import replace
from time import monotonic
from typing import Any, ClassVar

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.geometry import Size
from textual.widgets import Static

from traveler.errors import TravelerError
from traveler.job.course import Next
from traveler.report.words import visible
from traveler.tui.bench_clock import NO_TIME, OUT, Countdown, minutes
from traveler.tui.bench_door import BenchLook
from traveler.tui.bench_wording import fact_lines, limit_in_big, next_line, reading_lines, run_lines
from traveler.tui.entered import Told
from traveler.tui.keys import BENCH_KEYS
from traveler.tui.screens.page import Page
from traveler.tui.session import Session
from traveler.tui.theme import marked
from traveler.tui.widgets.bench_entry import BenchEntry
from traveler.tui.widgets.key_bar import SHORT_SCREEN
from traveler.tui.wording import requirement_name, step_name

Json = Mapping[str, Any]
TICK_S = 1.0


class BenchPage(Page[Told]):
    """A step as it was read last; ``at`` is the key of the requirement that is shown, None behind the last one."""

    BINDINGS: ClassVar[list[BindingType]] = list(BENCH_KEYS)
    AUTO_FOCUS = "BenchEntry"

    def __init__(self, session: Session, number: str, step_number: int) -> None:
        super().__init__(session)
        self.number = number
        self.step_number = step_number
        self.look: BenchLook = session.bench.look(number, step_number)
        self.at: str | None = self.look.at
        self.instrument = ""
        self.countdown = Countdown()
        self._shown: dict[str, tuple[str, ...]] = {}
        self._was_left = 0
        self._drawn_for = Size()

    def compose_body(self) -> ComposeResult:
        """What it is about, what comes next, the clock, what is typed and what is asked, the list of readings."""
        yield _hidden("bench-facts")
        yield _hidden("bench-next")
        yield _hidden("bench-clock")
        yield BenchEntry()
        yield _hidden("bench-asked")
        with VerticalScroll(id="bench-list", can_focus=False):
            yield _hidden("bench-offers")
            yield _hidden("bench-rows")

    @property
    def entry(self) -> BenchEntry:
        """What takes the digits."""
        return self.query_one(BenchEntry)

    @property
    def requirement(self) -> Json | None:
        """The requirement that is shown."""
        return self.look.requirement(self.at)

    @property
    def coming(self) -> Next:
        """What is to be done next about it, or about the step behind its last requirement."""
        return self.look.of_step if self.at is None else self.look.nexts[self.at]

    def reload(self) -> None:
        """Read the step anew; what is shown and what is typed stay where they are."""
        self.read()
        if self.at is not None and self.requirement is None:
            self.at = self.look.at
        self.draw()

    def read(self) -> None:
        """Read the step, and let the clock follow what was read of the metal."""
        self.look = self.session.bench.look(self.number, self.step_number)
        self.countdown.follow(self.look.clock, self.look.now, monotonic())

    def could_read(self) -> bool:
        """Read the step; where that cannot be done say so and leave what is shown."""
        try:
            self.read()
        except TravelerError as error:
            self.say(str(error), alarm=True)
            return False
        return True

    @property
    def short(self) -> bool:
        """Whether there are so few lines that one thing at a time must do."""
        return self.app.size.height < SHORT_SCREEN

    def draw(self) -> None:
        """Draw what changed."""
        self._drawn_for = self.app.size
        self._put_heading()
        self.put_asked()
        self._put("bench-facts", self._facts())
        self.draw_clock()

    def _put_heading(self) -> None:
        """Where this is, the run and the word of state; on a phone what fits beside it of the run and who reads."""
        requirement, run = self.requirement, self.coming.run
        by_run = requirement is not None and requirement["evidence"]["per_run"] and run is not None
        facts = [f"run {run}"] if by_run else []
        left, state = f"{visible(self.number)} {step_name(self.look.step)}", marked(self.look.step["state"])
        if not self.short:
            self.set_heading(left, ", ".join([*facts, state]))
            return
        room = self.app.size.width - 2 - cell_len(f"{left}  ")
        rights = (", ".join([*facts, *more]) for more in (*self._who_briefly(), [] if by_run else [state]))
        self.set_heading(left, next((right for right in rights if cell_len(right) <= room), ""))

    def _who_briefly(self) -> list[list[str]]:
        """The name of who reads here, or where there is no room for it the id."""
        keyboard = self.session.bench.keyboard
        if keyboard is None:
            return []
        person = keyboard.person
        return [[visible(person.name)], [visible(person.id)]] if person.id else [[f"{visible(person.name)}?"]]

    def put_asked(self) -> None:
        """The question; where it has offers they come into view, else the last of the readings."""
        question, offers = self.asked_lines()
        self._put("bench-asked", [question])
        changed = [self._put("bench-offers", offers), self._put("bench-rows", self._rows())]
        scroll = self.query_one("#bench-list", VerticalScroll)
        if offers and any(changed):
            scroll.scroll_home(animate=False)
        elif any(changed):
            scroll.scroll_end(animate=False)

    def on_resize(self) -> None:
        """Say as much as there is room for, where that is another room than before."""
        if self._drawn_for != self.app.size:
            self.entry.put(self.entry.text)
            self.draw()

    @abstractmethod
    def asked_lines(self) -> tuple[str, list[str]]:
        """What is asked, and the numbered offers."""

    def _facts(self) -> list[str]:
        requirement = self.requirement
        if requirement is None:
            return []
        lines = fact_lines(self.look, requirement, self._with(), self._who(), short=self.short)
        return lines[:1] if self.short and self._shown.get("bench-offers") else lines

    def _with(self) -> str:
        return self.session.bench.instrument_words(self.instrument) if self.instrument else ""

    def _who(self) -> str:
        """Who reads here, in a shop where people are registered."""
        keyboard = self.session.bench.keyboard
        return "" if keyboard is None else keyboard.words

    def _next_words(self) -> str:
        """What comes next, and where that is another requirement than the one that is shown, its name."""
        words = next_line(self.coming)
        following = self.look.requirement(self.look.at)
        if following is None or self.at in (None, self.look.at) or self.coming.kind == "settle":
            return words
        return f"{words}; next: {requirement_name(self.look.step, following)}"

    def _rows(self) -> list[str]:
        requirement = self.requirement
        if self.look.runs:
            return run_lines(self.look.runs)
        return [] if requirement is None else reading_lines(requirement, self.look.now)

    def draw_clock(self) -> None:
        """The time that is left, in large digits where there is room; what to do once it ran out."""
        now, steady_s = self.session.bench.now(), monotonic()
        left_s = self.countdown.shown_s(now, steady_s)
        words = self.countdown.words(now, steady_s)
        aside = left_s > 0 and self.entry.fits_beside(minutes(left_s))
        self.entry.put_beside(*(("arc in", minutes(left_s)) if aside else limit_in_big(self.requirement)))
        said = self.short and words in (OUT, NO_TIME) and words.partition(": ")[2] in self.coming.words
        self._put("bench-clock", [words.partition(",")[0] if aside else words] if words and not said else [])
        self._put("bench-next", [self._next_words()])

    def tick(self) -> None:
        """Each second: the clock; once its time is out, what comes next; each minute the age of what was read."""
        if not self.is_current:
            return
        now = self.session.bench.now()
        left_s = self.countdown.left_s(now, monotonic())
        ran_out = self._was_left and not left_s
        self._was_left = left_s
        if ran_out:
            self.look_again()
            return
        self.look = replace(self.look, now=now)
        self._put("bench-facts", self._facts())
        self._put("bench-rows", self._rows())
        if self.countdown.runs:
            self.draw_clock()

    def _put(self, name: str, lines: list[str]) -> bool:
        """Draw lines where they are not what stands there already; whether they were not."""
        if self._shown.get(name, ()) == tuple(lines):
            return False
        self._shown[name] = tuple(lines)
        self.put_lines(name, lines)
        self.query_one(f"#{name}", Static).display = bool(lines)
        return True


def _hidden(name: str) -> Static:
    """A place for lines that takes no room while there are none."""
    place = Static("", id=name, markup=False)
    place.display = False
    return place
