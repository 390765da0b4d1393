"""Secrets of people by the acts: one's own, with a second person, by the recovery code; and what each leaves behind."""

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from people_kit import CHEAP, INES, OLGA, SECRETS, WIM, People, secret

from traveler.acts.people import NewPerson, register_person, set_active
from traveler.acts.person_secrets import recover, reset_secret, set_own_secret
from traveler.acts.register import register_of
from traveler.errors import BadInput, TravelerError
from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.secrets import Secret, recovery_code
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop

NEW = Secret("quite another 5")


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


@pytest.fixture
def code(tmp_path: Path) -> Iterator[tuple[People, Secret]]:
    """A shop with the recovery code of its owner."""
    with Shop.create(tmp_path / "shop.traveler") as shop:
        made = People(shop)
        first = made.begin().recovery_code
        assert first is not None
        yield made, first


def secret_events(people: People) -> list[tuple[str, str, str]]:
    return [
        (event["act"]["person"], event["act"]["by_whom"], event["by"]["how"])
        for event in people.told()
        if event["kind"] == "secret set"
    ]


def test_ones_own_takes_the_present_one(people: People) -> None:
    shop, clock = people.shop, people.clock
    wrong = set_own_secret(shop, clock, WIM, Secret("not his 123"), NEW)
    assert (wrong.recorded, wrong.reasons) == (False, ("wrong secret for Wim Two",))
    with pytest.raises(TravelerError, match="it takes the secret of Wim Two"):
        set_own_secret(shop, clock, WIM, None, NEW)
    assert set_own_secret(shop, clock, WIM, secret(WIM), NEW).message == "the secret of P2 Wim Two is set"
    assert people.perform(10).reasons == ("wrong secret for Wim Two",)
    assert people.perform(10, given=NEW.reveal()).complies
    assert secret_events(people)[-1] == ("P2", "own", "signed")
    assert verify_shop(shop.path).ok


def test_a_weak_one_is_refused_before_anything_is_asked(people: People) -> None:
    before = len(people.told())
    with pytest.raises(BadInput, match="this secret is too short"):
        set_own_secret(people.shop, people.clock, WIM, Secret("not his 123"), Secret("12345"))
    assert len(people.told()) == before


def test_the_first_secret_is_never_for_the_taking(people: People) -> None:
    shop, clock = people.shop, people.clock
    register_person(shop, clock, Person(OLGA), NewPerson("Eva Lindqvist", ["engineer"]), secret=secret(OLGA))
    taken = set_own_secret(shop, clock, "P4", None, NEW)
    assert taken.reasons == (
        "Eva Lindqvist has no secret yet; Olga Vance (P1) may set one with them (reset)",
    )
    taken = set_own_secret(shop, clock, "P4", Secret("any at all 1"), NEW)
    assert not taken.recorded
    assert people.perform(10, by="Eva Lindqvist").reasons == (
        "Eva Lindqvist has no secret yet; an owner or an engineer may set one with them (traveler person reset)",
    )
    assert reset_secret(shop, clock, Person(OLGA), secret(OLGA), "P4", NEW, "her first day").recorded
    assert people.perform(10, by="Eva Lindqvist", given=NEW.reveal()).complies
    # Now she may stand by herself.
    assert reset_secret(shop, clock, Person("P4"), NEW, WIM, Secret("beam 50x50"), "forgot it").recorded


def test_a_reset_takes_a_second_person_with_a_role_and_their_own_secret(people: People) -> None:
    shop, clock = people.shop, people.clock
    alone = reset_secret(shop, clock, Person(OLGA), secret(OLGA), "P1", NEW, "lost")
    assert alone.reasons == ("it takes a second person to reset the secret of Olga Vance",)
    by_welder = reset_secret(shop, clock, Person(WIM), secret(WIM), INES, NEW, "lost")
    assert by_welder.reasons == (
        "Wim Two is registered as welder; resetting a secret takes owner or engineer",
    )
    with pytest.raises(TravelerError, match="it takes the secret of Olga Vance"):
        reset_secret(shop, clock, Person(OLGA), None, WIM, NEW, "lost")
    with pytest.raises(BadInput, match="a reason is needed"):
        reset_secret(shop, clock, Person(OLGA), secret(OLGA), WIM, NEW, " ")
    assert [refused["as"] for refused in people.refused()] == ["reset a secret"] * 2
    assert reset_secret(shop, clock, Person(OLGA), secret(OLGA), WIM, NEW, "lost the note").recorded
    event = people.told()[-1]
    assert (event["by"]["person"], event["by"]["how"]) == ("P1", "signed")
    assert {key: event["act"][key] for key in ("person", "by_whom", "because")} == {
        "person": "P2",
        "by_whom": "reset",
        "because": "lost the note",
    }
    assert people.perform(10).reasons == ("wrong secret for Wim Two",)
    assert people.perform(10, given=NEW.reveal()).complies


def test_a_reset_ends_the_waiting(people: People) -> None:
    for _ in range(6):
        people.perform(10, given="not his 123")
    assert "too many wrong secrets for Wim Two" in people.perform(10).reasons[0]
    reset_secret(people.shop, people.clock, Person(OLGA), secret(OLGA), WIM, NEW, "locked out")
    assert people.perform(10, given=NEW.reveal()).complies


def test_a_disabled_person_gets_no_secret(people: People) -> None:
    set_active(people.shop, people.clock, Person(OLGA), WIM, "disable", "left", secret=secret(OLGA))
    assert reset_secret(people.shop, people.clock, Person(OLGA), secret(OLGA), WIM, NEW, "x").reasons == (
        "Wim Two is disabled",
    )
    assert set_own_secret(people.shop, people.clock, WIM, secret(WIM), NEW).reasons == (
        "Wim Two is disabled",
    )


