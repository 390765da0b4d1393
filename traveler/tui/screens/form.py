"""What every form has: fields in the order of the work, one key that commits, and nothing typed that is lost."""

import asyncio
from abc import abstractmethod
from collections.abc import Awaitable, Sequence
from datetime import datetime
from time import monotonic
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.events import DescendantBlur, DescendantFocus, Resize
from textual.widgets import Input, Static

from traveler.errors import FileHeld, TravelerError
from traveler.report.words import visible
from traveler.tui.compat import HeedingApp
from traveler.tui.drafts import Draft
from traveler.tui.entered import FieldFault, Told
from traveler.tui.keys import FORM_KEYS
from traveler.tui.screens.page import WAITING, Page
from traveler.tui.session import Session
from traveler.tui.widgets.field import Choices, Field
from traveler.tui.widgets.line import Line
from traveler.tui.widgets.secret import SecretEntry

KEPT = "not recorded; what you typed is kept and comes back with the form"
LONGEST_WAIT_S = 15.0
EACH_S = 0.25
BACK_AGAIN = "what you typed at {time} is back; it is not recorded yet"


class Fields(VerticalScroll):
    """The fields. ``keeps_focus``: what has the focus stays in view where the status line takes a row of them."""

    keeps_focus = False

    def on_resize(self, event: Resize) -> None:
        """Scroll to it where it went out of view."""
        focused = self.screen.focused
        if self.keeps_focus and focused is not None and self in focused.ancestors:
            self.call_after_refresh(focused.scroll_visible, animate=False)


