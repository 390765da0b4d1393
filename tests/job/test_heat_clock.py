"""The time that a reading leaves until the arc: by when it was read, and never more than there is."""

from datetime import datetime, timedelta

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from judge_kit import NOON
from test_course import Heated, heated

from traveler.job.heat_clock import HeatClock, heat_clock

AT_NOON = datetime.fromisoformat(NOON)


def clock_of(story: Heated) -> HeatClock | None:
    return heat_clock(story.state(), "J1")


def both_places(story: Heated, typed: str, seconds_ago: int = 0) -> Heated:
    for place in ("plate", "rail"):
        story.heat(typed, place, seconds_ago)
    return story


def test_no_clock_runs_before_the_preheat_complies_nor_after_the_first_run() -> None:
    story = heated()
    assert clock_of(story) is None
    story.heat("345 degF", "plate")
    assert clock_of(story) is None
    story.heat("345 degF", "rail")
    assert clock_of(story) is not None
    story.lay(1)
    assert clock_of(story) is None


@pytest.mark.parametrize(
    ("typed", "seconds_ago", "left_s"),
    [
        ("345 degF", 0, 40),
        ("390 degF", 0, 40),
        ("322.5 degF", 0, 20),
        ("300 degF", 0, 0),
        ("345 degF", 15, 25),  # typed late: there is less left
        ("345 degF", 300, 0),
    ],
)
def test_the_time_runs_from_when_it_was_read(typed: str, seconds_ago: int, left_s: int) -> None:
    clock = clock_of(both_places(heated(), typed, seconds_ago))
    assert clock is not None
    assert clock.left_s(AT_NOON) == left_s


def test_the_last_reading_by_its_time_counts_and_one_before_run_1_too() -> None:
    story = both_places(heated(), "345 degF", seconds_ago=30)
    story.heat("390 degF", "plate, edge", seconds_ago=35)  # typed last, read before
    clock = clock_of(story)
    assert clock is not None
    assert clock.left_s(AT_NOON) == 10
    story.read("345 degF", run=1)
    clock = clock_of(story)
    assert clock is not None
    assert clock.left_s(AT_NOON) == 40
    story.read("290 degF", run=1)
    assert clock_of(story) is None  # too cold: there is nothing to count down


# The present is an instant, and an instant has whole microseconds: what is left is held to that very one, exactly.
@given(after=st.timedeltas(timedelta(seconds=-10_000), timedelta(seconds=10_000)), ago=st.integers(0, 600))
@example(after=timedelta(0), ago=0)
@example(after=timedelta(microseconds=1), ago=0)
@example(after=timedelta(microseconds=-1), ago=0)
def test_never_more_than_there_is(after: timedelta, ago: int) -> None:
    clock = clock_of(both_places(heated(), "345 degF", ago))
    assert clock is not None
    now = AT_NOON + after
    there_is = timedelta(seconds=40 - ago) - max(after, timedelta(0))
    assert timedelta(seconds=clock.left_s(now)) <= max(there_is, timedelta(0))
    assert not (clock.set_back(now) and clock.left_s(now))


def test_after_the_clock_was_set_back_a_new_reading_counts() -> None:
    story = both_places(heated(), "345 degF", seconds_ago=-3600)  # an hour ahead of when the next is written
    ahead = clock_of(story)
    assert ahead is not None
    assert (ahead.set_back(AT_NOON), ahead.left_s(AT_NOON)) == (True, 0)
    story.heat("345 degF", "plate")
    clock = clock_of(story)
    assert clock is not None
    assert clock.left_s(AT_NOON) == 40
