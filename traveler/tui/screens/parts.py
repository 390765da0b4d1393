"""Parts after their job: where they are, what they went through, and which are to be inspected."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any, ClassVar

from textual.binding import BindingType

from traveler.job.register_gate import EnterWithName, VouchForPart
from traveler.report.words import count_words, visible
from traveler.tui.entered import Told
from traveler.tui.keys import commit
from traveler.tui.keys_registers import PART_KEYS, REGISTER_READ
from traveler.tui.part_acts import (
    correct,
    crash,
    inspect,
    install,
    register,
    remove,
    set_interval,
    use,
    withdraw,
)
from traveler.tui.part_wording import design_lines, part_entries, part_entry, part_lines
from traveler.tui.register_act import RegisterAct
from traveler.tui.register_wording import Entry, brief_of
from traveler.tui.screens.form import Form
from traveler.tui.screens.register_list import EntryPage, RegisterList
from traveler.tui.session import Session
from traveler.tui.widgets.field import Field, TextField

Json = dict[str, Any]
Make = Callable[[], RegisterAct]

FIND, JOB, DESIGN = "find_part", "part_job", "design"
"""What enters nothing."""


class Parts(RegisterList):
    """Those first that are not to be relied on, the withdrawn ones last."""

    PURPOSE = (
        "The parts that have a serial: the car each is on, its use since the last inspection, and when it is "
        "inspected again. What happens to a part is entered here."
    )

    BINDINGS: ClassVar[list[BindingType]] = [REGISTER_READ, *PART_KEYS]
    TITLE = "Parts"
    NOTHING = (
        "No parts yet: n gives the part of a closed job its serial.\n\n"
        "From then on its use is counted, and it says when the part is to be inspected."
    )

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.find = ""
        self.parts: Mapping[str, Json] = {}

    def read(self) -> Sequence[Entry]:
        """Those that are looked for."""
        self.parts = {part["serial"]: part for part in self.session.registers.parts()}
        return part_entries(list(self.parts.values()), self.find)

    def brief(self) -> str:
        """How many, and how many wait for somebody."""
        if not self.find:
            return brief_of(self.entries, "part")
        return f'found "{visible(self.find)}": {count_words(len(self.entries), "part")}'

    def whole(self, key: str) -> EntryPage:
        """Its life on one page."""
        return EntryPage(
            self.session, f"Part {visible(key)}", lambda: part_lines(self.session.registers.part(key))
        )

    def _of_design(self, design: str) -> EntryPage:
        registers = self.session.registers
        return EntryPage(
            self.session, f"Design {visible(design)}", lambda: design_lines(registers.parts(design))
        )

    def new(self) -> Mapping[str, Make]:
        """Give another its serial."""
        return {"new_part": lambda: register(self.session.registers.closed_jobs_without_part())}

    def acts(self, key: str) -> Mapping[str, Make]:
        """What may befall a part."""

        def about(make: Callable[[Json, tuple[str, ...]], RegisterAct]) -> Make:
            def made() -> RegisterAct:
                part = self.session.registers.part(key)
                return make(part, part_entry(part).details)

            return made

        return {
            "install": about(install),
            "take_off": about(remove),
            "driven": about(use),
            "crash": about(crash),
            "inspect": about(inspect),
            "every": about(set_interval),
            "wrong_entry": about(correct),
            "withdraw_part": about(withdraw),
        }

    def against_acts(self, key: str) -> Mapping[str, str]:
        """Nothing is vouched for of what is used no longer; what happened can always be entered."""
        part = self.parts[key]
        off = {} if part["car"] else {"take_off": f"{visible(key)} is on no car"}
        if part["state"] == "withdrawn":
            return {
                **off,
                **dict.fromkeys(("inspect", "every", "withdraw_part"), f"{visible(key)} is withdrawn"),
            }
        why_not = self.session.registers.why_not
        vouching = why_not(VouchForPart("inspecting a part"))
        by_name = dict.fromkeys(("install", "driven", "crash", "withdraw_part"), why_not(EnterWithName()))
        return {**by_name, "inspect": vouching, "every": vouching, "wrong_entry": vouching, **off}

    def why_not(self, action: str) -> str:
        """Parts can be looked for where there are any."""
        if action == f"act('{FIND}')":
            return "" if self.find or self.entries else "nothing is listed yet"
        return super().why_not(action)

    async def action_act(self, name: str) -> None:
        """As in every register; what is looked for and read is not entered."""
        from traveler.tui.screens.job import Job

        if name == FIND:
            await self.app.push_screen(FindPart(self.session, self.find), self._seek)
        elif name in (JOB, DESIGN) and self.rows.key is not None:
            part = self.parts[self.rows.key]
            if name == JOB:
                await self.app.push_screen(Job(self.session, part["job"]), self.told)
            else:
                await self.app.push_screen(self._of_design(part["design"]))
        else:
            await super().action_act(name)

    def _seek(self, told: Told | None) -> None:
        if told is not None and told.recorded:
            self.find = told.words
            self.look_again()
        else:
            self.told(told)


class FindPart(Form):
    """Asks which parts. Nothing is recorded by it; what it returns is what was typed."""

    PURPOSE = "Find parts by serial, design, car, job or state. An empty line shows all of them again."

    BINDINGS: ClassVar[list[BindingType]] = [commit("Find")]

    def __init__(self, session: Session, find: str) -> None:
        self.find = find
        super().__init__(session, "find parts")

    def make_fields(self) -> Sequence[Field]:
        """What is looked for."""
        hint = "serial, design, car, job or state; empty: all parts"
        return [TextField("find", "Find", hint, self.find)]

    def reload(self) -> None:
        """Say what is asked."""
        self.set_heading("Find parts")
        super().reload()

    def matter(self) -> list[str]:
        """How it is found."""
        return ["Parts are shown that have every word typed here, whatever its case."]

    def commit(self, typed: dict[str, str]) -> Told:
        """What to look for."""
        return Told(True, True, typed["find"].strip())
