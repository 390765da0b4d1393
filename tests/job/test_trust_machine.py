"""Whatever is done in whatever order: no accepted step has an open reason not to be."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

import pytest
from hypothesis import Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from strict_trust_reader import may_still_stand, open_reasons
from trust_kit import (
    CARL,
    EVA,
    INES,
    OLGA,
    WANDA,
    WIM,
    Job,
    inspect_step,
    plan_with,
    preheat_step,
    state_of_probe,
    weld_step,
)
from trust_promises import Promises
from watched_state import kept_questions, shown_questions

from traveler.job.board import board_row
from traveler.job.decided import Disposition, PointKind
from traveler.job.exceptions import exceptions
from traveler.job.fold import RETRIED, extend, fold
from traveler.job.gate import AcceptStep, Act, JobAct, Permission, RetryHeat, may
from traveler.job.outside import last_sending
from traveler.job.person import Person
from traveler.job.requirement import Outside, Plan, Point
from traveler.job.state import ARC_ENERGY, INTERPASS, PREHEAT, JobState, Key
from traveler.job.view import traveler_object
from traveler.quantity.parse import stored

POINTS = (Point(1, "hold", "customer"), Point(2, "witness", "engineer", stored("2", "h")))
PEOPLE = (OLGA, WANDA, WIM, INES, EVA, CARL)
STEPS = (40, 50, 60)
DISPOSITIONS: tuple[Disposition, ...] = ("rework", "repair", "use as is", "regrade", "scrap")
KINDS: tuple[PointKind, ...] = ("released", "released", "waived", "notified", "attended")
TEMPERATURES = ("299 degF", "300 degF", "301 degF", "305 degF", "350 degF", "500 degF", "501 degF")
STATES = (
    None,
    state_of_probe(),
    state_of_probe("I2", uncertainty=None),
    state_of_probe("I3", state="overdue"),
    state_of_probe("I4", "infrared thermometer"),
)
# What does not bear on whether the step's own evidence complies.
OF_ORDER = ("already accepted", "comes first and is not accepted")


def plan(at_least: str, self_inspection: bool, vendor: bool = False) -> Plan:
    outside = Outside("Beacon", None, ("report",)) if vendor else None
    steps = preheat_step(points=POINTS, at_least=at_least), weld_step(), inspect_step(outside=outside)
    return plan_with(*steps, self_inspection=self_inspection)


person = st.sampled_from(PEOPLE)
step_number = st.sampled_from(STEPS)
pick = st.integers(0, 40)
kept = st.sampled_from(STATES)


@dataclass
class GrowingJob(Job):
    """A job whose state grows with its events instead of being folded anew each time it is asked for."""

    folded: JobState | None = None

    @property
    def state(self) -> JobState:
        folded = self.folded or fold(self.events[:1], "HEAD")
        for event in self.events[folded.events :]:
            folded = extend(folded, event, "HEAD")
        self.folded = folded
        return folded

    def may(self, act: Act, person: Person | None = None) -> Permission:
        """A refusal is of use only by what it says: each reason once, in a line of words."""
        permission = super().may(act, person)
        reasons = permission.reasons
        assert permission.granted or reasons
        assert all(reason == " ".join(reason.split()) and len(reason) > 10 for reason in reasons), reasons
        assert len(set(reasons)) == len(reasons), reasons
        assert not any("None" in reason for reason in reasons), reasons
        return permission


class Record(RuleBasedStateMachine):
    """One job and six registered people without discipline; only the gate says no."""

    @initialize(
        rule=st.sampled_from(("simple acceptance", "guard band")),
        orderly=st.integers(0, 3),
        self_inspection=st.sampled_from((False, False, False, True)),
        vendor=st.booleans(),
    )
    def begin(self, rule: str, orderly: int, self_inspection: bool, vendor: bool) -> None:
        self.vendor = vendor
        self.job = GrowingJob(plan("300 degF", self_inspection, vendor), rule)
        self.promises = Promises()
        self.attempts: dict[Key, int] = {}
        for _ in range(orderly):
            self.one_step_by_the_book()

    @property
    def state(self) -> JobState:
        return self.job.state

    @property
    def open(self) -> bool:
        return may(JobAct("record"), self.state, None, self.job.clock).granted

    @rule(minutes=st.sampled_from((1, 30, 121)))
    def time_passes(self, minutes: int) -> None:
        self.job.clock += timedelta(minutes=minutes)

    @precondition(lambda self: self.open)
    @rule(typed=st.sampled_from(TEMPERATURES), state=kept, by=person)
    def preheat(self, typed: str, state: object, by: Person) -> None:
        more = {} if state is None else {"state": state}
        self.job.read(40, typed, by=by, **more)

    @precondition(lambda self: self.open)
    @rule(typed=st.sampled_from(TEMPERATURES), run=st.integers(1, 2), lays=st.booleans())
    def weld(self, typed: str, run: int, lays: bool) -> None:
        self.job.read(50, typed, INTERPASS, run=run)
        if lays:
            self.job.read(50, "1.0 kJ/mm", ARC_ENERGY, run=run)

    @precondition(lambda self: self.open)
    @rule(result=st.sampled_from(("accepted", "accepted", "rejected")))
    def inspect(self, result: str) -> None:
        self.job.read(60, result)

    @precondition(lambda self: self.open and any(not r.superseded for r in self.state.readings))
    @rule(which=pick, back=st.booleans())
    def correct(self, which: int, back: bool) -> None:
        standing = [r for r in self.state.readings if not r.superseded]
        reading = standing[which % len(standing)]
        temperature = reading.key[1] in (PREHEAT, INTERPASS)
        self.job.correct(reading.number, "330 degF" if temperature and not back else None)

    @precondition(lambda self: self.open)
    @rule(at=step_number, by=person, helper=st.none() | person)
    def perform(self, at: int, by: Person, helper: Person | None = None) -> None:
        more = {"with": [{"name": helper.name, "how": helper.how, "person": helper.id}]} if helper else {}
        runs = max(self.state.runs_recorded("J1"), default=0) if at == 50 else None
        self.job.perform(at, by, runs=runs, **more)

    @rule()
    def try_the_preheat_again(self) -> None:
        key: Key = (40, PREHEAT, "J1")
        act = {"step": 40, "quantity": PREHEAT, "joint": "J1", "attempt": self.state.attempt(key) + 1}
        self.job.do(RetryHeat(key), RETRIED, WANDA, **act, because="heated further")

    @rule(at=step_number, by=person)
    def accept(self, at: int, by: Person) -> None:
        self.job.accept(at, by)

    @rule(at=step_number, by=person, pieces=st.integers(1, 2))
    def send_to_a_vendor(self, at: int, by: Person, pieces: int) -> None:
        self.job.send(at, "Beacon", pieces, by)
        self.accept_anyway(at)

    @rule(at=step_number, by=person, pieces=st.sampled_from((1, 1, 1, 2)), wrong=st.integers(0, 5))
    def receive_from_it(self, at: int, by: Person, pieces: int, wrong: int) -> None:
        damage = "dented" if wrong == 1 else None
        self.job.receive(at, pieces, by, damage, "not legible" if wrong == 2 else "legible")
        self.accept_anyway(at)

    @precondition(lambda self: self.open)
    @rule(at=step_number)
    def attach_a_paper(self, at: int) -> None:
        self.job.attach(at)

    @rule(at=step_number, by=person, accepts=st.booleans(), missing=st.integers(0, 4))
    def review_its_certificate(self, at: int, by: Person, accepts: bool, missing: int) -> None:
        self.job.review(at, accepts, by, () if missing else ("report",))
        self.accept_anyway(at)

    @rule(at=step_number, by=person)
    def call_it_off(self, at: int, by: Person) -> None:
        self.job.call_off(at, by)

    def accept_anyway(self, at: int) -> None:
        """Whoever would: what is out or unreviewed is refused by the promises that are kept on the way."""
        for by in (INES, EVA):
            self.job.accept(at, by)

    @rule(kind=st.sampled_from(KINDS), point=st.integers(1, 2), by=person)
    def at_point(self, kind: PointKind, point: int, by: Person) -> None:
        self.job.at_point(kind, 40, point, by)

    @rule(at=step_number, which=st.lists(pick, max_size=2), named=st.booleans(), vendor=st.booleans())
    def nonconforming(self, at: int, which: list[int], named: bool, vendor: bool) -> None:
        numbers = [r.number for r in self.state.readings if r.key[0] == at and not r.superseded]
        chosen = sorted({numbers[n % len(numbers)] for n in which}) if numbers else []
        quantity = self.job.step(at).requirements[-1].quantity if named else None
        self.job.nonconforming(*chosen, at=at, quantity="outside work" if vendor else quantity)

    @precondition(lambda self: self.state.nonconformances)
    @rule(
        which=pick, disposition=st.sampled_from(DISPOSITIONS), by=person, approver=person, again=st.booleans()
    )
    def dispose(
        self, which: int, disposition: Disposition, by: Person, approver: Person, again: bool
    ) -> None:
        entry = self._entry(which)
        self.job.propose(disposition, entry, by)
        self.job.decide(disposition, entry, approver, approve=again)

    @precondition(lambda self: self.state.nonconformances)
    @rule(which=pick, by=person, kind=st.sampled_from(("reverify", "fail", "close", "close", "void")))
    def step_of_it(self, which: int, by: Person, kind: str) -> None:
        entry = self._entry(which)
        if kind in ("reverify", "fail"):
            self.job.reverify(kind == "reverify", entry, by)
        elif kind == "close":
            self.job.close_entry(entry, by)
        else:
            self.job.void_entry(entry, by)

    def _entry(self, which: int) -> int:
        entries = [e for e in self.state.nonconformances if e.is_open] or self.state.nonconformances
        return entries[which % len(entries)].number

    @precondition(lambda self: self.state.readings)
    @rule(which=pick, answered=st.sampled_from((None, True, False)), by=person)
    def question(self, which: int, answered: bool | None, by: Person) -> None:
        number = self.state.readings[which % len(self.state.readings)].number
        self.job.question(number)
        if answered is not None:
            self.job.answer(number, stands=answered, by=by)

    @rule(at=step_number, which=pick, by=person)
    def not_applicable(self, at: int, which: int, by: Person) -> None:
        requirements = self.job.step(at).requirements
        self.job.not_applicable(at, requirements[which % len(requirements)].quantity, by)

    @precondition(lambda self: self.open)
    @rule(at_least=st.sampled_from(("300 degF", "300 degF", "310 degF")))
    def revise(self, at_least: str) -> None:
        self.job.revise(plan(at_least, self.job.plan.self_inspection, self.vendor))

    @rule(by=person)
    def close(self, by: Person) -> None:
        self.promises.follow(self.job.events)
        told = self.promises.told
        if self.job.close(by).granted:
            assert all(self.job.stands(at) for at in STEPS)
            assert not any(entry.open for entry in told.nonconformances.values())

    @precondition(lambda self: self.open)
    @rule()
    def one_step_by_the_book(self) -> None:
        """As an orderly shop would; where an earlier slip stands in the way, the gate still says so."""
        at = next((number for number in STEPS if not self.job.stands(number)), 60)
        if at == 40:
            self.job.read(40, "350 degF", state=state_of_probe("I2", uncertainty=None))
        elif at == 50:
            self.job.read(50, "Wanda Zoë", "welder")
            self.job.run(max(self.state.runs_recorded("J1"), default=0) + 1, "350 degF")
        else:
            self.job.read(60, "accepted")
        self.bring_it_back(at)
        self.perform(at, WANDA)
        self.at_point("waived", 2, EVA)
        self.at_point("released", 1, CARL)
        self.accept(at, INES)

    def bring_it_back(self, at: int) -> None:
        """What is given to a vendor, or is at one, is received and its certificate reviewed by another."""
        if self.job.step(at).outside is not None and last_sending(self.state, at) is None:
            self.job.send(at)
        last = last_sending(self.state, at)
        if last is None:
            return
        if last.returned < last.pieces:
            self.job.receive(at, last.pieces - last.returned)
        self.job.attach(at)
        self.job.review(at, by=EVA)

    @precondition(lambda self: any(entry.is_open for entry in self.state.nonconformances))
    @rule(disposition=st.sampled_from(("use as is", "rework", "repair")))
    def bring_them_to_their_end(self, disposition: Disposition) -> None:
        for entry in [e.number for e in self.state.nonconformances if e.is_open]:
            self.dispose(entry - 1, disposition, INES, EVA, True)
            if disposition == "rework" and self.open:
                found = self.state.nonconformance(entry)
                assert found is not None
                self.perform(found.step, WANDA)
            self.job.reverify(True, entry, INES)
            self.job.close_entry(entry, INES)

    @invariant()
    def no_accepted_step_has_an_open_reason_not_to_be(self) -> None:
        self.promises.follow(self.job.events)
        told = self.promises.told
        for at in STEPS:
            if not self.job.stands(at):
                continue
            assert list(open_reasons(told, at, self.job.clock)) == [], at
            assert may_still_stand(told, at), at
            reasons = may(AcceptStep(at), self.state, None, self.job.clock).reasons
            if self.open:
                assert _about_the_step(reasons) == [], at

    @invariant()
    def no_promise_was_broken_on_the_way(self) -> None:
        self.promises.follow(self.job.events)

    @invariant()
    def attempts_never_go_down_and_are_those_that_the_log_tells_of(self) -> None:
        self.promises.follow(self.job.events)
        now = {
            (step.number, r.quantity, r.joint): self.state.attempt((step.number, r.quantity, r.joint))
            for step in self.state.plan.steps
            for r in step.requirements
        }
        assert all(now[key] >= before for key, before in self.attempts.items())
        assert now == {key: self.promises.told.attempts.get(key[:2], 1) for key in now}
        self.attempts = now

    @invariant()
    def nobody_is_refused_or_let_without_a_word(self) -> None:
        for by in (None, PEOPLE[self.state.events % len(PEOPLE)]):
            for act in (*map(AcceptStep, STEPS), JobAct("close"), JobAct("record")):
                self.job.may(act, by)

    @invariant()
    def what_was_let_stand_was_approved_by_another(self) -> None:
        for entry in self.state.nonconformances:
            if entry.concedes and entry.approved and entry.approved.decision:
                assert entry.approved.by.id != entry.approved.decision.by.id
                assert entry.status == "closed"

    @invariant()
    def it_is_the_state_of_the_whole_log(self) -> None:
        assert self.state == fold(self.job.events, "HEAD")

    @invariant()
    def what_was_worked_out_on_the_way_is_what_the_whole_log_gives(self) -> None:
        """Verdicts, digests and the line on the board are carried on from one state to the next."""
        fresh = fold(self.job.events, "HEAD")
        assert board_row(self.state, self.job.clock) == board_row(fresh, self.job.clock)
        assert traveler_object(self.state, self.job.clock) == traveler_object(fresh, self.job.clock)

    def teardown(self) -> None:
        """Of a story with all that can happen in it, no answer is kept that follows from more than it names."""
        asked = kept_questions(self.state)
        assert shown_questions(self.state) <= asked

    @invariant()
    def it_can_always_be_shown(self) -> None:
        found = traveler_object(self.state, self.job.clock)
        assert found["exceptions"] == list(exceptions(self.state))
        assert all(isinstance(line, str) and line for line in found["exceptions"])


def _about_the_step(reasons: Sequence[str]) -> list[str]:
    return [reason for reason in reasons if not reason.endswith(OF_ORDER)]


TestQuick = Record.TestCase
TestQuick.settings = settings(max_examples=12, stateful_step_count=25, deadline=None)


class Long(Record):
    """The same, longer and more often."""


TestLong = pytest.mark.slow(Long.TestCase)
TestLong.settings = settings(
    # Making a failing story shorter takes many minutes, and it prints as it is.
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
    max_examples=150,
    stateful_step_count=50,
    deadline=None,
)
