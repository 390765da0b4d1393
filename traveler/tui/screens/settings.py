"""How the shop does things: its settings, and who set them."""

from collections.abc import Callable, Mapping, Sequence
from typing import ClassVar

from textual.binding import BindingType

from traveler.tui.keys_registers import REGISTER_READ, SETTING_KEYS
from traveler.tui.register_act import RegisterAct
from traveler.tui.register_acts import set_value
from traveler.tui.register_wording import Entry, history_lines, setting_entry
from traveler.tui.screens.register_list import EntryPage, RegisterList


class Settings(RegisterList):
    """Each with its value."""

    PURPOSE = "What holds for the whole shop, and since when."

    BINDINGS: ClassVar[list[BindingType]] = [*SETTING_KEYS, REGISTER_READ]
    TITLE = "Settings"

    def read(self) -> Sequence[Entry]:
        """In their order."""
        return [setting_entry(setting) for setting in self.session.registers.settings()]

    def brief(self) -> str:
        """How many are set."""
        return settings_brief([setting["value"] for setting in self.session.registers.settings()])

    def whole(self, key: str) -> EntryPage:
        """With everything that it was set to."""

        def lines() -> list[str]:
            setting = self.session.registers.setting(key)
            return [*setting_entry(setting).lines, *history_lines(setting)]

        return EntryPage(self.session, f"Setting: {key}", lines)

    def acts(self, key: str) -> Mapping[str, Callable[[], RegisterAct]]:
        """Change it."""

        def made() -> RegisterAct:
            setting = self.session.registers.setting(key)
            return set_value(key, setting["value"], setting_entry(setting).lines)

        return {"change": made}


def settings_brief(values: Sequence[str | None]) -> str:
    """The settings in a line."""
    given = sum(value is not None for value in values)
    return f"{given} of {len(values)} set" if given else "none set: as the program has them"
