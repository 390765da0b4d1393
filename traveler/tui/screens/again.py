"""Make a part again: what of the old job stays is asked once, then the pages of a new job take the new heats."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, ClassVar

from textual.binding import BindingType

from traveler.errors import TravelerError
from traveler.job.again import Asked
from traveler.job.sheet_write import Entered
from traveler.report.words import visible
from traveler.tui.compare_wording import comparison_lines, counted_words
from traveler.tui.drafts import Draft
from traveler.tui.entered import FieldFault, Told, in_field, said
from traveler.tui.keys import commit
from traveler.tui.screens.form import Form
from traveler.tui.screens.working import TextPage
from traveler.tui.session import Session
from traveler.tui.widgets.field import ChoiceField, Field, TextField
from traveler.tui.widgets.offers import OfferField

Json = Mapping[str, Any]

NEW_HEAT, SAME_HEAT = "another heat", "the same heat"
NEW_LOT, SAME_LOT = "another lot", "the same lot"
BEGUN = "a new job is begun and not issued; {commit} again to put this one in its place"


class MakeAgain(Form):
    """``number`` is the job that is made again."""

    PURPOSE = (
        "Make the part of this job again under a new number. What was true of one heat or lot alone is asked "
        "anew on the pages that follow; all else stays as it was."
    )

    BINDINGS: ClassVar[list[BindingType]] = [commit("Go on")]

    def __init__(self, session: Session, number: str) -> None:
        self.number = number
        self.door = session.new_jobs
        self.asks = self.door.asked_again(number)
        super().__init__(session, f"make {number} again")

    def draft(self) -> Draft:
        """About the job."""
        return replace(super().draft(), words="Make it again", form="again", job=self.number)

    def make_fields(self) -> Sequence[Field]:
        """The new number; of each metal and filler whether it is of the same heat or lot; measured sizes."""
        fields: list[Field] = [
            TextField("number", "Number", "of the new job, once in a shop", self.door.proposed_number())
        ]
        for name, new, same in (("materials", NEW_HEAT, SAME_HEAT), ("fillers", NEW_LOT, SAME_LOT)):
            for at, entry in enumerate(self.asks[name]):
                of = f"{same}: {visible(entry['of'])}" if entry["of"] else same
                fields.append(_choice(f"{name}{at}", entry["id"], f"of which heat or lot? {of}", (new, same)))
        for at, entry in enumerate(self.asks["dimensions"]):
            hint = "measured at the inspection; as nominal it is what the next part is made to"
            options = (f"nominal {entry['nominal']}", f"as built {entry['measured']}")
            fields.append(_choice(f"dimension{at}", entry["id"], hint, options))
        return fields

    def reload(self) -> None:
        """Name the job."""
        self.set_heading(f"Make {visible(self.number)} again")
        super().reload()

    def matter(self) -> list[str]:
        """What becomes of it."""
        return [
            "Heat number, certificate, analysis and lot are asked anew, the old ones beside. What is not said "
            "counts as the worst case of the grade.",
            "The differences are shown before anything is issued.",
        ]

    def doubt(self, typed: dict[str, str]) -> tuple[str, str] | None:
        """A job that is under way is put away only when asked twice."""
        if not self.door.begun:
            return None
        return "number", BEGUN.format(commit=self.key_of("form.commit"))

    def commit(self, typed: dict[str, str]) -> Told:
        """Nothing is recorded by it."""
        return Told(False, True, "nothing was issued")

    async def begin(self, typed: dict[str, str]) -> None:
        """Make the sheet and go on with its first page of a metal or filler that is not the same."""
        from traveler.tui.screens.sheet_page import SheetPage
        from traveler.tui.screens.sheet_review import SheetReview

        try:
            entered = self._made(typed)
        except FieldFault as fault:
            self._fault(fault.field, str(fault))
            return
        except TravelerError as error:
            self.say(str(error), alarm=True)
            return
        self.recorded = True
        self.keep_draft()
        page = self.door.page_again(entered, "")
        self.door.keep(entered, page or "job")
        if page:
            await self.app.switch_screen(SheetPage(self.session, entered, page))
        else:
            await self.app.switch_screen(SheetReview(self.session, entered, first=True))

    def _made(self, typed: dict[str, str]) -> Entered:
        number = said(typed, "number", "the new job needs a number")
        same = [
            entry["id"]
            for name, word in (("materials", SAME_HEAT), ("fillers", SAME_LOT))
            for at, entry in enumerate(self.asks[name])
            if typed[f"{name}{at}"] == word
        ]
        built = [
            entry["id"]
            for at, entry in enumerate(self.asks["dimensions"])
            if typed[f"dimension{at}"].startswith("as built ")
        ]
        asked = Asked(number, tuple(same), tuple(built))
        try:
            return in_field("number", lambda: self.door.again(self.number, asked))
        except FieldFault:
            raise
        except TravelerError as error:
            raise FieldFault("number", str(error)) from error


def _choice(key: str, label: str, hint: str, options: tuple[str, ...]) -> ChoiceField:
    field = ChoiceField(key, visible(label), hint, options)
    field.put(options[0])
    return field


class CompareWith(Form):
    """Asks which job. Nothing is recorded by it; what it returns is the number."""

    PURPOSE = (
        "Lay another job beside this one: which limits and steps differ, and what on the sheets makes it so."
    )

    BINDINGS: ClassVar[list[BindingType]] = [commit("Compare")]

    def __init__(self, session: Session, traveler: Json) -> None:
        self.traveler = traveler
        self.offers = session.new_jobs.other_jobs(traveler)
        self.made_from = (traveler["made_from"] or {}).get("job", "")
        super().__init__(session, f"compare {traveler['job']}")

    def draft(self) -> Draft:
        """About the job."""
        return replace(super().draft(), words="Compare", form="compare", job=self.traveler["job"])

    def make_fields(self) -> Sequence[Field]:
        """The job; the one that it was made from is proposed."""
        hint = "the earlier job: its number or a part of its title, Enter"
        return [OfferField("job", "Beside", hint, self.offers, self.made_from)]

    def reload(self) -> None:
        """Name the job."""
        self.set_heading(f"Compare {visible(self.traveler['job'])}")
        super().reload()

    def matter(self) -> list[str]:
        """What is compared."""
        return ["What this job asks otherwise than the other one, each with its reason."]

    async def action_next_field(self) -> None:
        """Names that fit are put up first; from the field it goes on."""
        await self._keys_before()
        (field,) = self.fields
        assert isinstance(field, OfferField)
        if asked := field.settle():
            self.stays_said = True
            self.set_focus(field.offer_list)
            self.say(asked)
            return
        await self.action_commit()

    def commit(self, typed: dict[str, str]) -> Told:
        """Which one."""
        number = said(typed, "job", "say which job")
        if number not in {offer.value for offer in self.offers}:
            raise FieldFault("job", "there is no other job of that number in this shop")
        return Told(True, True, number)


class Differences(TextPage):
    """``found`` is the comparison object; ``entered`` the sheet, of a job that is not issued."""

    PURPOSE = (
        "What is asked otherwise than in the job before, the stricter first, and what on the sheet makes it so. "
        "Each reason is worked out: the old sheet is planned again with that change alone."
    )

    def __init__(self, session: Session, found: Json, entered: Entered | None = None) -> None:
        super().__init__(session)
        self.found = found
        self.entered = entered

    def reload(self) -> None:
        """Both sheets are as they were when they were laid side by side."""
        found = self.found
        self.set_heading(f"{visible(found['sheet'])} beside {visible(found['job'])}", counted_words(found))
        self.put_lines("text", comparison_lines(found, self.entered))
