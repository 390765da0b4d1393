"""The traveler object with people, points, nonconformances and instruments; it is JSON and a function of the events."""

import json
from datetime import datetime, timedelta
from typing import Any

from trust_kit import (
    EVA,
    INES,
    WANDA,
    Job,
    inspect_step,
    plan_with,
    preheat_step,
    state_of_probe,
)

from traveler.job.person import Person
from traveler.job.requirement import Point
from traveler.job.view import plan_object, traveler_object
from traveler.quantity.parse import stored
from traveler.report.words import signature_words

HOLD, WITNESS = Point(1, "hold", "customer"), Point(2, "witness", "engineer", stored("24", "h"))


def full() -> Job:
    job = Job(
        plan_with(preheat_step(points=(HOLD, WITNESS)), inspect_step(), self_inspection=True), "guard band"
    )
    first = job.read(40, "299 degF", state=state_of_probe(calibrated="2025-01-05"))
    job.read(40, "melts 320 degF", place="web")
    job.read(40, "holds 350 degF", place="web")
    job.read(40, "320 degF", state=state_of_probe())
    job.perform(
        40, qualification={"process": "141", "on": "2026-03-02", "valid": True, "until": None, "reason": ""}
    )
    job.at_point("released")
    job.at_point("notified", point=2, by=INES)
    job.disposed("use as is", first)
    job.question(first)
    job.answer(first)
    job.not_applicable(60, "visual result")
    return job


def shown(job: Job) -> dict[str, Any]:
    when = datetime.fromisoformat(job.events[-1]["recorded_at"])
    found: dict[str, Any] = json.loads(json.dumps(traveler_object(job.state, when)))
    return found


def test_people_with_their_roles_in_order_of_id() -> None:
    job = full()
    job.read(40, "331 degF", by=Person("Wanda Vance", "signed", WANDA.id, ("welder", "inspector")))
    people = shown(job)["people"]
    assert [(entry["person"], entry["name"], entry["roles"]) for entry in people] == [
        ("P1", "Olga Vance", ["owner", "inspector"]),
        ("P2", "Wanda Vance", ["welder", "inspector"]),
        ("P5", "Ines Okafor", ["inspector"]),
        ("P6", "Eva Lindqvist", ["engineer"]),
        ("P7", "Carl Kunde", ["customer"]),
    ]
    assert people[1]["names"] == ["Wanda Zoë", "Wanda Vance"]
    assert shown(job)["names"] == "names as registered"


def test_points_with_where_they_stand() -> None:
    job = full()
    hold, witness = shown(job)["steps"][0]["points"]
    # The nonconformance came after the release, so the step is not what was released.
    assert (hold["state"], hold["party"], len(hold["acts"])) == ("changed", "customer", 1)
    assert (witness["state"], witness["notice"]) == ("notified", {"value": "24", "unit": "h"})
    assert witness["waits_for"].startswith("witness 2 (engineer): notified at")
    later = traveler_object(job.state, job.clock + timedelta(hours=25))
    assert later["steps"][0]["points"][1]["state"] == "lapsed"
    assert plan_object(job.plan)["steps"][0]["points"][0] == {
        "point": 1, "kind": "hold", "party": "customer", "notice": None,
    }  # fmt: skip


def test_nonconformances_questions_and_what_does_not_apply() -> None:
    told = shown(full())
    (entry,) = told["nonconformances"]
    assert (entry["state"], entry["disposition"], entry["readings"]) == ("closed", "use as is", [1])
    assert entry["proposals"][0]["decision"]["by"]["person"] == EVA.id
    (question,) = told["questions"]
    assert (question["readings"], question["answers"][0]["stands"]) == ([1], True)
    preheat, visual = (step["requirements"][0] for step in told["steps"])
    assert (preheat["verdict"], preheat["settled"]) == ("not met", "let stand by nonconformance 1")
    assert visual["not_applicable"]["because"] == "no such thing here"
    assert told["steps"][0]["nonconformances"] == [1]
    assert told["self_inspection"] is True
    assert told["decision_rule"] == "guard band"


