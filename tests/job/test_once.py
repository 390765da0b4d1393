"""What is worked out of a state is kept with that state, and with no other."""

from dataclasses import dataclass, field, replace
from typing import Any

from judge_kit import Story, number, step_of

from traveler.job.judge import judge
from traveler.job.once import once_a_state


@dataclass(frozen=True)
class Counted:
    """A state with the list of what was asked of it."""

    size: int
    asked: list[object] = field(default_factory=list, compare=False)
    worked_out: dict[Any, Any] = field(default_factory=dict, init=False, compare=False)


@once_a_state
def times(state: Counted, factor: list[int]) -> int | None:
    state.asked.append(factor)
    return state.size * factor[0] or None


def test_the_same_question_is_worked_out_once() -> None:
    state, factor = Counted(3), [4]
    assert [times(state, factor), times(state, factor)] == [12, 12]
    assert state.asked == [[4]]


def test_that_there_is_no_answer_is_an_answer_too() -> None:
    state, factor = Counted(3), [0]
    assert [times(state, factor), times(state, factor)] == [None, None]
    assert len(state.asked) == 1


def test_another_object_is_another_question_however_like_it_is() -> None:
    state = Counted(3)
    assert [times(state, [number]) for number in (1, 2, 1, 5)] == [3, 6, 3, 15]
    assert len(state.asked) == 4


def test_a_state_made_of_another_begins_with_nothing() -> None:
    state, factor = Counted(3), [4]
    times(state, factor)
    later = replace(state, size=5)
    assert (times(later, factor), times(state, factor)) == (20, 12)


def test_one_more_reading_is_judged_though_the_state_before_was() -> None:
    step = step_of(number(at_least="300 degF"))
    (limit,) = step.requirements
    story = Story(step)
    story.read("310 degF")
    before = story.state()
    assert judge(before, step, limit).verdict == "met"
    story.read("290 degF")
    assert judge(story.state(), step, limit).verdict == "not met"
    assert judge(before, step, limit).verdict == "met"
