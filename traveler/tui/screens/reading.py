"""Record a reading: its value with the unit, where and with what it was taken, and when."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from traveler.quantity.parse import EXPECTED, unit
from traveler.report.requirement_words import evidence_words, verdict_words
from traveler.report.words import visible
from traveler.tui.drafts import Draft
from traveler.tui.entered import Told
from traveler.tui.plausible import doubt, other_unit
from traveler.tui.screens.form import Form
from traveler.tui.session import Session
from traveler.tui.whose import whose_fields
from traveler.tui.widgets.field import ChoiceField, Field, TextField
from traveler.tui.wording import limit_line, requirement_key

Json = Mapping[str, Any]

STILL_NOW = timedelta(minutes=2)
"""For so long a reading that was half typed is still one of now; it is kept to the minute."""


class RequirementForm(Form):
    """A form about one requirement of a step; ``WORD`` is what it does."""

    WORD = ""

    def __init__(self, session: Session, number: str, step_number: int, requirement: Json) -> None:
        self.number = number
        self.step_number = step_number
        self.requirement = requirement
        super().__init__(session, f"{self.WORD} {number} {requirement_key(requirement)}", number)

    @property
    def doing(self) -> str:
        """What is done, with the quantity and the joint."""
        joint = self.requirement["joint"]
        of_joint = f" of {visible(joint)}" if joint else ""
        return f"{self.WORD} {visible(self.requirement['quantity'])}{of_joint}"

    def draft(self) -> Draft:
        """About this requirement."""
        about = requirement_key(self.requirement)
        return replace(super().draft(), words=self.doing, form=self.WORD, step=self.step_number, about=about)

    def reload(self) -> None:
        """Read the requirement anew, since another program may record too, and name it."""
        key = requirement_key(self.requirement)
        steps = self.session.job(self.number)["steps"]
        self.requirement = next(
            (r for step in steps for r in step["requirements"] if requirement_key(r) == key), self.requirement
        )
        self.set_heading(self.doing, f"{visible(self.number)} step {self.step_number}")
        super().reload()


class Reading(RequirementForm):
    """One reading of one requirement."""

    PURPOSE = (
        "One reading of one requirement, as it was made, complying or not. Say the value with its unit, "
        "where it was taken and with what."
    )

    WORD = "Record"

    def make_fields(self) -> Sequence[Field]:
        """Value, place, run where runs are counted, instrument where one is read, and when."""
        requirement = self.requirement
        fields: list[Field] = [value_field(requirement, "Value")]
        if requirement["type"] == "number":
            fields.append(TextField("place", "Place", "where it was read: plate, near edge"))
        if requirement["evidence"]["per_run"]:
            fields.append(
                TextField("run", "Run", "number of the run; empty: the next one", placeholder="next")
            )
        if requirement["type"] == "number":
            hint = self.session.instruments(requirement)
            fields.append(TextField("instrument", "Instrument", hint, self._last_instrument()))
        fields += whose_fields(self.session.job(self.number), self.step_number)
        fields.append(TextField("at", "When", "empty: now; else such as 2026-03-14T14:30", placeholder="now"))
        return fields

    def _last_instrument(self) -> str:
        readings = [r for r in self.requirement["readings"] if r["instrument"]]
        return str(readings[-1]["instrument"]) if readings else ""

    def brought_back(self, values: dict[str, str], typed_at: datetime, now: datetime) -> dict[str, str]:
        """An empty time meant the time at which it was typed, and that is not now any more."""
        if values.get("at", "").strip() or now - typed_at < STILL_NOW:
            return values
        return {**values, "at": typed_at.astimezone(now.tzinfo).isoformat(timespec="minutes")}

    def matter(self) -> list[str]:
        """Limit, how the requirement stands, and where to read."""
        return [
            limit_line(self.requirement),
            f"So far: {verdict_words(self.requirement)}",
            f"Shown by: {evidence_words(self.requirement)}",
        ]

    def doubt(self, typed: dict[str, str]) -> tuple[str, str] | None:
        """A value that can hardly be meant is asked about once, and so is a run that is laid too soon."""
        question = doubt(self.requirement, typed["value"]) or self._too_soon(typed)
        return ("value", question) if question else None

    def _too_soon(self, typed: dict[str, str]) -> str:
        """What a run lacks is asked for while it can still be shown; a number that is none is refused later."""
        run = typed.get("run", "").strip()
        if not self.requirement["evidence"]["per_run"] or (run and not run.isdecimal()):
            return ""
        missing = self.session.bench.missing_before(
            self.number, self.step_number, self.requirement, int(run) if run else None
        )
        return f"{missing}: record that first. Commit again to record the run without it" if missing else ""

    def commit(self, typed: dict[str, str]) -> Told:
        """Record it."""
        return self.session.record(self.number, self.step_number, self.requirement, typed)


def value_field(requirement: Json, label: str) -> Field:
    """The field that takes a value of this requirement: a choice, words, or a number with its unit."""
    if requirement["type"] == "choice":
        return ChoiceField("value", label, "a digit picks, or the arrows", requirement["options"])
    if requirement["type"] == "text":
        return TextField("value", label, "in words")
    expected = EXPECTED[unit(requirement["unit"]).kind]
    return TextField("value", label, expected, beside=lambda typed: other_unit(requirement, typed))
