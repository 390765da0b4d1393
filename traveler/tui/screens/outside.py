"""What of a step a vendor does: each sending, what came back, what was found of its papers, and the acts about it."""

from collections.abc import Mapping
from typing import Any, ClassVar

from textual.binding import BindingType

from traveler.report.outside_words import planned_outside_words, sending_lines, sending_title
from traveler.report.words import count_words, visible
from traveler.tui.keys_away import OUTSIDE_KEYS
from traveler.tui.layout import Row, lead_width
from traveler.tui.outside_acts import acts_outside, next_act
from traveler.tui.screens.decided import DecidedList
from traveler.tui.screens.signature import step_of
from traveler.tui.signed_act import SignedAct
from traveler.tui.theme import marked, tone

Json = Mapping[str, Any]


class Outside(DecidedList):
    """Each sending with what came of it."""

    PURPOSE = (
        "Work of this step that a vendor does: when it went out, how it came back, and what was found of the papers. "
        "Until another person has accepted the certificate the step is not accepted."
    )

    BINDINGS: ClassVar[list[BindingType]] = list(OUTSIDE_KEYS)
    NOTHING = "nothing of this step was sent to a vendor"
    sent = False
    """Whether something was, as it was read last."""

    def show_entries(self) -> int:
        """One row a sending."""
        sendings = self.step.get("sendings", [])
        self.sent = bool(sendings)
        self.set_heading(
            f"{visible(self.number)}  step {self.step_number}  work at a vendor",
            planned_outside_words(self.step).partition(";")[0] or count_words(len(sendings), "sending"),
        )
        width = lead_width([marked(sending["state"]) for sending in sendings], 14)
        self.rows.show([_row(sending, width, plain=self.plain) for sending in sendings])
        return len(sendings)

    def acts_of(self, traveler: Json, key: str | None) -> Mapping[str, SignedAct]:
        """Send, receive, review, call off: of the step, whichever sending is under the cursor."""
        step = step_of(traveler, self.step_number)
        return acts_outside(step, self.session.files_since_sent(self.number, self.step_number))

    async def open_next(self) -> None:
        """Open the form of what the step waits for, where it waits for something that can be done."""
        name = next_act(self.step)
        if name == "review" and not self.session.files_since_sent(self.number, self.step_number):
            attach, review = self.key_of("outside.attach"), self.key_of("outside.review")
            self.say(f"no paper is attached yet: {attach} attaches what came, then {review} reviews it")
        elif name:
            await self.open_if_allowed(name)

    async def open_if_allowed(self, name: str) -> None:
        """Open the form of an act; where something stands against that, say it."""
        if against := self.why_not(f"sign('{name}')"):
            self.say(against, alarm=True)
        else:
            await self.action_sign(name)

    def why_not(self, action: str) -> str:
        """A paper may be attached as soon as something was sent."""
        if action == "attach":
            return "" if self.sent else self.NOTHING
        return super().why_not(action)

    async def action_attach(self) -> None:
        """Open the form that keeps a paper of the vendor."""
        from traveler.tui.screens.paper import AttachPaper

        await self.open_form(
            lambda: AttachPaper(self.session, self.number, self.step_number), self.told_after
        )


def _row(sending: Json, width: int, *, plain: bool) -> Row:
    word = sending["state"]
    lines = (sending_title(sending), *sending_lines(sending))
    return Row(str(sending["sending"]), marked(word), width, lines, tone(word, plain=plain))
