"""What bench mode asks, one question after the other, and what becomes of the answers."""

import asyncio
from abc import abstractmethod
from collections.abc import Mapping
from datetime import timedelta
from typing import Any, Literal

from traveler.errors import TravelerError
from traveler.job.person import Person
from traveler.job.state import ARC_ENERGY
from traveler.quantity.parse import QuantityError, echo, parse_quantity, unit
from traveler.quantity.show import show_both
from traveler.quantity.units import Kind
from traveler.report.words import visible
from traveler.tui.arc_wording import COMPLIES
from traveler.tui.bench_units import unit_taken, with_unit
from traveler.tui.bench_wording import asked_again, offer_lines
from traveler.tui.drafts import Draft
from traveler.tui.entered import FieldFault, Told, whole_number
from traveler.tui.plausible import doubt
from traveler.tui.screens.bench_page import TICK_S, BenchPage
from traveler.tui.session import Session
from traveler.tui.widgets.bench_entry import BenchEntry
from traveler.tui.wording import requirement_key

Json = Mapping[str, Any]
Asked = Literal["value", "place", "instrument", "minutes", "person", "else"]


class BenchQuestions(BenchPage):
    """Asks for a value, then where it was read where places count, and records it; an empty line offers what else
    can be done. ``asked`` is what the digits answer now."""

    def __init__(self, session: Session, number: str, step_number: int) -> None:
        super().__init__(session, number, step_number)
        self.asked: Asked = "value" if self.at is not None else "else"
        self.value = ""
        self.typed = ""
        self.doubted = ""
        self.minutes_ago = 0
        self.run_typed_for: int | None = None
        self.seen = session.events(number)
        self._words: list[str] = []
        self._places: dict[str, list[str]] = {}
        self._instruments: dict[str, str] = {}

    @property
    def draft_name(self) -> str:
        """Where what was typed waits while bench mode is closed."""
        return f"Bench {self.number} {self.step_number}"

    def on_mount(self) -> None:
        """Bring back what was typed before, and let the clock run."""
        self.get_ready()
        self.entry.put("")
        super().on_mount()
        draft = self.session.drafts.get(self.draft_name)
        if draft and self.look.requirement(draft["at"]) is not None:
            self.at = draft["at"]
            self.get_ready()
            self.entry.put(draft["typed"])
            self.say("what you typed before is back; it is not recorded yet")
        self.ask("value")
        self.set_interval(TICK_S, self.tick)

    def look_again(self) -> None:
        """Reload; say who else changed the job, and where the step can no longer be read."""
        lost = ""
        try:
            self.reload()
        except TravelerError as error:
            lost = str(error)
        news = self.session.news(self.number, self.seen)
        if news:
            self.seen = self.session.events(self.number)
        if news or lost:
            self.say("; ".join(words for words in (news, lost) if words), alarm=True)
        self.refresh_bindings()

    @abstractmethod
    def what_else(self) -> list[tuple[int, str]]:
        """What else can be done now, each by its digit."""

    @abstractmethod
    async def take_else(self, typed: str) -> None:
        """Do what was picked of that."""

    def asked_lines(self) -> tuple[str, list[str]]:
        """The question, or what the digit that is typed stands for, and the numbered offers."""
        question, offers = self._question()
        typed = self.entry.text.strip()
        meant = next((words for digit, words in offers if str(digit) == typed), None)
        return (question if meant is None else f"= {visible(meant)}"), offer_lines(offers)

    def _question(self) -> tuple[str, list[tuple[int, str]]]:
        requirement = self.requirement
        if self.asked == "else" or requirement is None:
            first = "Heat again, then 4" if self.coming.retry else "What else? The digit, then Enter"
            return first, self.what_else()
        if self.asked == "place":
            return f"{self._value_shown()}: where?", self._numbered(self._places_of(requirement))
        if self.asked == "instrument":
            known = self.session.bench.instruments(requirement)
            return "Read with what?", self._numbered([entry.words for entry in known])
        if self.asked == "minutes":
            return "Read how many minutes ago?", []
        if self.asked == "person":
            return "Who is at the bench?", self._numbered(
                [entry.words for entry in self.session.bench.people()]
            )
        return self._value_asked(requirement)

    def _value_asked(self, requirement: Json) -> tuple[str, list[tuple[int, str]]]:
        if requirement["type"] != "number":
            words = "The digit, then Enter" if requirement["type"] == "choice" else "The digit, or in words"
            return words, self._numbered(self._words_of(requirement))
        ago = f", read {self.minutes_ago} min ago" if self.minutes_ago else ""
        taken = unit_taken(requirement, self.look.traveler["units"])
        if requirement["quantity"] == ARC_ENERGY:
            return f"In {taken}, or volts amps travel{ago}", []
        taken = "inches" if taken == "in" else taken
        if self.short and self.instrument:
            return f"In {taken}, {self.session.bench.instrument_words(self.instrument, short=True)}{ago}", []
        return f"Value in {taken}{ago}, then Enter", []

    @property
    def has_offers(self) -> bool:
        """Whether digits pick here and are no value."""
        requirement = self.requirement
        return self.asked != "value" or requirement is None or requirement["type"] != "number"

    def _value_shown(self) -> str:
        requirement = self.requirement
        assert requirement is not None
        try:
            return show_both(parse_quantity(self.value, unit(requirement["unit"]).kind))
        except QuantityError:
            return visible(self.value)

    def _words_of(self, requirement: Json) -> list[str]:
        return list(requirement["options"]) if requirement["type"] == "choice" else self._words

    def _places_of(self, requirement: Json) -> list[str]:
        key = requirement_key(requirement)
        if key not in self._places:
            self._places[key] = self.session.bench.places(self.number, self.step_number, requirement)
        return self._places[key]

    @staticmethod
    def _numbered(words: list[str]) -> list[tuple[int, str]]:
        return list(enumerate(words, start=1))

    def ask(self, asked: Asked) -> None:
        """Ask that next; before a value with what it is read, where that must be known and is not."""
        requirement = self.requirement
        if requirement is None or (asked == "value" and self.coming.retry):
            asked = "else"  # what is read before another attempt is open counts for nothing
        elif asked == "value" and not self.instrument and self.session.bench.names_instrument(requirement):
            asked = "instrument"
        self.asked = asked
        self.draw()

    async def action_take(self) -> None:
        """Take what was typed as the answer to what is asked."""
        await self.keys_before()
        typed = self.entry.text.strip()
        self.entry.put("")
        await self.answer(typed)
        self.run_typed_for = None
        self.keep_draft()

    async def answer(self, typed: str) -> None:
        """Take it as the answer to what is asked."""
        match self.asked:
            case "value":
                self._take_value(typed)
            case "place":
                self._take_place(typed)
            case "instrument":
                self._take_instrument(typed)
            case "minutes":
                self._take_minutes(typed)
            case "person":
                self._take_person(typed)
            case "else":
                await self.take_else(typed)

    def _take_value(self, typed: str) -> None:
        requirement = self.requirement
        if requirement is None or not typed:
            self.ask("else")
            return
        value = self._meant(requirement, typed)
        if value is None or not self._is_sure(requirement, typed, value) or self._is_of_another_run():
            return
        self.value, self.typed = value, typed
        if requirement["type"] == "number" and requirement["evidence"]["readings"] > 1:
            self.ask("place")
        else:
            self._record(requirement, "")

    def _meant(self, requirement: Json, typed: str) -> str | None:
        """The value as it will be recorded; None where the digit offers nothing."""
        if requirement["type"] == "number":
            return with_unit(requirement, self.look.traveler["units"], typed)
        return self._picked(self._words_of(requirement), typed, only=requirement["type"] == "choice")

    def _picked(self, offered: list[str], typed: str, *, only: bool = False) -> str | None:
        """The offer of that digit; other words as they were typed, unless ``only`` what is offered will do."""
        if typed.isascii() and typed.isdigit():
            if 1 <= int(typed) <= len(offered):
                return offered[int(typed) - 1]
            if only:
                self.say(f"there is no {typed}; expected 1 to {len(offered)}", alarm=True)
                return None
        return typed

    def _is_sure(self, requirement: Json, typed: str, value: str) -> bool:
        """Whether it can be read at all, and where it can hardly be meant whether it was typed twice."""
        if requirement["type"] != "number" or unit(requirement["unit"]).kind is Kind.ARC_ENERGY:
            return True
        try:
            quantity = parse_quantity(value, unit(requirement["unit"]).kind)
        except QuantityError as error:
            if typed[0].isalpha():
                return True  # what a temperature crayon did, which the act reads
            self.entry.put(typed)
            self.say(
                str(error).removeprefix(f"{echo(value)}: "), alarm=True
            )  # it stands above as it was typed
            return False
        if not doubt(requirement, value) or value == self.doubted:
            return True
        self.doubted = value
        self.say(asked_again(show_both(quantity)), alarm=True)
        return False

    def _is_of_another_run(self) -> bool:
        """Whether the run that the value was typed for was laid by somebody else meanwhile; then it is dropped."""
        meant, run = self.run_typed_for, self.coming.run
        if meant is None or meant == run:
            return False
        self.run_typed_for = None
        self.say(f"run {meant} was laid meanwhile; what is for run {run} is to be typed again", alarm=True)
        return True

    def _take_place(self, typed: str) -> None:
        requirement = self.requirement
        if requirement is None:
            return
        places = self._places_of(requirement)
        place = self._picked(places, typed, only=bool(places))
        if not place:
            if place is not None:
                self.say("where was it read? A digit, or in words", alarm=True)
            return
        if place not in places:
            places.append(place)
        self._record(requirement, place)

    def _take_instrument(self, typed: str) -> None:
        requirement = self.requirement
        if requirement is None:
            return
        names = [entry.name for entry in self.session.bench.instruments(requirement)]
        name = self._picked(names, typed, only=True)
        if not name:
            if name is not None:
                self.say("with what was it read? A digit, or in words", alarm=True)
            return
        self.instrument = self._instruments[_kinds(requirement)] = name
        self.ask("value")

    def _take_person(self, typed: str) -> None:
        people = self.session.bench.people()
        picked = self._picked([entry.id for entry in people], typed, only=True)
        entry = next((entry for entry in people if entry.id == picked), None)
        if entry is None:
            if picked is not None:
                self.say(f"who is it? A digit, 1 to {len(people)}", alarm=True)
            return
        self.session.person = Person(entry.id)
        self.say(f"what is read from now on is read by {entry.words}")
        self.ask("value")

    def _take_minutes(self, typed: str) -> None:
        try:
            self.minutes_ago = whole_number("minutes", typed) or 0
        except FieldFault as fault:
            self.say(str(fault), alarm=True)
            return
        self.ask("value")

    def _record(self, requirement: Json, place: str) -> None:
        """Record it at once; then on to what comes next."""
        complied = requirement["verdict"] in COMPLIES
        at = self.session.bench.now() - timedelta(minutes=self.minutes_ago) if self.minutes_ago else None
        typed = {
            "value": self.value,
            "place": place,
            "instrument": self.instrument if requirement["type"] == "number" else "",
            "run": str(self.coming.run or "") if requirement["evidence"]["per_run"] else "",
            "at": at.isoformat(timespec="seconds") if at else "",
        }
        try:
            told = self.session.record(self.number, self.step_number, requirement, typed)
        except TravelerError as error:
            self.ask("value")
            self.entry.put(self.typed)
            self.say(f"nothing was recorded: {error}", alarm=True)
            return
        self.value = self.typed = self.doubted = ""
        self.minutes_ago = 0
        self.say_told(told)
        if not self.could_read():
            return
        read_anew = complied and self.coming.kind == "done"
        if read_anew or self.coming.kind == "settle":
            self.ask("value")  # the other places are read anew too; a typing error is put right here
        else:
            self.go_on()

    def say_told(self, told: Told) -> None:
        """What came of it, without what is still open: that is what comes next."""
        self.seen = self.session.events(self.number)
        words = told.words if told.recorded else "; ".join((told.words, *told.reasons))
        self.say(words, alarm=not told.complies)

    def go_on(self) -> None:
        """To what comes next, by the step as it was read last."""
        self.at = self.look.at
        self.get_ready()
        self.ask("value")

    def get_ready(self) -> None:
        """Before the first value of a requirement: what is offered is numbered once, so that a digit keeps its meaning
        under the finger, and the instrument stays the one that was used last for the same kind of reading.
        """
        requirement = self.requirement
        self.instrument = ""
        if requirement is None:
            return
        if requirement["type"] == "text":
            self._words = self.session.bench.words_used(self.number, requirement)
        if requirement["type"] != "number":
            return
        self._places_of(requirement)
        known = self._instruments.get(_kinds(requirement))
        self.instrument = known or self.session.bench.last_instrument(self.number, requirement)

    def on_bench_entry_changed(self, event: BenchEntry.Changed) -> None:
        """What is half typed waits where the drafts of forms wait; of a digit that picks is said what it picks."""
        self.keep_draft()
        if not self.entry.text:
            self.run_typed_for = None
        elif self.run_typed_for is None:
            self.run_typed_for = self.coming.run
        if self.has_offers:
            self.put_asked()

    def keep_draft(self) -> None:
        """Put what is typed aside; forget an older draft where nothing is."""
        typed = self.typed or (self.entry.text if self.asked == "value" else "")
        if typed and self.at is not None:
            kept = {"at": self.at, "typed": typed}
            self.session.drafts.keep(
                Draft(self.draft_name, kept, words="Bench mode", job=self.number, step=self.step_number)
            )
        else:
            self.session.drafts.pop(self.draft_name, None)

    async def keys_before(self) -> None:
        """Wait until the entry has taken the keys pressed before this one, which may still stand in its queue."""
        taken = asyncio.Event()
        if self.entry.call_later(taken.set):
            await taken.wait()


def _kinds(requirement: Json) -> str:
    """What takes a reading: requirements that are read with the same kinds of instrument share the last one."""
    return ", ".join(requirement["evidence"]["instruments"]) or str(requirement["quantity"])
