"""A nonconformance from opening to closing: who may do what, what each disposition lets stand, what it opens again.

The rules are those of practice (ISO 9001 8.7 [secondary], NQA-1 [memory]) and decisions of this project.
"""

from typing import Any

import pytest
from trust_kit import (
    CARL,
    EVA,
    FRANZ,
    INES,
    OLGA,
    WANDA,
    WIM,
    Job,
    fit_step,
    inspect_step,
    plan_with,
    preheat_step,
    weld_step,
)

from traveler.job.decided import Disposition
from traveler.job.exceptions import exceptions
from traveler.job.gate import JobAct, OnNonconformance, RetryHeat
from traveler.job.person import Person
from traveler.job.state import ARC_ENERGY, INTERPASS, PREHEAT
from traveler.job.view import job_state_word


def cold() -> Job:
    """A preheat one degree too cold, then well, signed; a weld and an inspection behind it."""
    job = Job(plan_with(preheat_step(), weld_step(), inspect_step()))
    job.read(40, "299 degF")
    job.read(40, "320 degF")
    job.perform(40)
    return job


def status(job: Job, entry: int = 1) -> str:
    found = job.state.nonconformance(entry)
    assert found is not None
    return found.status


def test_the_life_of_one_that_is_used_as_it_is() -> None:
    job = cold()
    assert job.accept(40).reasons == ("preheat temperature not met: reading 1: 299 °F is below 300 °F",)
    job.nonconforming(1)
    assert status(job) == "open"
    assert "nonconformance 1 is open: too cold" in job.accept(40).reasons
    job.propose("use as is")
    assert status(job) == "proposed"
    job.decide("use as is")
    assert status(job) == "approved"
    assert len(job.accept(40).reasons) == 2
    job.close_entry()
    assert status(job) == "closed"
    found = job.judged(40)
    assert (found.verdict, found.reason, found.settled) == (
        "not met",
        "reading 1: 299 °F is below 300 °F",
        "let stand by nonconformance 1",
    )
    assert job.accept(40).granted
    assert job.state.accepted[-1].verdicts == {"40.preheat temperature": "not met"}


def test_it_lets_stand_the_readings_that_it_names_and_no_other() -> None:
    job = cold()
    job.disposed("use as is", 1)
    job.read(40, "298 degF")
    assert job.judged(40).settled == ""
    assert job.accept(40).reasons == ("preheat temperature not met: reading 3: 298 °F is below 300 °F",)


def test_a_reading_let_stand_counts_as_evidence_at_its_place() -> None:
    job = Job(plan_with(preheat_step(readings=2)))
    job.read(40, "299 degF", place="web")
    job.perform(40)
    job.disposed("use as is", 1)
    assert job.judged(40).verdict == "not shown"
    job.read(40, "320 degF", place="flange")
    assert job.judged(40).settled == "let stand by nonconformance 1"
    assert job.accept(40).granted


def test_it_holds_only_against_the_limit_it_was_approved_for() -> None:
    job = cold()
    job.disposed("use as is", 1)
    assert job.accept(40).granted
    job.revise(plan_with(preheat_step(at_least="310 degF"), weld_step(), inspect_step()))
    assert not job.stands(40)
    assert job.accept(40).reasons == ("preheat temperature not met: reading 1: 299 °F is below 310 °F",)
    job.revise(plan_with(preheat_step(), weld_step(), inspect_step()))
    assert job.stands(40)  # exactly what was accepted


def test_a_correction_of_what_was_let_stand_is_judged_anew() -> None:
    job = cold()
    job.disposed("use as is", 1)
    job.correct(1, "250 degF")
    assert "reading 3: 250 °F is below 300 °F" in job.judged(40).reason


@pytest.mark.parametrize("disposition", ["use as is", "repair", "regrade"])
def test_who_proposes_does_not_approve_what_is_let_stand(disposition: Disposition) -> None:
    job = cold()
    job.nonconforming(1)
    job.propose(disposition, by=EVA)
    refused = job.decide(disposition, by=EVA)
    assert any("another person must approve it" in reason for reason in refused.reasons)
    renamed = Person("Eva Neumann", "signed", EVA.id, ("owner",))
    assert not job.decide(disposition, by=renamed).granted
    assert job.decide(disposition, by=OLGA).granted


