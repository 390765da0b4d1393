"""Who read a value of a step whose work went to a vendor: asked on the forms of its readings and charts alone."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from traveler.report.outside_words import last_standing
from traveler.report.words import visible
from traveler.tui.entered import said

if TYPE_CHECKING:
    from traveler.tui.widgets.field import Field

Json = Mapping[str, Any]

HERE, BY_VENDOR = "read here", "reported by {}"


def whose_fields(traveler: Json, step_number: int) -> "list[Field]":
    """The field, where the step was sent to a vendor; nothing elsewhere."""
    step = next((step for step in traveler["steps"] if step["number"] == step_number), None)
    sending = None if step is None else last_standing(step)
    if sending is None:
        return []
    from traveler.tui.widgets.field import ChoiceField  # comes with the first form, after the board

    options = (HERE, BY_VENDOR.format(visible(sending["vendor"])))
    return [ChoiceField("whose", "Whose", "who read it: a digit picks, or the arrows", options)]


def from_vendor(typed: Mapping[str, str]) -> bool:
    """Whether it stands in the vendor's papers. Raises FieldFault where that is asked and not said."""
    return "whose" in typed and said(typed, "whose", "say who read it") != HERE
