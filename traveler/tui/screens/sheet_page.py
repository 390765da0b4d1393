"""A page of a new job: a few fields of its sheet. Everything entered stays, whichever way the page is left."""

from collections.abc import Sequence
from functools import cached_property
from typing import ClassVar

from textual.binding import BindingType
from textual.events import DescendantFocus

from traveler.errors import TravelerError
from traveler.job.again import OF_ONE_JOB
from traveler.job.sheet_entered import settled
from traveler.job.sheet_pages import another, page_kind, pages_of, place_in_list, renamed, without
from traveler.job.sheet_write import Entered, write_sheet
from traveler.report.words import visible
from traveler.tui.compare_wording import carried_lines, had_lines
from traveler.tui.entered import Told
from traveler.tui.keys import commit
from traveler.tui.new_jobs import AT
from traveler.tui.screens.form import Form
from traveler.tui.screens.page import Page
from traveler.tui.session import Session
from traveler.tui.sheet_fields import REGISTER, THEN, make_fields, on_and_on, sheet_values
from traveler.tui.sheet_wording import ASKS, count_of, page_name, route_lines
from traveler.tui.widgets.field import ChoiceField, Field
from traveler.tui.widgets.offers import OfferField, Offers

BACK = "what you entered before is back; the job is not issued yet"
KEPT = "the job is not issued; what you entered is kept and comes back with n"
AWAY = "throw all of it away, begin anew"


