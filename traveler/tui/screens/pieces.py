"""The pieces of a job: how they add up, where they came from and went, what is joined; and the forms that say so."""

from collections.abc import Mapping
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import OptionList, Static

from traveler.errors import TravelerError
from traveler.report.pieces_words import Said, pieces_lines, pieces_said
from traveler.report.words import count_words, visible
from traveler.tui.entered import Told
from traveler.tui.keys import commit
from traveler.tui.keys_away import PIECES_KEYS
from traveler.tui.layout import Row, lead_width
from traveler.tui.pieces_acts import acts_of
from traveler.tui.screens.page import ListPage
from traveler.tui.screens.signature import Signature
from traveler.tui.session import Session
from traveler.tui.signed_act import SignedAct
from traveler.tui.theme import tone
from traveler.tui.widgets.rows import Rows
from traveler.tui.wording import first_of

Json = Mapping[str, Any]

NO_COMPONENT = "the cursor is on no component"


class Pieces(ListPage[Told]):
    """One row for all of it, and one a component."""

    PURPOSE = (
        "How the pieces of the job add up, where they came from and went, and what is joined in it. "
        "Pieces are split off here, said to be gone, and joined."
    )

    BINDINGS: ClassVar[list[BindingType]] = list(PIECES_KEYS)

    def __init__(self, session: Session, number: str) -> None:
        super().__init__(session)
        self.number = number
        self.traveler: Json = {}
        self.acts: Mapping[str, SignedAct] = {}
        self.against: Mapping[str, str] = {}

    def compose_body(self) -> ComposeResult:
        """The list."""
        yield Rows()
        yield Static("One piece, and nothing is joined in it.", id="empty", markup=False)

    def reload(self) -> None:
        """Read the job."""
        self.traveler = self.session.job(self.number)
        found = self.traveler.get("pieces")
        here = found["here"] if found else 1
        self.set_heading(f"{visible(self.number)}  pieces", f"{count_words(here, 'piece')} here")
        self.rows.show(_rows(self.traveler, plain=self.plain))
        self.set_class(not found, "-empty")
        self._look_at_entry()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """The acts follow the cursor."""
        self._look_at_entry()

    def _look_at_entry(self) -> None:
        self.acts = acts_of(self.traveler, _component(self.rows.key))
        reasons = self.session.why_not(self.number, [act.gate for act in self.acts.values()])
        self.against = {name: first_of(against) for name, against in zip(self.acts, reasons, strict=True)}
        self.refresh_bindings()

    def why_not(self, action: str) -> str:
        """The gate's reasons; a component is taken out where the cursor is."""
        name = action.removeprefix("sign('").removesuffix("')")
        return "" if name == action else self.against.get(name, NO_COMPONENT)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """As for every list; the acts are told apart by their argument."""
        asked = f"sign('{parameters[0]}')" if action == "sign" else action
        return super().check_action(asked, parameters)

    async def action_sign(self, name: str) -> None:
        """Open the form of an act."""
        component = _component(self.rows.key)
        await self.open_form(lambda: PiecesForm(self.session, self.number, name, component), self.told_after)

    def told_after(self, told: Told | None) -> None:
        """Say what came of it, with the list as it stands then."""
        self.look_again()
        self.told(told)


class PiecesForm(Signature):
    """One act on the pieces of a job, which is signed on all that the job holds."""

    PURPOSE = (
        "What becomes of pieces is signed on the job as it is shown. How they add up stands above the "
        "fields; it is written once and for good."
    )

    BINDINGS: ClassVar[list[BindingType]] = [commit("Sign")]

    def __init__(self, session: Session, number: str, name: str, component: str | None = None) -> None:
        self.form = "" if name == "out" else name

        def make(traveler: Json) -> SignedAct:
            act = acts_of(traveler, component).get(name)
            if act is None:
                raise TravelerError(NO_COMPONENT)
            return act

        super().__init__(session, number, 0, make, f"{name} {number}" if self.form else None)

    def content_of(self, traveler: Json) -> str:
        """The code of the job's last event."""
        return str(traveler["head"])

    def show(self) -> None:
        """Name the act, and say how the pieces stand."""
        self.set_heading(visible(self.act.title), visible(self.number))
        self.put_lines("matter", self.matter())
        self.refresh_bindings()

    def matter(self) -> list[str]:
        """How the pieces stand."""
        return pieces_lines(self.traveler) or ["One piece, and nothing is joined in it."]


def _rows(traveler: Json, *, plain: bool) -> list[Row]:
    """A row for each thing that is said of pieces, the components by their job."""
    said = pieces_said(traveler)
    width = lead_width([entry.about for entry in said], 10)
    return [
        Row(
            f"line {at}" if entry.component is None else f"component {entry.component}",
            entry.about,
            width,
            (_beside(entry), *entry.lines[1:]),
            tone("rejected" if entry.about == "held" else "", plain=plain),
        )
        for at, entry in enumerate(said)
    ]


def _beside(entry: Said) -> str:
    """The first line of it, but for the word that stands beside it already."""
    first = entry.lines[0]
    if first.casefold().startswith(entry.about):
        return first[len(entry.about) :].lstrip(" :")
    return first


def _component(key: str | None) -> str | None:
    """The component that a row is of."""
    return key.removeprefix("component ") if key is not None and key.startswith("component ") else None
