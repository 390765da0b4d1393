"""The forms that bench mode opens: numbers without a unit get the job's, and the usual reason stands there already."""

from collections.abc import Mapping, Sequence
from typing import Any

from traveler.tui.bench_units import unit_taken, with_unit
from traveler.tui.entered import Told
from traveler.tui.screens.correct import Correct, TryAgain
from traveler.tui.session import Session
from traveler.tui.widgets.field import Field, TextField

Json = Mapping[str, Any]

TYPED_WRONG = "typed wrong"
READ_TOO_COLD = "read too cold, reheated"


class BenchCorrect(Correct):
    """The correction of the last reading."""

    PURPOSE = (
        "The last reading is superseded by another, with the reason. Both stay, the old one struck through."
    )

    def __init__(
        self, session: Session, number: str, step_number: int, requirement: Json, units: str
    ) -> None:
        self.units = units
        super().__init__(session, number, step_number, requirement)

    def make_fields(self) -> Sequence[Field]:
        """The same fields, the reason proposed."""
        fields = list(super().make_fields())
        taken = unit_taken(self.requirement, self.units)
        for at, field in enumerate(fields):
            if field.key == "because":
                fields[at] = TextField("because", field.label, field.hint, TYPED_WRONG)
            elif field.key == "value" and taken:
                field.hint = f"in {taken}; {field.hint}"
        return fields

    def doubt(self, typed: dict[str, str]) -> tuple[str, str] | None:
        """As on the form, with the unit."""
        return super().doubt(self._with_unit(typed))

    def commit(self, typed: dict[str, str]) -> Told:
        """As on the form, with the unit."""
        return super().commit(self._with_unit(typed))

    def _with_unit(self, typed: dict[str, str]) -> dict[str, str]:
        value = typed["value"].strip()
        return {**typed, "value": with_unit(self.requirement, self.units, value)}


class BenchTryAgain(TryAgain):
    """A preheat that was too cold is heated again."""

    PURPOSE = "A preheat that was too cold is heated again: the next attempt begins, and the cold one stays."

    def make_fields(self) -> Sequence[Field]:
        """The reason, proposed."""
        (because,) = super().make_fields()
        return (TextField("because", because.label, because.hint, READ_TOO_COLD),)
