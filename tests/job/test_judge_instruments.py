"""What the instrument says about a reading: no evidence, evidence within its uncertainty, or simply evidence.

Limits and uncertainties are constructed; the percentages are Phi(margin/u) from a table of the normal distribution.
"""

from dataclasses import replace
from fractions import Fraction
from statistics import NormalDist
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from trust_kit import (
    CONTACT,
    Job,
    heat,
    number,
    plan_with,
    preheat_step,
    state_of_probe,
    weld_step,
    words,
)

from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import INTERPASS

MODEST = settings(max_examples=80, deadline=None)
GUARD, GUARD_083, SIMPLE = "guard band", "guard band 0.83", "simple acceptance"


def job_of(requirement: Requirement, rule: str = SIMPLE, kind: str = "preheat") -> Job:
    return Job(plan_with(StepPlan(40, kind, "step", ("J1",), (requirement,))), rule)


def judged(requirement: Requirement, typed: str, rule: str = SIMPLE, **state: Any) -> tuple[str, str]:
    job = job_of(requirement, rule)
    job.read(40, typed, state=state_of_probe(**state))
    found = job.judged(40)
    return found.verdict, found.reason


@pytest.mark.parametrize(
    ("state", "why"),
    [
        ({"state": "overdue"}, "I1 probe was overdue (due 2027-01-05)"),
        ({"state": "never calibrated"}, "I1 probe was never calibrated"),
        ({"state": "withdrawn", "why": "dropped"}, "I1 probe was withdrawn: dropped"),
        ({"state": "overdue", "why": "found out of tolerance on 2026-02-01: low"},
         "I1 probe was overdue: found out of tolerance on 2026-02-01: low"),
        ({"type": "caliper"}, "I1 probe is a caliper, and contact thermometer or thermocouple is asked for"),
        ({"type": "infrared thermometer"},
         "I1 probe is an infrared thermometer, which reads bright metal far too low; a contact reading shows it"),
        ({"type": "temperature crayon"}, "I1 probe is a temperature crayon, which only melts or holds"),
        ({"range": {"from": None, "to": {"value": "150", "unit": "degC"}}},
         "310 °F is beyond the range of I1 probe, up to 150 °C"),
        ({"range": {"from": {"value": "200", "unit": "degC"}, "to": None}},
         "310 °F is below the range of I1 probe, from 200 °C"),
        ({"uncertainty": "3 mm"}, "the uncertainty of I1 probe is in mm"),
    ],
)  # fmt: skip
def test_what_cannot_be_relied_on_shows_nothing(state: dict[str, Any], why: str) -> None:
    assert judged(heat(), "310 degF", **state) == (
        "not shown",
        f"reading 1 not evaluable: {why}",
    )


@pytest.mark.parametrize("type", ["contact thermometer", "thermocouple", "recorder"])
def test_what_is_admitted_shows_it(type: str) -> None:
    assert judged(heat(), "310 degF", type=type) == ("met", "")


def test_a_recorder_is_what_thermocouples_are_read_by() -> None:
    requirement = heat(instruments=("contact thermometer",))
    assert judged(requirement, "310 degF", type="recorder")[0] == "not shown"


@pytest.mark.parametrize("type", ["infrared thermometer", "temperature crayon"])
def test_no_temperature_is_closed_by_infrared_or_one_crayon_even_where_nothing_is_asked_for(
    type: str,
) -> None:
    assert judged(heat(instruments=()), "310 degF", type=type)[0] == "not shown"


def test_other_quantities_ask_for_no_type() -> None:
    gap = number("gap", at_most="1/16 in", unit="mm")
    assert judged(gap, "1.0 mm", type="gauge", uncertainty="0.05 mm") == ("met", "")
    energy = number("arc energy", at_most="2 kJ/mm", unit="kJ/mm")
    assert judged(energy, "1.99 kJ/mm", type="other", uncertainty="3 A") == ("met", "")


def test_a_correction_was_taken_by_the_same_instrument() -> None:
    job = job_of(heat())
    job.read(40, "310 degF", state=state_of_probe(state="overdue"), ahead_of=30)
    job.correct(1, "320 degF")
    assert job.judged(40).reason == "reading 2 not evaluable: I1 probe was overdue (due 2027-01-05)"
    assert job.state.readings[-1].out_of_order == (30,)
    job.correct(2, "320 degF", state=state_of_probe("I2"))  # it was another instrument
    assert job.judged(40).verdict == "met"


