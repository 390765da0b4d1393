"""Work at a vendor: no step is accepted while it is out, or before another person has accepted its certificate."""

from datetime import timedelta
from typing import Any

import pytest
from trust_kit import (
    EVA,
    INES,
    OLGA,
    WANDA,
    WIM,
    Job,
    inspect_step,
    plan_with,
    preheat_step,
    state_of_probe,
    weld_step,
)

from traveler.job.board import board_row
from traveler.job.content import changed_since, content_digest
from traveler.job.decided import Disposition
from traveler.job.exceptions import exceptions
from traveler.job.gate import ActOutside
from traveler.job.person import Person
from traveler.job.requirement import Outside, Point
from traveler.job.view import job_state_word, step_state_word, traveler_object

BEACON = Outside("Beacon", "B-1", ("report",))
NOT_REVIEWED = "certificate of Beacon not reviewed"


def job(outside: Outside | None = BEACON, **more: Any) -> Job:
    """An inspection whose result is recorded, and which nobody has signed."""
    made = Job(plan_with(inspect_step(outside=outside), **more))
    made.read(60, "accepted")
    return made


def back(sent: int = 1, outside: Outside | None = BEACON, **found: Any) -> Job:
    """Sent and received, its paper attached, signed as performed by who received it."""
    made = job(outside)
    assert made.send(pieces=sent).granted
    assert made.receive(**({"pieces": sent} | found)).granted
    made.attach(60)
    made.perform(60)
    return made


def said(made: Job) -> list[str]:
    return list(exceptions(made.state))


def test_what_the_sheet_gives_away_is_not_accepted_before_it_was_sent() -> None:
    made = job()
    made.perform(60)
    (reason,) = made.accept(60).reasons
    assert reason == "not sent to Beacon, where the sheet gives it: send it, or revise the sheet"


def test_by_the_plain_road_it_is_accepted_and_nothing_of_it_is_an_exception() -> None:
    made = back()
    assert made.accept(60).reasons == (NOT_REVIEWED,)
    assert made.review().granted
    assert made.accept(60).granted
    assert said(made) == []
    assert made.close().granted


def test_while_it_is_out_the_step_says_where_and_since_when() -> None:
    made = job()
    made.perform(60)
    assert made.send().granted
    since = made.clock.isoformat()
    assert made.accept(60).reasons[0] == f"at Beacon since {since}: to be received when it is back"
    assert step_state_word(made.state, made.step(60)) == "performed"
    assert any(line.startswith("step 60: at Beacon since") for line in said(made))


def test_a_step_that_is_only_sent_is_in_work_and_its_job_in_process() -> None:
    made = Job(plan_with(inspect_step(outside=BEACON)))
    assert (job_state_word(made.state), step_state_word(made.state, made.step(60))) == ("released", "ready")
    made.send()
    assert (job_state_word(made.state), step_state_word(made.state, made.step(60))) == (
        "in process",
        "in work",
    )
    made.call_off()
    assert step_state_word(made.state, made.step(60)) == "ready"


def test_signed_as_performed_before_it_is_back_it_is_signed_again() -> None:
    made = job()
    made.send()
    made.perform(60)
    made.receive()
    made.attach(60)
    assert made.review().granted
    assert made.accept(60).reasons == ("signed as performed before it came back from Beacon; sign again",)
    made.perform(60)
    assert made.accept(60).granted


@pytest.mark.parametrize(
    ("by", "reason"),
    [
        (WANDA, "Wanda Zoë performed this step; another person must review the certificate"),
        (
            WIM,
            "Wim Two is registered as welder; reviewing a certificate takes inspector or engineer or owner",
        ),
        (Person("wanda  ZOË"), "wanda  ZOË performed this step; another person must review the certificate"),
    ],
)
def test_who_received_or_did_it_does_not_review(by: Person, reason: str) -> None:
    made = back()
    assert reason in made.review(by=by).reasons
    assert made.accept(60).reasons == (NOT_REVIEWED,)