@pytest.mark.parametrize("disposition", ["rework", "scrap", "return"])
def test_who_proposes_may_approve_what_changes_nothing_asked_for(disposition: Disposition) -> None:
    job = cold()
    job.nonconforming(1)
    job.propose(disposition, by=INES)
    assert job.decide(disposition, by=INES).granted


def test_by_name_where_nobody_is_registered() -> None:
    job = cold()
    one, other = Person("A. Proposer"), Person("Other")
    job.nonconforming(1, by=one)
    job.propose("use as is", by=one)
    assert not job.decide("use as is", by=Person(" a. PROPOSER ")).granted
    assert not job.decide("use as is", by=Person("wanda zoë")).granted  # she did the work
    assert job.decide("use as is", by=other).granted


@pytest.mark.parametrize(
    ("by", "disposition", "allowed"),
    [
        (INES, "use as is", False),
        (EVA, "use as is", True),
        (OLGA, "use as is", True),
        (CARL, "use as is", True),
        (WIM, "use as is", False),
        (CARL, "repair", True),
        (INES, "rework", True),
        (WIM, "rework", False),
        (WANDA, "repair", False),
    ],
)
def test_the_roles_that_may_approve(by: Person, disposition: Disposition, allowed: bool) -> None:
    job = cold()
    job.nonconforming(1)
    job.propose(disposition, by=FRANZ)
    assert job.decide(disposition, by=by).granted is allowed


def test_who_did_the_work_neither_approves_closes_nor_voids() -> None:
    job = cold()
    both = Person(WANDA.name, "signed", WANDA.id, ("welder", "engineer", "inspector"))
    job.nonconforming(1)
    assert not job.void_entry(by=both).granted
    job.propose("use as is")
    assert (
        "Wanda Zoë performed this step; another person must approve it"
        in job.decide("use as is", by=both).reasons
    )
    job.decide("use as is")
    assert job.close_entry(by=both).reasons == (
        "Wanda Zoë performed this step; another person must close it",
    )
    assert job.close_entry(by=INES).granted


def test_a_refused_disposition_is_proposed_anew() -> None:
    job = cold()
    job.nonconforming(1)
    job.propose("use as is")
    assert job.decide("use as is", approve=False).granted
    assert status(job) == "refused"
    assert not job.close_entry().granted
    assert not job.decide("use as is").granted
    job.propose("repair", by=FRANZ)
    assert job.decide("use as is").reasons == ("nonconformance 1: repair was proposed, not use as is",)
    assert job.decide("repair").granted


@pytest.mark.parametrize("disposition", ["scrap", "return", "use as is", "regrade"])
def test_what_was_approved_in_error_is_proposed_otherwise_until_it_is_closed(
    disposition: Disposition,
) -> None:
    job = cold()
    job.nonconforming(1)
    job.propose(disposition)
    assert job.decide(disposition).granted
    assert job.propose("repair", by=FRANZ).granted
    assert status(job) == "proposed"
    assert not job.close_entry().granted
    assert job.decide("repair").granted
    # Work that was approved is looked at before anything else is proposed.
    assert not job.propose("scrap").granted
    assert job.reverify().granted
    assert job.close_entry().granted
    assert not job.propose("scrap").granted
    assert job.state.nonconformances[0].disposition == "repair"
    assert job.accept(40).granted


def test_void_only_before_anything_was_approved() -> None:
    job = cold()
    job.nonconforming(1)
    assert job.void_entry().granted
    assert status(job) == "void"
    assert job.accept(40).reasons == ("preheat temperature not met: reading 1: 299 °F is below 300 °F",)
    job.nonconforming(1)
    job.propose("use as is", 2)
    job.decide("use as is", 2)
    assert job.void_entry(2).reasons == ("nonconformance 2 is approved (use as is): it is not void",)
    job.propose("repair", 2)
    assert not job.void_entry(2).granted


def test_rework_that_failed_is_not_made_void_by_another_proposal() -> None:
    job = cold()
    job.nonconforming(1)
    job.propose("rework")
    job.decide("rework")
    job.perform(40)
    assert job.reverify(complies=False).granted
    assert job.propose("use as is").granted
    assert not job.void_entry().granted


