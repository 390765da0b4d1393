"""Attach the file that a logger wrote: it is read, judged and recorded as it is; what it leaves open is asked."""

from asyncio import sleep
from collections.abc import Sequence
from dataclasses import replace
from itertools import count

from traveler.acts.chart_asked import OptionFault, spoken
from traveler.chart.unclear import Unclear
from traveler.errors import TravelerError
from traveler.report.words import visible
from traveler.tui.drafts import Draft
from traveler.tui.entered import FieldFault, Told
from traveler.tui.screens.charts import charts_of
from traveler.tui.screens.form import Form
from traveler.tui.session import Session
from traveler.tui.whose import whose_fields
from traveler.tui.widgets.field import Field, TextField
from traveler.tui.wording import first_of

LOGGED_KINDS = ("preheat", "weld")
JUDGED_KINDS = ("stress relief", "hydrogen release")
MOST_OFFERED = 4
"""Answers that are named once more beneath the field; all of them stand above the fields."""
TIME_TO_PAINT_S = 0.05
_ANSWERS = count()


class AttachChart(Form):
    """A chart for one step. The fields that most files need come first.

    Answers belong to one file and to the form that asked: another file, another mapping and a form that was left are
    asked anew, so that a wrong answer can be taken back and none is taken for what it did not answer.
    """

    PURPOSE = (
        "The file that a logger wrote is kept with the step and judged. Say which columns are couples on "
        "the part and, where the file leaves something open, answer what is asked."
    )

    statement = "The file is recorded as it is, complying or not."

    def __init__(self, session: Session, number: str, step_number: int) -> None:
        self.number = number
        self.step_number = step_number
        traveler = session.job(number)
        self.whose = whose_fields(traveler, step_number)
        self.kind = next((s["kind"] for s in traveler["steps"] if s["number"] == step_number), "")
        self.earlier = [c["chart"] for c in charts_of(traveler, step_number) if not c["superseded"]]
        self.is_read = self.kind in LOGGED_KINDS + JUDGED_KINDS
        if not self.is_read:
            self.statement = "The file is kept with the step as it is."
        super().__init__(session, f"attach {number} {step_number}", number)
        self.about = ("", "")
        self._forget_answers()

    def _forget_answers(self) -> None:
        self.question: Unclear | None = None
        self.answered: list[str] = []
        self.answers_name = f"{self.draft_name} {next(_ANSWERS)}"

    def draft(self) -> Draft:
        """About the step."""
        return replace(super().draft(), words="Attach a chart", form="attach", step=self.step_number)

    def make_fields(self) -> Sequence[Field]:
        """The file, what its columns are, when what happened, and what stands in place of what."""
        fields: list[Field] = [
            TextField("file", "File", "path of the CSV or text file on this machine, such as logs/run7.csv")
        ]
        if not self.is_read:
            return fields
        fields += [
            TextField(
                "couples", "Part couples", "names of the columns, with commas; empty: every one of them"
            ),
            TextField(
                "furnace", "Furnace", "name of the furnace couple's column, such as Furnace; empty: none"
            ),
            TextField("spares", "Spares", "such as TC5=TC4, with commas"),
        ]
        if self.kind in LOGGED_KINDS:
            fields.append(TextField("arcs", "Arcs started", "run=time, such as 1=10:02, 2=10:09"))
        else:
            out = "when the cover came off" if self.kind == "hydrogen release" else "when the part came out"
            fields += [
                TextField("loaded", "Loaded at", "when the part went in, such as 10:02; empty: not marked"),
                TextField("out", "Out at", f"{out}; empty: not marked"),
                TextField("uncertainty", "Uncertainty", "of a couple with its recorder, such as 10 F°"),
            ]
        fields += self.whose
        fields += [
            TextField("mapping", "Mapping file", "a TOML file that says how to read it; usually empty"),
            TextField("answer", "Answer", "to what the file leaves open; asked when it is read"),
        ]
        if self.earlier:
            fields.append(
                TextField("instead_of", "Instead of", "chart that was read wrongly, by its number, such as 2")
            )
            fields.append(
                TextField("because", "Because", "why it was read wrongly, such as: columns swapped")
            )
        return fields

    def reload(self) -> None:
        """Name the step."""
        self.set_heading("Attach a chart", f"{visible(self.number)} step {self.step_number}")
        super().reload()

    def matter(self) -> list[str]:
        """What is asked; where nothing is, what is done with the file."""
        answered = [f"Answered: {visible('; '.join(self.answered))}"] if self.answered else []
        if self.question is None:
            return [self._what_is_done(), *answered]
        question = self.question.question
        offered = [
            f"  {visible(spoken(question, option))}: {visible(meaning)}"
            for option, meaning in question.options
        ]
        return [f"? {visible(question.sentence)}", *offered, *answered]

    def _what_is_done(self) -> str:
        if self.kind in JUDGED_KINDS:
            return (
                "The columns of the part's own couples decide. Nothing is guessed: what the file leaves open is "
                "asked."
            )
        if self.kind in LOGGED_KINDS:
            return (
                "Read at the times at which the arcs were started; without one the file is kept and not read."
            )
        return "On this step a chart is not read: nothing on it has to be kept within limits."

    async def action_commit(self) -> None:
        """As in every form; a long file takes seconds, in which nothing is painted, so that it is said before."""
        self.say("the file is being read ...")
        await sleep(TIME_TO_PAINT_S)
        await super().action_commit()

    def commit(self, typed: dict[str, str]) -> Told:
        """Read, judge and record it."""
        about = (typed["file"].strip(), typed.get("mapping", "").strip())
        if about != self.about:
            self._forget_answers()
        self.about = about
        pending = self.question.question if self.question else None
        try:
            told = self.session.attach_chart(self.number, self.step_number, self.answers_name, typed, pending)
        except FieldFault:
            raise
        except Unclear as unclear:
            self._settle(typed, unclear)
            raise FieldFault("answer", f"asked above{_offered(unclear)}") from unclear
        except OptionFault as fault:
            self._settle(typed, None)
            raise FieldFault(fault.option, str(fault)) from fault
        except TravelerError:
            self._settle(typed, None)
            raise
        if not told.recorded:
            return told
        first = f"; {first_of(told.reasons)}" if told.reasons else ""
        return replace(told, words=f"{told.words}{first}", reasons=())

    def _settle(self, typed: dict[str, str], following: Unclear | None) -> None:
        """The question at hand was answered; what is asked next, if anything."""
        if self.question is not None:
            self.answered.append(f"{self.question.question.key.replace('_', ' ')} {typed['answer'].strip()}")
        self.question = following
        if "answer" in typed:
            self.put_values({**typed, "answer": ""})
        self.put_lines("matter", self.matter())


def _offered(unclear: Unclear) -> str:
    question = unclear.question
    words = [visible(spoken(question, option)) for option, _ in question.options]
    return f": {' or '.join(words)}" if 0 < len(words) <= MOST_OFFERED else ""