def test_who_received_it_neither_reviews_nor_accepts_though_another_signed_for_it() -> None:
    made = job()
    made.send()
    made.receive(by=INES)
    made.attach(60)
    made.perform(60, WIM)
    work = "Ines Okafor received the work of this step from Beacon"
    assert made.review(by=INES).reasons == (f"{work}; another person must review the certificate",)
    assert made.review(by=EVA).granted
    assert made.accept(60, INES).reasons == (f"{work}; another person must accept it",)
    assert made.accept(60, OLGA).granted


def test_a_review_falls_when_who_gave_it_signs_for_the_work() -> None:
    made = back()
    assert made.review(by=INES).granted
    made.perform(60, INES)
    reasons = made.accept(60, OLGA).reasons
    assert reasons == (
        "certificate of Beacon not reviewed by another person: Ines Okafor performed this step",
    )
    assert made.review(by=EVA).granted
    assert made.accept(60, OLGA).granted


def test_who_works_alone_reviews_where_the_sheet_lets_them_and_it_prints() -> None:
    made = job(self_inspection=True)
    made.send(by=OLGA)
    made.receive(by=OLGA)
    made.attach(60)
    made.perform(60, OLGA)
    assert made.review(by=OLGA).granted
    assert made.accept(60, OLGA).granted
    assert any(line.startswith("step 60 was self-inspected: Olga Vance") for line in said(made))


def welded_and_back(welder: Person) -> Job:
    """A weld that is accepted, and its inspection back from the vendor and signed as performed."""
    made = Job(plan_with(weld_step(), inspect_step(outside=BEACON)))
    made.read(50, WIM.name, "welder")
    made.run(1)
    made.perform(50, welder, runs=1)
    made.accept(50)
    made.read(60, "accepted")
    made.send()
    made.receive()
    made.attach(60)
    made.perform(60)
    return made


def test_a_weld_of_ones_own_is_not_the_certificate_to_review() -> None:
    both = Person(WIM.name, "signed", WIM.id, ("welder", "inspector"))
    made = welded_and_back(both)
    (reason,) = made.review(by=both).reasons
    assert reason.startswith("Wim Two performed step 50, weld of the same joint")


def test_an_acceptance_falls_when_who_reviewed_its_certificate_signs_for_the_weld() -> None:
    made = welded_and_back(WIM)
    assert made.review(by=INES).granted
    assert made.accept(60, OLGA).granted
    assert made.stands(60)
    made.perform(50, INES, runs=1)
    assert not made.stands(60)
    said_so = traveler_object(made.state, made.clock)["steps"][-1]["re_verify"]
    assert said_so.startswith("to be re-verified: certificate of Beacon not reviewed by another person: Ines")
    assert made.review(by=EVA).granted
    assert made.accept(50, OLGA).granted
    made.perform(60)
    assert made.accept(60, OLGA).granted
    assert made.stands(60)


def test_without_a_file_nothing_is_accepted_and_a_refusal_needs_none() -> None:
    made = job()
    made.send()
    made.receive()
    made.perform(60)
    (reason,) = made.review().reasons
    assert reason.startswith("no file came with it: attach what Beacon sent to step 60")
    assert made.review(accepts=False).granted


def test_a_file_from_before_it_was_sent_did_not_come_with_it() -> None:
    made = job()
    made.attach(60)
    made.send()
    made.receive()
    assert not made.review().granted


def test_a_paper_that_is_missing_is_not_accepted() -> None:
    made = back()
    (reason,) = made.review(missing=("report",)).reasons
    assert reason == "report: asked of Beacon, and missing; what is missing is not accepted"
    assert made.review(accepts=False, missing=("report",), because="it is lost").granted
    assert any("not accepted by Ines Okafor: it is lost; missing: report" in line for line in said(made))


def test_a_refused_certificate_blocks_until_another_is_accepted() -> None:
    made = back()
    assert made.review(accepts=False).granted
    (reason,) = made.accept(60).reasons
    assert reason.startswith("certificate of Beacon not accepted: the load is another")
    made.attach(60, "another.pdf")
    assert made.review().granted
    made.perform(60)
    assert made.accept(60).granted
    assert any("was not accepted by Ines Okafor: the load is another" in line for line in said(made))


def test_an_accepted_certificate_may_be_refused_after_all_and_the_acceptance_falls() -> None:
    made = back()
    made.review()
    assert made.accept(60).granted
    assert made.review(accepts=False, because="it is of another part").granted
    assert not made.stands(60)
    assert not made.close().granted


