"""Run by run: the last temperature before a run counts, one after it shows nothing, a correction keeps its place."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from judge_kit import ENERGY, WINDOW, Story, step_of

from traveler.job.judge import next_run
from traveler.job.state import ARC_ENERGY, INTERPASS


@pytest.fixture
def story() -> Story:
    return Story(step_of(WINDOW, ENERGY, kind="weld"))


def test_nothing_is_shown_before_the_first_run(story: Story) -> None:
    assert story.verdict(INTERPASS) == story.verdict(ARC_ENERGY) == "not shown"
    story.read("320 degF", run=1)
    assert story.judged(INTERPASS).reason == "ready for run 1; no run of weld recorded yet"
    story.lay(1)
    assert story.verdict(INTERPASS) == story.verdict(ARC_ENERGY) == "met"


def test_too_hot_before_a_run_is_waited_out(story: Story) -> None:
    story.read("650 degF", run=1)
    assert story.verdict(INTERPASS) == "not met"
    story.read("480 degF", run=1)
    assert story.verdict(INTERPASS) == "not shown"  # inside, but no run yet
    story.lay(1)
    assert story.verdict(INTERPASS) == "met"


def test_the_last_before_the_run_counts_even_where_an_earlier_one_was_good(story: Story) -> None:
    story.read("320 degF", run=1)
    story.read("290 degF", run=1)
    story.lay(1)
    assert story.judged(INTERPASS).reason == "run 1 was laid outside the window: 290 °F is below 300 °F"
    story.read("320 degF", run=1)
    assert story.verdict(INTERPASS) == "not met"


def test_a_reading_after_its_run_shows_nothing_but_still_condemns(story: Story) -> None:
    story.lay(1)
    story.read("320 degF", run=1)
    assert story.judged(INTERPASS).reason == "run 1: no interpass temperature recorded before the run"
    story.read("700 degF", run=1)
    assert story.verdict(INTERPASS) == "not met"


def test_a_correction_keeps_the_place_of_what_it_corrects(story: Story) -> None:
    wrong = story.read("32 degF", run=1)
    story.lay(1)
    assert story.verdict(INTERPASS) == "not met"
    right = story.correct(wrong, "320 degF")
    assert story.verdict(INTERPASS) == "met"
    assert right is not None
    again = story.correct(right, "299 degF")
    assert story.verdict(INTERPASS) == "not met"
    assert again is not None
    story.correct(again, None)
    assert story.verdict(INTERPASS) == "not shown"


def test_a_correction_does_not_become_the_last_one_before_the_run(story: Story) -> None:
    first = story.read("700 degF", run=1)
    story.read("290 degF", run=1)
    story.lay(1)
    story.correct(first, "400 degF")
    assert story.verdict(INTERPASS) == "not met"


def test_a_run_stays_where_it_was_first_recorded(story: Story) -> None:
    laid = story.lay(1)
    story.read("320 degF", run=1)
    story.lay(1)
    assert story.verdict(INTERPASS) == "not shown"
    story.correct(laid, "1.1 kJ/mm")
    assert story.state().runs_recorded("J1") == {1: 2}
    assert story.verdict(INTERPASS) == "not shown"


def test_every_run_signed_for_is_asked_for(story: Story) -> None:
    story.read("320 degF", run=1)
    story.lay(1)
    story.perform(runs=2)
    assert story.judged(INTERPASS).reason == "run 2: no interpass temperature recorded before the run"
    assert story.judged(ARC_ENERGY).reason == "run 2: no arc energy recorded"
    story.read("320 degF", run=2)
    story.lay(2)
    assert story.verdict(INTERPASS) == story.verdict(ARC_ENERGY) == "met"


def test_a_run_left_out_between_two_is_asked_for_once_signed(story: Story) -> None:
    for run in (1, 3):
        story.read("320 degF", run=run)
        story.lay(run)
    story.perform(runs=3)
    assert story.judged(INTERPASS).reason.startswith("run 2:")
    assert next_run(story.state(), "J1") == 4


def test_signing_no_runs_shows_nothing(story: Story) -> None:
    story.read("320 degF", run=1)
    story.perform(runs=0)
    assert story.verdict(INTERPASS) == story.verdict(ARC_ENERGY) == "not shown"


def test_a_run_taken_back_is_no_run(story: Story) -> None:
    story.read("320 degF", run=1)
    laid = story.lay(1)
    story.correct(laid, None)
    assert story.verdict(INTERPASS) == "not shown"
    assert next_run(story.state(), "J1") == 1


@settings(max_examples=80, deadline=None)
@given(
    entries=st.lists(
        st.tuples(st.sampled_from((200, 299, 300, 400, 500, 501)), st.integers(1, 2), st.booleans()),
        max_size=9,
    )
)
def test_met_only_if_each_run_followed_a_last_good_temperature(entries: list[tuple[int, int, bool]]) -> None:
    """Told along with the entries, in plain words; nothing of the judge's is used."""
    story = Story(step_of(WINDOW, ENERGY, kind="weld"))
    last: dict[int, int] = {}
    laid_at: dict[int, int | None] = {}
    read_after: list[int] = []
    for value, run, lays in entries:
        if lays:
            story.lay(run)
            laid_at.setdefault(run, last.get(run))
        else:
            story.read(f"{value} degF", run=run)
            last[run] = value
            if run in laid_at:
                read_after.append(value)
    pending = [value for run, value in last.items() if run not in laid_at]
    shown = [value for value in laid_at.values() if value is not None]
    complies = (
        bool(laid_at)
        and len(shown) == len(laid_at)
        and all(300 <= value <= 500 for value in (*shown, *read_after, *pending))
    )
    assert (story.verdict(INTERPASS) == "met") == complies
