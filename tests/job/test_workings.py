"""What was worked out of a state is kept for those that follow it, for as long as what it follows from is the same."""

from dataclasses import replace

from judge_kit import ENERGY, WINDOW, Story, number, step_of

from traveler.job.fold import extend, fold
from traveler.job.judge import judge, read_again
from traveler.job.judge_reading import all_as_judged, standing_as_judged
from traveler.job.people import deeds
from traveler.job.state import JobState
from traveler.job.workings import Workings


def asked(workings: Workings, *parts: object, answers: list[object]) -> object:
    """What is found by working out, which takes the next of the answers."""
    return workings.known("question", parts, lambda: answers.pop(0))


def test_the_same_question_is_worked_out_once() -> None:
    workings, part = Workings(), [4]
    assert [asked(workings, part, answers=[12]), asked(workings, part, answers=[])] == [12, 12]


def test_that_there_is_no_answer_is_an_answer_too() -> None:
    workings, part = Workings(), [4]
    assert [asked(workings, part, answers=[None]), asked(workings, part, answers=[])] == [None, None]


def test_what_follows_from_another_object_is_worked_out_anew_however_like_it_is() -> None:
    workings, answers = Workings(), [1, 2, 3]
    assert [asked(workings, [4], answers=answers) for _ in range(3)] == [1, 2, 3]


def grown(events: list[dict[str, object]]) -> list[JobState]:
    """The states of a job after each of its events, each made of the one before."""
    states = [fold(events[:1], "HEAD")]
    for event in events[1:]:
        states.append(extend(states[-1], event, "HEAD"))
    return states


def everything(state: JobState) -> list[object]:
    """All that is kept of a state and can be asked of it, of each requirement in turn."""
    told: list[object] = [deeds(state), state.runs_recorded("J1")]
    for step in state.plan.steps:
        for requirement in step.requirements:
            for ask in (judge, all_as_judged, standing_as_judged, read_again):
                told.append(ask(state, step, requirement))
    return told


def welded() -> Story:
    story = Story(step_of(number(at_least="300 degF"), WINDOW, ENERGY))
    before = story.read("310 degF", place="rim")
    story.read("350 degF", run=1, of=WINDOW.quantity)
    story.read("360 degF", run=1, of=WINDOW.quantity)
    first = story.lay(1)
    story.read("320 degF", place="hub")  # after the run was laid: shows nothing
    story.read("290 degF", run=2, of=WINDOW.quantity)
    story.correct(before, "311 degF")
    story.lay(2)
    story.correct(first, None)
    story.retry(2)
    story.read("330 degF", place="rim", attempt=2)
    story.perform(runs=2)
    return story


def test_a_state_made_of_others_says_what_one_from_the_first_event_says() -> None:
    story = welded()
    for count, state in enumerate(grown(story.events), start=1):
        assert everything(state) == everything(fold(story.events[:count], "HEAD")), count


def test_what_was_asked_of_a_later_state_is_not_what_an_earlier_one_says() -> None:
    story = welded()
    states = grown(story.events)
    for state in reversed(states):
        everything(state)
    for count, state in enumerate(states, start=1):
        assert everything(state) == everything(replace(state, workings=Workings())), count


def test_one_more_reading_is_judged_though_the_state_before_was() -> None:
    step = step_of(number(at_least="300 degF"))
    story = Story(step)
    story.read("310 degF")
    story.read("290 degF")
    _, before, after = grown(story.events)
    verdicts = [judge(state, step, step.requirements[0]).verdict for state in (before, after, before)]
    assert verdicts == ["met", "not met", "met"]


def test_a_reading_elsewhere_has_nothing_judged_anew() -> None:
    step = step_of(number(at_least="300 degF"), number("distance", at_least="75 mm", unit="mm"))
    story = Story(step)
    story.read("310 degF")
    story.read("80 mm", of="distance")
    _, before, after = grown(story.events)
    (of_before, _), (of_after, _) = (
        [all_as_judged(state, state.plan.steps[0], limit) for limit in state.plan.steps[0].requirements]
        for state in (before, after)
    )
    assert of_before is of_after