def test_the_recovery_code_sets_a_new_secret_and_is_used_up(code: tuple[People, Secret]) -> None:
    people, first = code
    typed = recovery_code(first.reveal().lower().replace("-", " "))
    done = recover(people.shop, people.clock, OLGA, typed, NEW)
    assert done.recorded
    assert done.recovery_code is not None
    assert done.recovery_code.reveal() != first.reveal()
    assert [event["kind"] for event in people.told()[-2:]] == ["secret set", "recovery code issued"]
    assert secret_events(people)[-1] == ("P1", "recovery", "stated")
    again = recover(people.shop, people.clock, OLGA, typed, Secret("beam 50x50"))
    assert again.reasons == ("wrong recovery code for Olga Vance",)
    assert verify_shop(people.shop.path).ok


def test_recovery_codes_are_tried_as_seldom_as_secrets(code: tuple[People, Secret]) -> None:
    people, first = code
    for _ in range(5):
        recover(people.shop, people.clock, OLGA, recovery_code("AAAA-AAAA-AAAA-AAAA"), NEW)
    locked = recover(people.shop, people.clock, OLGA, first, NEW)
    assert locked.reasons == (
        "too many wrong recovery codes for Olga Vance; the next try is admitted at 2026-03-02T07:00:30+01:00",
    )
    assert [refused["as"] for refused in people.refused()] == ["recover"] * 6
    # Locking the code does not lock her secret.
    people.issue()
    people.clock.pass_by(0.5)
    assert recover(people.shop, people.clock, OLGA, first, NEW).recorded


def test_only_an_owner_recovers(code: tuple[People, Secret]) -> None:
    people, first = code
    assert recover(people.shop, people.clock, INES, first, NEW).reasons == (
        "Ines Okafor is registered as inspector; a recovery code takes owner",
        "Ines Okafor has no recovery code",
    )


def test_an_owner_asks_for_a_new_code(code: tuple[People, Secret]) -> None:
    people, first = code
    shop, clock = people.shop, people.clock
    plain = set_own_secret(shop, clock, OLGA, secret(OLGA), NEW)
    assert plain.recovery_code is None
    asked = set_own_secret(shop, clock, OLGA, NEW, Secret("beam 50x50"), new_code=True)
    assert asked.recovery_code is not None
    assert not recover(shop, clock, OLGA, first, NEW).recorded
    assert recover(shop, clock, OLGA, asked.recovery_code, NEW).recorded
    # Somebody else who becomes an owner gets one with their next secret; who is none never does.
    assert set_own_secret(shop, clock, WIM, secret(WIM), NEW, new_code=True).recovery_code is None
    register_person(
        shop, clock, Person(OLGA), NewPerson("Eva Lindqvist", ["owner"]), new_secret=NEW, secret=NEW
    )
    assert set_own_secret(shop, clock, "P4", NEW, Secret("beam 50x50")).recovery_code is not None


def test_a_shop_of_people_without_secrets_signs_as_stated_until_the_owner_sets_one(tmp_path: Path) -> None:
    with Shop.create(tmp_path / "shop.traveler") as shop:
        people = People(shop)
        clock = people.clock
        register_person(shop, clock, None, NewPerson(OLGA, ["inspector"]))
        register_person(shop, clock, Person(OLGA), NewPerson(WIM, ["welder"], {"141": "2026-01-05"}))
        early = register_person(
            shop, clock, Person(OLGA), NewPerson("Eva", ["owner"]), new_secret=Secret("beam 50x50")
        )
        assert early.reasons == ("nobody has a secret yet; the owner sets the first one",)
        people.issue()
        people.preheated()
        stated = people.perform(10)
        assert (stated.complies, stated.state.performed[-1].by.how) == (True, "stated")
        assert people.perform(10, by=INES).reasons == ("Ines Okafor is not in the register of people",)
        assert set_own_secret(shop, clock, WIM, None, NEW).reasons == (
            "Wim Two is registered as welder; the first secret of a shop takes owner",
        )
        assert reset_secret(shop, clock, Person(OLGA), None, WIM, NEW, "first").reasons == (
            "nobody has a secret yet; the owner sets the first one",
        )
        assert set_own_secret(shop, clock, OLGA, None, secret(OLGA)).recorded
        assert secret_events(people) == [("P1", "own", "stated")]
        signed = people.accept(10, by=OLGA)
        assert (signed.complies, signed.state.accepted[-1].by.how) == (True, "signed")


def test_a_secret_replaced_by_other_means_signs_nothing(people: People) -> None:
    mine = secrets.hashed(Secret("my own secret"))
    with sqlite3.connect(people.shop.path) as plain:
        plain.execute(
            "UPDATE secret SET scheme = ?, salt = ?, hash = ? WHERE person = 'P2'",
            (mine.scheme, mine.salt, mine.hash),
        )
    plain.close()
    assert people.perform(10, given="my own secret").reasons == (
        "what the file keeps of the secret of Wim Two was altered by other means; verify the file",
    )
    assert not verify_shop(people.shop.path).ok


def test_no_event_holds_a_secret(people: People) -> None:
    set_own_secret(people.shop, people.clock, WIM, Secret("sEcReT tYpO 1"), Secret("sEcReT mArK 2"))
    set_own_secret(people.shop, people.clock, WIM, secret(WIM), Secret("sEcReT mArK 2"))
    raw = people.shop.path.read_bytes()
    assert b"sEcReT" not in raw
    assert not any(text.encode() in raw for text in SECRETS.values())
    assert register_of(people.shop).person(WIM).commitment is not None
