"""The sharpest questions an inspector asks of a record, each as the job's events and the gate answer it.

Numbered as in the list of acceptance checks that practice suggests; those about files and processes are asked of the
record's own tests.
"""

from copy import deepcopy
from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from register_kit import ShopStory
from trust_kit import (
    CARL,
    EVA,
    FRANZ,
    INES,
    OLGA,
    START,
    WANDA,
    WIM,
    Job,
    fit_step,
    inspect_step,
    plan_with,
    preheat_step,
    state_of_probe,
    weld_step,
)

from traveler.errors import TravelerError
from traveler.job.exceptions import exceptions
from traveler.job.fold import fold
from traveler.job.gate import JobAct, acceptance_stands
from traveler.job.instrument import readings_since_last_good
from traveler.job.qualification import qualification
from traveler.job.requirement import Point
from traveler.job.view import traveler_object
from traveler.quantity.parse import stored


def one_step() -> Job:
    job = Job(plan_with(preheat_step()))
    job.read(40, "320 degF")
    job.perform(40)
    return job


def told(job: Job) -> list[str]:
    return list(exceptions(job.state))


def test_01_one_degree_outside_then_good_is_refused_until_superseded_or_disposed_of() -> None:
    job = Job(plan_with(preheat_step(at_least="150 degC")))
    job.read(40, "149 degC")
    job.read(40, "160 degC")
    job.perform(40)
    assert job.accept(40).reasons == ("preheat temperature not met: reading 1: 149 °C is below 150 °C",)
    typo = deepcopy(job)
    typo.correct(1, "159 degC", "a nine for a five")
    assert typo.accept(40).granted
    assert "step 40, reading 1 (149 degC) was superseded by reading 3: a nine for a five" in told(typo)
    job.nonconforming(1)
    job.propose("use as is")
    job.decide("use as is")
    assert not job.accept(40).granted
    job.close_entry()
    assert job.accept(40).granted
    assert told(job) == [
        "nonconformance 1, step 40, reading 1: too cold; use as is proposed by Ines Okafor, approved by Eva Lindqvist "
        "(strong enough); closed by Ines Okafor: done",
        "step 40: preheat temperature not met: reading 1: 149 °C is below 150 °C; let stand by nonconformance 1",
    ]


def test_02_a_reading_after_the_signature_changes_the_content_and_the_job_does_not_close() -> None:
    job = one_step()
    assert job.accept(40).granted
    assert job.may(JobAct("close"), INES).granted
    job.read(40, "330 degF", by=FRANZ)
    assert not job.stands(40)
    assert job.close().reasons == ("step 40 preheat is not accepted",)
    assert told(job) == ["step 40: content changed since it was accepted by Ines Okafor"]


def test_10_none_of_three_who_made_the_weld_inspects_it_under_any_name_or_role() -> None:
    job = Job(plan_with(fit_step(), weld_step(), inspect_step()))
    job.read(30, "good")
    job.perform(30, WANDA)  # tacks
    job.perform(30, FRANZ)  # fits
    assert job.accept(30).granted
    job.read(50, "Wim Two", "welder")
    job.run(1, "350 degF")
    job.perform(50, WIM, runs=1)
    assert job.accept(50, EVA).granted
    job.read(60, "accepted")
    job.perform(60, INES)
    for who in (WANDA, FRANZ, WIM):
        assert not job.accept(60, replace(who, name="New Name", roles=("inspector", "owner"))).granted
    assert job.accept(60, OLGA).granted


def test_10_a_one_man_job_prints_that_it_was_self_inspected() -> None:
    alone = replace(OLGA, roles=("owner", "welder", "inspector"))
    strict, allowed = (Job(plan_with(preheat_step(), self_inspection=flag)) for flag in (False, True))
    for job in (strict, allowed):
        job.read(40, "320 degF", by=alone)
        job.perform(40, alone)
    assert not strict.accept(40, alone).granted
    assert allowed.accept(40, alone).granted
    assert told(allowed) == ["step 40 was self-inspected: Olga Vance performed this step and accepted it"]


def test_10_the_welder_who_inspects_his_own_weld_for_another_to_accept_prints() -> None:
    job = Job(plan_with(weld_step(), inspect_step()))
    job.read(50, "Wim Two", "welder")
    job.run(1, "350 degF")
    job.perform(50, WIM, runs=1)
    job.accept(50)
    job.read(60, "accepted")
    job.perform(60, WIM)
    assert job.accept(60).granted
    assert told(job) == [
        "step 60 was inspected by who did the work: Wim Two performed step 50, weld of the same joint"
    ]


