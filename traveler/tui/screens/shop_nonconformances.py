"""The nonconformances of all jobs: open ones first; each is decided in its job."""

from collections.abc import Sequence
from typing import Any, ClassVar

from textual.binding import BindingType

from traveler.report.decided_words import CLOSED
from traveler.report.words import count_words
from traveler.tui.keys_registers import SHOP_NONCONFORMANCE_OPEN
from traveler.tui.register_wording import Entry, nonconformance_entry
from traveler.tui.screens.nonconformances import Nonconformances
from traveler.tui.screens.register_list import RegisterList
from traveler.tui.theme import MARKS

Json = dict[str, Any]


class ShopNonconformances(RegisterList):
    """One row each; Enter opens it among those of its step, where it is decided."""

    PURPOSE = "Every nonconformance of the shop; each is dealt with in its job."

    BINDINGS: ClassVar[list[BindingType]] = [SHOP_NONCONFORMANCE_OPEN]
    TITLE = "Nonconformances of all jobs"
    NOTHING = "No nonconformances.\n\nOne is opened from its step in the job: n on the step."

    def read(self) -> Sequence[Entry]:
        """As they come, the open ones first."""
        self.found = {
            f"{entry['nonconformance']} {entry['job']}": entry
            for entry in self.session.registers.nonconformances()
        }
        return [nonconformance_entry(entry, MARKS[entry["state"]]) for entry in self.found.values()]

    def brief(self) -> str:
        """How many are open."""
        return nonconformances_brief(list(self.found.values()))

    def whole(self, key: str) -> Nonconformances:
        """Those of its step, with the cursor on this one."""
        entry = self.found[key]
        return Nonconformances(self.session, entry["job"], entry["step"], at=entry["nonconformance"])


def nonconformances_brief(entries: Sequence[Json]) -> str:
    """Nonconformances in a line."""
    if not entries:
        return "none"
    still = sum(entry["state"] not in CLOSED for entry in entries)
    return (
        f"{still} open of {len(entries)}"
        if still
        else f"{count_words(len(entries), 'nonconformance')}, all closed"
    )
