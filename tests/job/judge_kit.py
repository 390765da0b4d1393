"""A job of one requirement, told by events: what the judge and the fold are asked about."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import count
from typing import Any

from traveler.job.fold import ISSUED, PERFORMED, RECORDED, RETRIED, SUPERSEDED, fold
from traveler.job.judge import Judgement, judge
from traveler.job.plan_json import plan_to_act
from traveler.job.requirement import Evidence, Plan, Requirement, StepPlan
from traveler.job.state import ARC_ENERGY, INTERPASS, JobState
from traveler.quantity.parse import stored
from traveler.quantity.quantity import Quantity

BY = {"name": "Ines Okafor-Lindqvist", "how": "stated"}  # invented
NOON = "2026-03-02T12:00:00+01:00"


def quantity(text: str | None) -> Quantity | None:
    """A limit written as number and stored symbol: "300 degF"."""
    return None if text is None else stored(*text.split())


def number(
    name: str = "preheat temperature",
    at_least: str | None = None,
    at_most: str | None = None,
    readings: int = 1,
    unit: str = "degC",
    per_run: bool = False,
    undetermined: bool = False,
) -> Requirement:
    return Requirement(
        quantity=name,
        type="number",
        unit=unit,
        at_least=quantity(at_least),
        at_most=quantity(at_most),
        evidence=Evidence(readings=readings, per_run=per_run),
        joint="J1",
        undetermined=undetermined,
    )


WINDOW = number(INTERPASS, "300 degF", "500 degF", per_run=True)
ENERGY = number(ARC_ENERGY, unit="kJ/mm", per_run=True)


def plan_of(*steps: StepPlan) -> Plan:
    return Plan("H-1", "invented", None, "inch", "engineer", steps, (), (), (), (), ())


def step_of(*requirements: Requirement, kind: str = "preheat", at: int = 40) -> StepPlan:
    return StepPlan(at, kind, "invented", ("J1",), requirements)


@dataclass
class Story:
    """Events of one job, written as they happen; each tells its place in the log."""

    step: StepPlan
    events: list[dict[str, Any]] = field(default_factory=list)
    numbers: Iterator[int] = field(default_factory=lambda: count(1))

    def __post_init__(self) -> None:
        act = {"revision": 1, "plan": plan_to_act(plan_of(self.step)), "program": "0", "because": None}
        self.tell(ISSUED, act)

    def tell(self, kind: str, act: dict[str, Any], happened_at: str = NOON) -> None:
        seq = len(self.events) + 1
        self.events.append(
            {"stream": "job H-1", "seq": seq, "id": str(seq), "kind": kind, "happened_at": happened_at,
             "recorded_at": NOON, "by": BY, "act": act}
        )  # fmt: skip

    def _reading(
        self, of: str, typed: str, place: str | None, run: int | None, attempt: int
    ) -> dict[str, Any]:
        value, _, unit = typed.partition(" ")
        return {
            "reading": next(self.numbers), "step": self.step.number, "quantity": of, "joint": "J1",
            "value": value, "unit": unit or None, "typed": typed, "run": run, "attempt": attempt,
            "place": place, "instrument": None,
        }  # fmt: skip

    def read(
        self,
        typed: str,
        place: str | None = None,
        run: int | None = None,
        of: str | None = None,
        attempt: int = 1,
    ) -> int:
        """Record a reading ("312 degF", or one word without a unit); returns its number."""
        act = self._reading(of or self.step.requirements[0].quantity, typed, place, run, attempt)
        self.tell(RECORDED, act)
        return int(act["reading"])

    def lay(self, run: int) -> int:
        """Record a run of weld by its arc energy."""
        return self.read("1.0 kJ/mm", run=run, of=ARC_ENERGY)

    def correct(self, reading: int, typed: str | None) -> int | None:
        """Supersede a reading; returns the number of the correction."""
        old = next(entry for entry in self.state().readings if entry.number == reading)
        new = None
        if typed is not None:
            new = self._reading(old.key[1], typed, old.place, old.run, old.attempt)
        self.tell(SUPERSEDED, {"reading": reading, "because": "misread", "correction": new})
        return new and int(new["reading"])

    def retry(self, attempt: int) -> None:
        act = {"step": self.step.number, "quantity": self.step.requirements[0].quantity, "joint": "J1"}
        self.tell(RETRIED, {**act, "attempt": attempt, "because": "wind"})

    def perform(self, runs: int | None = None) -> None:
        act = {"step": self.step.number, "meaning": "done", "revision": 1, "content": "", "runs": runs}
        self.tell(PERFORMED, act)

    def state(self) -> JobState:
        return fold(self.events, "HEAD")

    def judged(self, of: str | None = None) -> Judgement:
        """Verdict on the step's first requirement, or on the one named."""
        requirement = next(r for r in self.step.requirements if of is None or r.quantity == of)
        return judge(self.state(), self.step, requirement)

    def verdict(self, of: str | None = None) -> str:
        return self.judged(of).verdict