def test_11_a_clock_set_back_changes_no_order_and_prints() -> None:
    job = one_step()
    before = job.clock
    job.clock -= timedelta(days=1)
    job.read(40, "331 degF")
    job.read(40, "332 degF")
    assert [reading.value for reading in job.state.readings] == ["320", "331", "332"]
    assert [reading.moment.seq for reading in job.state.readings] == [2, 4, 5]
    written = before - timedelta(days=1) + timedelta(minutes=1)
    assert told(job) == [
        f"event 4 was written at {written.isoformat()}, which is before event 3 ({before.isoformat()}): "
        "a clock was set back"
    ]
    job.clock = before  # set right again; until then the first reading is of a time still to come
    assert job.accept(40).granted


def test_11_offsets_are_no_anomaly() -> None:
    job = one_step()
    job.events[-1]["recorded_at"] = job.clock.astimezone(tz=None).isoformat()
    job.clock += timedelta(hours=1)
    job.read(40, "331 degF")
    job.events[-1]["recorded_at"] = "2026-03-02T03:30:00-05:00"  # half past nine at +01:00
    assert told(job) == []


def test_13_a_changed_limit_is_judged_anew_and_the_signature_stays_of_its_revision() -> None:
    job = one_step()
    assert job.accept(40).granted
    job.revise(plan_with(preheat_step(at_least="330 degF")))
    state = job.state
    accepted = state.accepted_of(40)
    assert accepted is not None
    assert (accepted.revision, dict(accepted.verdicts)) == (1, {"40.preheat temperature": "met"})
    then = state.revisions[0].plan.steps[0].requirements[0]
    assert then.at_least is not None
    assert then.at_least.text == "300"  # the limit and its basis as they were are kept with the revision
    assert not job.stands(40)
    assert job.judged(40).reason == "reading 1: 320 °F is below 330 °F"
    assert told(job) == [
        "step 40: content changed since it was accepted by Ines Okafor",
        "step 40: preheat temperature was accepted as met under revision 1, judged not met under revision 2",
    ]
    job.disposed("use as is", 1)
    assert job.accept(40).granted


def test_13_a_revision_that_leaves_the_step_alone_leaves_its_signature() -> None:
    job = one_step()
    job.accept(40)
    job.revise(replace(plan_with(preheat_step()), title="renamed"))
    assert job.stands(40)
    assert told(job) == []


def test_14_a_gauge_found_out_of_tolerance_questions_every_reading_since() -> None:
    shop = ShopStory()
    shop.instrument()
    shop.calibrated("I1", "2026-01-05", "2027-01-05")
    first, second = one_step(), Job(replace(plan_with(preheat_step()), number="H-2"))
    first.read(40, "325 degF", state=state_of_probe())
    second.read(40, "325 degF", state=state_of_probe(), happened=START - timedelta(days=90))
    second.read(40, "325 degF", state=state_of_probe())
    first.accept(40)
    shop.found_out("I1", "2026-06-01", since="2026-01-05")
    probe = shop.register.instruments[0]
    listed = dict(readings_since_last_good(probe, probe.found_out[0], [first.state, second.state]))
    assert listed == {"H-1": (2,), "H-2": (2,)}
    for job in (first, second):
        job.question(*listed[job.plan.number])
    assert not first.stands(40)
    assert "reading 2 is in question" in " ".join(first.accept(40).reasons)


def test_15_the_welder_is_judged_on_the_day_of_the_weld() -> None:
    shop = ShopStory()
    shop.person("Olga Vance", "owner")
    shop.person("Wanda Zoë", "welder", p141="2025-09-02")
    for day, granted in ((START.date(), True), (START.date() + timedelta(days=1), False)):
        job = Job(plan_with(weld_step()))
        job.read(50, "Wanda Zoë", "welder")
        job.run(1, "350 degF")
        job.clock += timedelta(days=20)  # it lapses between the weld and the signature
        job.perform(50, WANDA, runs=1, qualification=qualification(shop.register, "P2", "141", day, []))
        assert job.accept(50).granted is granted
        assert granted is not any("was not qualified on the day of the weld" in line for line in told(job))


