"""What is opened from a step: the forms of its requirements, its signatures and decisions, and pages to read."""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from traveler.report.decided_words import question_lines
from traveler.tui.entered import Told
from traveler.tui.screens.page import ListPage
from traveler.tui.session import Session
from traveler.tui.signed_wording import questions_of
from traveler.tui.wording import requirement_key

if TYPE_CHECKING:
    from traveler.tui.screens.outside import Outside
    from traveler.tui.signed_act import SignedAct

Json = Mapping[str, Any]


class FromStep(ListPage[Told]):
    """A step as it was read last, with the requirement under the cursor; each key opens one thing about them."""

    def __init__(self, session: Session, number: str, step_number: int) -> None:
        super().__init__(session)
        self.number = number
        self.step_number = step_number
        self.traveler: Json = {}
        self.step: Json = {}
        self.in_question: list[int] = []

    @property
    def requirement(self) -> Json | None:
        """The requirement under the cursor."""
        key = self.rows.key
        return next((r for r in self.step.get("requirements", ()) if requirement_key(r) == key), None)

    def told_accepted(self, told: Told | None) -> None:
        """Accepted: back to the job, which shows the next step."""
        if told is not None and told.recorded:
            self.dismiss(told)

    def _joints(self) -> list[str]:
        """The joint of the requirement under the cursor, else those of the step."""
        here = self.requirement
        return [here["joint"]] if here is not None and here["joint"] else list(self.step.get("joints", ()))

    async def action_record(self) -> None:
        """Open the form for a reading."""
        from traveler.tui.screens.reading import Reading

        if self.requirement is not None:
            form = Reading(self.session, self.number, self.step_number, self.requirement)
            await self.app.push_screen(form, self.told)

    async def action_perform(self) -> None:
        """Open the signature "performed"."""
        from traveler.tui.screens.sign import Perform

        await self.open_form(lambda: Perform(self.session, self.number, self.step_number), self.told)

    async def action_accept(self) -> None:
        """Open the signature "accepted"."""
        from traveler.tui.screens.sign import Accept

        await self.open_form(lambda: Accept(self.session, self.number, self.step_number), self.told_accepted)

    async def action_bench(self) -> None:
        """Open bench mode on the step."""
        from traveler.tui.screens.bench import Bench

        await self.open_form(lambda: Bench(self.session, self.number, self.step_number), self.told)

    async def action_points(self) -> None:
        """Open the hold and witness points."""
        from traveler.tui.screens.points import Points

        await self.app.push_screen(Points(self.session, self.number, self.step_number))

    async def action_outside(self) -> None:
        """Open the work that a vendor does, with the form of what it waits for."""
        await (await self._outside()).open_next()

    async def action_send_out(self) -> None:
        """The same, with the form that sends it out, planned or not."""
        await (await self._outside()).open_if_allowed("send")

    async def _outside(self) -> "Outside":
        from traveler.tui.screens.outside import Outside

        page = Outside(self.session, self.number, self.step_number)
        await self.app.push_screen(page)
        return page

    async def action_nonconformances(self) -> None:
        """Open the nonconformances; a new one is proposed about the requirement under the cursor."""
        from traveler.tui.screens.nonconformances import Nonconformances

        here = self.requirement or {"quantity": "", "joint": None}
        await self.app.push_screen(
            Nonconformances(
                self.session, self.number, self.step_number, here["quantity"], here["joint"] or ""
            )
        )

    async def action_not_applicable(self) -> None:
        """Sign that the requirement under the cursor does not apply."""
        from traveler.tui.decided_acts import not_applicable

        here = self.requirement
        if here is not None:
            await self._open_act(lambda _: not_applicable(self.step_number, here))

    async def action_answer(self) -> None:
        """Answer for the readings of the step that are in question."""
        from traveler.tui.decided_acts import answer

        # Comes with signing, and nothing before it needs it.
        from traveler.tui.screens.signature import step_of

        def make(traveler: Json) -> "SignedAct":
            asked = questions_of(traveler, step_of(traveler, self.step_number))
            about = [line for question in asked for line in question_lines(question)]
            return answer(self.session.in_question(self.number, self.step_number), about)

        await self._open_act(make)

    async def _open_act(self, make: "Callable[[Json], SignedAct]") -> None:
        from traveler.tui.screens.act import ActForm

        await self.open_form(lambda: ActForm(self.session, self.number, self.step_number, make), self.told)

    async def action_working(self) -> None:
        """Open the working behind the limit."""
        from traveler.tui.screens.working import Working

        if self.requirement is not None:
            await self.app.push_screen(
                Working(self.session, self.number, self.step_number, requirement_key(self.requirement))
            )

    async def action_routes(self) -> None:
        """Open the routes of the joint at hand, or the list of the step's joints."""
        from traveler.tui.screens.routes import open_routes

        await open_routes(self, self.traveler, self._joints())

    async def action_charts(self) -> None:
        """Open the recorded charts of the step."""
        from traveler.tui.screens.charts import Charts

        await self.app.push_screen(Charts(self.session, self.number, self.step_number))

    async def action_correct(self) -> None:
        """Open the correction of a reading."""
        from traveler.tui.screens.correct import Correct
        from traveler.tui.screens.step import standing

        here = self.requirement
        latest = standing(here)[-1]["reading"] if here is not None and standing(here) else None
        if here is not None and latest is not None and self.session.correction_signed(self.number, latest):
            await self._open_act(lambda traveler: _correction(traveler, here, latest))
        elif self.requirement is not None:
            form = Correct(self.session, self.number, self.step_number, self.requirement)
            await self.app.push_screen(form, self.told)

    async def action_retry(self) -> None:
        """Open another attempt."""
        from traveler.tui.screens.correct import TryAgain

        if self.requirement is not None:
            form = TryAgain(self.session, self.number, self.step_number, self.requirement)
            await self.app.push_screen(form, self.told)


def _correction(traveler: Json, requirement: Json, latest: int) -> "SignedAct":
    from traveler.report.requirement_words import reading_words
    from traveler.tui.screens.step import standing
    from traveler.tui.signed_act import correct_reading

    key = requirement_key(requirement)
    here = next(
        (r for step in traveler["steps"] for r in step["requirements"] if requirement_key(r) == key),
        requirement,
    )
    words = [reading_words(reading, attempts=False, brief=False) for reading in standing(here)]
    return correct_reading(here["quantity"], words, latest, here["type"] == "number")
