"""What bench mode needs to know and nothing else does: what comes next, the clock of the heat, what can be offered."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from traveler.acts.change import load_job
from traveler.acts.clock import Clock
from traveler.acts.register import register_of, shop_now
from traveler.errors import TravelerError
from traveler.job.course import Next, comes_next, missing_before, next_of, next_of_step
from traveler.job.heat_clock import HeatClock, heat_clock
from traveler.job.instrument import RECORDER, state_on
from traveler.job.lots import HEAT_NUMBER, names_lot
from traveler.job.requirement import StepPlan
from traveler.job.run_list import RunRow, run_rows
from traveler.job.state import JobState
from traveler.job.view import current_step, opened_traveler
from traveler.record.shop import Shop
from traveler.report.words import visible
from traveler.tui.keyboard import Keyboard
from traveler.tui.wording import requirement_key

Json = Mapping[str, Any]
WELDER = "welder"
LOOKED_THROUGH = 5
"""Other jobs, the ones written to last, whose words are offered again."""
OFFERED_WORDS = 6


@dataclass(frozen=True, slots=True)
class BenchLook:
    """A step as bench mode shows it at one instant. ``nexts`` by the key of a requirement; ``at`` the key of the one
    that is entered next, None where nothing is left to enter and ``of_step`` holds; ``following`` the next step to do,
    None at the end."""

    traveler: Json
    step: Json
    nexts: Mapping[str, Next]
    at: str | None
    of_step: Next
    clock: HeatClock | None
    runs: tuple[RunRow, ...]
    following: int | None
    now: datetime

    def requirement(self, key: str | None) -> Json | None:
        """The requirement of that key."""
        return next((r for r in self.step["requirements"] if requirement_key(r) == key), None)


@dataclass(frozen=True, slots=True)
class OfferedInstrument:
    """An instrument that can be named, and what is to be known of it: "T1 contact pen, in calibration"."""

    name: str
    words: str


@dataclass(frozen=True, slots=True)
class OfferedPerson:
    """Somebody of the register by the id, and what is to be known of them: "Ann Bell, welder"."""

    id: str
    words: str


class BenchDoor:
    """Looks at one shop for bench mode; it writes nothing."""

    def __init__(self, shop: Shop, clock: Clock, keyboard: Keyboard) -> None:
        self._shop = shop
        self._clock = clock
        self._keyboard = keyboard

    def now(self) -> datetime:
        """The present instant."""
        return shop_now(self._shop, self._clock)

    def step_to_do(self, number: str) -> int | None:
        """The first step that nobody signed as performed, else the one at which the job stands; None at the end."""
        state = load_job(self._shop, number)
        undone = next((step for step in state.plan.steps if not _done(state, step)), None)
        step = undone or current_step(state)
        return None if step is None else step.number

    def look(self, number: str, step_number: int) -> BenchLook:
        """A step at this instant. Raises TravelerError where a revision dropped it."""
        state, now = load_job(self._shop, number), shop_now(self._shop, self._clock)
        step = state.step(step_number)
        if step is None:
            raise TravelerError(f"step {step_number} is no longer on this traveler")
        traveler = opened_traveler(state, now)
        shown = next(entry for entry in traveler["steps"] if entry["number"] == step_number)
        keys = {
            id(r): requirement_key(o) for r, o in zip(step.requirements, shown["requirements"], strict=True)
        }
        coming = comes_next(state, step, now)
        later = (s.number for s in state.plan.steps if s.number > step_number and not _done(state, s))
        return BenchLook(
            traveler=traveler,
            step=shown,
            nexts={keys[id(r)]: next_of(state, step, r, now) for r in step.requirements},
            at=None if coming is None else keys[id(coming)],
            of_step=next_of_step(state, step, now),
            clock=_clock_of(state, step),
            runs=run_rows(state, step),
            following=next(later, None),
            now=now,
        )

    def missing_before(self, number: str, step_number: int, requirement: Json, run: int | None) -> str:
        """What is not shown of the run (None: the next) that a reading of this requirement lays; empty where nothing is
        missing."""
        state = load_job(self._shop, number)
        step = state.step(step_number)
        key = (requirement["quantity"], requirement["joint"])
        asked = [r for r in step.requirements if (r.quantity, r.joint) == key] if step else []
        return missing_before(state, step, asked[0], run) if step and asked else ""

    def places(self, number: str, step_number: int, requirement: Json) -> list[str]:
        """Where it may be read: the places where it was read last in this job, then each member of the joint; of a
        step that heats the whole part, those of its joints. Where several readings are asked for, first the members
        that were not read yet.
        """
        state = load_job(self._shop, number)
        step = state.step(step_number)
        joints = [requirement["joint"]] if requirement["joint"] or step is None else step.joints
        members = [place for joint in joints for place in _member_places(state, joint)]
        used = [
            reading.place
            for reading in reversed(state.readings)
            if reading.place and reading.key[1:] == (requirement["quantity"], requirement["joint"])
        ]
        several = requirement["evidence"]["readings"] > 1
        fresh = [place for place in members if several and not _was_read(place, used)]
        return _each_once([*fresh, *used, *members])[:9]

    def instruments(self, requirement: Json) -> list[OfferedInstrument]:
        """The instruments of the register that a requirement admits, else the kinds that it asks for."""
        asked = requirement["evidence"]["instruments"]
        kinds = {*asked, RECORDER} if "thermocouple" in asked else set(asked)
        register = register_of(self._shop)
        known = [
            OfferedInstrument(entry.id, self.instrument_words(entry.id))
            for entry in register.instruments
            if (entry.type in kinds or not kinds) and state_on(entry, self.now()) != "withdrawn"
        ]
        return known or [OfferedInstrument(kind, visible(kind)) for kind in asked]

    @property
    def keyboard(self) -> Keyboard | None:
        """Who is at the keyboard; None in a shop without registered people, where a name is as it was stated."""
        return self._keyboard if register_of(self._shop).people else None

    def people(self) -> list[OfferedPerson]:
        """Who may be at the keyboard by the register, the welders first."""
        known = [entry for entry in register_of(self._shop).people if not entry.disabled]
        known.sort(key=lambda entry: WELDER not in entry.roles)
        return [OfferedPerson(e.id, f"{visible(e.name)}, {', '.join(e.roles) or 'no role'}") for e in known]

    def names_instrument(self, requirement: Json) -> bool:
        """Whether a reading shows nothing here unless it names an instrument of the register."""
        asked = set(requirement["evidence"]["instruments"])
        return requirement["type"] == "number" and any(
            entry.type in asked or (entry.type == RECORDER and "thermocouple" in asked)
            for entry in register_of(self._shop).instruments
        )

    def last_instrument(self, number: str, requirement: Json) -> str:
        """The instrument that was used last in this job for the same quantity, else for what takes the same kinds."""
        state = load_job(self._shop, number)
        asked = requirement["evidence"]["instruments"]
        alike = {
            (step.number, r.quantity, r.joint)
            for step in state.plan.steps
            for r in step.requirements
            if r.quantity == requirement["quantity"] or (asked and list(r.evidence.instruments) == asked)
        }
        used = [reading for reading in state.readings if reading.instrument and reading.key in alike]
        if not used:
            return ""
        frozen = used[-1].instrument_state
        return frozen.instrument if frozen is not None else str(used[-1].instrument)

    def instrument_words(self, name: str, *, short: bool = False) -> str:
        """An instrument with how its calibration stands: "T1 contact pen, overdue"; by its name where unregistered.

        ``short``: by its id alone, "T1 overdue".
        """
        entry = next((e for e in register_of(self._shop).instruments if e.id == name), None)
        if entry is None:
            return visible(name)
        state = state_on(entry, self.now())
        return f"{entry.id} {state}" if short else f"{visible(entry.id)} {visible(entry.name)}, {state}"

    def words_used(self, number: str, requirement: Json) -> list[str]:
        """Words to offer for a text: what complies, what was used in this job, lots of the register, other jobs."""
        state = load_job(self._shop, number)
        offered = [*requirement["accepts"], *_texts(state, requirement["quantity"])]
        if requirement["quantity"] == WELDER:
            offered += self._welders()
        offered += self._lots(state, requirement)
        # A heat number is read off the piece at hand; one of another job is never proposed for it.
        if not requirement["quantity"].startswith(HEAT_NUMBER):
            for row in self._shop.board_reader.newest(LOOKED_THROUGH):
                if row.number != number:
                    offered += _texts(load_job(self._shop, row.number), requirement["quantity"])
        return _each_once(offered)[:OFFERED_WORDS]

    def _welders(self) -> Iterator[str]:
        """Who is at the keyboard, then the welders of the register."""
        yield self._keyboard.person.name
        for person in register_of(self._shop).people:
            if "welder" in person.roles and not person.disabled:
                yield person.name

    def _lots(self, state: JobState, requirement: Json) -> Iterator[str]:
        """Numbers of the lots of the register that are of the filler or the grade that the sheet names."""
        what = names_lot(requirement["quantity"])
        if what is None:
            return
        rows = state.plan.fillers if what == "filler" else state.plan.materials
        wanted = requirement["quantity"].removeprefix(HEAT_NUMBER)
        if what == "filler":
            wanted = next(
                (dict(j)["filler"] for j in state.plan.joints if dict(j)["id"] == requirement["joint"]), ""
            )
        row = next((dict(row) for row in rows if dict(row)["id"] == wanted), {})
        for lot in reversed(register_of(self._shop).lots):
            if lot.what == what and lot.name in row.values():
                yield lot.heat or lot.id


def _done(state: JobState, step: StepPlan) -> bool:
    signed = state.performed_of(step.number)
    return bool(signed) and signed[-1].moment.seq > state.reworked_at(step.number)


def _clock_of(state: JobState, step: StepPlan) -> HeatClock | None:
    """The clock of the joint that a step heats or welds; none once the step is signed."""
    if step.kind not in ("preheat", "weld") or len(step.joints) != 1 or _done(state, step):
        return None
    return heat_clock(state, step.joints[0])


def _texts(state: JobState, quantity: str) -> list[str]:
    """What was said for a quantity in a job, the last first."""
    return [
        reading.value
        for reading in reversed(state.readings)
        if reading.key[1] == quantity and reading.unit is None and not reading.superseded
    ]


def _member_places(state: JobState, joint: str | None) -> Iterator[str]:
    """A name for each member of a joint by its material, then for the other side of each."""
    ids = sorted((dict(row)["id"] for row in state.plan.materials), key=len, reverse=True)
    members = next((dict(row)["members"] for row in state.plan.joints if dict(row)["id"] == joint), "")
    named = [
        next((m for m in ids if words.startswith(f"{m} ")), words) for words in members.split("; ") if words
    ]
    places = [
        name if named.count(name) == 1 else f"{name}, member {at}" for at, name in enumerate(named, start=1)
    ]
    yield from places
    yield from (f"{place}, other side" for place in places)


def _was_read(place: str, used: list[str]) -> bool:
    """Whether one of the places is on the same member."""
    member = place.split(",")[0].casefold()
    return any(text.casefold().startswith(member) for text in used)


def _each_once(words: list[str]) -> list[str]:
    """Each once, as it stands first, whatever its case and spacing."""
    found: dict[str, str] = {}
    for word in words:
        found.setdefault(" ".join(word.split()).casefold(), word)
    return list(found.values())
