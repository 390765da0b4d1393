"""Whatever is done in whatever order: nothing that is blocked gets accepted, and nothing complete stays blocked."""

import tempfile
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from acts_kit import ADA, BRAM, CLEO, NUMBER, STREAM, Bench, HandClock, sheet
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from strict_reader import (
    QUANTITIES,
    Log,
    against_acceptance,
    against_closing,
    against_quantity,
    against_retry,
    against_superseding,
    read,
)

from traveler.acts.change import Outcome, board_row, load_job
from traveler.acts.issue import cancel, close, issue, revise
from traveler.acts.readings import attach, retry, supersede
from traveler.acts.verify import verify
from traveler.errors import BadInput
from traveler.job.gate import AcceptStep, JobAct, RetryHeat, acceptance_stands, may
from traveler.job.judge import judge
from traveler.job.state import Person
from traveler.record.shop import Shop

pytestmark = pytest.mark.slow

PEOPLE = (ADA, BRAM, CLEO, Person("bram  ORTEGA "))
STEPS = tuple(QUANTITIES)
PLACES = ("web", "flange", " Web", None)
# At, inside and beyond the limits of both thicknesses, in both units.
TEMPERATURES = (
    "299 F", "300 F", "301 F", "148 C", "149 C", "310 F", "399 F", "400 F", "204 C", "205 C", "420 F", "500 F",
    "501 F", "260 C", "261 C", "600 F", "601 F", "315 C", "316 C", "70 F",
)  # fmt: skip
GOOD: dict[str, tuple[str, ...]] = {
    "preheat temperature": ("420 F", "149 C", "400 F", "300 F"),
    "interpass temperature": ("420 F", "300 F", "400 F", "260 C", "500 F"),
    "welder": ("B. Ortega", "[A36] [/]"),
    "filler lot": ("lot 7",),
    "arc energy": ("1.0 kJ/mm", "25 kJ/in"),
    "cooling after welding": ("slow cooled under cover",),
    "uncovering temperature": ("150 F", "65 C"),
    "wait before test": ("48 h", "2880 min"),
    "visual result": ("accepted",),
    "crack test": ("no relevant indications",),
}
ANY: dict[str, tuple[str, ...]] = {
    **GOOD,
    "preheat temperature": TEMPERATURES,
    "interpass temperature": TEMPERATURES,
    "cooling after welding": ("slow cooled under cover", "in open air"),
    "uncovering temperature": ("151 F", "66 C", "150 F"),
    "wait before test": ("47 h", "2879 min", "48 h"),
    "visual result": ("accepted", "rejected"),
    "crack test": ("no relevant indications", "indications"),
}
PAIRS = tuple((step, quantity) for step in STEPS for quantity in QUANTITIES[step])
SHEETS = (sheet(), sheet(title="Link tab, renamed"), sheet(thickness="3/8 in"))
RUNS = st.sampled_from((None, None, 1, 2, 3))
pair = st.sampled_from(PAIRS)
person = st.sampled_from(PEOPLE)
step_number = st.sampled_from(STEPS)
pick = st.integers(0, 50)


