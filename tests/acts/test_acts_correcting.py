"""Correcting an entry that somebody signed over: another person's to do, and where people have secrets they show it."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from people_kit import CHEAP, INES, WIM, People, secret

from traveler.acts.change import Outcome
from traveler.acts.readings import supersede
from traveler.errors import TravelerError
from traveler.job.person import Person
from traveler.job.state import JobState
from traveler.record import secrets
from traveler.record.secrets import Secret
from traveler.record.shop import Shop, Writing


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)


@pytest.fixture
def people(tmp_path: Path) -> Iterator[People]:
    with Shop.create(tmp_path / "shop.traveler") as shop:
        made = People(shop)
        made.begin()
        made.issue()
        made.preheated()
        yield made


def correct(
    people: People,
    by: str,
    given: Secret | None = None,
    content: str | None = None,
    value: str | None = "311 F",
) -> Outcome:
    return supersede(
        people.shop,
        people.clock,
        Person(by),
        people.number,
        1,
        value,
        "misread",
        content=content,
        secret=given,
    )


def test_before_the_work_is_signed_a_correction_is_as_stated(people: People) -> None:
    assert correct(people, WIM).recorded
    assert people.told("job A-101")[-1]["by"]["how"] == "stated"


def test_another_name_typed_by_the_performer_corrects_nothing(people: People) -> None:
    people.perform(10)
    before = len(people.told("job A-101"))
    with pytest.raises(TravelerError, match="it takes the secret of Ines Okafor"):
        correct(people, INES)
    assert correct(people, "Zed Nobody").reasons == ("Zed Nobody is not in the register of people",)
    assert correct(people, INES, secret(WIM)).reasons == ("wrong secret for Ines Okafor",)
    own = correct(people, WIM, secret(WIM))
    assert own.reasons == (
        "Wim Two signed step 10 as performed over reading 1; another person must correct it",
    )
    assert len(people.told("job A-101")) == before
    assert [(act["as"], act["step"], act["name"]) for act in people.refused()[-3:]] == [
        ("corrected", 10, "Zed Nobody"), ("corrected", 10, INES), ("corrected", 10, WIM),
    ]  # fmt: skip


def test_with_their_secret_another_person_corrects_what_was_shown_to_them(people: People) -> None:
    people.perform(10)
    shown = people.content(10)
    people.record(10, "preheat temperature", "330 F", place="rim")
    (stale,) = correct(people, INES, secret(INES), shown).reasons
    assert stale.startswith("stale: ")
    assert correct(people, INES, secret(INES), people.content(10)).recorded
    event = people.told("job A-101")[-1]
    assert (event["kind"], event["by"]["how"], "session" in event["act"]) == (
        "reading superseded",
        "signed",
        True,
    )


def test_what_another_person_corrected_is_not_the_performers_again(people: People) -> None:
    people.perform(10)
    corrected = correct(people, INES, secret(INES), value="290 F")
    assert not corrected.complies
    again = supersede(
        people.shop, people.clock, Person(WIM), people.number, 3, "311 F", "was right", secret=secret(WIM)
    )
    assert again.reasons == (
        "Wim Two signed step 10 as performed over reading 3; another person must correct it",
    )
    with pytest.raises(TravelerError, match="it takes the secret"):
        supersede(people.shop, people.clock, Person(INES), people.number, 3, "311 F", "was right")


def test_taking_an_entry_back_is_no_way_round(people: People) -> None:
    people.perform(10)
    with pytest.raises(TravelerError, match="it takes the secret"):
        correct(people, INES, value=None)
    assert correct(people, INES, secret(INES), value=None).recorded


def test_a_signature_in_between_is_noticed(people: People, monkeypatch: pytest.MonkeyPatch) -> None:
    """Looked up before the write, and asked again inside it."""
    from traveler.acts import readings

    asked = readings.correction_signed

    def signed_in_between(shop: Shop | Writing, state: JobState, reading: int) -> int | None:
        answer = asked(shop, state, reading)
        if isinstance(shop, Shop):
            people.perform(10)
        return answer

    monkeypatch.setattr(readings, "correction_signed", signed_in_between)
    assert correct(people, INES).reasons == ("step 10 was signed as performed meanwhile; look again",)