@pytest.mark.parametrize("state", [{"state": "overdue"}, {"type": "infrared thermometer"}])
def test_outside_stays_outside_whatever_read_it(state: dict[str, Any]) -> None:
    job = job_of(heat())
    job.read(40, "299 degF", state=state_of_probe(**state))
    job.read(40, "350 degF", state=state_of_probe())
    assert job.judged(40).verdict == "not met"


def test_a_reading_that_is_no_evidence_is_made_up_for_by_one_that_is() -> None:
    job = job_of(heat(readings=2))
    job.read(40, "310 degF", place="web", state=state_of_probe(state="overdue"))
    job.read(40, "310 degF", place="flange", state=state_of_probe())
    assert job.judged(40).verdict == "not shown"
    job.read(40, "310 degF", place="web", state=state_of_probe("I2"))
    assert job.judged(40).verdict == "met"


def test_with_a_register_a_reading_names_its_instrument() -> None:
    job = job_of(heat())
    job.read(40, "310 degF", state=None)
    assert job.judged(40).reason == (
        "reading 1 not evaluable: it names no registered instrument (contact thermometer or thermocouple)"
    )
    job.read(40, "310 degF", state=state_of_probe())
    assert job.judged(40).verdict == "met"
    free = job_of(number("gap", at_most="1/16 in", unit="mm"))
    free.read(40, "1 mm", state=None)
    assert free.judged(40).verdict == "met"


def test_without_a_register_it_is_judged_as_before() -> None:
    job = job_of(heat())
    job.read(40, "300 degF")
    assert job.judged(40).verdict == "met"


@pytest.mark.parametrize(
    ("low", "high", "typed", "rule", "expected"),
    [
        # U = 3 F deg: w = 3 under a guard band, 2.49 under 0.83 of it. At the border a reading is inside.
        ("300 degF", None, "303 degF", SIMPLE, "met"),
        ("300 degF", None, "302.9 degF", SIMPLE, "conditional"),
        ("300 degF", None, "300 degF", SIMPLE, "conditional"),
        ("300 degF", None, "299.9 degF", SIMPLE, "not met"),
        ("300 degF", None, "303 degF", GUARD, "met"),
        ("300 degF", None, "302.99 degF", GUARD, "conditional"),
        ("300 degF", None, "302.49 degF", GUARD_083, "met"),
        ("300 degF", None, "302.48 degF", GUARD_083, "conditional"),
        (None, "500 degF", "497 degF", SIMPLE, "met"),
        (None, "500 degF", "497.1 degF", SIMPLE, "conditional"),
        (None, "500 degF", "500.1 degF", SIMPLE, "not met"),
        ("300 degF", "500 degF", "400 degF", GUARD, "met"),
        ("300 degF", "500 degF", "498 degF", GUARD, "conditional"),
        # 150 C is 302 F; 3 F deg are 5/3 C deg: 151.666... C.
        ("150 degC", None, "305 degF", SIMPLE, "met"),
        ("150 degC", None, "304.9999 degF", SIMPLE, "conditional"),
        ("150 degC", None, "151.6666 degC", SIMPLE, "conditional"),
        ("150 degC", None, "151.6667 degC", SIMPLE, "met"),
        # A range of 5 F deg leaves nothing to a guard band of 3 on each side; one of 6 leaves its middle.
        ("300 degF", "305 degF", "302 degF", SIMPLE, "conditional"),
        ("300 degF", "305 degF", "302.5 degF", GUARD, "not shown"),
        ("300 degF", "306 degF", "303 degF", GUARD, "met"),
    ],
)
def test_the_margin_against_the_uncertainty(
    low: str | None, high: str | None, typed: str, rule: str, expected: str
) -> None:
    assert judged(heat(at_least=low, at_most=high), typed, rule)[0] == expected


def test_the_sentence_of_a_conditional_verdict() -> None:
    assert judged(heat(), "301.5 degF")[1] == (
        "reading 1: 301.5 °F is inside by less than the uncertainty of I1 probe (3 F°); "
        "it complies with a probability of about 84 %"
    )
    assert judged(heat(), "300 degF")[1].endswith("with a probability of about 50 %")
    assert "less than the guard band of I1 probe (0.83 of 3 F°)" in judged(heat(), "301 degF", GUARD_083)[1]
    assert judged(heat(at_most="305 degF"), "302.5 degF", GUARD)[1] == (
        "reading 1 not evaluable: the guard band of I1 probe (3 F°) leaves nothing between 300 °F and 305 °F"
    )


