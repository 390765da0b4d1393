"""What was typed and not recorded, of this session and of those that ended before: taken up again, or thrown away."""

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Static

from traveler.errors import TravelerError
from traveler.report.words import visible
from traveler.tui.drafts import Draft
from traveler.tui.entered import Told
from traveler.tui.keys import UNFINISHED_KEYS
from traveler.tui.layout import Row, lead_width
from traveler.tui.screens.page import ListPage
from traveler.tui.session import Session
from traveler.tui.unfinished_wording import about_words, typed_words
from traveler.tui.widgets.rows import Rows
from traveler.tui.wording import requirement_key

if TYPE_CHECKING:
    from traveler.tui.screens.form import Form

NOTHING = "Nothing that was typed waits to be recorded."


class Unfinished(ListPage[Told]):
    """Every entry that waits, the one typed last first."""

    PURPOSE = "What was typed into forms and not recorded. Open one to go on."

    BINDINGS: ClassVar[list[BindingType]] = list(UNFINISHED_KEYS)

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.asked: Draft | None = None

    def _how(self) -> str:
        take_up, discard = self.key_of("unfinished.take_up"), self.key_of("unfinished.discard")
        return f"typed and not recorded: {take_up} takes it up, {discard} throws it away"

    def compose_body(self) -> ComposeResult:
        """The list, or that it is empty."""
        yield Rows()
        yield Static(NOTHING, id="empty", markup=False)

    def on_mount(self) -> None:
        """Say what the list is."""
        super().on_mount()
        self.say(self._how())

    def reload(self) -> None:
        """Look at what is kept."""
        drafts, now = self.session.drafts.all(), self.session.now()
        self.set_heading("1 unfinished entry" if len(drafts) == 1 else f"{len(drafts)} unfinished entries")
        times = {draft.name: draft.clock_time(now) for draft in drafts}
        width = lead_width(list(times.values()), 16)
        self.rows.show(
            [Row(d.name, times[d.name], width, (about_words(d), typed_words(d)), "") for d in drafts]
        )
        self.set_class(not drafts, "-empty")

    @property
    def draft(self) -> Draft | None:
        """The entry under the cursor."""
        return self.session.drafts.draft(self.rows.key) if self.rows.key else None

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """The list is open already."""
        return False if action == "unfinished" else super().check_action(action, parameters)

    def why_not(self, action: str) -> str:
        """There may be nothing."""
        return NOTHING if action in ("take_up", "discard") and self.draft is None else ""

    async def action_take_up(self) -> None:
        """Open the form with what was typed; where that is not possible any more, say so and keep it."""
        draft = self.draft
        if draft is None:
            return
        try:
            form = opened(self.session, draft)
        except TravelerError as error:
            self.say(
                f"{error}; what was typed stays here until {self.key_of('unfinished.discard')} throws it away",
                alarm=True,
            )
            return
        if form is None:
            await self._open_step(draft)
            return
        form.draft_name = draft.name
        await self.app.push_screen(form, self.told)

    async def _open_step(self, draft: Draft) -> None:
        """Where the form belongs to a list of its step, or to none: its own key opens it with what was typed."""
        from traveler.tui.screens.step import Step

        if draft.step is None:
            self.say(f"what was typed comes back with the form: {about_words(draft)}")
            return
        await self.app.push_screen(Step(self.session, draft.job, draft.step), self.told)
        if isinstance(self.app.screen, Step):
            self.app.screen.say(f"what was typed comes back with the form: {visible(draft.words)}")

    def told(self, told: Told | None) -> None:
        """Show what still waits."""
        self.look_again()
        super().told(told)
        if told is not None and not self.session.drafts:
            self.dismiss(told)

    def action_discard(self) -> None:
        """Throw an entry away, when asked a second time."""
        draft = self.draft
        if draft is None:
            return
        if self.asked != draft:
            self.asked = draft
            self.say(
                f"press {self.key_of('unfinished.discard')} again to throw away what was typed", alarm=True
            )
            return
        self.session.drafts.pop(draft.name)
        self.look_again()
        self.say("thrown away; nothing of it was recorded")


def opened(session: Session, draft: Draft) -> "Form | None":
    """The form that a draft was typed into; None where only its own list can open it. Raises TravelerError.

    Add a form here by the name that its ``draft`` gives, so that Enter takes it up.
    """
    from traveler.tui.screens.again import CompareWith, MakeAgain
    from traveler.tui.screens.attach import AttachChart
    from traveler.tui.screens.correct import Correct, TryAgain
    from traveler.tui.screens.papers import Papers
    from traveler.tui.screens.pieces import PiecesForm
    from traveler.tui.screens.reading import Reading
    from traveler.tui.screens.sign import Accept, Close, Perform

    forms: dict[str, type[Reading | Correct | TryAgain]] = {
        form.WORD: form for form in (Reading, Correct, TryAgain)
    }
    if draft.form in forms:
        return forms[draft.form](session, draft.job, draft.step or 0, _requirement(session, draft))
    if draft.name == "new job":
        from traveler.tui.screens.sheet_page import SheetPage

        return SheetPage.begin_or_go_on(session)
    match draft.form:
        case "performed":
            return Perform(session, draft.job, draft.step or 0)
        case "accepted":
            return Accept(session, draft.job, draft.step or 0)
        case "attach":
            return AttachChart(session, draft.job, draft.step or 0)
        case "paper":
            from traveler.tui.screens.paper import AttachPaper

            return AttachPaper(session, draft.job, draft.step or 0)
        case "close":
            return Close(session, draft.job)
        case "split" | "gone" | "join":
            return PiecesForm(session, draft.job, draft.form)
        case "again":
            return MakeAgain(session, draft.job)
        case "compare":
            return CompareWith(session, session.job(draft.job))
        case "papers":
            return Papers(session, session.job(draft.job))
    return None


def _requirement(session: Session, draft: Draft) -> dict[str, object]:
    steps = session.job(draft.job)["steps"]
    step = next((step for step in steps if step["number"] == draft.step), None)
    if step is None:
        raise TravelerError(f"step {draft.step} is no longer on the traveler of {visible(draft.job)}")
    found: dict[str, object] | None = next(
        (r for r in step["requirements"] if requirement_key(r) == draft.about), None
    )
    if found is None:
        raise TravelerError(
            f"step {draft.step} of {visible(draft.job)} no longer asks for this: {visible(draft.words)}"
        )
    return found
