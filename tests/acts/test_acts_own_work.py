"""Who works with others decides about nobody's work who is themselves; who works alone may, and it prints."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from deciding_kit import with_points
from people_kit import CHEAP, INES, OLGA, WIM, People, secret
from test_acts_people_signing import SELF_INSPECTED

from traveler.acts.change import Outcome
from traveler.acts.instruments import NewInstrument, calibrated, found_out, register_instrument
from traveler.acts.look import export, look
from traveler.acts.nonconformance import (
    close_nonconformance,
    decide_disposition,
    open_nonconformance,
    propose,
    reverify,
)
from traveler.acts.people import set_active
from traveler.acts.points import release, waive
from traveler.acts.settling import answer_question, set_not_applicable
from traveler.acts.signed_change import Signing
from traveler.acts.verify import verify
from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.shop import Shop

ALONE = "self-inspection is for whoever works alone: "


@pytest.fixture(autouse=True)
def cheap_secrets(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)


@pytest.fixture
def people(tmp_path: Path) -> Iterator[People]:
    """A job that allows self-inspection, with a hold of the inspector at its preheat, which Olga performs."""
    with Shop.create(tmp_path / "shop.traveler") as shop:
        found = People(shop)
        found.begin()
        found.issue(with_points(SELF_INSPECTED, 10, 'hold = ["inspector"]'))
        yield found


def signing(people: People, by: str = OLGA) -> Signing:
    return Signing(people.shop, people.clock, Person(by), people.number, None, secret(by))


def leaves(people: People, name: str) -> None:
    set_active(people.shop, people.clock, Person(OLGA), name, "disable", "left", secret=secret(OLGA))


def exceptions(people: People) -> list[str]:
    return list(look(people.shop, people.clock, people.number)["exceptions"])


def own(people: People) -> list[str]:
    return [text for text in exceptions(people) if "about their own work" in text]


def against(outcome: Outcome) -> str:
    assert not outcome.recorded
    return "; ".join(outcome.reasons)


def test_a_hold_is_released_by_another_while_there_is_one(people: People) -> None:
    people.preheated()
    assert people.perform(10, by=OLGA).complies
    assert against(release(signing(people), 10)) == f"{ALONE}Ines Okafor (P3) may settle hold 1 (inspector)"
    assert people.refused()[-1]["reason"].startswith(ALONE)
    assert release(signing(people, INES), 10).complies
    assert own(people) == []


def test_who_works_alone_releases_and_it_prints(people: People, tmp_path: Path) -> None:
    people.preheated()
    people.perform(10, by=OLGA)
    leaves(people, INES)
    assert release(signing(people), 10).complies
    assert own(people) == [
        "step 10: point 1 (inspector) was released by Olga Vance about their own work: Olga Vance performed this step"
    ]
    target = tmp_path / "out.json"
    target.write_bytes(export(people.shop, people.number, "json"))
    assert verify(target).faults == ()
    assert "about their own" in export(people.shop, people.number, "text").decode()


def test_giving_up_a_hold_is_no_way_round(people: People) -> None:
    people.preheated()
    people.perform(10, by=OLGA)
    assert ALONE in against(waive(signing(people), 10, 1, "in a hurry"))


def test_a_welder_who_cannot_release_is_nobody_else(people: People) -> None:
    """Wim is there, and no inspector: he could not release it either."""
    people.preheated()
    people.perform(10, by=OLGA)
    leaves(people, INES)
    assert release(signing(people), 10).recorded


def reworked(people: People) -> None:
    """A nonconformance at the preheat, rework approved by Ines and done by Olga."""
    people.record(10, "preheat temperature", "250 F", place="web")
    assert open_nonconformance(signing(people), 10, "too cold", "preheat temperature").recorded
    assert propose(signing(people), 1, "rework", "heat it again").recorded
    assert decide_disposition(signing(people, INES), 1, approve=True).recorded
    people.preheated()
    assert people.perform(10, by=OLGA).recorded


def test_rework_is_looked_at_and_closed_by_another_while_there_is_one(people: People) -> None:
    reworked(people)
    found = against(reverify(signing(people), 1, "read again", complies=True))
    assert found == f"{ALONE}Ines Okafor (P3) may look at it again"
    assert reverify(signing(people, INES), 1, "read again", complies=True).recorded
    assert against(close_nonconformance(signing(people), 1)) == f"{ALONE}Ines Okafor (P3) may close it"


def test_alone_rework_is_looked_at_by_who_did_it_and_it_prints(people: People) -> None:
    reworked(people)
    leaves(people, INES)
    assert reverify(signing(people), 1, "read again", complies=True).recorded
    assert close_nonconformance(signing(people), 1).recorded
    assert [text.partition(" by ")[0] for text in own(people)] == [
        "nonconformance 1 was re-verified",
        "nonconformance 1 was closed",
    ]


def test_a_concession_needs_another_than_proposer_and_performer(people: People) -> None:
    """Eva proposed, so she is not the one who could approve in Olga's place; once a customer is there, they are."""
    people.add("Eva Lindqvist", "engineer")
    people.record(10, "preheat temperature", "250 F", place="web")
    people.perform(10, by=OLGA)
    assert open_nonconformance(signing(people), 10, "too cold", "preheat temperature").recorded
    assert propose(signing(people, "Eva Lindqvist"), 1, "use as is", "thin metal").recorded
    set_roles(people, INES, "customer")
    found = against(decide_disposition(signing(people), 1, approve=True))
    assert found == f"{ALONE}Ines Okafor (P3) may approve it (use as is)"
    set_roles(people, INES, "inspector")
    assert decide_disposition(signing(people), 1, approve=True).recorded
    assert len(own(people)) == 1


def set_roles(people: People, name: str, role: str) -> None:
    from traveler.acts.people import change_person

    change_person(
        people.shop, people.clock, Person(OLGA), name, "as it is", roles=[role], secret=secret(OLGA)
    )


def test_questions_about_ones_own_readings_are_anothers_to_answer(people: People) -> None:
    probe = NewInstrument("probe", "contact thermometer", "0 F", "750 F", "3 F")
    by_olga = (people.shop, people.clock, Person(OLGA))
    register_instrument(*by_olga, probe, secret=secret(OLGA))
    calibrated(*by_olga, "I1", "2026-01-05", "2027-01-05", "C-1", secret=secret(OLGA))
    people.record(10, "preheat temperature", "320 F", place="web", instrument="I1")
    people.perform(10, by=OLGA)
    found_out(*by_olga, "I1", "reads 12 F high", secret=secret(OLGA))
    found = against(answer_question(signing(people), True, "far above"))
    assert found == f"{ALONE}Ines Okafor (P3) may answer for these readings"
    assert answer_question(signing(people, INES), True, "far above").recorded


def test_what_does_not_apply_to_ones_own_work_is_anothers_to_say(people: People) -> None:
    people.perform(10, by=OLGA)
    people.add("Eva Lindqvist", "engineer")
    said = set_not_applicable(signing(people), 10, "preheat temperature", "J1", "thin")
    assert against(said) == f"{ALONE}Eva Lindqvist (P4) may say what does not apply"


def test_where_the_sheet_allows_nothing_nobody_decides_about_their_own(tmp_path: Path) -> None:
    from acts_kit import sheet

    with Shop.create(tmp_path / "strict.traveler") as shop:
        people = People(shop)
        people.begin()
        people.issue(with_points(sheet(), 10, 'hold = ["inspector"]'))
        people.preheated()
        people.perform(10, by=OLGA)
        leaves(people, INES)
        leaves(people, WIM)
        assert "another person must settle hold 1" in against(release(signing(people), 10))