def test_after_repair_the_part_is_looked_at_again_before_closing() -> None:
    job = cold()
    job.nonconforming(1)
    job.propose("repair")
    job.decide("repair")
    assert job.close_entry().reasons == ("nonconformance 1: after repair the part is looked at again first",)
    assert job.reverify(complies=False).granted
    assert status(job) == "failed"
    assert not job.close_entry().granted
    assert not job.reverify().granted
    job.propose("use as is")
    assert status(job) == "proposed"
    assert job.decide("use as is").granted
    assert job.close_entry().granted
    assert job.accept(40).granted


def test_use_as_is_needs_no_second_look() -> None:
    job = cold()
    job.nonconforming(1)
    job.propose("use as is")
    job.decide("use as is")
    assert job.reverify().reasons == (
        "nonconformance 1 is approved (use as is): there is nothing to look at again",
    )


def test_rework_opens_the_next_attempt_and_the_earlier_one_stays() -> None:
    job = cold()
    job.nonconforming(1)
    job.propose("rework")
    job.decide("rework")
    key = (40, PREHEAT, "J1")
    assert job.state.attempt(key) == 2
    assert job.judged(40).reason == "nothing recorded yet"
    assert job.reverify().reasons == (
        "step 40 is not yet signed as performed again after the rework was approved",
    )
    assert "signed as performed before it was reworked; sign again" in job.accept(40).reasons
    job.read(40, "310 degF")
    job.perform(40)
    assert job.reverify().granted
    assert job.close_entry().granted
    assert job.accept(40).granted
    assert [(reading.value, reading.attempt) for reading in job.state.readings] == [
        ("299", 1), ("320", 1), ("310", 2),
    ]  # fmt: skip
    assert job.state.retries[-1].because == "rework, nonconformance 1"


def test_rework_that_cannot_be_done_is_said_to_fail_without_signing_that_it_was() -> None:
    job = cold()
    job.nonconforming(1)
    job.propose("rework")
    job.decide("rework")
    assert not job.reverify(complies=True).granted
    assert job.may(OnNonconformance("re-verify", 1, complies=False), INES).granted
    job.tell("nonconformance re-verified", INES, nonconformance=1, what="no way in", result="does not comply")
    assert status(job) == "failed"
    assert job.propose("scrap").granted


def test_rework_that_is_bad_again_stays_bad() -> None:
    job = cold()
    job.nonconforming(1)
    job.propose("rework")
    job.decide("rework")
    job.read(40, "298 degF")
    job.perform(40)
    job.reverify()
    job.close_entry()
    assert job.accept(40).reasons == ("preheat temperature not met: reading 3: 298 °F is below 300 °F",)


def welded() -> Job:
    """A weld whose second run was laid too hot, signed for two runs."""
    job = Job(plan_with(fit_step(), preheat_step(), weld_step(), inspect_step()))
    job.read(30, "good")
    job.perform(30, FRANZ)
    assert job.accept(30).granted
    job.read(40, "320 degF")
    job.perform(40)
    assert job.accept(40).granted
    job.read(50, "Wanda Zoë", "welder")
    job.run(1, "350 degF")
    job.run(2, "501 degF")
    job.perform(50, runs=2)
    return job


def too_hot(job: Job) -> int:
    return next(r.number for r in job.state.readings if r.value == "501")


def test_a_run_laid_outside_its_window_is_accepted_only_by_a_disposition() -> None:
    job = welded()
    assert not job.accept(50).granted
    job.read(50, "400 degF", INTERPASS, run=2)
    assert not job.accept(50).granted
    job.disposed("use as is", too_hot(job), at=50, quantity=INTERPASS)
    found = job.judged(50, INTERPASS)
    assert (found.verdict, found.settled) == ("not met", "let stand by nonconformance 1")
    assert job.accept(50).granted


def test_rework_of_a_weld_counts_its_runs_anew() -> None:
    job = welded()
    job.nonconforming(too_hot(job), at=50, quantity=INTERPASS)
    job.propose("rework")
    job.decide("rework")
    assert job.state.attempt((50, INTERPASS, "J1")) == 2
    assert job.state.attempt((50, ARC_ENERGY, "J1")) == 2
    assert job.state.attempt((50, "welder", "J1")) == 1
    assert job.state.runs_recorded("J1") == {}
    job.run(1, "400 degF")
    job.perform(50, runs=1)
    job.reverify()
    job.close_entry()
    assert job.state.runs_recorded("J1").keys() == {1}
    assert job.accept(50).granted