@pytest.mark.parametrize("disposition", ["use as is", "repair", "rework"])
def test_a_refused_certificate_is_settled_by_a_nonconformance_about_outside_work(
    disposition: Disposition,
) -> None:
    made = back()
    made.review(accepts=False)
    made.disposed("use as is", at=60, quantity="visual result", what="something else")
    assert not made.accept(60).granted
    made.disposed(disposition, at=60, quantity="outside work", what="certificate refused")
    if disposition == "rework":
        made.read(60, "accepted")
    made.perform(60)
    assert made.accept(60).granted
    assert any("settled by nonconformance 2" in line for line in said(made))


def test_a_nonconformance_from_before_the_refusal_is_not_about_it() -> None:
    made = back()
    made.disposed("use as is", at=60, quantity="outside work", what="late")
    made.review(accepts=False)
    assert made.accept(60).reasons[0].startswith("certificate of Beacon not accepted")


def test_only_a_step_with_outside_work_has_a_nonconformance_about_it() -> None:
    made = job(outside=None)
    assert not made.nonconforming(at=60, quantity="outside work").granted
    made.send()
    assert made.nonconforming(at=60, quantity="outside work").granted


def test_done_anew_at_a_vendor_the_first_certificate_no_longer_counts() -> None:
    made = back()
    made.review(accepts=False)
    assert made.send(vendor="Cinder").granted
    assert made.receive().granted
    made.attach(60)
    made.perform(60)
    assert set(made.accept(60).reasons) == {
        "certificate of Beacon not accepted: the load is another; another is to be reviewed, "
        "or that takes a nonconformance (outside work)",
        "certificate of Cinder not reviewed",
    }
    assert made.review().granted
    assert [s.review and s.review.accepted for s in made.state.sendings] == [False, True]
    assert made.accept(60).granted


def test_an_unreviewed_certificate_is_settled_by_nothing_but_a_review() -> None:
    made = back()
    made.disposed("use as is", at=60, quantity="outside work", what="no time")
    made.perform(60)
    assert made.accept(60).reasons == (NOT_REVIEWED,)


@pytest.mark.parametrize(
    ("found", "reason"),
    [
        ({"damage": "flange bent"}, "damaged when it came back from Beacon: flange bent"),
        ({"heat": "not legible"}, "the heat number is not legible any more since it was at Beacon"),
        ({"pieces": 3}, "3 of 4 pieces are back from Beacon"),
        ({"pieces": 5}, "5 pieces are back from Beacon and 4 were sent"),
    ],
)
def test_what_came_back_otherwise_takes_a_nonconformance(found: dict[str, Any], reason: str) -> None:
    made = back(4, **found)
    made.review()
    assert made.accept(60).reasons == (f"{reason}: that takes a nonconformance (outside work)",)
    assert f"step 60: {reason}" in said(made)
    made.disposed("use as is", at=60, quantity="outside work", what="as found")
    made.perform(60)
    assert made.accept(60).granted
    assert f"step 60: {reason}; settled by nonconformance 1" in said(made)


def test_a_part_without_a_number_of_its_own_is_no_fault() -> None:
    made = back(heat="none on the part")
    made.review()
    assert made.accept(60).granted


def test_the_rest_is_received_later_and_reviewed_with_it() -> None:
    made = back(4, pieces=3)
    made.review()
    assert made.receive(pieces=1).granted
    assert NOT_REVIEWED in made.accept(60).reasons
    assert made.receive().reasons == ("everything that was sent to Beacon is back",)
    made.attach(60, "rest.pdf")
    made.perform(60)
    assert made.review().granted
    assert made.accept(60).granted


@pytest.mark.parametrize(
    ("kind", "reason"),
    [
        ("receive", "nothing of step 60 was sent to a vendor"),
        ("review", "nothing of step 60 is back from a vendor"),
        ("call off", "nothing of step 60 was sent to a vendor"),
    ],
)
def test_there_must_be_something(kind: Any, reason: str) -> None:
    assert job().may(ActOutside(60, kind), INES).reasons == (reason,)
    assert job().may(ActOutside(61, kind), INES).reasons == ("there is no step 61",)