class Workshop(RuleBasedStateMachine):
    """One job in a real shop file, several people, no discipline."""

    @initialize(orderly_steps=st.sampled_from((0, 1, 1, 1, 2, 3, 4)))
    def begin(self, orderly_steps: int) -> None:
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / "shop.traveler"
        self.shop = Shop.create(self.path)
        self.bench = Bench(self.shop, HandClock())
        self.bodies: list[dict[str, Any]] = []
        self.told = issue(self.shop, self.bench.clock, ADA, SHEETS[0])
        self.log = self.follow()
        for _ in range(orderly_steps):
            self.orderly()

    def teardown(self) -> None:
        if hasattr(self, "shop"):
            checked = verify(self.path)
            assert (checked.faults, checked.events) == ((), len(self.bench.bodies()) + 1)
            self.shop.close()
            self.folder.cleanup()

    def follow(self) -> Log:
        """Read the log anew; what was there before must be there still."""
        now = self.bench.bodies()
        assert now[: len(self.bodies)] == self.bodies
        self.bodies = now
        return read(now)

    def done(self, outcome: Outcome, expected: bool) -> None:
        """``expected`` by the strict reader: done, and one event more; otherwise refused in words, and none."""
        before = len(self.bodies)
        assert outcome.recorded == expected, (outcome.message, outcome.reasons)
        assert outcome.recorded or outcome.reasons
        self.told = outcome
        self.log = self.follow()
        assert len(self.bodies) == before + expected

    @property
    def now(self) -> datetime:
        return self.bench.clock.now()

    @rule(minutes=st.sampled_from((1, 20, 45, 600, -90)))
    def time_passes(self, minutes: int) -> None:
        self.bench.clock.pass_by(minutes)

    @rule(what=pair, by=person, which=pick, place=st.sampled_from(PLACES), run=RUNS, ahead=st.integers(0, 9))
    def record(
        self, what: tuple[int, str], by: Person, which: int, place: str | None, run: int | None, ahead: int
    ) -> None:
        step, quantity = what
        value = ANY[quantity][which % len(ANY[quantity])]
        at = {0: "2026-03-02T09:00+01:00", 1: "2026-03-03T12:00-05:00"}.get(ahead)
        run = run if quantity in ("interpass temperature", "arc energy") else None
        outcome = self.bench.record(step, quantity, value, by=by, place=place, run=run, at=at)
        self.done(outcome, not self.log.ended)

    @rule(
        entries=st.lists(st.tuples(st.sampled_from((1, 1, 2)), st.booleans(), pick), min_size=2, max_size=5)
    )
    def weld(self, entries: list[tuple[int, bool, int]]) -> None:
        """Runs laid and temperatures read in any order, good ones and bad ones."""
        for run, lays, which in entries:
            quantity = "arc energy" if lays else "interpass temperature"
            values = GOOD[quantity] if which % 2 else ANY[quantity]
            self.done(
                self.bench.record(20, quantity, values[which % len(values)], run=run), not self.log.ended
            )

    @precondition(lambda self: self.log.laid())
    @rule(which=pick, new=st.one_of(st.none(), pick))
    def correct_the_weld(self, which: int, new: int | None) -> None:
        of_weld = [number for number, entry in self.log.entries.items() if entry.run and entry.stands]
        self.supersede(sorted(self.log.entries).index(of_weld[which % len(of_weld)]), new, CLEO)

    @rule(which=pick, place=st.sampled_from(PLACES))
    def record_what_is_missing(self, which: int, place: str | None) -> None:
        lacking = [what for what in QUANTITIES[self.current] if against_quantity(self.log, what)]
        if self.bodies[-1]["act"].get("quantity") == "interpass temperature" and "arc energy" in lacking:
            lacking = ["arc energy"]  # the temperature has just been read, so the run is laid
        if lacking:
            quantity = lacking[which % len(lacking)]
            value = GOOD[quantity][which % len(GOOD[quantity])]
            self.done(self.bench.record(self.current, quantity, value, place=place), not self.log.ended)

    @property
    def current(self) -> int:
        """The first step that is not accepted, or the last of all."""
        return next((number for number in STEPS if number not in self.log.accepted), STEPS[-1])

    @precondition(lambda self: self.log.entries)
    @rule(which=pick, new=st.one_of(st.none(), pick), by=person)
    def supersede(self, which: int, new: int | None, by: Person) -> None:
        number = sorted(self.log.entries)[which % len(self.log.entries)]
        entry = self.log.entries[number]
        value = None if new is None else ANY[entry.quantity][new % len(ANY[entry.quantity])]
        arguments = (self.shop, self.bench.clock, by, NUMBER, number, value, "misread")
        if not entry.stands and not self.log.ended:
            with pytest.raises(BadInput, match="superseded already"):
                supersede(*arguments)
            assert self.bench.bodies() == self.bodies
            return
        self.done(supersede(*arguments), not against_superseding(self.log, number, by.name))

    @rule(what=pair)
    def try_again(self, what: tuple[int, str]) -> None:
        step, quantity = what
        expected = not against_retry(self.log, step, quantity)
        self.done(
            retry(self.shop, self.bench.clock, BRAM, NUMBER, step, quantity, None, "it was cold"), expected
        )

    @rule()
    def heat_again(self) -> None:
        self.try_again((10, "preheat temperature"))

    @rule(step=step_number, by=person, runs=RUNS)
    def perform(self, step: int, by: Person, runs: int | None) -> None:
        laid = max(self.log.laid(), default=0)
        runs = max(runs, laid) if runs is not None and step == 20 else None
        self.done(self.bench.perform(step, by, runs), not self.log.ended)

    @rule(by=person)
    def perform_next(self, by: Person) -> None:
        self.done(self.bench.perform(self.current, by), not self.log.ended)

    @rule(step=step_number, by=person)
    def accept(self, step: int, by: Person) -> None:
        reasons = against_acceptance(self.log, step, by.name, self.now)
        self.done(self.bench.accept(step, by), not reasons)
        if not reasons:
            accepted = self.bodies[-1]["act"]
            assert set(accepted["verdicts"].values()) == {"met"}
            assert accepted["revision"] == sum(event["kind"].startswith("traveler") for event in self.bodies)

    @rule(by=person)
    def accept_next(self, by: Person) -> None:
        self.accept(self.current, by)

    @rule()
    def bring_the_next_step_to_its_end(self) -> None:
        self.orderly()
        self.close(CLEO)

    def orderly(self) -> None:
        """As an orderly shop would; where an earlier slip stands in the way the strict reader says so too."""
        for place in ("web", "flange", "web", "flange", "web"):
            self.record_what_is_missing(0, place)
        if not self.log.performed.get(self.current):
            self.perform_next(BRAM)
        self.accept_next(ADA)

    @rule(which=st.integers(0, len(SHEETS) - 1))
    def revise(self, which: int) -> None:
        outcome = revise(self.shop, self.bench.clock, ADA, NUMBER, SHEETS[which], "the drawing changed")
        self.done(outcome, not self.log.ended)

    @rule(step=step_number)
    def attach(self, step: int) -> None:
        outcome = attach(self.shop, self.bench.clock, BRAM, NUMBER, step, "edge.jpg", b"invented", "photo")
        self.done(outcome, not self.log.ended)

    @rule(by=person)
    def close(self, by: Person) -> None:
        self.done(close(self.shop, self.bench.clock, by, NUMBER), not against_closing(self.log))

    @precondition(lambda self: len(self.bodies) > 25)
    @rule(sure=st.integers(0, 9))
    def cancel(self, sure: int) -> None:
        if sure == 0:
            self.done(cancel(self.shop, self.bench.clock, ADA, NUMBER, "the car is sold"), not self.log.ended)

    @invariant()
    def the_file_says_the_same(self) -> None:
        assert load_job(self.shop, NUMBER) == self.told.state
        assert [body["seq"] for body in self.bodies] == list(range(1, len(self.bodies) + 1))
        assert {body["stream"] for body in self.bodies} == {STREAM}
        recorded = datetime.fromisoformat(self.bodies[-1]["recorded_at"])
        assert self.shop.board() == [board_row(self.told.state, recorded)]

    @invariant()
    def whatever_could_be_done_next_is_decided_alike(self) -> None:
        """Not only what is tried: for every step and person, in every state that is ever reached."""
        state = self.told.state
        for step in state.plan.steps:
            assert acceptance_stands(state, step) == (step.number in self.log.accepted)
            for who in (ADA, BRAM):
                reasons = against_acceptance(self.log, step.number, who.name, self.now)
                permission = may(AcceptStep(step.number), state, who, self.now)
                assert permission.granted == (not reasons), (step.number, reasons, permission.reasons)
            for requirement in step.requirements:
                lacking = against_quantity(self.log, requirement.quantity)
                verdict = judge(state, step, requirement).verdict
                # Before the weld is signed a temperature read for a run yet to be laid is judged as well.
                ahead = requirement.quantity == "interpass temperature" and not self.log.performed.get(20)
                assert (verdict == "met") == (not lacking) or (ahead and verdict != "met"), lacking
                key = (step.number, requirement.quantity, requirement.joint)
                again = may(RetryHeat(key), state, BRAM, self.now).granted
                assert again == (not against_retry(self.log, *key[:2]))
        assert may(JobAct("close"), state, ADA, self.now).granted == (not against_closing(self.log))


Workshop.TestCase.settings = settings(
    # Each act is committed to a disk: making a failing story shorter would take many minutes, and it prints as it is.
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
    max_examples=60,
    stateful_step_count=30,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
TestWorkshop = Workshop.TestCase