def test_a_preheat_for_rework_may_be_tried_again_until_a_run_is_laid() -> None:
    job = welded()
    assert not job.may(RetryHeat((40, PREHEAT, "J1"))).granted
    job.nonconforming(at=40, quantity=PREHEAT, what="to be welded anew")
    job.propose("rework")
    job.decide("rework")
    job.read(40, "299 degF")
    assert job.may(RetryHeat((40, PREHEAT, "J1"))).granted
    job.run(3, "350 degF")
    assert job.may(RetryHeat((40, PREHEAT, "J1"))).reasons == (
        "a run of weld is recorded on J1: from then on its preheat is what it was",
    )


def test_rework_of_the_whole_step_opens_all_of_it() -> None:
    job = welded()
    job.nonconforming(at=50, what="undercut all along")
    job.propose("rework")
    job.decide("rework")
    assert {retry.key[1] for retry in job.state.retries} == {"welder", INTERPASS, ARC_ENERGY}


@pytest.mark.parametrize("disposition", ["rework", "repair"])
def test_what_was_accepted_behind_it_is_to_be_accepted_again(disposition: Disposition) -> None:
    job = Job(plan_with(fit_step(), preheat_step(), inspect_step()))
    for at, typed in ((30, "good"), (40, "320 degF"), (60, "accepted")):
        job.read(at, typed)
        job.perform(at)
        assert job.accept(at).granted
    job.nonconforming(1, at=30, what="gap too wide")
    assert (job.stands(30), job.stands(40), job.stands(60)) == (False, True, True)
    assert "step 30 fit is not accepted" in job.close().reasons
    job.propose(disposition)
    assert job.stands(40)
    job.decide(disposition)
    assert (job.stands(40), job.stands(60)) == (False, False)
    if disposition == "rework":
        job.read(30, "good")
    job.perform(30)
    assert job.reverify().granted
    assert job.close_entry().granted
    assert job.accept(40).reasons == ("step 30 comes first and is not accepted",)
    for at in (30, 40, 60):
        assert job.accept(at).granted
        assert job.stands(at)
    assert job.close().granted


def test_use_as_is_leaves_what_was_accepted_behind_it() -> None:
    job = Job(plan_with(fit_step(), preheat_step()))
    for at, typed in ((30, "good"), (40, "320 degF")):
        job.read(at, typed)
        job.perform(at)
        assert job.accept(at).granted
    job.disposed("use as is", 1, at=30)
    assert (job.stands(30), job.stands(40)) == (False, True)


@pytest.mark.parametrize(("disposition", "word"), [("scrap", "scrapped"), ("return", "returned")])
def test_scrap_or_return_of_the_part_ends_the_job(disposition: Disposition, word: str) -> None:
    job = cold()
    job.disposed(disposition)
    assert job_state_word(job.state) == word
    assert job.may(JobAct("record")).reasons == (f"the part is {word} (nonconformance 1)",)
    assert not job.accept(40).granted
    assert not job.close().granted


def test_scrap_of_one_thing_ends_the_step() -> None:
    job = Job(plan_with(fit_step(), preheat_step()))
    job.read(30, "good")
    job.perform(30)
    job.disposed("scrap", at=30, joint="J1", what="piece sawn too short")
    assert job.accept(30).reasons == ("scrapped by nonconformance 1: piece sawn too short",)
    assert job.may(JobAct("record")).granted
    assert job.may(JobAct("cancel")).granted


def test_a_job_with_an_open_nonconformance_is_not_closed() -> None:
    job = Job(plan_with(preheat_step()))
    job.read(40, "320 degF")
    job.perform(40)
    job.accept(40)
    assert job.may(JobAct("close")).granted
    job.nonconforming(what="a dent")
    assert job.close().reasons == (
        "step 40 preheat is not accepted",
        "nonconformance 1 is open: a dent",
    )
    assert job.may(JobAct("cancel")).granted


def test_one_on_a_step_that_a_revision_dropped_still_keeps_the_job_open() -> None:
    job = Job(plan_with(preheat_step(), inspect_step()))
    job.nonconforming(at=60, what="a dent")
    job.revise(plan_with(preheat_step()))
    job.read(40, "320 degF")
    job.perform(40)
    job.accept(40)
    assert job.close().reasons == ("nonconformance 1 is open: a dent",)