def test_one_sending_is_brought_to_its_end_before_the_next() -> None:
    made = job()
    made.send()
    assert made.send().reasons[0].startswith("it is at Beacon since")
    made.receive()
    assert made.send().reasons == (
        "the certificate of Beacon is not reviewed yet; review it first, accepted or not",
    )
    made.review(accepts=False)
    assert made.send().granted


def test_called_off_before_its_review_it_blocks_no_more_and_prints() -> None:
    made = job(outside=None)
    made.send()
    assert made.call_off(because="the furnace broke down").granted
    made.perform(60)
    assert made.accept(60).granted
    told = "step 60: the sending to Beacon was called off by Wanda Zoë: the furnace broke down"
    assert told in said(made)
    (step,) = traveler_object(made.state, made.clock)["steps"]
    assert (step["sendings"][0]["state"], step["sendings"][0]["wrong_count"]) == ("called off", None)
    short = back(4, pieces=3)
    short.call_off(because="miscounted")
    assert any(line.endswith("miscounted; 3 of 4 pieces are back from Beacon") for line in said(short))


def test_what_was_reviewed_is_not_called_off() -> None:
    made = back()
    made.review(accepts=False)
    assert made.call_off().reasons == (
        "the certificate of Beacon is not accepted; what was reviewed is not called off",
    )


@pytest.mark.parametrize("found", [{"damage": "bent"}, {"heat": "not legible"}])
def test_what_came_back_damaged_is_not_made_unsaid_by_calling_it_off(found: dict[str, Any]) -> None:
    made = back(**found)
    (reason,) = made.call_off().reasons
    assert reason.endswith("that takes a nonconformance (outside work)")


def test_a_planned_step_that_was_called_off_is_to_be_sent_again() -> None:
    made = back()
    assert made.call_off().granted
    assert made.accept(60).reasons[0].startswith("not sent to Beacon")


def test_another_vendor_and_one_that_nobody_planned_are_said() -> None:
    made = job()
    made.send(vendor="Cinder")
    assert "step 60: sent to Cinder; the sheet gives it to Beacon" in said(made)
    made = job(outside=None)
    made.send()
    assert "step 60: sent to Beacon, which the sheet does not plan" in said(made)


def test_a_revision_that_changes_the_step_while_it_is_out_is_said() -> None:
    made = Job(plan_with(preheat_step()))
    made.send(at=40)
    made.revise(plan_with(preheat_step()))
    assert not any("under revision" in line for line in said(made))
    made.revise(plan_with(preheat_step(at_least="320 degF")))
    assert "step 40: sent to Beacon under revision 1, and changed since: revision 3 counts" in said(made)


def test_a_remark_on_an_accepted_certificate_prints() -> None:
    made = back()
    made.review(because="hardness at one place only")
    wanted = (
        "the certificate of Beacon was accepted by Ines Okafor with the remark: hardness at one place only"
    )
    assert f"step 60: {wanted}" in said(made)


def test_a_signature_on_the_work_is_not_about_the_review_that_comes_after() -> None:
    made = back()
    made.review()
    (signature,) = made.state.performed
    assert not changed_since(made.state, made.step(60), signature)
    made.read(60, "accepted")
    assert changed_since(made.state, made.step(60), made.state.performed[0])


def test_a_hold_is_released_on_what_came_back() -> None:
    hold = Point(1, "hold", "engineer")
    made = Job(plan_with(inspect_step(points=(hold,))))
    made.read(60, "accepted")
    made.send()
    assert made.at_point("released", 60, by=EVA).granted
    made.receive()
    made.attach(60)
    made.perform(60)
    made.review()
    (reason,) = made.accept(60).reasons
    assert "is to be released again" in reason


def test_sent_again_after_acceptance_the_step_is_open_again() -> None:
    made = back()
    made.review()
    made.accept(60)
    assert made.stands(60)
    made.send()
    assert not made.stands(60)


def test_nothing_is_sent_on_a_job_that_has_ended() -> None:
    made = back()
    made.review()
    made.accept(60)
    made.close()
    assert made.send().reasons == ("the job is closed",)


