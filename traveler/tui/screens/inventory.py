"""Instruments, and lots of material and filler: what can be relied on, where it went, what is entered about it."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any, ClassVar

from textual.binding import BindingType

from traveler.tui.keys_registers import FILLER_KEYS, INSTRUMENT_KEYS, MATERIAL_KEYS, REGISTER_READ
from traveler.tui.register_act import RegisterAct
from traveler.tui.register_acts import (
    calibrate,
    electrodes,
    find_out,
    new_instrument,
    receive,
    withdrawal,
)
from traveler.tui.register_wording import (
    Entry,
    brief_of,
    history_lines,
    instrument_entry,
    lot_entry,
    ranked,
)
from traveler.tui.screens.register_list import EntryPage, RegisterList

Json = dict[str, Any]
Make = Callable[[], RegisterAct]


class Instruments(RegisterList):
    """What the shop measures with, those first that cannot be relied on."""

    PURPOSE = (
        "What is measured with, each with its last calibration. An instrument found wrong "
        "puts its readings in question."
    )

    BINDINGS: ClassVar[list[BindingType]] = [REGISTER_READ, *INSTRUMENT_KEYS]
    TITLE = "Instruments"
    NOTHING = (
        "No instruments yet: n enters the first.\n\n"
        "Until then a reading keeps its instrument in words, and nothing says whether it was calibrated."
    )

    def read(self) -> Sequence[Entry]:
        """First those that cannot be relied on, what was found wrong before what is overdue, then by the day due."""
        found = sorted(
            self.session.registers.instruments(),
            key=lambda entry: (entry["why"] is None, entry["due"] is None, entry["due"]),
        )
        return ranked([instrument_entry(entry) for entry in found])

    def brief(self) -> str:
        """How many, and how many cannot be relied on."""
        return brief_of(self.entries, "instrument")

    def whole(self, key: str) -> EntryPage:
        """With every calibration and finding."""

        def lines() -> list[str]:
            entry = self.session.registers.instrument(key)
            return [*instrument_entry(entry).details, *history_lines(entry)]

        return EntryPage(self.session, f"Instrument {key}", lines)

    def new(self) -> Mapping[str, Make]:
        """Register another."""
        return {"new_instrument": new_instrument}

    def acts(self, key: str) -> Mapping[str, Make]:
        """Calibrated, found wrong, withdrawn."""
        registers = self.session.registers

        def about(make: Callable[[Json, tuple[str, ...]], RegisterAct]) -> Make:
            def made() -> RegisterAct:
                entry = registers.instrument(key)
                return make(entry, instrument_entry(entry).details)

            return made

        return {
            "calibrated": about(calibrate),
            "found_out": lambda: find_out(registers, registers.instrument(key)),
            "withdraw": about(withdrawal),
        }

    def against_acts(self, key: str) -> Mapping[str, str]:
        """Nothing more is entered about what is used no longer."""
        if next(entry for entry in self.entries if entry.key == key).word != "withdrawn":
            return {}
        return dict.fromkeys(("calibrated", "withdraw"), f"{key} is withdrawn")


class Lots(RegisterList):
    """Lots of one kind."""

    WHAT = ""

    def read(self) -> Sequence[Entry]:
        """Those first that need somebody, then the latest."""
        return ranked([lot_entry(lot) for lot in reversed(self.session.registers.lots(self.WHAT))])

    def brief(self) -> str:
        """How many, and what is to be known of them."""
        return brief_of(self.entries, "lot")

    def lot(self, key: str) -> Json:
        """A lot by its id."""
        return next(lot for lot in self.session.registers.lots(self.WHAT) if lot["lot"] == key)

    def whole(self, key: str) -> EntryPage:
        """With who received it and everything since."""

        def lines() -> list[str]:
            return [*lot_entry(self.lot(key)).details, *history_lines(self.session.registers.lot(key))]

        return EntryPage(self.session, f"Lot {key}", lines)

    def about(self, make: Callable[[Json, tuple[str, ...]], RegisterAct], key: str) -> Make:
        """An act on a lot as it stands."""

        def made() -> RegisterAct:
            lot = self.lot(key)
            return make(lot, lot_entry(lot).details)

        return made

    async def action_act(self, name: str) -> None:
        """As in every register; where it went is read, not entered."""
        from traveler.tui.screens.where import Where

        if name not in ("where", "where_filler"):
            await super().action_act(name)
        elif self.rows.key is not None:
            await self.app.push_screen(Where(self.session, self.rows.key))


class Material(Lots):
    """Lots of metal with their heats, those first whose grade is in doubt."""

    PURPOSE = (
        "The lots of material that the shop received, each with its certificate. Where a heat "
        "went is asked here."
    )

    BINDINGS: ClassVar[list[BindingType]] = [REGISTER_READ, *MATERIAL_KEYS]
    TITLE = "Material"
    WHAT = "material"
    NOTHING = (
        "No material yet: n receives the first lot, with its heat number and certificate.\n\n"
        "Until then a reading keeps a heat number in words, and nothing says with which papers it came."
    )

    def new(self) -> Mapping[str, Make]:
        """Receive another."""
        return {"new_material": lambda: receive("material")}

    def acts(self, key: str) -> Mapping[str, Make]:
        """A remnant that was cut from it."""
        return {"remnant": self.about(lambda lot, about: receive("material", lot, about), key)}


class Fillers(Lots):
    """Lots of filler, those first that were out too long."""

    PURPOSE = (
        "The lots of filler that the shop received, each with its certificate. Where a batch "
        "went is asked here."
    )

    BINDINGS: ClassVar[list[BindingType]] = [REGISTER_READ, *FILLER_KEYS]
    TITLE = "Fillers"
    WHAT = "filler"
    NOTHING = (
        "No fillers yet: n receives the first lot, with its batch number and certificate.\n\n"
        "Until then a reading keeps a batch number in words, and nothing says how long electrodes were out."
    )

    def new(self) -> Mapping[str, Make]:
        """Receive another."""
        return {"new_filler": lambda: receive("filler")}

    def acts(self, key: str) -> Mapping[str, Make]:
        """Opened, rebaked."""
        return {
            "opened": self.about(lambda lot, about: electrodes(lot, about, rebaked=False), key),
            "rebaked": self.about(lambda lot, about: electrodes(lot, about, rebaked=True), key),
        }


def instruments_brief(instruments: Sequence[Json]) -> str:
    """The instruments in a line."""
    return brief_of([instrument_entry(entry) for entry in instruments], "instrument")


def lots_brief(lots: Sequence[Json]) -> str:
    """Lots in a line."""
    return brief_of([lot_entry(lot) for lot in lots], "lot")