def test_what_nothing_shows_may_be_let_stand_by_name_and_stays_not_shown() -> None:
    job = Job(plan_with(weld_step()))
    job.read(50, "Wanda Zoë", "welder")
    job.read(50, "1.0 kJ/mm", ARC_ENERGY, run=1)
    job.perform(50, runs=1)
    assert job.accept(50).reasons == (
        "interpass temperature not shown: run 1: no interpass temperature recorded before the run",
    )
    job.disposed("use as is", at=50, quantity=INTERPASS, what="nobody read it")
    found = job.judged(50, INTERPASS)
    assert (found.verdict, found.settled) == ("not shown", "let stand by nonconformance 1")
    assert job.accept(50).granted
    job.read(50, "501 degF", INTERPASS, run=1)
    assert job.accept(50).reasons[0].startswith("interpass temperature not met")


def test_a_reading_taken_out_of_sequence_is_accepted_only_by_a_disposition() -> None:
    job = Job(plan_with(preheat_step(), inspect_step()))
    job.read(60, "accepted", ahead_of=40)
    job.read(40, "320 degF")
    job.perform(40)
    assert job.accept(40).granted
    job.perform(60)
    ahead = ("reading 1 was taken ahead of step 40: that takes a nonconformance",)
    assert job.accept(60).reasons == ahead
    job.read(60, "accepted")
    assert job.accept(60).reasons == ahead
    assert "step 60, reading 1 was taken ahead of step 40" in list(exceptions(job.state))
    job.disposed("use as is", 1, at=60)
    assert job.accept(60).granted


def test_conditional_readings_under_a_guard_band_are_let_stand_one_by_one() -> None:
    kept = {
        "instrument": "I1", "name": "probe", "type": "contact thermometer",
        "uncertainty": {"value": "3", "unit": "delta_degF"}, "calibrated": "2026-01-05", "due": "2027-01-05",
        "state": "in calibration",
    }  # fmt: skip
    job = Job(plan_with(preheat_step()), "guard band")
    job.read(40, "301 degF", state=kept)
    job.perform(40)
    assert job.accept(40).reasons[0].startswith("preheat temperature conditional: reading 1")
    job.disposed("use as is", 1)
    found = job.judged(40)
    assert (found.verdict, found.settled) == ("conditional", "let stand by nonconformance 1")
    job.read(40, "302 degF", state=kept)
    assert job.accept(40).reasons[0].startswith("preheat temperature conditional: reading 2")


def test_a_reading_that_is_no_evidence_may_be_let_stand_too() -> None:
    kept = {
        "instrument": "I1", "name": "probe", "type": "contact thermometer", "uncertainty": None,
        "calibrated": "2025-01-05", "due": "2026-01-05", "state": "overdue",
    }  # fmt: skip
    job = Job(plan_with(preheat_step()))
    job.read(40, "320 degF", state=kept)
    job.perform(40)
    assert job.accept(40).reasons == (
        "preheat temperature not shown: reading 1 not evaluable: I1 probe was overdue (due 2026-01-05)",
    )
    job.disposed("use as is", 1)
    assert (job.judged(40).verdict, job.judged(40).settled) == ("not shown", "let stand by nonconformance 1")
    assert job.accept(40).granted


@pytest.mark.parametrize(
    ("named", "reason"),
    [
        ({"at": 41}, "there is no step 41"),
        ({"quantity": "hardness"}, 'step 40 has no "hardness"; it has: preheat temperature'),
        ({"joint": "J9"}, 'step 40 has no joint "J9"'),
    ],
)
def test_it_is_about_something_there_is(named: dict[str, Any], reason: str) -> None:
    assert cold().nonconforming(**named).reasons == (reason,)


def test_it_names_standing_readings_of_its_step() -> None:
    job = cold()
    job.read(60, "accepted")
    job.correct(2, None)
    assert job.nonconforming(1, 2, 3, 9).reasons == ("step 40 has no standing reading 2, 3, 9",)


def test_what_is_not_there_is_said() -> None:
    job = cold()
    for permission in (
        job.propose("rework", 3),
        job.decide("rework", 3),
        job.close_entry(3),
        job.may(OnNonconformance("void", 3)),
    ):
        assert permission.reasons == ("there is no nonconformance 3",)
