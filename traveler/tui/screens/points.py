"""The hold and witness points of a step: where each stands, whose it is, and what may be signed about it."""

from collections.abc import Mapping
from typing import Any, ClassVar

from textual.binding import BindingType

from traveler.report.decided_words import point_act_words, point_name
from traveler.report.words import count_words, visible
from traveler.tui.decided_acts import attend, notify, release, waive
from traveler.tui.keys import POINT_KEYS
from traveler.tui.layout import Row, lead_width
from traveler.tui.screens.decided import DecidedList
from traveler.tui.screens.signature import step_of
from traveler.tui.signed_act import SignedAct
from traveler.tui.theme import marked, tone

Json = Mapping[str, Any]


class Points(DecidedList):
    """Each point with what was done at it."""

    PURPOSE = (
        "Where the work must stop or somebody may watch: the hold and witness points of this step, whose "
        "each is and what was done at it. No step is accepted over a hold that is not released."
    )

    BINDINGS: ClassVar[list[BindingType]] = list(POINT_KEYS)
    NOTHING = "this step has no hold or witness point"

    def show_entries(self) -> int:
        """One row a point."""
        points = self.step["points"]
        self.set_heading(
            f"{visible(self.number)}  step {self.step_number}  hold and witness points",
            count_words(len(points), "point"),
        )
        width = lead_width([marked(point["state"]) for point in points], 14)
        self.rows.show([_row(point, width, plain=self.plain) for point in points])
        return len(points)

    def acts_of(self, traveler: Json, key: str | None) -> Mapping[str, SignedAct]:
        """Release, waive, notify, attend."""
        points = step_of(traveler, self.step_number)["points"]
        point = next((point for point in points if str(point["point"]) == key), None)
        if point is None:
            return {}
        made = {"release": release, "waive": waive, "notify": notify, "attend": attend}
        return {name: make(self.step_number, point) for name, make in made.items()}


def _row(point: Json, width: int, *, plain: bool) -> Row:
    notice = point["notice"]
    lines = [point_name(point) + (f", notice {notice['value']} {notice['unit']}" if notice else "")]
    lines += [visible(point["waits_for"])] if point["waits_for"] else []
    lines += [point_act_words(act) for act in point["acts"]]
    word = point["state"]
    return Row(str(point["point"]), marked(word), width, tuple(lines), tone(word, plain=plain))