def test_an_instrument_without_an_uncertainty_is_taken_at_its_word() -> None:
    assert judged(heat(), "300 degF", uncertainty=None) == ("met", "")


@pytest.mark.parametrize("rule", [GUARD, GUARD_083])
def test_under_a_guard_band_an_unknown_uncertainty_shows_nothing(rule: str) -> None:
    assert judged(heat(), "900 degF", rule, uncertainty=None) == (
        "not shown",
        f"reading 1 not evaluable: nobody stated the uncertainty of I1 probe, which the {rule} takes",
    )
    assert judged(heat(), "299 degF", rule, uncertainty=None)[0] == "not met"
    assert judged(heat(at_least=None), "300 degF", rule, uncertainty=None) == ("met", "")


@MODEST
@given(
    tenths=st.integers(2950, 3100),
    of_u=st.integers(0, 80),
    rule=st.sampled_from((SIMPLE, GUARD, GUARD_083)),
)
def test_the_verdict_is_that_of_the_exact_fractions(tenths: int, of_u: int, rule: str) -> None:
    value, uncertainty = Fraction(tenths, 10), Fraction(of_u, 10)
    factor = Fraction(83, 100) if rule == GUARD_083 else Fraction(1)
    expected = "met"
    if value < 300:
        expected = "not met"
    elif value - 300 < factor * uncertainty:
        expected = "conditional"
    typed, kept = f"{tenths / 10:.1f} degF", f"{of_u / 10:.1f} delta_degF"
    verdict, reason = judged(heat(), typed, rule, uncertainty=kept)
    assert verdict == expected
    if verdict == "conditional":
        chance = NormalDist(0, float(uncertainty) / 2).cdf(float(value) - 300)
        assert f"about {int(100 * chance + 1e-7)} %" in reason


def test_the_instrument_is_asked_before_each_run() -> None:
    job = Job(plan_with(weld_step()))
    job.read(50, "W. Two", "welder")
    job.run(1, "350 degF", state=state_of_probe())
    job.run(2, "350 degF", state=state_of_probe(state="overdue"))
    found = job.judged(50, INTERPASS)
    assert (found.verdict, found.reason) == (
        "not shown",
        "run 2, reading 4: not evaluable: I1 probe was overdue (due 2027-01-05)",
    )


def test_what_is_no_evidence_before_a_run_replaces_nothing() -> None:
    job = Job(plan_with(weld_step()))
    job.read(50, "350 degF", INTERPASS, run=1, state=state_of_probe())
    job.run(1, "340 degF", state=state_of_probe(type="infrared thermometer"))
    assert job.judged(50, INTERPASS).verdict == "met"
    job.read(50, "520 degF", INTERPASS, run=2, state=state_of_probe())
    job.run(2, "480 degF", state=state_of_probe(type="infrared thermometer"))
    found = job.judged(50, INTERPASS)
    assert (found.verdict, found.reason) == (
        "not met",
        "run 2 was laid outside the window: 520 °F is above 500 °F",
    )


def test_a_run_near_the_window_is_conditional_and_a_later_bad_one_still_counts() -> None:
    job = Job(plan_with(weld_step()))
    job.run(1, "301 degF", state=state_of_probe())
    assert job.judged(50, INTERPASS).verdict == "conditional"
    job.run(2, "350 degF", state=state_of_probe())
    assert job.judged(50, INTERPASS).verdict == "conditional"
    job.run(3, "501 degF", state=state_of_probe())
    assert job.judged(50, INTERPASS).verdict == "not met"


# Crayons: 1 % of the mark, read in F: 3 F deg at 300 F, 3.5 at 350 F (constructed).


def crayons(
    requirement: Requirement, *typed: str, rule: str = SIMPLE, kind: str = "preheat"
) -> tuple[str, str]:
    job = job_of(requirement, rule, kind)
    for text in typed:
        job.read(40, text, place="web")
    found = job.judged(40)
    return found.verdict, found.reason


