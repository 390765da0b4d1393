"""Two ways to put something right: supersede a wrong entry, or try a cold preheat again. Both need a reason."""

from collections.abc import Mapping, Sequence
from typing import Any

from traveler.report.requirement_words import reading_words, verdict_words
from traveler.tui.entered import FieldFault, Told, whole_number
from traveler.tui.plausible import doubt
from traveler.tui.screens.reading import RequirementForm, value_field
from traveler.tui.screens.step import standing
from traveler.tui.widgets.field import Field, TextField
from traveler.tui.wording import limit_line

Json = Mapping[str, Any]


class Correct(RequirementForm):
    """A typing error is superseded: the entry stays, marked, and the new value counts in its place."""

    PURPOSE = (
        "A wrong entry is superseded by a right one or taken back, with the reason. The wrong one stays in "
        "the record and no longer counts."
    )

    WORD = "Correct"

    def make_fields(self) -> Sequence[Field]:
        """Which reading, what it should have been, and why."""
        latest = str(standing(self.requirement)[-1]["reading"])
        value = value_field(self.requirement, "Right value")
        value.hint = f"{value.hint}; empty takes the reading back"
        fields = [
            TextField("reading", "Reading", "number of the reading that is wrong, such as 3", latest),
            value,
            TextField("because", "Because", "the reason, such as: read 312, typed 213"),
        ]
        if self.requirement["type"] == "number":
            hint = "where that was wrong; with it alone the value stays"
            fields.append(TextField("instrument", "Instrument", hint))
        return fields

    def matter(self) -> list[str]:
        """The readings that stand, and that the wrong one stays."""
        lines = [
            reading_words(reading, attempts=False, brief=False) for reading in standing(self.requirement)
        ]
        return [
            *lines,
            "For typing errors only: the wrong entry stays on record, marked as superseded, with the reason.",
        ]

    def doubt(self, typed: dict[str, str]) -> tuple[str, str] | None:
        """Taking a reading back is asked about once, and a value that can hardly be meant."""
        if not typed["value"].strip():
            if typed.get("instrument", "").strip():
                return None
            return (
                "value",
                f"nothing is put in its place: reading {typed['reading']} is taken back; commit again",
            )
        question = doubt(self.requirement, typed["value"])
        return ("value", question) if question else None

    def commit(self, typed: dict[str, str]) -> Told:
        """Supersede it."""
        reading = whole_number("reading", typed["reading"])
        if reading is None or reading not in [entry["reading"] for entry in standing(self.requirement)]:
            raise FieldFault("reading", "expected the number of a reading listed above")
        return self.session.supersede(self.number, reading, typed)


class TryAgain(RequirementForm):
    """A preheat that was too cold is made again: the next attempt counts, the cold one stays on record."""

    PURPOSE = (
        "The preheat was too cold and the part is heated again: another attempt begins, with the reason. "
        "What was read before stays in the record."
    )

    WORD = "Try again"

    def make_fields(self) -> Sequence[Field]:
        """Why it is made again."""
        return (TextField("because", "Because", "the reason, such as: torch ran out, heated again"),)

    def matter(self) -> list[str]:
        """What was too cold."""
        return [
            limit_line(self.requirement),
            f"So far: {verdict_words(self.requirement)}",
            f"Attempt {self.requirement['attempts'] + 1} is opened; heat the joint and read anew. The readings of "
            "the attempt before stay on record.",
        ]

    def commit(self, typed: dict[str, str]) -> Told:
        """Open the next attempt."""
        return self.session.retry(self.number, self.step_number, self.requirement, typed)
