"""Who did the work does not accept it; a welder is qualified on the day of the weld.

Persons are compared by id, whatever they are called by now (practice; 10 CFR 50 appendix B, criterion X [seen]).
"""

from dataclasses import replace
from datetime import datetime

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
    weld_step,
)

from traveler.job.gate import AcceptStep
from traveler.job.person import Person
from traveler.job.qualification import (
    months_later,
    process_of,
    qualification,
    valid_on,
    weld_days,
    welds_of,
)

EVERY_ROLE = ("owner", "welder", "inspector", "engineer", "customer")


def joint(self_inspection: bool = False) -> Job:
    """W tacks, F fits, another W welds; the inspection is done by the inspector."""
    job = Job(plan_with(fit_step(), weld_step(), inspect_step(), self_inspection=self_inspection))
    job.read(30, "good")
    job.perform(30, FRANZ)
    job.perform(30, WANDA)
    job.accept(30)
    job.read(50, "W. Two", "welder")
    job.run(1, "350 degF", by=WIM)
    job.perform(50, WIM, runs=1)
    return job


@pytest.mark.parametrize("who", [FRANZ, WANDA, WIM], ids=lambda who: str(who.name))
@pytest.mark.parametrize("at", [50, 60])
def test_none_of_those_who_made_the_weld_accepts_it_or_its_inspection(who: Person, at: int) -> None:
    job = joint()
    if at == 60:
        assert job.accept(50).granted
        job.read(60, "accepted")
        job.perform(60, INES)
    for now in (replace(who, roles=EVERY_ROLE), replace(who, name="Somebody Else", roles=EVERY_ROLE)):
        (reason,) = job.accept(at, now).reasons
        assert "performed" in reason
        assert reason.endswith("another person must accept it")
    assert job.accept(at, EVA).granted


def test_a_namesake_is_another_person() -> None:
    job = joint()
    assert job.accept(50, Person(WIM.name, "signed", "P9", ("inspector",))).granted


def test_before_there_was_a_register_the_names_are_compared() -> None:
    job = Job(plan_with(preheat_step()))
    job.read(40, "320 degF")
    job.perform(40, Person("Wanda Schmidt"))
    now = Person("Wanda Zoë", "signed", "P2", EVERY_ROLE, known_as=("wanda  SCHMIDT",))
    assert not job.accept(40, now).granted
    assert job.accept(40, replace(now, known_as=())).granted


def test_who_is_named_as_the_welder_does_not_accept() -> None:
    job = Job(plan_with(weld_step()))
    job.read(50, "p5", "welder")
    job.run(1, "350 degF")
    job.perform(50, WIM, runs=1)
    assert job.accept(50, INES).reasons == ("Ines Okafor performed this step; another person must accept it",)
    assert not job.accept(50, Person("P5", "stated")).granted
    assert job.accept(50, EVA).granted


@pytest.mark.parametrize(
    "welders",
    [
        "Wim Two, Ines Okafor",
        "wim two/ines  okafor",
        "Wim Two und Ines Okafor",
        "Wim Two & P5",
        "Ines Okafor (P5)",
        "Wim Two (with Ines Okafor)",
        "Ines\ufe0f Okafor",
        "In\u034fes Okafor\u2800",
    ],
)
def test_several_named_in_one_field_are_each_kept_from_accepting(welders: str) -> None:
    job = Job(plan_with(weld_step()))
    job.read(50, welders, "welder")
    job.run(1, "350 degF")
    job.perform(50, WIM, runs=1)
    assert job.accept(50, INES).reasons == ("Ines Okafor performed this step; another person must accept it",)
    assert job.accept(50, EVA).granted


@pytest.mark.parametrize("welders", ["Wim Two, Ines", "Okafor", "Inesa Okafor", "P55", "Ines-Okafor"])
def test_another_name_that_only_resembles_keeps_nobody_from_accepting(welders: str) -> None:
    job = Job(plan_with(weld_step()))
    job.read(50, welders, "welder")
    job.run(1, "350 degF")
    job.perform(50, WIM, runs=1)
    assert job.accept(50, INES).granted


@pytest.mark.parametrize("who", [WIM, CARL])
def test_a_registered_person_accepts_by_role(who: Person) -> None:
    job = Job(plan_with(preheat_step()))
    job.read(40, "320 degF")
    job.perform(40, WANDA)
    (reason,) = job.accept(40, who).reasons
    assert reason == (
        f"{who.name} is registered as {who.roles[0]}; an acceptance takes inspector or engineer or owner"
    )
    for allowed in (INES, EVA, OLGA, Person("Anybody")):
        assert job.may(AcceptStep(40), allowed).granted


