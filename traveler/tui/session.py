"""The one door between the screens and everything else: the shop's file, the clock and the person at the keyboard."""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, TypeVar

from traveler.acts import readings, sign
from traveler.acts.change import Outcome, load_job
from traveler.acts.clock import Clock, when
from traveler.acts.look import look
from traveler.acts.readings import NewReading
from traveler.acts.typed import printable
from traveler.chart.model import Question
from traveler.chart.model import Told as SaidOfFile
from traveler.errors import BadInput, TravelerError
from traveler.job.gate import JobAct, RetryHeat, may
from traveler.job.state import Person
from traveler.job.view_requirement import reading_object
from traveler.quantity.parse import QuantityError, parse_quantity, unit
from traveler.quantity.show import show_both
from traveler.quantity.units import Kind
from traveler.record.shop import BoardRow, Shop

Json = dict[str, Any]
T = TypeVar("T")

HOTTEST_C = Fraction(1500)  # about where steel melts; no reading of this work is above it
COLDEST_C = Fraction(-30)  # colder than a shop in which anybody welds


@dataclass(frozen=True, slots=True)
class Told:
    """What came of an act: written or not, complying or not, in a sentence, with the reasons behind it."""

    recorded: bool
    complies: bool
    words: str
    reasons: tuple[str, ...] = ()

    @property
    def sentence(self) -> str:
        """The words and the reasons in one line."""
        return f"{self.words}; still open: {'; '.join(self.reasons)}" if self.reasons else self.words


class FieldFault(BadInput):
    """What was typed into one field of a form cannot be used; ``field`` names it."""

    def __init__(self, field: str, words: str) -> None:
        super().__init__(words)
        self.field = field


class Session:
    """Jobs as objects to show, and the acts of one person on one shop file.

    ``drafts`` keeps what was typed into a form and not recorded, by the form's name, until the program ends.
    """

    def __init__(self, shop: Shop, clock: Clock, person: Person) -> None:
        self._shop = shop
        self._clock = clock
        self.person = person
        self.drafts: dict[str, dict[str, str]] = {}
        self._answers: dict[str, SaidOfFile] = {}
        self._without_routes: dict[tuple[str, int], str] = {}
        self._version = shop.data_version()

    @property
    def file_name(self) -> str:
        """Name of the shop's file, without its folder."""
        return self._shop.path.name

    def board(self) -> list[BoardRow]:
        """The jobs, the one written to last first."""
        return self._shop.board()

    def job(self, number: str) -> Json:
        """The traveler object of a job as it stands now."""
        return look(self._shop, self._clock, number)

    def changed(self) -> bool:
        """Whether another program has written to the shop's file since this was last asked."""
        version = self._shop.data_version()
        changed = version != self._version
        self._version = version
        return changed

    def record(self, number: str, step: int, requirement: Json, typed: dict[str, str]) -> Told:
        """Record a reading from the fields value, place, instrument, run and at. Raises FieldFault."""
        _in_field("at", lambda: when(typed.get("at"), self._clock.now()))
        entered = NewReading(
            step=step,
            quantity=requirement["quantity"],
            value=typed["value"],
            joint=requirement["joint"],
            place=_in_field("place", lambda: printable(typed.get("place"), "place")),
            run=whole_number("run", typed.get("run", "")),
            instrument=_in_field("instrument", lambda: printable(typed.get("instrument"), "instrument")),
            at=typed.get("at") or None,
        )
        outcome = _in_field(
            "value", lambda: readings.record_reading(self._shop, self._clock, self.person, number, entered)
        )
        return _told_reading(outcome, "recorded")

    def attach_chart(
        self, number: str, step: int, draft: str, typed: dict[str, str], pending: Question | None
    ) -> Told:
        """Read, judge and record the file of a chart from the fields of its form. Raises FieldFault, and Unclear.

        Answers to what the file leaves open are kept under the draft's name until it is recorded.
        """
        # Brings in the reader and the judge of charts, which nothing before this needs.
        from traveler.acts.charts import attach_chart
        from traveler.tui.chart_fields import new_chart

        said = self._answers.get(draft)
        new, said = new_chart(step, typed, self._shop.path, said, pending)
        self._answers[draft] = said
        told = _told(attach_chart(self._shop, self._clock, self.person, number, new))
        self._answers.pop(draft)
        return told

    def supersede(self, number: str, reading: int, value: str | None, because: str) -> Told:
        """Correct an entry, or take it back where ``value`` is None; the entry itself stays. Raises FieldFault."""
        if not because.strip():
            raise FieldFault("because", "a reason is needed: say in words why")
        reason = _in_field("because", lambda: printable(because, "reason")) or ""
        outcome = _in_field(
            "value",
            lambda: readings.supersede(self._shop, self._clock, self.person, number, reading, value, reason),
        )
        return _told_reading(outcome, f"stands in place of reading {reading}")

    def retry(self, number: str, step: int, requirement: Json, because: str) -> Told:
        """Open another attempt of a preheat that was too cold. Raises FieldFault."""
        if not because.strip():
            raise FieldFault("because", "a reason is needed: say in words why")
        reason = _in_field("because", lambda: printable(because, "reason")) or ""
        return _told(
            readings.retry(
                self._shop,
                self._clock,
                self.person,
                number,
                step,
                requirement["quantity"],
                requirement["joint"],
                reason,
            )
        )

    def perform(self, number: str, step: int, name: str, runs: str = "") -> Told:
        """Sign a step as performed. Raises FieldFault."""
        person = named(name)
        laid = whole_number("runs", runs)
        return _told(
            _in_field("runs", lambda: sign.perform(self._shop, self._clock, person, number, step, laid))
        )

    def accept(self, number: str, step: int, name: str, content: str) -> Told:
        """Sign a step as accepted, as it was shown (``content``); refused while it does not comply."""
        return _told(sign.accept(self._shop, self._clock, named(name), number, step, content))

    def close(self, number: str, name: str) -> Told:
        """Close a job; refused while a step is not accepted."""
        # Brings in the planning and the library, which nothing before this needs.
        from traveler.acts import issue

        return _told(issue.close(self._shop, self._clock, named(name), number))

    def routes(self, traveler: Json, joint: str) -> Json:
        """The routes object of one joint, worked out now from the sheet of the job's present revision.

        Raises TravelerError; ``why_not_routes`` then says the same until the job is revised.
        """
        # Brings in the planning and the library, which nothing before this needs.
        from traveler.acts.routes import weigh_job_routes

        try:
            return weigh_job_routes(self._shop, traveler["job"], joint)
        except TravelerError as error:
            self._without_routes[traveler["job"], traveler["revision"]] = str(error)
            raise

    def why_not_routes(self, traveler: Json) -> str:
        """What is known to stand against weighing the routes of a job; empty where nothing is."""
        return self._without_routes.get((traveler.get("job", ""), traveler.get("revision", 0)), "")

    def why_not_retry(self, number: str, step: int, requirement: Json) -> tuple[str, ...]:
        """What stands against trying this requirement again; empty where it may be."""
        key = (step, requirement["quantity"], requirement["joint"])
        return may(RetryHeat(key), load_job(self._shop, number), self.person, self._clock.now()).reasons

    def why_not_close(self, number: str) -> tuple[str, ...]:
        """What stands against closing the job."""
        return may(JobAct("close"), load_job(self._shop, number), self.person, self._clock.now()).reasons


