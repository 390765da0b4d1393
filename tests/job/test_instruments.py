"""Instruments: whether they could be relied on at an instant, and what a finding puts in question."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from register_kit import ShopStory
from trust_kit import Job, plan_with, preheat_step, state_of_probe

from traveler.job.instrument import instrument_state, readings_since_last_good, state_on


def noon(text: str, offset: str = "+01:00") -> datetime:
    return datetime.fromisoformat(f"{text}T12:00:00{offset}")


def shop(**more: Any) -> ShopStory:
    """A probe calibrated twice."""
    story = ShopStory()
    story.instrument(**more)
    story.calibrated("I1", "2025-01-10", "2026-01-10", uncertainty="5 delta_degF")
    story.calibrated("I1", "2026-02-01", "2027-02-01")
    return story


@pytest.mark.parametrize(
    ("on", "expected"),
    [
        ("2025-01-09", "never calibrated"),
        ("2025-01-10", "in calibration"),
        ("2026-01-10", "in calibration"),  # the due day itself is inside
        ("2026-01-11", "overdue"),
        ("2026-01-31", "overdue"),
        ("2026-02-01", "in calibration"),
        ("2027-02-01", "in calibration"),
        ("2027-02-02", "overdue"),
    ],
)
def test_in_calibration_from_its_day_to_the_end_of_the_due_day(on: str, expected: str) -> None:
    assert state_on(shop().register.instruments[0], noon(on)) == expected


def test_the_day_is_that_of_the_instants_own_offset() -> None:
    probe = shop().register.instruments[0]
    late = datetime.fromisoformat("2026-01-10T23:30:00-05:00")  # the eleventh in London
    assert state_on(probe, late) == "in calibration"


def test_the_latest_calibration_by_its_day_counts_and_not_by_its_entry() -> None:
    story = shop()
    story.calibrated("I1", "2024-01-01", "2030-01-01")  # an old certificate entered late
    assert state_on(story.register.instruments[0], noon("2026-01-15")) == "overdue"


def test_withdrawn_from_then_on() -> None:
    story = shop()
    story.tell("instrument withdrawn", "2026-06-01T10:00:00+02:00", instrument="I1", because="dropped")
    probe = story.register.instruments[0]
    assert state_on(probe, datetime.fromisoformat("2026-06-01T09:59:59+02:00")) == "in calibration"
    assert state_on(probe, datetime.fromisoformat("2026-06-01T10:00:00+02:00")) == "withdrawn"
    assert instrument_state(probe, noon("2026-07-01"))["why"] == "dropped"


@pytest.mark.parametrize(
    ("on", "expected"),
    [
        ("2026-01-31", "overdue"),
        ("2026-02-01", "overdue"),  # since the last good calibration, its own day included
        ("2026-05-31", "overdue"),
        ("2026-06-15", "overdue"),
        ("2026-07-01", "in calibration"),  # calibrated again
    ],
)
def test_found_out_of_tolerance_it_is_not_relied_on_since_the_last_good_calibration(
    on: str, expected: str
) -> None:
    story = shop()
    story.found_out("I1", "2026-06-01", since="2026-02-01")
    story.calibrated("I1", "2026-07-01", "2027-07-01")
    probe = story.register.instruments[0]
    assert state_on(probe, noon(on)) == expected
    if on == "2026-06-15":
        assert (
            instrument_state(probe, noon(on))["why"] == "found out of tolerance on 2026-06-01: reads 12 F low"
        )


def test_a_crayon_is_good_as_it_was_made() -> None:
    story = ShopStory()
    story.instrument("300 F crayon", "temperature crayon", None)
    assert state_on(story.register.instruments[0], noon("2026-01-15")) == "in calibration"
    story.calibrated("I1", "2026-01-01", "2026-06-01")  # the batch's own date
    assert state_on(story.register.instruments[0], noon("2026-06-02")) == "overdue"


def test_what_a_reading_keeps() -> None:
    story = shop(range=("0 degC", "400 degC"))
    probe = story.register.instruments[0]
    assert instrument_state(probe, noon("2025-06-01")) == {
        "instrument": "I1",
        "name": "contact probe",
        "type": "contact thermometer",
        "uncertainty": {"value": "5", "unit": "delta_degF"},  # that calibration's own
        "calibrated": "2025-01-10",
        "due": "2026-01-10",
        "certificate": "C-1",
        "state": "in calibration",
        "range": {"from": {"value": "0", "unit": "degC"}, "to": {"value": "400", "unit": "degC"}},
    }
    now = instrument_state(probe, noon("2026-03-01"))
    assert (now["uncertainty"], now["due"]) == ({"value": "3", "unit": "delta_degF"}, "2027-02-01")
    never = instrument_state(probe, noon("2024-12-31"))
    assert (never["calibrated"], never["due"], never["state"]) == (None, None, "never calibrated")


def test_a_finding_lists_every_reading_since_the_last_good_calibration() -> None:
    story = shop()
    story.instrument("other probe")
    frozen = {number: state_of_probe(number) for number in ("I1", "I2")}
    jobs = [Job(replace(plan_with(preheat_step()), number=number)) for number in ("H-1", "H-2", "H-3")]
    first, second, third = jobs
    first.read(40, "320 degF", state=frozen["I1"], happened=noon("2026-01-31"))
    mistake = first.read(40, "32 degF", state=frozen["I1"], happened=noon("2026-02-01"))
    first.correct(mistake, None)
    first.read(40, "320 degF", state=frozen["I2"], happened=noon("2026-03-01"))
    first.read(40, "320 degF", happened=noon("2026-03-01"))
    first.read(40, "320 degF", state=frozen["I1"], happened=noon("2026-05-01"))
    second.read(40, "320 degF", state=frozen["I2"], happened=noon("2026-03-01"))
    third.read(40, "320 degF", state=frozen["I1"], happened=noon("2026-08-01"))
    story.found_out("I1", "2026-06-01", since="2026-02-01")
    (found,) = story.register.instruments[0].found_out
    states = [job.state for job in jobs]
    # Read after the finding, while nobody knew of it: in question as well.
    listed = readings_since_last_good(story.register.instruments[0], found, states)
    assert listed == [("H-1", (2, 5)), ("H-3", (1,))]
    story.calibrated("I1", "2026-07-01", "2027-07-01")
    assert readings_since_last_good(story.register.instruments[0], found, states) == [("H-1", (2, 5))]


@settings(max_examples=80, deadline=None)
@given(
    calibrated=st.lists(st.integers(0, 400), max_size=3),
    good_for=st.integers(0, 200),
    on=st.integers(0, 600),
)
def test_in_calibration_only_between_a_calibration_and_its_due_day(
    calibrated: list[int], good_for: int, on: int
) -> None:
    start = date(2025, 1, 1)
    story = ShopStory()
    story.instrument()
    for made in calibrated:
        day = start + timedelta(days=made)
        story.calibrated("I1", day.isoformat(), (day + timedelta(days=good_for)).isoformat())
    made_before = [made for made in calibrated if made <= on]
    expected = "never calibrated"
    if made_before:
        expected = "in calibration" if on <= max(made_before) + good_for else "overdue"
    found = state_on(story.register.instruments[0], noon((start + timedelta(days=on)).isoformat()))
    assert found == expected
