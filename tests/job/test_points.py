"""Hold and witness points: who may settle them, when they lapse and when they do not."""

from datetime import timedelta

import pytest
from trust_kit import (
    CARL,
    EVA,
    INES,
    OLGA,
    WANDA,
    Job,
    inspect_step,
    plan_with,
    preheat_step,
)

from traveler.job.decided import PointKind
from traveler.job.gate import ActAtPoint
from traveler.job.person import Person
from traveler.job.requirement import Point
from traveler.quantity.parse import stored

HOLD = Point(1, "hold", "customer")
WITNESS = Point(1, "witness", "customer", stored("24", "h"))
NO_LAPSE = Point(1, "witness", "customer")


def ready(*points: Point, self_inspection: bool = False) -> Job:
    """A preheat done and signed, with points on it, and an inspection behind it."""
    plan = plan_with(preheat_step(points=points), inspect_step(), self_inspection=self_inspection)
    job = Job(plan)
    job.read(40, "320 degF")
    job.perform(40)
    return job


def test_a_hold_blocks_acceptance_and_never_lapses() -> None:
    job = ready(HOLD)
    job.clock += timedelta(days=400)
    assert job.accept(40).reasons == ("hold 1 (customer) is not released",)
    assert job.at_point("released").granted
    assert job.accept(40).granted


def test_what_comes_after_a_hold_is_recorded_and_not_accepted() -> None:
    job = ready(HOLD)
    job.read(60, "accepted")
    job.perform(60)
    assert job.accept(60).reasons == ("step 40 comes first and is not accepted",)
    job.at_point("released")
    job.accept(40)
    assert job.accept(60).granted


@pytest.mark.parametrize("by", [WANDA, INES, EVA])
@pytest.mark.parametrize("kind", ["released", "waived"])
def test_only_the_party_releases_or_waives(by: Person, kind: PointKind) -> None:
    job = ready(HOLD)
    reasons = job.at_point(kind, by=by).reasons
    assert reasons[0].startswith(
        f"hold 1 (customer) is for the customer to settle; {by.name} is registered as"
    )
    assert not job.accept(40).granted


def test_the_owner_who_is_the_customer_too_may_and_the_one_who_is_not_may_not() -> None:
    assert not ready(HOLD).at_point("released", by=OLGA).granted
    both = Person("Olga Vance", "signed", "P1", ("owner", "customer"))
    assert ready(HOLD).at_point("released", by=both).granted


def test_a_name_as_stated_is_taken_at_its_word() -> None:
    assert ready(HOLD).at_point("released", by=Person("Somebody")).granted
    assert not ready(HOLD).at_point("released", by=Person("wanda zoë")).granted  # she did the work


def test_who_did_the_work_does_not_release_it_unless_the_sheet_lets_them() -> None:
    engineer = Point(1, "hold", "engineer")
    both = Person(WANDA.name, "signed", WANDA.id, ("welder", "engineer"))
    refused = ready(engineer).at_point("released", by=both)
    assert refused.reasons == ("Wanda Zoë performed this step; another person must settle hold 1 (engineer)",)
    assert ready(engineer, self_inspection=True).at_point("released", by=both).granted


def test_a_hold_is_released_on_what_the_step_holds() -> None:
    job = ready(HOLD)
    job.at_point("released")
    job.read(40, "330 degF")
    assert job.accept(40).reasons == (
        "hold 1 (customer): the step has changed since it was released; it is to be released again",
    )
    assert job.at_point("released").granted
    assert job.accept(40).granted


def test_signing_and_other_points_do_not_undo_a_release() -> None:
    job = Job(plan_with(preheat_step(points=(HOLD, Point(2, "hold", "engineer")))))
    job.read(40, "320 degF")
    job.at_point("released")
    job.perform(40)
    assert job.at_point("released", point=2, by=EVA).granted
    assert job.accept(40).granted


def test_a_waiver_stands_whatever_comes() -> None:
    job = ready(HOLD)
    assert job.at_point("waived").granted
    job.read(40, "330 degF")
    assert job.accept(40).granted
    assert job.at_point("released").reasons == ("hold 1 (customer) is waived already",)


def test_a_released_hold_is_released_once() -> None:
    job = ready(HOLD)
    job.at_point("released")
    assert job.at_point("released").reasons == ("hold 1 (customer) is released already",)
    assert job.at_point("waived").reasons == ("hold 1 (customer) is released already",)


@pytest.mark.parametrize(
    ("point", "kind", "reason"),
    [
        (HOLD, "notified", "hold 1 (customer) is a hold: it is released or waived, and never lapses"),
        (HOLD, "attended", "hold 1 (customer) is a hold: it is released or waived, and never lapses"),
        (WITNESS, "released",
         "witness 1 (customer) is not released: its party attends, or is notified and does not come"),
    ],
)  # fmt: skip
def test_a_hold_is_no_witness_point(point: Point, kind: PointKind, reason: str) -> None:
    assert ready(point).at_point(kind).reasons == (reason,)


def test_a_witness_lapses_only_after_its_notice_and_only_from_when_that_was_written() -> None:
    job = ready(WITNESS)
    assert job.accept(40).reasons == ("witness 1 (customer) is not notified and witnessed",)
    job.clock += timedelta(days=3)
    assert not job.accept(40).granted
    # Said to have been told two days ago: the time runs from the entry.
    assert job.at_point("notified", by=INES, happened=job.clock - timedelta(days=2)).granted
    told = job.clock
    assert job.accept(40).reasons == (
        f"witness 1 (customer): notified at {told.isoformat()}; the notice of 24 h runs until "
        f"{(told + timedelta(hours=24)).isoformat()}",
    )
    job.clock = told + timedelta(hours=23, minutes=59, seconds=59)
    assert not job.accept(40).granted
    job.clock = told + timedelta(hours=24)
    assert job.accept(40).granted


def test_telling_them_again_does_not_start_the_time_anew() -> None:
    job = ready(WITNESS)
    job.at_point("notified", by=INES)
    job.clock += timedelta(hours=20)
    assert job.at_point("notified", by=INES).granted
    job.clock += timedelta(hours=4)
    assert job.accept(40).granted


def test_without_a_notice_a_witness_does_not_lapse() -> None:
    job = ready(NO_LAPSE)
    job.at_point("notified", by=INES)
    job.clock += timedelta(days=400)
    assert job.accept(40).reasons[0].endswith("and it does not lapse")
    assert job.at_point("attended").granted
    assert job.accept(40).granted


@pytest.mark.parametrize("kind", ["attended", "waived"])
def test_a_witness_attends_or_waives_in_person(kind: PointKind) -> None:
    job = ready(WITNESS)
    assert not job.at_point(kind, by=INES).granted
    assert job.at_point(kind, by=CARL).granted
    assert job.accept(40).granted


def test_a_revision_that_gives_the_point_to_another_party_asks_them() -> None:
    job = ready(HOLD)
    job.at_point("waived")
    job.revise(plan_with(preheat_step(points=(Point(1, "hold", "engineer"),)), inspect_step()))
    assert "hold 1 (engineer) is not released" in job.accept(40).reasons


def test_what_is_not_there_is_said() -> None:
    job = ready(HOLD)
    assert job.may(ActAtPoint(40, 7, "released"), CARL).reasons == ("step 40 has no hold or witness point 7",)
    assert job.may(ActAtPoint(41, 1, "released"), CARL).reasons == ("there is no step 41",)
