"""The traveler object to look things up in: each value made once, when it is asked for, and always of its own state."""

from datetime import UTC, datetime

import pytest
from judge_kit import Story, number, step_of

from traveler.job.fold import extend, fold
from traveler.job.opened import Later, Opened
from traveler.job.view import opened_traveler, traveler_object

NOW = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)


def test_a_value_is_made_once_and_only_when_it_is_asked_for() -> None:
    made: list[str] = []
    opened = Opened({"plain": 1, "dear": Later(lambda: made.append("dear") or "value")})
    assert (list(opened), len(opened), "dear" in opened, "other" in opened, made) == (
        ["plain", "dear"], 2, True, False, [],
    )  # fmt: skip
    assert (opened["dear"], opened.get("dear"), made) == ("value", "value", ["dear"])
    assert {**opened} == {"plain": 1, "dear": "value"}
    with pytest.raises(KeyError):
        opened["other"]


def test_what_is_asked_for_later_is_that_of_the_state_that_was_opened() -> None:
    story = Story(step_of(number(at_least="300 degF")))
    story.read("310 degF")
    before = fold(story.events, "HEAD")
    opened = opened_traveler(before, NOW)
    story.read("290 degF")
    after = extend(before, story.events[-1], "HEAD")
    verdicts = [
        shown["steps"][0]["requirements"][0]["verdict"] for shown in (opened_traveler(after, NOW), opened)
    ]
    assert verdicts == ["not met", "met"]
    afresh = traveler_object(fold(story.events[:-1], "HEAD"), NOW)
    assert {**opened, "steps": [dict(step) for step in opened["steps"]]} == afresh


def test_the_whole_object_is_made_of_plain_values() -> None:
    story = Story(step_of(number(at_least="300 degF")))
    story.read("310 degF")
    found = traveler_object(fold(story.events, "HEAD"), NOW)
    assert {type(part) for part in (found, *found["steps"])} == {dict}
    assert not any(isinstance(value, Later) for part in (found, *found["steps"]) for value in part.values())
