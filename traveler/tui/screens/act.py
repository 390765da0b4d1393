"""The form of any other act that is signed: the act says what it is, what it asks for and what it is about."""

from typing import ClassVar

from textual.binding import BindingType

from traveler.tui.keys import commit
from traveler.tui.screens.signature import Signature


class ActForm(Signature):
    """One act on a step."""

    PURPOSE = (
        "A decision that is signed: what it is about stands above, what it says right over the fields. It "
        "is written once and for good."
    )

    BINDINGS: ClassVar[list[BindingType]] = [commit("Sign")]