def test_self_inspection_where_the_sheet_allows_it() -> None:
    assert not joint().accept(50, replace(WIM, roles=EVERY_ROLE)).granted
    assert joint(self_inspection=True).accept(50, replace(WIM, roles=EVERY_ROLE)).granted
    assert not joint(self_inspection=True).accept(50, WIM).granted  # a welder by role


# The welder's qualification, frozen with the signature.


def shop_with(first: str) -> ShopStory:
    shop = ShopStory()
    shop.person("Olga Vance", "owner")
    shop.person("Wanda Zoë", "welder", p141=first)
    return shop


def signed(first: str, welded: datetime) -> Job:
    """A weld laid on that day, signed later by Wanda with her qualification on that day."""
    job = Job(plan_with(weld_step()))
    job.read(50, "Wanda Zoë", "welder")
    job.read(50, "350 degF", "interpass temperature", run=1, happened=welded)
    job.read(50, "1.0 kJ/mm", "arc energy", run=1, happened=welded)
    (day,) = weld_days(job.state, job.step(50))
    process = process_of(job.state, job.step(50))
    assert process == "141"
    kept = qualification(shop_with(first).register, "P2", process, day, [])
    job.perform(50, WANDA, runs=1, qualification=kept)
    return job


def test_judged_on_the_day_of_the_weld_and_not_of_the_signature() -> None:
    # Last used on 2 September: alive on 2 March, lapsed on the third.
    alive = signed("2025-09-02", START)
    alive.clock = START.replace(month=5)
    assert alive.accept(50).granted
    lapsed = signed("2025-09-01", START)
    assert lapsed.accept(50).reasons == (
        "Wanda Zoë was not qualified: 141 was last used on 2025-09-01: it lapsed after 2026-03-01; "
        "a test piece makes it alive again",
    )


def test_a_weld_entered_as_of_a_day_outside_the_qualification_is_flagged() -> None:
    before = signed("2026-02-20", START.replace(month=2, day=19))
    assert before.accept(50).reasons == (
        "Wanda Zoë was not qualified: Wanda Zoë has never been shown to weld by process 141",
    )


def test_signing_again_does_not_mend_it_but_a_nonconformance_lets_it_stand() -> None:
    job = signed("2025-09-01", START)
    good = qualification(shop_with("2026-01-01").register, "P2", "141", START.date(), [])
    job.perform(50, WANDA, runs=1, qualification=good)
    assert not job.accept(50).granted
    job.disposed("use as is", at=50, quantity="welder qualification", what="lapsed the day before")
    assert job.accept(50).granted


def test_rework_by_a_qualified_welder_mends_it() -> None:
    job = signed("2025-09-01", START)
    job.nonconforming(at=50, quantity="interpass temperature", what="lapsed")
    job.propose("rework")
    job.decide("rework")
    job.run(1, "350 degF", by=WIM)
    good = qualification(shop_with("2026-01-01").register, "P2", "141", START.date(), [])
    job.perform(50, WIM, runs=1, qualification=good)
    job.reverify()
    job.close_entry()
    assert job.accept(50).granted


def test_welds_of_a_person_over_the_jobs() -> None:
    first = signed("2026-01-01", START)  # signed and named
    second = Job(replace(plan_with(weld_step()), number="H-2"))
    second.read(50, "P2", "welder")  # named only
    second.run(1, "350 degF")
    second.run(2, "350 degF", happened=START)
    third = joint()  # fitted only
    states = [first.state, second.state, third.state]
    day = START.date()
    assert list(welds_of(states, WANDA)) == [("141", day), ("141", day)]
    assert list(welds_of(states, WIM)) == [("141", day)]
    assert list(welds_of(states, INES)) == []


def test_production_renews_from_job_to_job() -> None:
    register = shop_with("2025-09-02").register
    assert not valid_on(register, "P2", "141", START.date().replace(month=5), []).valid
    welds = list(welds_of([signed("2025-09-02", START).state], WANDA))
    found = valid_on(register, "P2", "141", START.date().replace(month=5), welds)
    assert (found.valid, found.until) == (True, months_later(START.date(), 6))