def test_17_a_hold_blocks_acceptance_only_and_a_waiver_and_a_lapse_print() -> None:
    points = (
        Point(1, "hold", "customer"),
        Point(2, "witness", "engineer", stored("2", "h")),
        Point(3, "hold", "engineer"),
    )
    job = Job(plan_with(preheat_step(points=points), inspect_step()))
    job.read(60, "accepted")  # the step behind is recorded all the same
    job.perform(60)
    job.read(40, "320 degF")
    job.perform(40)
    assert job.at_point("waived", point=1, by=EVA).granted is False
    assert job.at_point("waived", point=1, by=CARL).granted
    assert job.at_point("notified", point=2, by=INES).granted
    assert job.at_point("released", point=3, by=replace(EVA, roles=("engineer", "owner"))).granted
    assert not job.accept(40).granted
    notified = job.state.points[1].moment.recorded_at
    job.clock += timedelta(hours=2)
    assert job.accept(40).granted
    assert told(job) == [
        "step 40: hold 1 (customer) was waived by Carl Kunde: trust",
        f"step 40: witness 2 (engineer) was notified at {notified} by Ines Okafor and did not attend; accepted after "
        "the notice had run out; the work had begun at 2026-03-02T08:04:00+01:00, before it had",
        "step 40: hold 3 (engineer) was released by Eva Lindqvist, who is also owner",
    ]


def test_20_a_signature_copied_to_another_step_or_job_does_not_stand() -> None:
    job = Job(plan_with(preheat_step(at=40), preheat_step(at=41)))
    for at in (40, 41):
        job.read(at, "320 degF")
        job.perform(at)
    assert job.accept(40).granted
    forged = deepcopy(job.events[-1])
    forged["act"]["step"] = 41
    forged["seq"] += 1
    state = fold([*job.events, forged])
    step = state.step(41)
    assert step is not None
    assert not acceptance_stands(state, step)

    other = Job(replace(plan_with(preheat_step(at=40)), number="H-2"))
    other.read(40, "320 degF")
    other.perform(40)
    copied = deepcopy(job.events[-1])
    copied["seq"] = len(other.events) + 1
    with pytest.raises(TravelerError, match="of job H-1 stands among the events of job H-2"):
        fold([*other.events, copied])


def test_20_nor_one_of_an_earlier_attempt() -> None:
    job = one_step()
    job.accept(40)
    accepted = deepcopy(job.events[-1])
    job.nonconforming(1)
    job.propose("rework")
    job.decide("rework")
    job.read(40, "320 degF")
    job.perform(40)
    job.reverify()
    job.close_entry()
    accepted["seq"] = len(job.events) + 1
    state = fold([*job.events, accepted])
    assert not acceptance_stands(state, state.plan.steps[0])


def test_names_as_stated_among_registered_ones_print() -> None:
    job = Job(plan_with(preheat_step()))
    job.read(40, "320 degF", by=replace(WANDA, id=None, roles=()))
    job.perform(40, replace(WANDA, id=None, roles=()))
    job.accept(40, replace(INES, how="stated"))
    assert told(job) == [
        "step 40 was signed as performed by Wanda Zoë: the name is as stated, nobody registered",
        "step 40 was accepted by Ines Okafor (P5) without a secret",
    ]
    state = job.state
    assert traveler_object(state, datetime.fromisoformat(job.events[-1]["recorded_at"]))["names"] == (
        "some names as registered, some as stated"
    )


def test_instruments_that_were_overdue_or_of_unknown_uncertainty_print() -> None:
    job = Job(plan_with(preheat_step()))
    job.read(40, "320 degF", state=state_of_probe(state="overdue"))
    job.read(40, "320 degF", state=state_of_probe("I2", uncertainty=None))
    job.read(40, "301 degF", state=state_of_probe("I3"))
    job.not_applicable(40, "preheat temperature")
    assert told(job) == [
        "step 40: preheat temperature conditional: reading 3: 301 °F is inside by less than the uncertainty of "
        "I3 probe (3 F°); it complies with a probability of about 74 %",
        "step 40, reading 1: not evaluable: I1 probe was overdue (due 2027-01-05)",
        "I2 probe has no uncertainty on record: it is taken as zero",
    ]


def test_what_does_not_apply_prints() -> None:
    job = Job(plan_with(preheat_step()))
    job.not_applicable(40, "preheat temperature", because="welded under the first preheat")
    assert told(job) == [
        "step 40: preheat temperature not shown: nothing recorded yet; not applicable: welded under the first preheat "
        "(Eva Lindqvist)"
    ]
