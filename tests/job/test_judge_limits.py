"""Readings against limits: exact at the limit in either unit, never better by a later or a warmer entry."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from judge_kit import Story, number, step_of

from traveler.job.judge import outside, reading_verdict
from traveler.job.requirement import Requirement

MODEST = settings(max_examples=80, deadline=None)


def single(requirement: Requirement, *typed: str, place: str | None = None) -> str:
    story = Story(step_of(requirement))
    for text in typed:
        story.read(text, place)
    return story.verdict()


@pytest.mark.parametrize(
    ("at_least", "at_most", "typed", "expected"),
    [
        # degC = (degF - 32) / 1.8 exactly (NIST SP 811, appendix B): 446 F is 230 C, 302 F is 150 C.
        (None, "230 degC", "446 degF", "met"),
        (None, "230 degC", "447 degF", "not met"),
        (None, "230 degC", "446.1 degF", "not met"),
        (None, "446 degF", "230 degC", "met"),
        (None, "446 degF", "231 degC", "not met"),
        # 300 F is 148.888... C, with no end.
        ("300 degF", None, "300 degF", "met"),
        ("300 degF", None, "299 degF", "not met"),
        ("300 degF", None, "148.8 degC", "not met"),
        ("300 degF", None, "148.9 degC", "met"),
        ("300 degF", None, "148.8888888888888888888888888 degC", "not met"),
        ("300 degF", None, "148.8888888888888888888888889 degC", "met"),
        (None, "300 degF", "148.8888888888888888888888888 degC", "met"),
        (None, "300 degF", "148.8888888888888888888888889 degC", "not met"),
        ("150 degC", None, "302 degF", "met"),
        ("150 degC", None, "301 degF", "not met"),
        ("150 degC", None, "301.9 degF", "not met"),
        # 595 C is 1103 F exactly; UCS-56 prints 1100 F beside 595 C, and 1100 F is 593.33 C.
        ("595 degC", None, "1103 degF", "met"),
        ("595 degC", None, "1102 degF", "not met"),
        ("595 degC", None, "1100 degF", "not met"),
        ("1100 degF", None, "594 degC", "met"),
        ("1100 degF", None, "593 degC", "not met"),
        ("595 degC", "595 degC", "1103 degF", "met"),
        ("-40 degC", "-40 degC", "-40 degF", "met"),
        # An empty window takes nothing.
        ("400 degF", "350 degF", "400 degF", "not met"),
        ("400 degF", "350 degF", "350 degF", "not met"),
        ("400 degF", "350 degF", "375 degF", "not met"),
    ],
)
def test_exact_at_the_limit(at_least: str | None, at_most: str | None, typed: str, expected: str) -> None:
    assert single(number(at_least=at_least, at_most=at_most), typed) == expected


@pytest.mark.parametrize(
    ("at_least", "at_most", "unit", "typed", "expected"),
    [
        # 1 in = 25.4 mm exactly (NIST SP 811).
        (None, "1/16 in", "mm", "1.5875 mm", "met"),
        (None, "1/16 in", "mm", "1.5876 mm", "not met"),
        ("48 h", None, "h", "2880 min", "met"),
        ("48 h", None, "h", "172799 s", "not met"),
        (None, "400 delta_degF/h", "delta_degC/h", "222.2 delta_degC/h", "met"),
        (None, "400 delta_degF/h", "delta_degC/h", "222.3 delta_degC/h", "not met"),
        (None, "350 HV", "HV", "350 HV", "met"),
        (None, "350 HV", "HV", "351 HV", "not met"),
    ],
)
def test_exact_in_other_measures(
    at_least: str | None, at_most: str | None, unit: str, typed: str, expected: str
) -> None:
    assert single(number("other", at_least, at_most, unit=unit), typed) == expected


def degrees(symbol: str, whole: int, tenths: int) -> tuple[str, Fraction]:
    """Text of a temperature and its exact Celsius, worked out here."""
    value = Fraction(10 * whole + tenths, 10)
    return f"{whole}.{tenths} {symbol}", value if symbol == "degC" else (value - 32) * Fraction(5, 9)


symbols = st.sampled_from(("degC", "degF"))
temperatures = st.builds(degrees, symbols, st.integers(0, 1300), st.integers(0, 9))


@MODEST
@given(limit=temperatures, reading=temperatures, is_minimum=st.booleans())
def test_the_verdict_is_that_of_the_exact_fractions(
    limit: tuple[str, Fraction], reading: tuple[str, Fraction], is_minimum: bool
) -> None:
    requirement = number(at_least=limit[0]) if is_minimum else number(at_most=limit[0])
    complies = reading[1] >= limit[1] if is_minimum else reading[1] <= limit[1]
    assert single(requirement, reading[0]) == ("met" if complies else "not met")


@MODEST
@given(limit=temperatures, one=temperatures, other=temperatures, second=temperatures)
def test_hotter_never_breaks_a_minimum_nor_colder_a_maximum(
    limit: tuple[str, Fraction],
    one: tuple[str, Fraction],
    other: tuple[str, Fraction],
    second: tuple[str, Fraction],
) -> None:
    cold, hot = sorted((one, other), key=lambda pair: pair[1])
    for requirement, better, worse in (
        (number(at_least=limit[0], readings=2), hot, cold),
        (number(at_most=limit[0], readings=2), cold, hot),
    ):
        story = Story(step_of(requirement))
        story.read(second[0], "web")
        reading = story.read(worse[0], "flange")
        before = story.verdict()
        story.correct(reading, better[0])
        assert (before, story.verdict()) in {("met", "met"), ("not met", "met"), ("not met", "not met")}


@MODEST
@given(
    bad=st.integers(0, 298),
    good=st.lists(st.integers(300, 900), min_size=1, max_size=6),
    at=st.integers(0, 6),
)
def test_no_number_of_good_readings_outweighs_a_bad_one(bad: int, good: list[int], at: int) -> None:
    story = Story(step_of(number(at_least="300 degF", readings=2)))
    at = min(at, len(good))
    for place, value in enumerate([*good[:at], bad, *good[at:]]):
        story.read(f"{value} degF", f"place {place}")
    assert story.verdict() == "not met"


@pytest.mark.parametrize(
    ("places", "expected"),
    [
        (("web", "flange"), "met"),
        (("web",), "not shown"),
        (("web", "web"), "not shown"),
        (("web", "WEB  "), "not shown"),
        (("lower web", " lower  Web", "lower web"), "not shown"),
        (("web", None), "not shown"),
        ((None, None, None), "not shown"),
        (("web", None, "flange"), "met"),
    ],
)
def test_two_readings_are_at_two_named_places(places: tuple[str | None, ...], expected: str) -> None:
    story = Story(step_of(number(at_least="300 degF", readings=2)))
    for place in places:
        story.read("320 degF", place)
    assert story.verdict() == expected


def test_too_few_is_not_shown_and_too_cold_is_said_first() -> None:
    story = Story(step_of(number(at_least="300 degF", readings=2)))
    assert story.judged().reason == "2 readings needed, none taken"
    story.read("299 degF", "web")
    assert story.verdict() == "not met"


def test_a_superseded_reading_does_not_count_either_way() -> None:
    story = Story(step_of(number(at_least="300 degF", readings=2)))
    cold = story.read("30 degF", "web")
    story.read("320 degF", "flange")
    assert story.verdict() == "not met"
    warm = story.correct(cold, "330 degF")
    assert story.verdict() == "met"
    assert warm is not None
    story.correct(warm, None)
    assert story.verdict() == "not shown"


def test_an_attempt_is_judged_by_its_own_readings() -> None:
    story = Story(step_of(number(at_least="300 degF", readings=2)))
    story.read("320 degF", "web")
    cold = story.read("250 degF", "flange")
    story.retry(2)
    assert story.verdict() == "not shown"
    story.read("310 degF", "web", attempt=2)
    assert story.verdict() == "not shown"
    story.correct(cold, "200 degF")  # of the attempt before: it stays there
    story.read("310 degF", "flange", attempt=2)
    assert story.verdict() == "met"
    story.read("299 degF", "web", attempt=2)
    assert story.verdict() == "not met"


@MODEST
@given(values=st.lists(temperatures, max_size=4), high=st.one_of(st.none(), temperatures))
def test_a_limit_that_is_not_determined_is_never_met(
    values: list[tuple[str, Fraction]], high: tuple[str, Fraction] | None
) -> None:
    requirement = number(at_most=high[0] if high else None, undetermined=True)
    story = Story(step_of(requirement))
    for place, (text, _) in enumerate(values):
        story.read(text, f"place {place}")
    assert story.verdict() == "not shown"
    assert {reading_verdict(requirement, reading) for reading in story.state().readings} <= {"not shown"}


def test_words_comply_without_regard_to_case_and_spacing() -> None:
    text = Requirement("heat number", "text", joint="J1", accepts=("A 7731",))
    assert single(text, "a-7731") == "not met"
    any_text = replace(text, accepts=())
    assert single(any_text, "whatever") == "met"
    assert single(any_text) == "not shown"
    choice = Requirement("metal dry", "choice", joint="J1", options=("yes", "no"), accepts=("yes",))
    assert single(choice, "yes") == "met"
    assert single(choice, "yes", "no") == "not met"
    story = Story(step_of(text))
    story.read("A")
    (reading,) = story.state().readings
    assert outside(text, reading._replace(value=" a  7731 ")) == ""


def test_words_where_a_number_is_asked_for_do_not_comply() -> None:
    assert single(number(at_least="300 degF"), "hot") == "not met"
