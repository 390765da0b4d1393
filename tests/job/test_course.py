"""What comes next on a step, in words: told by the judge, in the order of the work."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from judge_kit import ENERGY, NOON, WINDOW, Story, number, plan_of, step_of

from traveler.job.course import Next, comes_next, next_of, next_of_step
from traveler.job.fold import CANCELLED, ISSUED, RECORDED
from traveler.job.judge_runs import judge_run
from traveler.job.plan_json import plan_to_act
from traveler.job.requirement import Evidence, Point, Requirement, StepPlan
from traveler.job.run_list import run_rows
from traveler.job.state import ARC_ENERGY, INTERPASS, PREHEAT

AT_NOON = datetime.fromisoformat(NOON)
MINIMUM = number(at_least="300 degF", readings=2)
CHOICE = Requirement("metal dry", "choice", options=("yes", "no"), accepts=("yes",), joint="J1")
UNDETERMINED = "the limit is not determined: the engineer must settle it"
LOT = Requirement("filler lot", "text", joint="J1")


def following(story: Story, of: str | None = None, at: datetime = AT_NOON) -> Next:
    requirement = next(r for r in story.step.requirements if of is None or r.quantity == of)
    return next_of(story.state(), story.step, requirement, at)


@pytest.mark.parametrize(
    ("requirement", "read", "kind", "words"),
    [
        (MINIMUM, [], "enter", "read the first of 2 places"),
        (MINIMUM, [("312 degF", "plate")], "enter", "read the second place"),
        (MINIMUM, [("312 degF", "plate"), ("305 degF", "Plate ")], "enter", "read the second place"),
        (MINIMUM, [("312 degF", "plate"), ("300 degF", "rail")], "done", "within its limit"),
        (MINIMUM, [("288 degF", "plate")], "heat", "heat again: 12 F° below the minimum"),
        (MINIMUM, [("312 degF", "plate"), ("288 degF", "rail")], "heat", "heat again: 12 F° below the minimum"),
        (MINIMUM, [("299.95 degF", "plate")], "heat", "heat again: 0.05 F° below the minimum"),
        (MINIMUM, [("148 degC", "plate")], "heat", "heat again: 1.6 F° below the minimum"),
        (
            number(at_least="300 degF", at_most="350 degF"),
            [("360 degF", "plate")],
            "settle",
            "not met: 10 F° above the maximum; that takes a nonconformance",
        ),
        (
            number("gap", at_most="1/16 in", unit="mm"),
            [("3/32 in", None)],
            "settle",
            "not met: 0.032 in above the maximum; that takes a nonconformance",
        ),
        (number("gap", at_most="1/16 in", unit="mm"), [], "enter", "to be read"),
        (number(undetermined=True), [("312 degF", None)], "settle", UNDETERMINED),
        (CHOICE, [], "enter", "to be entered"),
        (CHOICE, [("yes", None)], "done", "entered"),
        (CHOICE, [("no", None)], "settle", 'not met: "no" where "yes" complies; that takes a nonconformance'),
        (LOT, [], "enter", "to be entered"),
        (LOT, [("4711", None)], "done", "entered"),
    ],
)  # fmt: skip
def test_what_is_entered_once(
    requirement: Requirement, read: list[tuple[str, str | None]], kind: str, words: str
) -> None:
    story = Story(step_of(requirement))
    for typed, place in read:
        story.read(typed, place)
    found = following(story)
    assert (found.kind, found.words) == (kind, words)
    assert found.retry == (kind == "heat")


@pytest.mark.parametrize(
    ("told", "kind", "words"),
    [
        ([], "enter", "read before run 1"),
        (["312 degF"], "ready", "ready for run 1"),
        (["300 degF"], "ready", "ready for run 1"),
        (["299 degF"], "heat", "heat again: 1 F° below the minimum"),
        (["500 degF"], "ready", "ready for run 1"),
        (["501 degF"], "wait", "wait: above 500 °F between runs"),
        (["501 degF", "480 degF"], "ready", "ready for run 1"),
        (["480 degF", "290 degF"], "heat", "heat again: 10 F° below the minimum"),
        (["312 degF", "lay"], "enter", "read before run 2"),
        (["312 degF", "lay", "320 degF"], "ready", "ready for run 2"),
        (["312 degF", "lay", "320 degF", "lay", "510 degF"], "wait", "wait: above 500 °F between runs"),
        (
            ["290 degF", "lay", "320 degF"],
            "settle",
            "not ready for run 2: run 1 was laid outside the window: 290 °F is below 300 °F",
        ),
        (
            ["lay", "320 degF"],
            "settle",
            "not ready for run 2: run 1: no interpass temperature recorded before the run",
        ),
        (["312 degF", "lay", "sign"], "done", "signed as performed"),
    ],
)
def test_between_runs(told: list[str], kind: str, words: str) -> None:
    story = Story(step_of(WINDOW, ENERGY, kind="weld"))
    run = 1
    for act in told:
        if act == "lay":
            story.lay(run)
            run += 1
        elif act == "sign":
            story.perform(run - 1)
        else:
            story.read(act, run=run)
    for quantity in (INTERPASS, ARC_ENERGY):
        found = following(story, quantity)
        assert (found.kind, found.words, found.run) == (kind, words, run)


def test_the_order_of_the_work() -> None:
    story = Story(step_of(LOT, CHOICE, WINDOW, ENERGY, kind="weld"))
    asked = []
    acts = [
        lambda: story.read("F-1", of="filler lot"),
        lambda: story.read("yes", of="metal dry"),
        lambda: story.read("512 degF", run=1, of=INTERPASS),
        lambda: story.read("312 degF", run=1, of=INTERPASS),
        lambda: story.lay(1),
        lambda: story.perform(1),
    ]
    for act in acts:
        coming = comes_next(story.state(), story.step, AT_NOON)
        asked.append(coming.quantity if coming else None)
        act()
    assert asked == ["filler lot", "metal dry", INTERPASS, INTERPASS, ARC_ENERGY, INTERPASS]
    assert comes_next(story.state(), story.step, AT_NOON) is None


def test_a_step_with_nothing_left_to_enter_is_signed_and_a_bad_one_says_so() -> None:
    story = Story(step_of(CHOICE))
    story.read("yes")
    assert next_of_step(story.state(), story.step, AT_NOON).words == "all is entered: sign as performed"
    story.perform()
    assert next_of_step(story.state(), story.step, AT_NOON).words == "performed; waits for acceptance"
    story.read("no")
    words = next_of_step(story.state(), story.step, AT_NOON).words
    assert words.startswith("performed; waits for: metal dry not met")
    unsigned = Story(step_of(CHOICE))
    unsigned.read("no")
    assert next_of_step(unsigned.state(), unsigned.step, AT_NOON) == Next(
        "settle", "metal dry does not comply; that takes a nonconformance"
    )
    unsigned.tell(CANCELLED, {"because": "invented"})
    assert next_of_step(unsigned.state(), unsigned.step, AT_NOON).words == "the job is cancelled"


@given(
    st.lists(st.one_of(st.integers(250, 550).map(lambda value: f"{value} degF"), st.just("lay")), max_size=8)
)
def test_ready_and_the_judge_say_the_same_of_the_run_that_is_then_laid(told: list[str]) -> None:
    story = Story(step_of(WINDOW, ENERGY, kind="weld"))
    run = 1
    for act in told:
        if act == "lay":
            story.lay(run)
            run += 1
        else:
            story.read(act, run=run)
    said = following(story, INTERPASS)
    state = story.state()
    story.lay(run)
    laid = judge_run(story.state(), story.step, WINDOW, run)
    if said.kind == "ready":
        assert laid.verdict == "met"
        assert story.verdict(INTERPASS) == "met"
    elif said.kind in ("heat", "wait"):
        assert laid.verdict == "not met"
    elif said.kind == "enter":
        assert laid.verdict == "not shown"
    else:
        assert any(row.judgement.verdict != "met" for row in run_rows(state, story.step) if row.run < run)


HEATED = replace(MINIMUM, evidence=Evidence(readings=2, good_for_s=40))

PREHEAT_STEP = step_of(HEATED, at=30)


@dataclass
class Heated(Story):
    """A preheat at step 30 whose readings are good for 40 s at 45 F° above the minimum, and a weld at step 40."""

    preheat: StepPlan = PREHEAT_STEP
    conflicts: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        plan = replace(plan_of(self.preheat, self.step), conflicts=self.conflicts)
        self.tell(ISSUED, {"revision": 1, "plan": plan_to_act(plan), "program": "0", "because": None})

    def heat(self, typed: str, place: str, seconds_ago: int = 0) -> None:
        act = {**self._reading(PREHEAT, typed, place, None, 1), "step": 30}
        self.tell(RECORDED, act, (AT_NOON - timedelta(seconds=seconds_ago)).isoformat())


def heated(preheat: StepPlan = PREHEAT_STEP, conflicts: tuple[str, ...] = ()) -> Heated:
    return Heated(step_of(WINDOW, ENERGY, kind="weld"), preheat=preheat, conflicts=conflicts)


def later(seconds: float) -> datetime:
    return AT_NOON + timedelta(seconds=seconds)


def before_run_1(story: Heated, at: datetime = AT_NOON) -> str:
    return next_of(story.state(), story.step, WINDOW, at).words


def test_no_arc_before_the_preheat_is_shown() -> None:
    story = heated()
    story.read("345 degF", run=1)
    assert before_run_1(story) == (
        "not ready for run 1: preheat temperature of step 30 not shown: 2 readings needed, none taken"
    )
    story.heat("345 degF", "plate")
    assert "2 readings needed, 1 taken" in before_run_1(story)
    story.heat("345 degF", "rail")
    assert before_run_1(story) == "ready for run 1"


def test_when_the_time_is_out_the_metal_is_read_again() -> None:
    story = heated()
    for place in ("plate", "rail"):
        story.heat("345 degF", place)
    preheat = next_of(story.state(), story.preheat, HEATED, later(39))
    assert preheat.kind == "done"
    assert next_of(story.state(), story.preheat, HEATED, later(41)) == Next(
        "enter", "read the preheat again before the arc"
    )
    story.read("345 degF", run=1)  # at noon, too
    assert before_run_1(story, later(39)) == "ready for run 1"
    assert before_run_1(story, later(40)) == "read the preheat again before the arc"
    story.lay(1)
    story.read("345 degF", run=2)
    assert next_of(story.state(), story.step, WINDOW, later(3600)).words == "ready for run 2"


def test_a_clock_that_was_set_back_gives_no_time() -> None:
    story = heated()
    for place in ("plate", "rail"):
        story.heat("345 degF", place)
    story.read("345 degF", run=1)
    assert before_run_1(story, later(-1)) == "read the preheat again before the arc"


def test_a_reading_at_the_minimum_leaves_no_time_for_the_arc() -> None:
    story = heated()
    for place in ("plate", "rail"):
        story.heat("300 degF", place)
    assert next_of(story.state(), story.preheat, HEATED, AT_NOON).kind == "done"  # it complies
    story.read("301 degF", run=1)
    assert before_run_1(story) == "hardly above the minimum: heat more and read again"
    story.read("330 degF", run=1)
    assert before_run_1(story) == "ready for run 1"


def test_a_hold_of_an_earlier_step_and_a_conflict_stand_against_the_arc() -> None:
    held = heated(preheat=replace(step_of(HEATED, at=30), points=(Point(1, "hold", "customer"),)))
    against = heated(conflicts=("the window is empty",))
    for story in (held, against):
        for place in ("plate", "rail"):
            story.heat("345 degF", place)
        story.read("345 degF", run=1)
    assert before_run_1(held) == "not ready for run 1: step 30: hold 1 (customer) is not released"
    assert before_run_1(against) == "not ready for run 1: conflict: the window is empty"


def test_the_list_of_runs_shows_what_counted() -> None:
    story = Story(step_of(WINDOW, ENERGY, kind="weld"))
    story.read("512 degF", run=1)
    story.read("480 degF", run=1)
    story.lay(1)
    story.read("320 degF", run=1)  # after the run: it shows nothing of it
    story.read("290 degF", run=2)
    first, second = run_rows(story.state(), story.step)
    assert first.interpass is not None
    assert (first.run, first.interpass.value, first.judgement.verdict) == (1, "480", "met")
    assert first.arc_energy is not None
    assert (second.run, second.arc_energy, second.judgement.verdict) == (2, None, "not met")