def doubt(requirement: Json, typed: str) -> str:
    """A question about a temperature that can hardly be meant; empty where there is nothing to ask."""
    if requirement["type"] != "number" or unit(requirement["unit"]).kind is not Kind.TEMPERATURE:
        return ""
    try:
        quantity = parse_quantity(typed, Kind.TEMPERATURE)
    except QuantityError:
        return ""  # the act says what is wrong with it
    if COLDEST_C <= quantity.canonical <= HOTTEST_C:
        return ""
    return f"{show_both(quantity)}, is that meant? Commit again to record it, or correct it"


def named(name: str) -> Person:
    """The person who signs. Raises FieldFault where nobody is named."""
    shown = _in_field("name", lambda: printable(name, "name"))
    if not shown:
        raise FieldFault("name", "say who signs: a name is needed")
    return Person(shown)


def whole_number(field: str, typed: str) -> int | None:
    """A whole number from a field, None where it is empty. Raises FieldFault."""
    text = typed.strip()
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and len(text) <= 6):
        raise FieldFault(field, f'"{text[:20]}" is no whole number; expected one such as 3')
    return int(text)


def _in_field(field: str, act: Callable[[], T]) -> T:
    try:
        return act()
    except BadInput as error:
        raise FieldFault(field, str(error)) from error


def _told(outcome: Outcome) -> Told:
    return Told(outcome.recorded, outcome.complies, outcome.message, outcome.reasons)


def _told_reading(outcome: Outcome, done: str) -> Told:
    """The outcome of an entry with its value in both units."""
    if outcome.reading is None:
        return _told(outcome)
    state = outcome.state
    reading = next(entry for entry in state.readings if entry.number == outcome.reading)
    _, requirement = readings.find_requirement(state, *reading.key)
    shown = reading_object(requirement, reading)["shown"]
    verdict = outcome.message.partition(": ")[2] or outcome.message
    run = f" for run {reading.run}" if reading.run else ""
    if outcome.complies:
        verdict = "within its limit" if requirement.type == "number" else "met"
    words = f"reading {outcome.reading} {done}: {shown}{run}: {verdict}"
    return Told(outcome.recorded, outcome.complies, words, outcome.reasons if outcome.complies else ())
