"""Write a job's papers: the traveler in its forms, a packet, and what is taped to a part."""

import asyncio
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, ClassVar

from textual.binding import BindingType

from traveler.report.words import draft_mark, visible
from traveler.tui.drafts import Draft
from traveler.tui.entered import Told
from traveler.tui.keys import commit
from traveler.tui.papers import SHEETS, USUAL, WHICH
from traveler.tui.screens.form import Form
from traveler.tui.session import Session
from traveler.tui.widgets.field import ChoiceField, Field, TextField

Json = Mapping[str, Any]


class Papers(Form):
    """Which, under what name; a file that is there already stays as it is."""

    PURPOSE = (
        "Write the traveler or paper for the shop as a new file on this machine. Writing enters nothing in the "
        "record, and a file that exists is never replaced."
    )

    BINDINGS: ClassVar[list[BindingType]] = [commit("Write")]

    def __init__(self, session: Session, traveler: Json) -> None:
        self.traveler = traveler
        self.door = session.papers(traveler["job"])
        super().__init__(session, f"papers of {traveler['job']}")

    def draft(self) -> Draft:
        """About the job."""
        return replace(super().draft(), words="Papers", form="papers", job=self.traveler["job"])

    def make_fields(self) -> Sequence[Field]:
        """What, where, and what only some of it takes."""
        which = ChoiceField("which", "Write", "a digit picks, or the arrows", WHICH)
        which.put(WHICH[0])
        sheets = ChoiceField("sheets", "Sheets", "of a PDF", (USUAL, *SHEETS))
        sheets.put(USUAL)
        name = self.door.name(WHICH[0])
        return [
            which,
            TextField(
                "file",
                "File",
                f"name of a new file on this machine; empty: such as {name}, where the program was started",
                placeholder="the number of the job, with its ending",
            ),
            sheets,
            TextField("steps", "Steps", "of a blank traveler alone, such as 30, 40; empty: all"),
            TextField(
                "temperature", "Temperature", "of a tag alone: how hot it is, such as 310 F; empty: a blank"
            ),
            TextField(
                "time",
                "Measured at",
                "of a tag alone: when that was, such as 2026-03-14T08:30; empty: a blank",
            ),
        ]

    def reload(self) -> None:
        """Name the job."""
        self.set_heading(f"Papers of {visible(self.traveler['job'])}", draft_mark(self.traveler) or "")
        super().reload()

    def matter(self) -> list[str]:
        """What is good for what."""
        return [
            "A packet has the traveler in every form with the attachments, and a program that checks them.",
            "What is written by hand on a blank traveler is typed in later as late entries.",
        ]

    def commit(self, typed: dict[str, str]) -> Told:
        """Write it."""
        return self.door.write(typed)

    async def begin(self, typed: dict[str, str]) -> None:
        """A PDF takes its time: go on drawing meanwhile, and heed no key."""
        self.say("writing ...")
        self.heeding.deaf = True
        self.run_worker(self._write(typed))

    async def _write(self, typed: dict[str, str]) -> None:
        try:
            await self.settle(asyncio.to_thread(self.door.write, typed))
        finally:
            self.heeding.hear_again()