@pytest.mark.parametrize(
    ("low", "high", "typed", "expected"),
    [
        ("300 degF", None, ("melts 310 degF",), "not shown"),
        ("300 degF", None, ("holds 350 degF",), "not shown"),
        ("300 degF", None, ("melts 310 degF", "holds 350 degF"), "met"),
        ("300 degF", None, ("holds 350 degF", "melts 310 degF"), "met"),
        ("300 degF", None, ("melts 303.1 degF", "holds 350 degF"), "met"),
        ("300 degF", None, ("melts 303 degF", "holds 350 degF"), "conditional"),  # 303 less 3.03
        ("300 degF", None, ("melts 300 degF", "holds 350 degF"), "conditional"),
        ("300 degF", None, ("melts 299 degF", "holds 350 degF"), "not shown"),
        ("300 degF", None, ("melts 310 degF", "holds 310 degF"), "not shown"),
        ("300 degF", None, ("melts 310 degF", "melts 350 degF"), "not shown"),
        ("300 degF", None, ("melts 250 degF", "melts 310 degF", "holds 350 degF"), "met"),
        ("300 degF", None, ("holds 300 degF",), "not met"),
        ("300 degF", None, ("holds 301 degF",), "not shown"),
        ("300 degF", None, ("holds 250 degF", "melts 310 degF", "holds 350 degF"), "not met"),
        ("300 degF", "500 degF", ("melts 310 degF", "holds 495 degF"), "met"),
        ("300 degF", "500 degF", ("melts 310 degF", "holds 496 degF"), "conditional"),  # 496 and 4.96
        ("300 degF", "500 degF", ("melts 310 degF", "holds 500 degF"), "conditional"),
        ("300 degF", "500 degF", ("melts 310 degF", "holds 525 degF"), "not shown"),
        ("300 degF", "500 degF", ("melts 525 degF",), "not met"),
        ("300 degF", "500 degF", ("melts 500 degF",), "not shown"),
        (None, "150 degF", ("holds 125 degF",), "not shown"),
        (None, "150 degF", ("holds 125 degF", "melts 113 degF"), "met"),
        # 150 C is 302 F: 1 % of that is 3.02 F deg, 1.68 C deg; the mark in C alone would say 1.5.
        ("148.4 degC", None, ("melts 150 degC", "holds 200 degC"), "conditional"),
        ("148.3 degC", None, ("melts 150 degC", "holds 200 degC"), "met"),
    ],
)
def test_what_crayons_show(low: str | None, high: str | None, typed: tuple[str, ...], expected: str) -> None:
    assert crayons(heat(at_least=low, at_most=high), *typed)[0] == expected


def test_what_a_lone_crayon_says() -> None:
    assert crayons(heat(), "melts 310 degF")[1] == (
        "reading 1 not evaluable: melts 310 °F by itself shows at least 306.9 °F; at one place "
        "one that melts at 300 °F or above and a hotter one that holds show it together"
    )
    assert crayons(heat(), "holds 300 degF")[1] == "reading 1: holds 300 °F, so it is below 300 °F"
    assert crayons(heat(at_most="500 degF"), "melts 525 degF")[1] == (
        "reading 1: melts 525 °F, which is above 500 °F"
    )


def test_two_crayons_are_at_one_place_and_time() -> None:
    job = job_of(heat())
    job.read(40, "melts 310 degF", place="web")
    job.read(40, "holds 350 degF", place="flange")
    assert job.judged(40).verdict == "not shown"
    job.clock = job.clock.replace(hour=9)
    job.read(40, "holds 350 degF", place=" Web")
    assert job.judged(40).verdict == "not shown"
    job.read(40, "melts 310 degF", place="web")
    assert job.judged(40).verdict == "met"


def test_a_pair_is_one_place_of_those_asked_for() -> None:
    job = job_of(heat(readings=2))
    job.read(40, "melts 310 degF", place="web")
    job.read(40, "holds 350 degF", place="web")
    assert job.judged(40).verdict == "not shown"
    job.read(40, "320 degF", place="flange", state=state_of_probe())
    assert job.judged(40).verdict == "met"


def test_crayons_before_a_run() -> None:
    job = Job(plan_with(weld_step()))
    job.read(50, "melts 310 degF", INTERPASS, run=1, place="bead")
    job.run(1, "holds 475 degF", place="bead")
    assert job.judged(50, INTERPASS).verdict == "met"
    job.read(50, "melts 310 degF", INTERPASS, run=2, place="bead")
    job.read(50, "1.0 kJ/mm", "arc energy", run=2)
    assert job.judged(50, INTERPASS).verdict == "not shown"


def test_a_crayon_is_no_record_of_a_stress_relief_nor_where_couples_are_asked_for() -> None:
    pair = ("melts 1150 degF", "holds 1175 degF")
    band = heat("soak temperature", "1100 degF", "1200 degF", instruments=())
    assert crayons(band, *pair, kind="stress relief")[0] == "not shown"
    assert crayons(band, *pair)[0] == "met"
    assert crayons(replace(band, evidence=heat(instruments=("thermocouple",)).evidence), *pair)[1].startswith(
        "reading 1 not evaluable: a crayon is no record of a soak temperature"
    )


