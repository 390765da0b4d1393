"""The nonconformances of a step: what does not comply, what is done about it, and what may be signed."""

from collections.abc import Mapping
from typing import Any, ClassVar

from textual.binding import BindingType

from traveler.report.decided_words import nonconformance_lines, nonconformance_title
from traveler.report.words import count_words, visible
from traveler.tui.decided_acts import close, decide, look_again, open_nonconformance, propose, void
from traveler.tui.keys import NONCONFORMANCE_KEYS
from traveler.tui.layout import Row, lead_width
from traveler.tui.screens.decided import DecidedList
from traveler.tui.screens.signature import step_of
from traveler.tui.screens.working import TextPage
from traveler.tui.session import Session
from traveler.tui.signed_act import SignedAct
from traveler.tui.theme import marked, tone

Json = Mapping[str, Any]


class Nonconformances(DecidedList):
    """Each with the last thing that was done about it. ``quantity`` and ``joint``: what a new one is about; ``at``: the
    one at which the cursor stands first."""

    PURPOSE = (
        "What did not comply at this step, and what is done about it: proposed, approved, done, looked at "
        "again, closed. Until it is closed it stands against acceptance."
    )

    BINDINGS: ClassVar[list[BindingType]] = list(NONCONFORMANCE_KEYS)
    NOTHING = "no nonconformance is listed"

    def __init__(
        self,
        session: Session,
        number: str,
        step_number: int,
        quantity: str = "",
        joint: str = "",
        at: int | None = None,
    ) -> None:
        super().__init__(session, number, step_number)
        self.at = at
        self.quantity = quantity
        self.joint = joint

    def entries_of(self, traveler: Json) -> list[Json]:
        """Those of the step."""
        return [entry for entry in traveler["nonconformances"] if entry["step"] == self.step_number]

    def show_entries(self) -> int:
        """One row each."""
        entries = self.entries_of(self.traveler)
        self.set_heading(
            f"{visible(self.number)}  step {self.step_number}  nonconformances",
            count_words(len(entries), "nonconformance"),
        )
        width = lead_width([marked(entry["state"]) for entry in entries], 14)
        self.rows.show([_row(entry, width, plain=self.plain) for entry in entries])
        if self.at is not None:
            self.rows.go_to(str(self.at))
            self.at = None
        return len(entries)

    def acts_of(self, traveler: Json, key: str | None) -> Mapping[str, SignedAct]:
        """What may be signed about one of them, and opening another."""
        joints = step_of(traveler, self.step_number)["joints"]
        new = open_nonconformance(self.step_number, self.quantity, self.joint, joints)
        entry = next((e for e in self.entries_of(traveler) if str(e["nonconformance"]) == key), None)
        if entry is None:
            return {"new": new}
        return {
            "new": new,
            "propose": propose(entry, batch=traveler.get("quantity", 1) > 1),
            "approve": decide(entry, approve=True),
            "refuse": decide(entry, approve=False),
            "reverify": look_again(entry),
            "close": close(entry),
            "void": void(entry),
        }

    def why_not(self, action: str) -> str:
        """Nothing to read where nothing is listed; the gate's reasons for the acts."""
        if action == "open":
            return "" if self.rows.key is not None else self.NOTHING
        return super().why_not(action)

    async def action_open(self) -> None:
        """Read all that was done about it."""
        if self.rows.key is not None:
            await self.app.push_screen(NonconformancePage(self.session, self.number, int(self.rows.key)))


class NonconformancePage(TextPage):
    """One nonconformance from opening to closing."""

    PURPOSE = "One nonconformance from its opening to its closing, each act with who did it and when."

    def __init__(self, session: Session, number: str, nonconformance: int) -> None:
        super().__init__(session)
        self.number = number
        self.nonconformance = nonconformance

    def reload(self) -> None:
        """Read it."""
        entries = self.session.job(self.number)["nonconformances"]
        entry = next(e for e in entries if e["nonconformance"] == self.nonconformance)
        self.set_heading(
            f"{visible(self.number)}  nonconformance {self.nonconformance}", marked(entry["state"])
        )
        self.put_lines("text", [nonconformance_title(entry), "", *nonconformance_lines(entry)])


def _row(entry: Json, width: int, *, plain: bool) -> Row:
    found, *since = nonconformance_lines(entry)
    word = entry["state"]
    lines = (nonconformance_title(entry), found, *since[-1:])
    return Row(str(entry["nonconformance"]), marked(word), width, lines, tone(word, plain=plain))
