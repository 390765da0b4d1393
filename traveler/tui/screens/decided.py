"""What a list of points and a list of nonconformances have in common: acts on the entry under the cursor."""

from abc import abstractmethod
from collections.abc import Mapping
from typing import Any

from textual.app import ComposeResult
from textual.widgets import OptionList, Static

from traveler.errors import TravelerError
from traveler.tui.entered import Told
from traveler.tui.screens.page import ListPage
from traveler.tui.screens.signature import step_of
from traveler.tui.session import Session
from traveler.tui.signed_act import SignedAct
from traveler.tui.widgets.rows import Rows
from traveler.tui.wording import first_of

Json = Mapping[str, Any]


class DecidedList(ListPage[None]):
    """Entries of one step, and the acts that may be signed about the one under the cursor."""

    NOTHING = ""
    """Said where there is no entry."""

    def __init__(self, session: Session, number: str, step_number: int) -> None:
        super().__init__(session)
        self.number = number
        self.step_number = step_number
        self.traveler: Json = {}
        self.acts: Mapping[str, SignedAct] = {}
        self.against: Mapping[str, str] = {}

    @abstractmethod
    def show_entries(self) -> int:
        """Heading and rows; how many there are."""

    @abstractmethod
    def acts_of(self, traveler: Json, key: str | None) -> Mapping[str, SignedAct]:
        """The acts about an entry of a traveler, None for no entry, by the argument of the action ``sign``."""

    def compose_body(self) -> ComposeResult:
        """The list, or that it is empty."""
        yield Rows()
        yield Static(f"{self.NOTHING[:1].upper()}{self.NOTHING[1:]}.", id="empty", markup=False)

    def reload(self) -> None:
        """Read the job."""
        self.traveler = self.session.job(self.number)
        self.set_class(self.show_entries() == 0, "-empty")
        self._look_at_entry()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """The acts follow the cursor."""
        self._look_at_entry()

    def _look_at_entry(self) -> None:
        self.acts = self.acts_of(self.traveler, self.rows.key)
        reasons = self.session.why_not(self.number, [act.gate for act in self.acts.values()])
        self.against = {name: first_of(against) for name, against in zip(self.acts, reasons, strict=True)}
        self.refresh_bindings()

    @property
    def step(self) -> Json:
        """The step as it was read last."""
        return step_of(self.traveler, self.step_number)

    def why_not(self, action: str) -> str:
        """The gate's reasons about the entry under the cursor."""
        name = action.removeprefix("sign('").removesuffix("')")
        if name == action:
            return ""
        return self.against.get(name, self.NOTHING)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """As for every list; the acts are told apart by their argument."""
        asked = f"sign('{parameters[0]}')" if action == "sign" else action
        return super().check_action(asked, parameters)

    async def action_sign(self, name: str) -> None:
        """Open the form of an act."""
        from traveler.tui.screens.act import ActForm

        key = self.rows.key

        def make(traveler: Json) -> SignedAct:
            act = self.acts_of(traveler, key).get(name)
            if act is None:
                raise TravelerError(f"this is no longer on the traveler: {self.NOTHING}")
            return act

        await self.open_form(
            lambda: ActForm(self.session, self.number, self.step_number, make), self.told_after
        )

    def told_after(self, told: Told | None) -> None:
        """Say what came of it, with the list as it stands then."""
        self.look_again()
        self.told(told)