def test_a_guard_band_asks_more_of_crayons_too() -> None:
    pair = ("melts 302.6 degF", "holds 350 degF")  # inside by 2.6 of 3.026; 0.83 of it is 2.512
    assert crayons(heat(), *pair, rule=GUARD)[0] == "conditional"
    assert crayons(heat(), *pair, rule=GUARD_083)[0] == "met"


def test_a_registered_crayon_that_was_withdrawn_is_no_evidence() -> None:
    job = job_of(heat())
    crayon = state_of_probe(type="temperature crayon", uncertainty=None)
    job.read(40, "melts 310 degF", place="web", state=crayon)
    job.read(40, "holds 350 degF", place="web", state={**crayon, "state": "withdrawn", "why": "wet"})
    assert job.judged(40).verdict == "not shown"
    job.read(40, "holds 350 degF", place="web", state=crayon)
    assert job.judged(40).verdict == "met"
    wrong = job_of(heat())
    wrong.read(40, "melts 310 degF", place="web", state=state_of_probe())
    assert "it is a contact thermometer" in wrong.judged(40).reason


marks = st.integers(280, 340)


@MODEST
@given(melts=st.lists(marks, max_size=3), holds=st.lists(marks, max_size=3), low=marks)
def test_crayons_never_show_more_than_their_bounds(melts: list[int], holds: list[int], low: int) -> None:
    typed = [f"melts {mark} degF" for mark in melts] + [f"holds {mark} degF" for mark in holds]
    verdict, _ = crayons(heat(at_least=f"{low} degF"), *typed)
    if any(mark <= low for mark in holds):
        assert verdict == "not met"
    elif not any(low <= melted < held for melted in melts for held in holds):
        assert verdict == "not shown"
    else:
        sure = any(Fraction(99, 100) * melted >= low and melted < held for melted in melts for held in holds)
        assert verdict == ("met" if sure else "conditional")


@pytest.mark.parametrize(
    ("answer", "expected"), [(None, "not shown"), ("stands", "met"), ("does not stand", "not shown")]
)
def test_a_questioned_reading_shows_nothing_until_it_is_answered_for(
    answer: str | None, expected: str
) -> None:
    job = job_of(heat())
    job.read(40, "320 degF", state=state_of_probe())
    job.tell("readings questioned", instrument="I1", finding="12 F low", readings=[1])
    if answer:
        job.tell("question answered", readings=[1], answer=answer, because="hot enough all the same")
    assert job.judged(40).verdict == expected
    job.tell("readings questioned", instrument="I1", finding="again", readings=[1])
    assert job.judged(40).verdict == "not shown"
    assert job.judged(40).reason.endswith("I1 was found out of tolerance (again) and nobody answered for it")


def test_a_reading_that_does_not_stand_still_counts_against() -> None:
    job = job_of(heat())
    job.read(40, "290 degF", state=state_of_probe())
    job.tell("readings questioned", instrument="I1", finding="12 F low", readings=[1])
    job.tell("question answered", readings=[1], answer="does not stand", because="broken couple")
    job.read(40, "320 degF", state=state_of_probe("I2"))
    assert job.judged(40).verdict == "not met"


def test_words_are_questioned_too() -> None:
    job = job_of(words("visual result", "accepted", options=("accepted", "rejected")), kind="inspect")
    job.read(40, "accepted")
    assert job.judged(40).verdict == "met"
    job.tell("readings questioned", instrument="I1", finding="gauge bent", readings=[1])
    assert job.judged(40).verdict == "not shown"


def test_a_step_of_the_usual_plan_admits_contact_only() -> None:
    assert preheat_step().requirements[0].evidence.instruments == CONTACT


@pytest.mark.parametrize("order", [("met", "conditional"), ("conditional", "met"), ("met", "not shown")])
def test_of_the_places_that_a_logger_read_before_a_run_the_worst_counts(order: tuple[str, str]) -> None:
    job = Job(plan_with(weld_step()))
    for verdict in order:
        act = job.reading_act(50, "350 degF", INTERPASS, run=1)
        job.tell("reading recorded", **act, chart=1, verdict=verdict, verdict_reason="as logged")
    job.read(50, "1.0 kJ/mm", "arc energy", run=1)
    expected = "not shown" if "not shown" in order else "conditional"
    assert job.judged(50, INTERPASS).verdict == expected