def test_readings_with_instrument_bound_and_what_lets_them_stand() -> None:
    cold, melts, holds, good = shown(full())["steps"][0]["requirements"][0]["readings"]
    assert (cold["let_stand_by"], cold["verdict"]) == (1, "not met")
    assert (melts["bound"], melts["shown"], melts["verdict"]) == (
        "at_least",
        "melts 320 °F (160.0 °C)",
        "met",
    )
    assert (holds["bound"], holds["shown"]) == ("at_most", "holds 350 °F (176.7 °C)")
    assert (good["bound"], good["instrument_state"]["state"]) == (None, "in calibration")


def test_instruments_as_they_stood_with_the_readings_that_they_took() -> None:
    instruments = shown(full())["instruments"]
    assert [(entry["instrument"], entry["calibrated"], entry["readings"]) for entry in instruments] == [
        ("I1", "2025-01-05", [1]),
        ("I1", "2026-01-05", [4]),
    ]
    assert instruments[0]["shown"]["uncertainty"] == "3 F° (1.7 C°)"


def test_signatures_carry_what_they_relied_on() -> None:
    job = full()
    job.perform(60, session={"os_user": "bench", "terminal": "tty1", "origin": None})
    preheat, visual = shown(job)["steps"]
    assert preheat["performed"][0]["qualification"]["process"] == "141"
    assert visual["performed"][0]["session"]["os_user"] == "bench"


def test_rework_behind_an_accepted_step_is_said() -> None:
    job = Job(plan_with(preheat_step(), inspect_step()))
    for at, typed in ((40, "320 degF"), (60, "accepted")):
        job.read(at, typed)
        job.perform(at)
        assert job.accept(at).granted
    assert shown(job)["state"] == "work complete"
    job.nonconforming(1)
    job.propose("rework")
    job.decide("rework")
    step = shown(job)["steps"][1]
    assert step["re_verify"] == (
        "to be re-verified: rework of step 40 (nonconformance 1) was approved after this step was accepted"
    )
    assert (step["state"], step["accepted"]["stands"]) == ("performed", False)


def test_a_job_without_any_of_it_says_nothing_of_it() -> None:
    job = Job(plan_with(preheat_step()))
    told = shown(job)
    empty = (told["instruments"], told["nonconformances"], told["questions"], told["self_inspection"])
    assert empty == ([], [], [], None)
    assert told["steps"][0]["points"] == []


def test_a_signature_says_what_became_of_what_it_covers() -> None:
    job = Job(plan_with(preheat_step(points=(HOLD,)), inspect_step()))
    first = job.read(40, "320 degF")
    job.perform(40)
    # A release and a second signature are no change of what was signed.
    assert job.at_point("released").granted
    job.perform(40, runs=None)
    assert [signed["changed"] for signed in shown(job)["steps"][0]["performed"]] == [None, None]
    assert job.accept(40).granted
    job.read(60, "accepted")
    job.perform(60)
    assert job.accept(60).granted
    job.correct(first, "321 degF", by=EVA)
    told = shown(job)["steps"][0]
    assert [signed["changed"] for signed in told["performed"]] == [True, True]
    assert (told["accepted"]["stands"], told["accepted"]["changed"]) == (False, True)
    assert "content changed since signing" in signature_words(told["performed"][0])
    # Rework before it lets an acceptance fall whose own content is as it was.
    assert job.nonconforming(3).granted
    job.propose("rework")
    job.decide("rework")
    later = shown(job)["steps"][1]
    assert (later["accepted"]["stands"], later["accepted"]["changed"]) == (False, None)
    assert signature_words(later["accepted"]).endswith(
        "DOES NOT STAND: an earlier step was reworked or repaired after this signature"
    )
    assert not [text for text in shown(job)["exceptions"] if text.startswith("step 60: content changed")]


def test_whoever_performed_a_step_together_is_among_the_people() -> None:
    job = Job(plan_with(preheat_step()))
    helper = {"name": "Wim Two", "how": "stated", "person": "P3", "roles": ["welder"]}
    state = job.state
    job.tell(
        "step performed", WANDA, step=40, meaning="done", revision=state.revision, runs=None, content="",
        **{"with": [helper]},
    )  # fmt: skip
    assert [entry["person"] for entry in shown(job)["people"]] == ["P1", "P2", "P3"]
