"""Questioned readings answered for, and requirements that do not apply: by whom, and no way round a bad reading."""

from dataclasses import replace

import pytest
from trust_kit import (
    CARL,
    EVA,
    INES,
    OLGA,
    WANDA,
    WIM,
    Job,
    heat,
    inspect_step,
    plan_with,
    preheat_step,
    state_of_probe,
    weld_step,
    words,
)

from traveler.job.gate import AnswerQuestion, SetNotApplicable
from traveler.job.person import Person
from traveler.job.requirement import StepPlan
from traveler.job.state import PREHEAT

DEPTH = words("torque")
ASSEMBLY = StepPlan(70, "assemble", "assemble", ("J1",), (DEPTH, heat("metal temperature")))


def accepted() -> Job:
    job = Job(plan_with(preheat_step(), inspect_step()))
    job.read(40, "320 degF", state=state_of_probe())
    job.perform(40)
    assert job.accept(40).granted
    return job


def test_a_question_opens_an_accepted_step_until_it_is_answered() -> None:
    job = accepted()
    job.question(1)
    assert not job.stands(40)
    reasons = job.accept(40).reasons
    assert (
        "reading 1 is in question: I1 was found out of tolerance (12 F low) and nobody answered for it"
        in reasons
    )
    assert reasons[0].startswith("preheat temperature not shown: reading 1 not evaluable: I1 was found out")
    assert job.answer(1).granted
    assert job.accept(40).granted


def test_one_that_does_not_stand_is_made_up_for() -> None:
    job = accepted()
    job.question(1)
    assert job.answer(1, stands=False).granted
    assert job.accept(40).reasons == (
        "preheat temperature not shown: reading 1 not evaluable: it does not stand: looked into it",
    )
    job.read(40, "320 degF", state=state_of_probe("I2"))
    assert job.accept(40).granted


def test_a_question_waits_for_its_answer_even_where_others_show_it() -> None:
    job = accepted()
    job.read(40, "330 degF", state=state_of_probe("I2"))
    job.question(1)
    assert job.accept(40).reasons == (
        "reading 1 is in question: I1 was found out of tolerance (12 F low) and nobody answered for it",
    )


def test_a_correction_is_in_question_as_what_it_corrects() -> None:
    job = accepted()
    job.question(1)
    job.correct(1, "321 degF")
    assert "reading 2 is in question" in " ".join(job.accept(40).reasons)
    job.correct(2, "322 degF")
    assert "reading 3 is in question" in " ".join(job.accept(40).reasons)
    assert job.answer(3).granted
    assert job.accept(40).granted


def test_only_what_is_in_question_is_answered_for_and_once() -> None:
    job = accepted()
    assert job.answer(1).reasons == ("reading 1 is not in question",)
    assert job.may(AnswerQuestion(()), INES).reasons == ("no reading is named",)
    job.question(1)
    assert job.answer(1).granted
    assert job.answer(1).reasons == ("reading 1 is not in question",)
    job.question(1, finding="worse than thought")
    assert job.answer(1).granted


@pytest.mark.parametrize(
    ("by", "allowed"),
    [(INES, True), (EVA, True), (OLGA, True), (CARL, False), (WIM, False), (Person("Anybody"), True)],
)
def test_who_may_answer(by: Person, allowed: bool) -> None:
    job = accepted()
    job.question(1)
    assert job.answer(1, by=by).granted is allowed


def test_who_did_the_work_does_not_answer_for_it() -> None:
    job = accepted()
    job.question(1)
    assert job.answer(1, by=replace(WANDA, roles=("engineer",))).reasons == (
        "Wanda Zoë performed this step; another person must answer for its readings",
    )


def test_readings_of_a_closed_job_are_answered_for_too() -> None:
    job = accepted()
    job.read(60, "accepted")
    job.perform(60)
    job.accept(60)
    assert job.close().granted
    job.question(1)
    assert job.state.closed is not None
    assert not job.stands(40)
    assert not job.nonconforming(1).granted
    assert job.answer(1).granted


def assembly() -> Job:
    job = Job(plan_with(ASSEMBLY, decides="Dora Decider"))
    job.read(70, "70 degF", "metal temperature", state=state_of_probe(uncertainty=None))
    return job


def cool_enough() -> Job:
    step = StepPlan(70, "assemble", "assemble", ("J1",), (DEPTH, heat("metal temperature", "60 degF")))
    job = Job(plan_with(step, decides="Dora Decider"))
    job.read(70, "70 degF", "metal temperature", state=state_of_probe())
    job.perform(70)
    return job


