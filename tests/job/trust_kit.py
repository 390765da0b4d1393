"""A job of several steps told by events and asked through the gate, with registered people and instruments.

All names are invented. The clock goes on by a minute with each event, unless it is set.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta, timezone
from typing import Any

from judge_kit import number

from traveler.job.content import content_digest
from traveler.job.decided import Disposition, PointKind
from traveler.job.fold import ACCEPTED, CLOSED, ISSUED, PERFORMED, RECORDED, REVISED, SUPERSEDED, fold
from traveler.job.gate import (
    AcceptStep,
    Act,
    ActAtPoint,
    ActOutside,
    AnswerQuestion,
    DecideDisposition,
    JobAct,
    OnNonconformance,
    OpenNonconformance,
    Permission,
    ProposeDisposition,
    SetNotApplicable,
    acceptance_stands,
    may,
)
from traveler.job.judge import JUDGE, Judgement, judge
from traveler.job.outside import last_sending, to_be_reviewed
from traveler.job.person import Person
from traveler.job.plan_json import plan_to_act
from traveler.job.requirement import Evidence, Outside, Plan, Point, Requirement, StepPlan
from traveler.job.state import ARC_ENERGY, INTERPASS, PREHEAT, JobState

START = datetime(2026, 3, 2, 8, 0, tzinfo=timezone(timedelta(hours=1)))

OLGA = Person("Olga Vance", "signed", "P1", ("owner", "inspector"))
WANDA = Person("Wanda Zoë", "signed", "P2", ("welder",))
WIM = Person("Wim Two", "signed", "P3", ("welder",))
FRANZ = Person("Franz Fitter", "signed", "P4", ("welder",))
INES = Person("Ines Okafor", "signed", "P5", ("inspector",))
EVA = Person("Eva Lindqvist", "signed", "P6", ("engineer",))
CARL = Person("Carl Kunde", "signed", "P7", ("customer",))

POINT_EVENTS = {
    "released": "hold released",
    "waived": "hold waived",
    "notified": "witness notified",
    "attended": "witness attended",
}
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


def inspect_step(at: int = 60, points: tuple[Point, ...] = (), outside: Outside | None = None) -> StepPlan:
    visual = words("visual result", "accepted", options=("accepted", "rejected"))
    return StepPlan(at, "inspect", f"step {at}", ("J1",), (visual,), points=points, outside=outside)


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
        act = self.reading_act(at, typed, of, **more)
        happened = more.get("happened")
        self.tell(RECORDED, by, happened, **act)
        return int(act["reading"])

    def reading_act(self, at: int, typed: str, of: str | None = None, **more: Any) -> dict[str, Any]:
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
        if "ahead_of" in more:
            act["out_of_order"] = [more["ahead_of"]]
        if "state" in more:
            act["instrument_state"] = more["state"]
        if "reported_by" in more:
            act["reported_by"] = more["reported_by"]
        return act

    def correct(
        self, reading: int, typed: str | None, because: str = "misread", by: Person = WANDA, **more: Any
    ) -> None:
        old = next(entry for entry in self.state.readings if entry.number == reading)
        new = None
        if typed is not None:
            new = self.reading_act(old.key[0], typed, old.key[1], run=old.run, place=old.place, **more)
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

    def do(self, act: Act, kind: str, by: Person, **payload: Any) -> Permission:
        """The act by ``by`` where the gate lets it, as one event; what the gate says."""
        permission = self.may(act, by)
        if permission.granted:
            self.tell(kind, by, **payload)
        return permission

    def at_point(
        self,
        kind: PointKind,
        at: int = 40,
        point: int = 1,
        by: Person = CARL,
        happened: datetime | None = None,
    ) -> Permission:
        named = next(p for p in self.step(at).points if p.number == point)
        notice = named.notice.text if named.notice and kind == "notified" else None
        return self.do(
            ActAtPoint(at, point, kind), POINT_EVENTS[kind], by, step=at, point=point, party=named.party,
            meaning="seen", because="trust" if kind == "waived" else None, notice_h=notice, content="",
            happened=happened,
        )  # fmt: skip

    def nonconforming(
        self,
        *readings: int,
        at: int = 40,
        quantity: str | None = None,
        joint: str | None = None,
        by: Person = WANDA,
        what: str = "too cold",
    ) -> Permission:
        number = len(self.state.nonconformances) + 1
        return self.do(
            OpenNonconformance(at, quantity, joint, readings), "nonconformance opened", by, nonconformance=number,
            step=at, quantity=quantity, joint=joint, what=what, readings=list(readings),
        )  # fmt: skip

    def propose(self, disposition: Disposition, entry: int = 1, by: Person = INES) -> Permission:
        return self.do(
            ProposeDisposition(entry, disposition), "disposition proposed", by, nonconformance=entry,
            disposition=disposition, instruction="as discussed",
        )  # fmt: skip

    def decide(
        self, disposition: Disposition, entry: int = 1, by: Person = EVA, approve: bool = True
    ) -> Permission:
        kind = "disposition approved" if approve else "disposition refused"
        return self.do(
            DecideDisposition(entry, disposition, approve), kind, by, nonconformance=entry,
            disposition=disposition, meaning="I decide so", because="strong enough",
        )  # fmt: skip

    def reverify(self, complies: bool = True, entry: int = 1, by: Person = INES) -> Permission:
        result = "complies" if complies else "does not comply"
        return self.do(
            OnNonconformance("re-verify", entry), "nonconformance re-verified", by, nonconformance=entry,
            what="looked again", result=result,
        )  # fmt: skip

    def close_entry(self, entry: int = 1, by: Person = INES) -> Permission:
        act = OnNonconformance("close", entry)
        return self.do(act, "nonconformance closed", by, nonconformance=entry, because="done")

    def void_entry(self, entry: int = 1, by: Person = INES) -> Permission:
        act = OnNonconformance("void", entry)
        return self.do(act, "nonconformance void", by, nonconformance=entry, because="in error")

    def disposed(self, disposition: Disposition, *readings: int, at: int = 40, **named: Any) -> None:
        """A nonconformance brought all the way; of rework and repair the part is looked at again."""
        assert self.nonconforming(*readings, at=at, **named).granted
        entry = len(self.state.nonconformances)
        assert self.propose(disposition, entry).granted
        assert self.decide(disposition, entry).granted
        if disposition == "rework":
            self.perform(at)
        if disposition in ("rework", "repair"):
            assert self.reverify(entry=entry).granted
        assert self.close_entry(entry).granted

    def question(self, *readings: int, finding: str = "12 F low") -> None:
        self.tell("readings questioned", OLGA, instrument="I1", finding=finding, readings=list(readings))

    def answer(self, *readings: int, stands: bool = True, by: Person = INES) -> Permission:
        answer = "stands" if stands else "does not stand"
        return self.do(
            AnswerQuestion(readings), "question answered", by, readings=list(readings), answer=answer,
            because="looked into it",
        )  # fmt: skip

    def not_applicable(
        self, at: int, of: str, by: Person = EVA, because: str = "no such thing here"
    ) -> Permission:
        return self.do(
            SetNotApplicable((at, of, "J1")), "requirement not applicable", by, step=at, quantity=of, joint="J1",
            because=because,
        )  # fmt: skip

    def attach(self, at: int, name: str = "report.pdf", by: Person = WANDA) -> None:
        sha256 = f"{len(self.events):064x}"
        self.tell("file attached", by, step=at, name=name, sha256=sha256, size=9, **{"as": "certificate"})

    def send(
        self, at: int = 60, vendor: str = "Beacon", pieces: int = 1, by: Person = WANDA, **more: Any
    ) -> Permission:
        sent = {
            "order": None,
            "what": "part",
            "requirement": None,
            "returns": ["report"],
            "expected": None,
            **more,
        }
        return self.do(
            ActOutside(at, "send"), "outside work sent", by, step=at, vendor=vendor, pieces=pieces, meaning="sent",
            sending=len(self.state.sendings_of(at)) + 1, revision=self.state.revision, **sent,
        )  # fmt: skip

    def receive(
        self,
        at: int = 60,
        pieces: int = 1,
        by: Person = WANDA,
        damage: str | None = None,
        heat: str = "legible",
    ) -> Permission:
        last = last_sending(self.state, at)
        return self.do(
            ActOutside(at, "receive"), "outside work received", by, step=at, sending=last.number if last else 0,
            pieces=pieces, condition="as sent", damage=damage, heat_number=heat, meaning="received",
        )  # fmt: skip

    def review(
        self, at: int = 60, accepts: bool = True, by: Person = INES, missing: tuple[str, ...] = (),
        because: str | None = None,
    ) -> Permission:  # fmt: skip
        """The certificate with the files that were attached since it was sent."""
        sending = to_be_reviewed(self.state, self.step(at))
        since = sending.moment.seq if sending else 0
        files = [f for f in self.state.attachments if f.step == at and f.moment.seq > since]
        act = ActOutside(at, "review", accepts, tuple(f.sha256 for f in files), missing)
        return self.do(
            act, "outside certificate reviewed", by, step=at, sending=sending.number if sending else 0,
            result="accepted" if accepts else "not accepted", held_against="limits", missing=list(missing),
            files=[{"name": f.name, "sha256": f.sha256} for f in files], meaning="held",
            because=because or (None if accepts else "the load is another"),
        )  # fmt: skip

    def call_off(self, at: int = 60, by: Person = WANDA, because: str = "it came back undone") -> Permission:
        last = last_sending(self.state, at)
        return self.do(
            ActOutside(at, "call off"), "outside work called off", by, step=at, meaning="called off",
            sending=last.number if last else 0, because=because,
        )  # fmt: skip

    def stands(self, at: int) -> bool:
        return acceptance_stands(self.state, self.step(at))

    def close(self, by: Person = INES) -> Permission:
        return self.do(JobAct("close"), CLOSED, by, meaning="complete")
