"""The fold: the same events give the same state, one by one or all at once, and odd ones are refused in words."""

import json
from copy import deepcopy

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from judge_kit import NOON, Story, number, step_of

from traveler.errors import TravelerError
from traveler.job.fold import extend, fold


def told() -> Story:
    story = Story(step_of(number(at_least="300 degF", readings=2)))
    wrong = story.read("30 degF", "web")
    story.correct(wrong, "301 degF")
    story.read("250 degF", "flange")
    story.retry(2)
    story.read("310 degF", "web", attempt=2)
    story.read("311 degF", "flange", attempt=2)
    story.perform()
    return story


def test_one_by_one_is_the_same_as_all_at_once() -> None:
    events = told().events
    for end in range(1, len(events)):
        assert extend(fold(events[:end]), events[end], "H") == fold(events[: end + 1], "H")


def test_events_survive_their_journey_as_text() -> None:
    events = told().events
    assert fold(json.loads(json.dumps(events))) == fold(events)


def test_folding_changes_no_event_and_no_earlier_state() -> None:
    events = told().events
    before = deepcopy(events)
    early = fold(events[:2])
    extend(early, events[2], "H")
    fold(events)
    assert events == before
    assert [(reading.value, reading.superseded) for reading in early.readings] == [("30", False)]


def test_a_correction_says_what_it_corrects_and_is_not_late() -> None:
    state = told().state()
    wrong, right = state.readings[:2]
    assert (wrong.superseded, wrong.superseded_by, wrong.reason) == (True, right.number, "misread")
    assert right.counts_from_seq == wrong.moment.seq
    assert right.moment.happened_at == wrong.moment.happened_at
    assert not right.is_late


def test_a_chain_of_corrections_keeps_the_first_place() -> None:
    story = Story(step_of(number(at_least="300 degF")))
    first: int | None = story.read("1 degF")
    for value in ("2", "3", "4"):
        assert first is not None
        first = story.correct(first, f"{value} degF")
    assert [r.counts_from_seq for r in story.state().readings] == [2, 2, 2, 2]
    assert [r.value for r in story.state().readings if not r.superseded] == ["4"]


@pytest.mark.parametrize(
    ("written", "late"),
    [("12:29:59", False), ("12:30:00", False), ("12:30:01", True), ("11:00:00", False)],
)
def test_late_is_more_than_half_an_hour_after(written: str, late: bool) -> None:
    story = Story(step_of(number(at_least="300 degF")))
    story.read("320 degF")
    story.events[-1]["recorded_at"] = NOON.replace("12:00:00", written)
    assert story.state().readings[0].is_late is late


def test_offsets_are_minded_when_late_is_judged() -> None:
    story = Story(step_of(number(at_least="300 degF")))
    story.read("320 degF")
    story.events[-1]["happened_at"] = "2026-03-02T06:00:00-05:00"  # the same instant as noon in +01:00
    assert not story.state().readings[0].is_late


def test_a_job_begins_with_its_traveler_and_only_once() -> None:
    events = told().events
    with pytest.raises(TravelerError, match="cannot stand here"):
        fold(events[1:])
    with pytest.raises(TravelerError, match='event 1 of job H-1: "traveler issued" cannot stand here'):
        fold([*events, events[0]])
    with pytest.raises(TravelerError, match="has no state"):
        fold([])


@pytest.mark.parametrize("kind", ["", "reading recorded ", "Reading recorded", "shop founded"])
def test_an_unknown_kind_is_refused(kind: str) -> None:
    story = told()
    story.tell(kind, {})
    with pytest.raises(TravelerError, match="cannot stand here"):
        story.state()


@settings(max_examples=40, deadline=None)
@given(values=st.permutations(("301", "250", "320", "299")))
def test_readings_of_one_attempt_commute(values: list[str]) -> None:
    story = Story(step_of(number(at_least="300 degF", readings=2)))
    for value in values:
        story.read(f"{value} degF", f"place {value}")
    assert story.verdict() == "not met"
    for reading in story.state().readings:
        if int(reading.value) < 300:
            story.correct(reading.number, None)
    assert story.verdict() == "met"