def test_a_requirement_that_does_not_apply_is_settled_and_stays_not_shown() -> None:
    job = cool_enough()
    assert job.accept(70).reasons == ("torque not shown: nothing recorded yet",)
    assert job.not_applicable(70, "torque").granted
    found = job.judged(70, "torque")
    assert (found.verdict, found.settled) == (
        "not shown",
        "not applicable: no such thing here (Eva Lindqvist)",
    )
    assert job.accept(70).granted
    assert job.state.accepted[-1].verdicts == {"70.torque": "not shown", "70.metal temperature": "met"}


@pytest.mark.parametrize(
    ("by", "allowed"),
    [
        (EVA, True),
        (OLGA, True),
        (INES, False),
        (WIM, False),
        (CARL, False),
        (Person("Dora  DECIDER", "signed", "P9", ("inspector",)), True),
        (Person("Anybody"), True),
        (Person("wanda zoë"), False),  # she did the work
        (replace(WANDA, roles=("engineer",)), False),
    ],
)
def test_who_may_say_that_it_does_not_apply(by: Person, allowed: bool) -> None:
    assert cool_enough().not_applicable(70, "torque", by).granted is allowed


def test_it_is_no_way_round_a_reading_that_is_outside() -> None:
    job = assembly()
    assert job.not_applicable(70, "metal temperature").reasons == (
        "reading 1 is outside: that takes a nonconformance",
    )
    assert job.not_applicable(70, "torque").granted
    job = Job(plan_with(preheat_step()))
    assert job.not_applicable(40, PREHEAT).granted
    job.read(40, "299 degF")
    job.perform(40)
    assert job.accept(40).reasons == ("preheat temperature not met: reading 1: 299 °F is below 300 °F",)


def test_it_is_about_the_limit_there_was() -> None:
    job = Job(plan_with(preheat_step()))
    job.perform(40)
    job.not_applicable(40, PREHEAT)
    assert job.not_applicable(40, PREHEAT).reasons == ("preheat temperature is said not to apply already",)
    assert job.accept(40).granted
    job.revise(plan_with(preheat_step(at_least="400 degF")))
    assert job.accept(40).reasons == ("preheat temperature not shown: nothing recorded yet",)
    assert job.not_applicable(40, PREHEAT).granted
    assert job.accept(40).granted


def test_a_reading_recorded_all_the_same_is_judged() -> None:
    job = Job(plan_with(preheat_step()))
    job.not_applicable(40, PREHEAT)
    job.read(40, "320 degF")
    assert (job.judged(40).verdict, job.judged(40).settled) == ("met", "")


def test_a_reading_recorded_all_the_same_that_is_no_evidence_takes_it_back() -> None:
    job = Job(plan_with(preheat_step()))
    job.not_applicable(40, PREHEAT)
    assert job.judged(40).settled
    job.read(40, "320 degF", state=state_of_probe(state="overdue"))
    assert (job.judged(40).verdict, job.judged(40).settled) == ("not shown", "")
    # It may be said again of what is there now.
    assert job.not_applicable(40, PREHEAT).granted
    assert job.judged(40).settled


def test_what_was_let_stand_and_is_put_in_question_after_that_stands_no_more() -> None:
    job = Job(plan_with(preheat_step(), inspect_step()))
    job.read(40, "295 degF", state=state_of_probe())
    job.perform(40)
    job.disposed("use as is", 1)
    assert job.accept(40).granted
    job.question(1, finding="30 F high")
    assert not job.accept(40).granted
    assert job.answer(1, stands=False).granted
    assert job.accept(40).reasons == ("preheat temperature not met: reading 1: 295 °F is below 300 °F",)
    # It was 265 F: somebody answers for that, or not.
    job.disposed("use as is", 1)
    assert job.accept(40).granted


def test_what_was_let_stand_still_stands_where_the_answer_is_that_it_does() -> None:
    job = Job(plan_with(preheat_step(), inspect_step()))
    job.read(40, "295 degF", state=state_of_probe())
    job.perform(40)
    job.disposed("use as is", 1)
    job.question(1)
    assert job.answer(1).granted
    assert job.accept(40).granted


def test_it_is_about_a_requirement_there_is() -> None:
    job = Job(plan_with(weld_step()))
    assert job.may(SetNotApplicable((50, "hardness", "J1")), EVA).reasons == ("step 50 has no hardness",)
    assert job.may(SetNotApplicable((51, "welder", "J1")), EVA).reasons == ("step 51 has no welder",)
