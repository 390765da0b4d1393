"""Attach the file that a logger wrote: it is read, judged and recorded as it is; what it leaves open is asked."""

from collections.abc import Sequence

from traveler.chart.unclear import Unclear
from traveler.report.words import visible
from traveler.tui.entered import FieldFault, Told
from traveler.tui.screens.charts import charts_of
from traveler.tui.screens.form import Form
from traveler.tui.session import Session
from traveler.tui.widgets.field import Field, TextField

LOGGED_KINDS = ("preheat", "weld")


class AttachChart(Form):
    """A chart for one step. The fields that most files need come first."""

    statement = "The file is recorded as it is, complying or not."

    def __init__(self, session: Session, number: str, step_number: int) -> None:
        self.number = number
        self.step_number = step_number
        traveler = session.job(number)
        self.kind = next((s["kind"] for s in traveler["steps"] if s["number"] == step_number), "")
        self.earlier = [c["chart"] for c in charts_of(traveler, step_number) if not c["superseded"]]
        self.question: Unclear | None = None
        super().__init__(session, f"attach {number} {step_number}", number)

    def make_fields(self) -> Sequence[Field]:
        """The file, what its columns are, when what happened, and what stands in place of what."""
        fields = [
            TextField("file", "File", "path of the CSV or text file on this machine"),
            TextField(
                "couples", "Part couples", "names of the columns, with commas; empty: every one of them"
            ),
            TextField("furnace", "Furnace couple", "name of its column; empty: none"),
            TextField("spares", "Spares", "such as TC5=TC4, with commas"),
        ]
        if self.kind in LOGGED_KINDS:
            fields.append(TextField("arcs", "Arcs started", "run=time, such as 1=10:02, 2=10:09"))
        else:
            out = "when the cover came off" if self.kind == "hydrogen release" else "when the part came out"
            fields.append(TextField("loaded", "Loaded at", "when the part went in; empty: not marked"))
            fields.append(TextField("out", "Out at", f"{out}; empty: not marked"))
        fields += [
            TextField("uncertainty", "Uncertainty", "of a couple with its recorder, such as 10 F°"),
            TextField("mapping", "Mapping file", "a TOML file that says how to read it; usually empty"),
            TextField("answer", "Answer", "to what the file leaves open; asked when it is read"),
        ]
        if self.earlier:
            fields.append(TextField("instead_of", "Instead of", "chart that was read wrongly, by its number"))
            fields.append(TextField("because", "Because", "why it was read wrongly"))
        return fields

    def reload(self) -> None:
        """Name the step."""
        self.set_heading("Attach a chart", f"{visible(self.number)} step {self.step_number}")
        super().reload()

    def matter(self) -> list[str]:
        """What is done with the file."""
        return [
            "The columns of the part's own couples decide. Nothing is guessed: what the file leaves open is asked.",
            *self._open_question(),
        ]

    def _open_question(self) -> list[str]:
        if self.question is None:
            return []
        question = self.question.question
        offered = [f"  {visible(option)}: {visible(meaning)}" for option, meaning in question.options]
        return [f"? {visible(question.sentence)}", *offered]

    def commit(self, typed: dict[str, str]) -> Told:
        """Read, judge and record it."""
        pending = self.question.question if self.question else None
        try:
            told = self.session.attach_chart(self.number, self.step_number, self.draft_name, typed, pending)
        except Unclear as unclear:
            self.question = unclear
            self.put_values({**typed, "answer": ""})
            self.put_lines("matter", self.matter())
            raise FieldFault("answer", unclear.question.sentence) from unclear
        return told
