"""The registers of the shop, with what matters of each in a line."""

from collections.abc import Mapping, Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from traveler.report.words import visible
from traveler.tui.entered import Told
from traveler.tui.keys_registers import REGISTERS_OPEN, REGISTERS_WHERE
from traveler.tui.layout import Row, lead_width
from traveler.tui.part_wording import part_entries
from traveler.tui.register_wording import brief_of, people_brief
from traveler.tui.screens.inventory import Fillers, Instruments, Material, instruments_brief, lots_brief
from traveler.tui.screens.page import ListPage
from traveler.tui.screens.parts import Parts
from traveler.tui.screens.people import People
from traveler.tui.screens.register_list import RegisterList
from traveler.tui.screens.settings import Settings, settings_brief
from traveler.tui.screens.shop_nonconformances import ShopNonconformances, nonconformances_brief
from traveler.tui.screens.where import Where, WhichHeat
from traveler.tui.widgets.rows import Rows

SCREENS: Mapping[str, type[RegisterList]] = {
    "Nonconformances": ShopNonconformances,
    "Instruments": Instruments,
    "Material": Material,
    "Fillers": Fillers,
    "People": People,
    "Parts": Parts,
    "Settings": Settings,
}


class Registers(ListPage[None]):
    """One row a register."""

    PURPOSE = (
        "What the shop holds on record beside its jobs: people, parts, instruments, material, "
        "fillers, nonconformances, settings. Choose one."
    )

    BINDINGS: ClassVar[list[BindingType]] = [REGISTERS_OPEN, REGISTERS_WHERE]

    def compose_body(self) -> ComposeResult:
        """The registers."""
        yield Rows()

    def reload(self) -> None:
        """What matters of each."""
        self.set_heading(f"Registers of {visible(self.session.file_name)}", self.session.keyboard.words)
        width = lead_width(list(SCREENS), 16)
        briefs = self._briefs()
        self.rows.show(
            [Row(name, name, width, (words,)) for name, words in zip(SCREENS, briefs, strict=True)]
        )

    def _briefs(self) -> Sequence[str]:
        registers = self.session.registers
        return (
            nonconformances_brief(registers.nonconformances()),
            instruments_brief(registers.instruments()),
            lots_brief(registers.lots("material")),
            lots_brief(registers.lots("filler")),
            people_brief(registers.people()),
            brief_of(part_entries(registers.parts()), "part"),
            settings_brief([setting["value"] for setting in registers.settings()]),
        )

    async def action_where(self) -> None:
        """Ask which heat, then tell where it went."""
        await self.app.push_screen(WhichHeat(self.session), self._look_for)

    def _look_for(self, told: Told | None) -> None:
        if told is not None and told.recorded:
            self.app.push_screen(Where(self.session, told.words))
        else:
            self.told(told)

    async def action_open(self) -> None:
        """Open the register under the cursor."""
        if self.rows.key is not None:
            await self.app.push_screen(SCREENS[self.rows.key](self.session))