class SheetPage(Form):
    """``entered`` is the whole sheet up to now, ``page`` the place of it that is asked for here.

    ``to_review``: it was opened from the review, so that it leads back there as soon as nothing is missing.
    """

    PURPOSE = (
        "A page of a new job's sheet. What was entered stays, whichever way it is left; the "
        "review comes last."
    )

    BINDINGS: ClassVar[list[BindingType]] = [commit("Go on")]

    def __init__(self, session: Session, entered: Entered, page: str, *, to_review: bool = False) -> None:
        self.door = session.new_jobs
        self.entered = {place: value for place, value in entered.items() if place != AT}
        self.page = page
        self.to_review = to_review
        self.pages = pages_of({**self.entered, f"{page}.id": ""} if "[" in page else self.entered)
        self.after = on_and_on(page, self.entered, self.pages)
        if page == "job" and self.door.begun:
            self.after = {"go on": "", AWAY: AWAY}
        self.taken = ""
        self.made_from = self.entered.get("job.made_from", "").strip()
        self.had = self.door.as_before(self.entered, page)
        super().__init__(session, f"new job, {page}")
        self.id_before = self.values().get("id", "")

    @classmethod
    def begin_or_go_on(cls, session: Session) -> "SheetPage":
        """The page that was open last of a job under way, or the first one of another."""
        begun = session.new_jobs.begun
        at = begun.pop(AT, "job")
        page = cls(session, begun, at if at in pages_of({**begun, f"{at}.id": ""}) else "job")
        page.greeting = BACK if begun else ""
        return page

    def make_fields(self) -> Sequence[Field]:
        """Those of the page, and where several things may come after it, which."""
        fields = make_fields(self.page, self.entered, self.door)
        for field in fields:
            had = self.had.get(field.key, "")
            if had and had != field.value:
                field.was(f"{visible(self.made_from)} had {visible(had)}")
        if self.after:
            then = ChoiceField(THEN, "Then", "F10 or Enter goes on", tuple(self.after))
            then.put(next(iter(self.after)))
            fields.append(then)
        return fields

    @property
    def begins_at(self) -> Field:
        """Of a part that is made again what is asked anew; a lot of the register says it in one go."""
        asked = [f for f in self.fields if not f.value and self.had.get(f.key) and f.key in self._of_one_job]
        return asked[0] if asked and self.fields[0].key != REGISTER else self.fields[0]

    @property
    def _of_one_job(self) -> Sequence[str]:
        return OF_ONE_JOB.get(page_kind(self.page), ())

    def reload(self) -> None:
        """Where in the job this is."""
        number = self.entered.get("job.number", "").strip()
        self.set_heading(f"New job {visible(number)}".strip(), count_of(self.page, self.pages))
        super().reload()

    def matter(self) -> list[str]:
        """What the page asks for; on the last one what the metal calls for up to now."""
        return self._asks

    @cached_property
    def _asks(self) -> list[str]:
        kind = page_kind(self.page)
        if kind != "site":
            name = "" if kind == "job" else f"{page_name(self.page, self.entered)}: "
            return [
                f"{name}{ASKS[kind]}",
                *had_lines(self.made_from, self.had),
                *carried_lines(self.entered, self.page),
            ]
        try:
            return [ASKS[kind], *route_lines(self.door.plan(write_sheet(self.entered)))]
        except TravelerError:
            return ["The usual route is laid out as soon as nothing is missing; the review says what is."]

    @property
    def dirty(self) -> bool:
        """Whether anything of the sheet was entered here."""
        return sheet_values(self.values()) != sheet_values(self.initial)

    def merged(self) -> dict[str, str]:
        """The whole sheet with what stands in the fields."""
        values = sheet_values(self.values())
        entered = settled({**self.entered, **{f"{self.page}.{key}": value for key, value in values.items()}})
        return renamed(entered, self.page, self.id_before, values.get("id", ""))

    def as_left(self) -> dict[str, str]:
        """The same where the page is left without going on: one that was opened and not filled in leaves no trace."""
        return self.merged() if self.dirty or _said(self.entered, self.page) else dict(self.entered)

    def keep_draft(self) -> None:
        """The sheet as it stands waits for the next time."""
        if self.dirty or self.door.begun:
            self.door.keep(self.as_left(), self.page)

    def commit(self, typed: dict[str, str]) -> Told:
        """A page records nothing: what was entered is kept, where anything was."""
        self.keep_draft()
        return Told(False, True, KEPT if self.door.begun else "nothing was entered")

    def doubt(self, typed: dict[str, str]) -> tuple[str, str] | None:
        """What was entered is thrown away only when asked twice."""
        if typed.get(THEN) == AWAY:
            return THEN, "everything entered for this job goes; F10 again to throw it away"
        return None

    async def begin(self, typed: dict[str, str]) -> None:
        """Go on, unless the reader of sheets finds a fault on this page."""
        if typed.get(THEN) == AWAY:
            self.door.forget()
            await self.app.switch_screen(SheetPage(self.session, {}, "job"))
            return
        if not self.take_over():
            return
        then = self.after.get(typed.get(THEN, ""), "")
        entered = self.merged()
        if then.startswith("-"):
            await self._go_to_previous(without(entered, then[1:]), then[1:])
            return
        faults = self.door.faults(entered)
        self.door.keep(entered, self.page)
        here = [(key, words) for key, words in faults.get(self.page, []) if key or not then]
        if here:
            self._show(here)
        elif then:
            await self._go_to(entered, another(entered, then))
        else:
            await self._go_to(entered, self._next(entered, faults))

    def _show(self, faults: Sequence[tuple[str, str]]) -> None:
        """Each fault beneath its field; the focus goes to the first."""
        fields = {field.key: field for field in self.fields}
        for key, words in reversed(faults):
            (fields.get(key) or self.fields[-1]).fault(words)
        first = next((field for field in self.fields if field.key in dict(faults)), self.fields[-1])
        self.go_to(first)
        # On a small screen a list of choices may fill the whole view, and what is wrong stands beneath it.
        self.call_after_refresh(first.query_one(".fault").scroll_visible, animate=False)
        self.say("this does not read as a sheet yet; what is wrong stands beneath the field", alarm=True)

    def _next(self, entered: Entered, faults: dict[str, list[tuple[str, str]]]) -> str:
        """The page behind this one; on the way back to the review the next that lacks something. Empty: the review."""
        if self.made_from and not self.to_review and self._of_one_job:
            return self.door.page_again(entered, self.page)
        pages = pages_of(entered)
        behind = pages[pages.index(self.page) + 1 :]
        if not self.to_review:
            return behind[0] if behind else ""
        blank = [page for page in behind if page != "site" and not _said(entered, page)]
        return next((page for page in pages if page in faults or page in blank), "")

    async def _go_to(self, entered: Entered, page: str) -> None:
        """Another page in place of this one, or the review."""
        if page:
            self.door.keep(entered, page)
            await self.app.switch_screen(SheetPage(self.session, entered, page, to_review=self.to_review))
            return
        from traveler.tui.screens.sheet_review import SheetReview

        at = self.page if self.to_review else None
        await self.app.switch_screen(SheetReview(self.session, entered, at, first=not self.to_review))

    async def _go_to_previous(self, entered: Entered, gone: str) -> None:
        """Where an entry was taken out: to the one before it in its list, or the first."""
        name, at = place_in_list(gone)
        pages = [page for page in pages_of(entered) if place_in_list(page)[0] == name] or ["site"]
        await self._go_to(entered, "" if self.to_review else pages[max(at - 1, 0)])

    async def action_leave(self) -> None:
        """To the page before; from the first one out, keeping what was entered."""
        await self._keys_before()
        told, entered = self.commit(self.values()), self.as_left()
        before = self.pages[: self.pages.index(self.page)] if self.page in self.pages else ()
        if self.to_review:
            await self._go_to(entered, "")
        elif before:
            await self._go_to(entered, before[-1])
        else:
            leave(self, told)

    async def action_next_field(self) -> None:
        """As on any form; names that are offered are put up first, and from the last field it goes on."""
        await self._keys_before()
        at = self._field_in_focus()
        field = None if at is None else self.fields[at]
        if isinstance(field, OfferField):
            if asked := field.settle():
                self.stays_said = True
                self.set_focus(field.offer_list)
                self.call_after_refresh(field.scroll_visible, animate=False)
                self.say(asked)
                return
            if field.key == REGISTER and not self.take_over():
                return
        if field is self.fields[-1]:
            await self.action_commit()
        else:
            await super().action_next_field()
            if isinstance(field, OfferField) and self.focused is not None:
                # Offers that were put away have moved everything beneath them.
                self.call_after_refresh(self.focused.scroll_visible, animate=False)

    def take_over(self) -> bool:
        """Fill in what the register knows of the lot that was named; False where it knows no such lot."""
        named = self.values().get(REGISTER, "").strip()
        if not named or named == self.taken:
            return True
        what = page_kind(self.page)
        lot = self.door.lot(what, named)
        if lot is None:
            self._fault(
                REGISTER, "no lot of the register reads so; expected its id or heat number, or nothing"
            )
            return False
        known = {"grade": lot.name, "heat_number": lot.heat, "certificate": lot.certificate}
        if what == "filler":
            known = {"classification": lot.name, "lot": lot.heat}
        for field in self.fields:
            if value := known.get(field.key):
                field.put(value)
        self.taken = named
        return True

    def on_descendant_focus(self, event: DescendantFocus) -> None:
        """Offers stay up only as long as the focus is among them. What any form does then, it does by itself."""
        # Where the focus is now: in a burst this is told of a focus that has moved on since.
        if not isinstance(self.focused, Offers):
            for field in self.fields:
                if isinstance(field, OfferField):
                    field.close()


def leave(page: Page[Told], told: Told) -> None:
    """Back to the screen below, with what is to be said there."""
    below = page.app.screen_stack[-2]
    page.app.pop_screen()
    if isinstance(below, Page):
        below.told(told)


def _said(entered: Entered, page: str) -> bool:
    return any(place.startswith(f"{page}.") for place in entered)
