"""A job of several steps told by events and asked through the gate, with registered people and instruments.

All names are invented. The clock goes on by a minute with each event, unless it is set.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta, timezone
from typing import Any

from judge_kit import number

from traveler.job.content import content_digest
from traveler.job.fold import ACCEPTED, ISSUED, PERFORMED, RECORDED, REVISED, SUPERSEDED, fold
from traveler.job.gate import AcceptStep, Act, Permission, may
from traveler.job.judge import JUDGE, Judgement, judge
from traveler.job.person import Person
from traveler.job.plan_json import plan_to_act
from traveler.job.requirement import Evidence, Plan, Point, Requirement, StepPlan
from traveler.job.state import ARC_ENERGY, INTERPASS, PREHEAT, JobState

START = datetime(2026, 3, 2, 8, 0, tzinfo=timezone(timedelta(hours=1)))

OLGA = Person("Olga Vance", "signed", "P1", ("owner", "inspector"))
WANDA = Person("Wanda Zoë", "signed", "P2", ("welder",))
WIM = Person("Wim Two", "signed", "P3", ("welder",))
FRANZ = Person("Franz Fitter", "signed", "P4", ("welder",))
INES = Person("Ines Okafor", "signed", "P5", ("inspector",))
EVA = Person("Eva Lindqvist", "signed", "P6", ("engineer",))
CARL = Person("Carl Kunde", "signed", "P7", ("customer",))

CONTACT = ("contact thermometer", "thermocouple")


def heat(
    name: str = PREHEAT,
    at_least: str | None = "300 degF",
    at_most: str | None = None,
    readings: int = 1,
    per_run: bool = False,
    instruments: tuple[str, ...] = CONTACT,
) -> Requirement:
    """A temperature with the instruments that it admits."""
    evidence = Evidence(readings=readings, per_run=per_run, instruments=instruments)
    return replace(number(name, at_least, at_most, readings, per_run=per_run), evidence=evidence)


def words(name: str, *accepts: str, options: Sequence[str] = ()) -> Requirement:
    kind = "choice" if options else "text"
    return Requirement(name, kind, joint="J1", options=tuple(options), accepts=accepts)


def preheat_step(at: int = 40, points: tuple[Point, ...] = (), **limits: Any) -> StepPlan:
    return StepPlan(at, "preheat", f"step {at}", ("J1",), (heat(**limits),), points=points)


def weld_step(at: int = 50, points: tuple[Point, ...] = ()) -> StepPlan:
    window = heat(INTERPASS, "300 degF", "500 degF", per_run=True)
    energy = number(ARC_ENERGY, unit="kJ/mm", per_run=True)
    return StepPlan(at, "weld", f"step {at}", ("J1",), (words("welder"), window, energy), points=points)


def inspect_step(at: int = 60, points: tuple[Point, ...] = ()) -> StepPlan:
    visual = words("visual result", "accepted", options=("accepted", "rejected"))
    return StepPlan(at, "inspect", f"step {at}", ("J1",), (visual,), points=points)


def fit_step(at: int = 30) -> StepPlan:
    return StepPlan(at, "fit", f"step {at}", ("J1",), (words("fit-up"),))


def plan_with(*steps: StepPlan, decides: str = "welding engineer", **more: Any) -> Plan:
    joints = ((("id", "J1"), ("process", "141 TIG")),)
    return Plan("H-1", "invented", None, "inch", decides, steps, (), (), (), (), joints, **more)


def state_of_probe(
    instrument: str = "I1",
    type: str = "contact thermometer",
    uncertainty: str | None = "3 delta_degF",
    state: str = "in calibration",
    **more: Any,
) -> dict[str, Any]:
    """What a reading keeps of its instrument."""
    value, unit = uncertainty.split() if uncertainty else ("", "")
    return {
        "instrument": instrument, "name": "probe", "type": type,
        "uncertainty": {"value": value, "unit": unit} if uncertainty else None,
        "calibrated": "2026-01-05", "due": "2027-01-05", "state": state, **more,
    }  # fmt: skip


@dataclass
class Job:
    """Events of one job with what the gate says about each."""

    plan: Plan
    decision_rule: str = "simple acceptance"
    clock: datetime = START
    events: list[dict[str, Any]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.tell(
            ISSUED, OLGA, revision=1, plan=plan_to_act(self.plan), program="0", because=None,
            decision_rule=self.decision_rule,
        )  # fmt: skip

    def tell(self, kind: str, by: Person = WANDA, happened: datetime | None = None, **act: Any) -> None:
        self.clock += timedelta(minutes=1)
        seq = len(self.events) + 1
        who: dict[str, Any] = {"name": by.name, "how": by.how}
        if by.id is not None:
            who |= {"person": by.id, "roles": list(by.roles)}
        self.events.append(
            {"stream": f"job {self.plan.number}", "seq": seq, "id": str(seq), "kind": kind,
             "happened_at": (happened or self.clock).isoformat(), "recorded_at": self.clock.isoformat(),
             "by": who, "act": act}
        )  # fmt: skip

    @property
    def state(self) -> JobState:
        return fold(self.events, "HEAD")

    def step(self, at: int) -> StepPlan:
        found = self.state.step(at)
        assert found is not None
        return found

    def may(self, act: Act, person: Person | None = None) -> Permission:
        return may(act, self.state, person, self.clock)

    def revise(self, plan: Plan, decision_rule: str | None = None) -> None:
        self.plan = plan
        self.tell(
            REVISED, OLGA, revision=self.state.revision + 1, plan=plan_to_act(plan), program="0",
            because="drawing changed", decision_rule=decision_rule or self.state.decision_rule,
        )  # fmt: skip

    def read(self, at: int, typed: str, of: str | None = None, by: Person = WANDA, **more: Any) -> int:
        """Record a reading: "320 degF", "melts 300 degF", or words; ``state=`` keeps an instrument with it."""
        act = self._reading(at, typed, of, **more)
        happened = more.get("happened")
        self.tell(RECORDED, by, happened, **act)
        return int(act["reading"])

    def _reading(self, at: int, typed: str, of: str | None = None, **more: Any) -> dict[str, Any]:
        step = self.step(at)
        requirement = next(r for r in step.requirements if of in (None, r.quantity))
        bound = {"melts": "at_least", "holds": "at_most"}.get(typed.split()[0])
        number_text = typed.split(" ", 1)[1] if bound else typed
        value, unit = number_text, None
        if requirement.type == "number":
            value, _, unit = number_text.partition(" ")
        key = (at, requirement.quantity, requirement.joint)
        act: dict[str, Any] = {
            "reading": max((r.number for r in self.state.readings), default=0) + 1,
            "step": at, "quantity": requirement.quantity, "joint": requirement.joint,
            "value": value, "unit": unit, "typed": typed, "run": more.get("run"),
            "attempt": self.state.attempt(key), "place": more.get("place"), "instrument": None,
        }  # fmt: skip
        if bound:
            act["bound"] = bound
        if "state" in more:
            act["instrument_state"] = more["state"]
        return act

    def correct(self, reading: int, typed: str | None, because: str = "misread", by: Person = WANDA) -> None:
        old = next(entry for entry in self.state.readings if entry.number == reading)
        new = None
        if typed is not None:
            new = self._reading(old.key[0], typed, old.key[1], run=old.run, place=old.place)
        self.tell(SUPERSEDED, by, reading=reading, because=because, correction=new)

    def run(self, run: int, typed: str = "350 degF", at: int = 50, **more: Any) -> int:
        """A run of weld with the temperature read before it; returns the number of that reading."""
        read = self.read(at, typed, INTERPASS, run=run, **more)
        self.read(at, "1.0 kJ/mm", ARC_ENERGY, run=run)
        return read

    def perform(self, at: int, by: Person = WANDA, runs: int | None = None, **more: Any) -> None:
        state = self.state
        act = {"step": at, "meaning": "done", "revision": state.revision, "runs": runs}
        self.tell(PERFORMED, by, content=content_digest(state, self.step(at)), **act, **more)

    def accept(self, at: int, by: Person = INES) -> Permission:
        """Accepted where the gate lets it; what it says."""
        permission = self.may(AcceptStep(at), by)
        if permission.granted:
            self.sign_accepted(at, by)
        return permission

    def sign_accepted(self, at: int, by: Person = INES) -> None:
        state, step = self.state, self.step(at)
        verdicts = {step.requirement_id(r): judge(state, step, r).verdict for r in step.requirements}
        self.tell(
            ACCEPTED, by, step=at, meaning="accepted", revision=state.revision, judge=JUDGE,
            content=content_digest(state, step), verdicts=verdicts,
        )  # fmt: skip

    def judged(self, at: int, of: str | None = None) -> Judgement:
        step = self.step(at)
        requirement = next(r for r in step.requirements if of in (None, r.quantity))
        return judge(self.state, step, requirement)