def test_the_board_waits_for_the_day_on_which_it_is_expected() -> None:
    made = job()
    made.send(expected=(made.clock + timedelta(days=3)).date().isoformat())
    row = board_row(made.state, made.clock)
    assert (row.need, row.due) == ("time", "return of step 60 by Beacon")
    assert row.blocked_by.startswith("at Beacon since")
    assert row.need_then == "signature"
    assert "beacon" in row.words.split("\n")
    later = board_row(made.state, made.clock + timedelta(days=4))
    assert later.need == "signature"
    made.receive()
    assert board_row(made.state, made.clock).due == ""


def test_without_a_day_the_board_waits_for_nothing_by_the_clock() -> None:
    made = job()
    made.send()
    row = board_row(made.state, made.clock)
    assert (row.need, row.due) == ("signature", "")


def test_the_object_tells_all_of_it_and_says_nothing_where_there_is_none() -> None:
    made = back(2)
    made.review()
    (step,) = traveler_object(made.state, made.clock)["steps"]
    assert step["outside"] == {"vendor": "Beacon", "order": "B-1", "returns": ["report"]}
    (sending,) = step["sendings"]
    assert (sending["state"], sending["pieces"], sending["back"]) == ("accepted", 2, 2)
    assert sending["reviews"][0]["files"] == [
        {"name": made.state.attachments[0].name, "sha256": made.state.attachments[0].sha256}
    ]
    (plain,) = traveler_object(job(outside=None).state, made.clock)["steps"]
    assert {"outside", "sendings"} & set(plain) == set()


REPORTED = {"reported_by": "Beacon"}


def test_a_vendors_reading_without_a_registered_instrument_shows_nothing_and_says_what_to_do() -> None:
    made = Job(plan_with(preheat_step()))
    made.send(at=40)
    made.read(40, "320 degF", state=None, **REPORTED)
    judgement = made.judged(40)
    assert judgement.verdict == "not shown"
    assert "it was reported by Beacon and names no registered instrument" in judgement.reason
    assert "register the vendor's with the calibration that came with the papers" in judgement.reason
    assert any(
        line == "step 40, reading 1: reported by Beacon, not read by this shop; with what is not said"
        for line in said(made)
    )


@pytest.mark.parametrize(
    ("typed", "state", "verdict"),
    [
        ("320 degF", state_of_probe("V1"), "met"),
        ("301 degF", state_of_probe("V1"), "conditional"),
        ("299 degF", state_of_probe("V1"), "not met"),
        ("320 degF", state_of_probe("V1", state="overdue"), "not shown"),
        ("320 degF", state_of_probe("V1", "infrared thermometer"), "not shown"),
    ],
)
def test_a_vendors_registered_instrument_is_judged_as_any_other(
    typed: str, state: dict, verdict: str
) -> None:
    here, away = Job(plan_with(preheat_step())), Job(plan_with(preheat_step()))
    here.read(40, typed, state=state)
    away.read(40, typed, state=state, **REPORTED)
    assert here.judged(40).verdict == away.judged(40).verdict == verdict
    wanted = (
        "step 40, reading 1: reported by Beacon, not read by this shop; with V1 probe, as the register has it"
    )
    assert wanted in said(away)
    assert wanted not in said(here)


def test_a_shop_without_a_register_takes_a_vendors_word_as_it_takes_its_own_and_says_so() -> None:
    made = Job(plan_with(preheat_step()))
    made.read(40, "320 degF", **REPORTED)
    assert made.judged(40).verdict == "met"
    assert any("reported by Beacon" in line for line in said(made))


def test_the_correction_of_what_a_vendor_reported_is_the_vendors_too() -> None:
    made = Job(plan_with(preheat_step()))
    made.correct(made.read(40, "230 degF", **REPORTED), "320 degF")
    assert [reading.reported_by for reading in made.state.readings] == ["Beacon", "Beacon"]
    assert any("reading 2: reported by Beacon" in line for line in said(made))


def test_whose_reading_it_is_is_part_of_what_is_signed() -> None:
    contents = []
    for more in ({}, REPORTED):
        made = Job(plan_with(preheat_step()))
        made.read(40, "320 degF", **more)
        contents.append(content_digest(made.state, made.step(40)))
    assert contents[0] != contents[1]