class Form(Page[Told]):
    """A form that commits once. ``draft_name`` is where what was typed waits while the form is closed.

    ``job``: the number of the job that it is about, empty for none; what others do to it meanwhile is said.
    """

    BINDINGS: ClassVar[list[BindingType]] = list(FORM_KEYS)
    AUTO_FOCUS = "Field Input, Field Choices, Field SecretEntry"

    statement = ""
    """What is said by committing; stands right above the fields."""

    def __init__(self, session: Session, draft_name: str, job: str = "") -> None:
        super().__init__(session)
        self.draft_name = draft_name
        self.job = job
        self.seen = session.events(job) if job else 0
        self.last_news = ""
        self.fields: Sequence[Field] = tuple(self.make_fields())
        self.initial = self.values()
        self.asked: dict[str, str] | None = None
        self.greeting = ""
        self.stays_said = False
        self.recorded = False

    @abstractmethod
    def make_fields(self) -> Sequence[Field]:
        """The fields in the order in which they are filled."""

    @abstractmethod
    def matter(self) -> list[str]:
        """The lines above the fields: what the form is about. Fetched anew on each call."""

    @abstractmethod
    def commit(self, typed: dict[str, str]) -> Told:
        """Record or sign. Raises FieldFault, and TravelerError for what no field is to blame for."""

    def doubt(self, typed: dict[str, str]) -> tuple[str, str] | None:
        """Field and question where something is to be asked once more before it is recorded."""
        return None

    def compose_body(self) -> ComposeResult:
        """What it is about, the fields, and what stands against committing."""
        with VerticalScroll(id="about", can_focus=False):
            yield Static("", id="matter", markup=False)
        with Fields(id="form", can_focus=False) as fields:
            fields.keeps_focus = self.begins_at is not self.fields[0]
            if self.statement:
                yield Static(self.statement, id="statement", markup=False)
            yield from self.fields
            yield Static("", id="refused", markup=False)

    def on_mount(self) -> None:
        """Bring back what was typed before."""
        super().on_mount()
        draft = self.session.drafts.draft(self.draft_name)
        if draft is not None:
            now = self.session.now()
            self.put_values(self.brought_back({**self.initial, **draft.values}, draft.moment, now))
            self.greeting = BACK_AGAIN.format(time=draft.clock_time(now))
        self.set_focus(self.begins_at.entry)

    @property
    def begins_at(self) -> Field:
        """The field that has the focus first."""
        return self.fields[0]

    def reload(self) -> None:
        """Fetch what the form is about."""
        self.put_lines("matter", self.matter())

    def look_again(self) -> None:
        """Reload, and say who changed the job since the form was opened."""
        super().look_again()
        if news := self.news():
            self.say(news, alarm=True)

    def news(self) -> str:
        """Who changed the job and when; each change is told once."""
        news = self.session.news(self.job, self.seen) if self.job else ""
        if news:
            self.seen = self.session.events(self.job)
            self.last_news = news
        return news

    def values(self) -> dict[str, str]:
        """What stands in the fields."""
        return {field.key: field.value for field in self.fields}

    def put_values(self, values: dict[str, str]) -> None:
        """Fill the fields."""
        for field in self.fields:
            field.put(values.get(field.key, ""))

    @property
    def dirty(self) -> bool:
        """Whether anything was typed that is not recorded."""
        return self.to_keep() != self.initial

    def to_keep(self) -> dict[str, str]:
        """What of the fields is put aside where the form is left."""
        return self.values()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Enter goes on from an entry only."""
        if action == "next_field":
            return isinstance(self.focused, Input | Choices | SecretEntry)
        return True

    async def action_next_field(self) -> None:
        """On to the next field; from the last one the key that commits is named."""
        at = self._field_in_focus()
        if at is not None and at + 1 < len(self.fields):
            self.set_focus(self.fields[at + 1].entry)
        else:
            self.say(f"{self.key_of('form.commit')}: {self.commit_words}")

    @property
    def commit_words(self) -> str:
        """What the key that commits does on this form."""
        bindings = (active.binding for active in self.active_bindings.values())
        return next(binding.description for binding in bindings if binding.id == "form.commit")

    def action_page(self, where: str) -> None:
        """Page through what the form is about."""
        about = self.query_one("#about", VerticalScroll)
        if where == "up":
            about.scroll_page_up(animate=False)
        else:
            about.scroll_page_down(animate=False)

    async def action_leave(self) -> None:
        """Back, keeping what was typed."""
        await self._keys_before()
        self.keep_draft()
        self.dismiss(Told(False, True, KEPT) if self.dirty else None)

    def draft(self) -> Draft:
        """What stands in the fields, with what it takes to name it and to open the form again."""
        return Draft(self.draft_name, self.to_keep(), words=self.draft_name, job=self.job)

    def brought_back(self, values: dict[str, str], typed_at: datetime, now: datetime) -> dict[str, str]:
        """What stands in the fields once a draft is back."""
        return values

    def keep_draft(self) -> None:
        """Put what was typed aside under the form's name; forget an older draft where nothing is typed."""
        if self.dirty and not self.recorded:
            self.session.drafts.keep(self.draft())
        else:
            self.session.drafts.pop(self.draft_name, None)

    def on_descendant_blur(self, event: DescendantBlur) -> None:
        """A field was left: what stands there outlives a line that drops now."""
        self.keep_draft()

    async def action_commit(self) -> None:
        """Record or sign; what is wrong is said beneath its field, and the focus goes there."""
        await self._keys_before()
        typed = self.values()
        for field in self.fields:
            field.fault("")
        question = self.doubt(typed)
        if question is not None and self.asked != typed:
            self.asked = typed
            self._fault(*question)
            return
        await self.begin(typed)

    async def begin(self, typed: dict[str, str]) -> None:
        """Do it and wait for what comes of it."""
        await self.settle(self._committed(typed))

    async def _committed(self, typed: dict[str, str]) -> Told:
        """Commit, as soon as the file can be had; keys that are pressed meanwhile wait in their order."""
        until = monotonic() + LONGEST_WAIT_S
        while True:
            try:
                return self.commit(typed)
            except FileHeld:
                if monotonic() >= until or self.heeding.leaving:
                    raise
            self.say(WAITING, alarm=True)
            await asyncio.sleep(EACH_S)

    @property
    def heeding(self) -> HeedingApp[object]:
        """The app, which can let keys fall."""
        app = self.app
        assert isinstance(app, HeedingApp)
        return app

    async def settle(self, answer: Awaitable[Told]) -> None:
        """Leave the form once it was recorded; else say why not."""
        try:
            told = await answer
        except FieldFault as fault:
            self._fault(fault.field, str(fault))
            return
        except TravelerError as error:
            self.say(f"nothing was recorded: {error}", alarm=True)
            return
        if not told.recorded:
            self.refuse(told.words, told.reasons)
            return
        self.recorded = True
        self.keep_draft()
        self.dismiss(told)

    def refuse(self, words: str, reasons: Sequence[str]) -> None:
        """Show that the act was refused, with every reason."""
        self.say(words, alarm=True)
        self.put_lines("refused", [f"! {visible(reason)}" for reason in reasons])
        self.query_one("#refused").scroll_visible(animate=False)

    def on_descendant_focus(self, event: DescendantFocus) -> None:
        """Say what the field takes; not where the focus was moved because of what is said."""
        if self.stays_said:
            self.stays_said = False
            return
        at = self._field_in_focus()
        if at is not None:
            self.put_lines("refused", [])
            self.say(self.greeting or self.fields[at].hint)
            self.greeting = ""

    def on_line_more_pasted(self, message: Line.MorePasted) -> None:
        """Each part of a paste goes to its field, as if Tab had been typed between them; an end of line behind the
        last one goes on."""
        at = self._field_in_focus()
        for part in message.parts:
            at = None if at is None else at + 1
            if at is None or at >= len(self.fields):
                if part.strip():
                    self.say(f"there is no field left for what was pasted behind it: {part[:40]}", alarm=True)
                return
            self.set_focus(self.fields[at].entry)
            entry = self.fields[at].entry
            if not part:
                continue
            if not isinstance(entry, Line):
                self.say(f"this is not pasted, choose it here: {part[:40]}", alarm=True)
                return
            if not entry.take(part):
                return

    async def _keys_before(self) -> None:
        """Wait until the field has taken the keys pressed before this one, which may still stand in its queue.

        The app hands on no later key meanwhile, so none of those gets into this form.
        """
        taken = asyncio.Event()
        if self.focused is not None and self.focused.call_later(taken.set):
            await taken.wait()

    def _field_in_focus(self) -> int | None:
        focused = self.focused
        if focused is None:
            return None
        return next((i for i, field in enumerate(self.fields) if field in focused.ancestors), None)

    def _fault(self, key: str, words: str) -> None:
        field = next((field for field in self.fields if field.key == key), self.fields[0])
        field.fault(words)
        self.go_to(field)
        self.say("nothing is recorded yet", alarm=True)

    def go_to(self, field: Field) -> None:
        """Put the focus on a field because of what is said of it, which stays said."""
        if self.focused is not field.entry:
            self.stays_said = True
            self.set_focus(field.entry)
        self.call_after_refresh(field.scroll_visible, animate=False)
