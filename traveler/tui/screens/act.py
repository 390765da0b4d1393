"""The form of any other act that is signed: the act says what it is, what it asks for and what it is about."""

from typing import ClassVar

from textual.binding import BindingType

from traveler.tui.keys import commit
from traveler.tui.screens.signature import Signature
from traveler.tui.session import Session
from traveler.tui.signed_act import SignedAct


class ActForm(Signature):
    """One act on a step."""

    BINDINGS: ClassVar[list[BindingType]] = [commit("Sign")]

    def __init__(self, session: Session, number: str, step_number: int, act: SignedAct) -> None:
        super().__init__(session, number, step_number, act, f"{act.title} {number} {step_number}")
