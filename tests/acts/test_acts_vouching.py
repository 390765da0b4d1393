"""Instruments, lots and a restored file stand in the record with who really entered them. All is invented."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from acts_kit import ADA, HandClock
from people_kit import CHEAP, INES, OLGA, WIM, People, secret

from traveler.acts.instruments import NewInstrument, calibrated, found_out, register_instrument, withdraw
from traveler.acts.lots import NewLot, receive_lot
from traveler.acts.people import set_active
from traveler.acts.register import Entered, register_of
from traveler.acts.restoring import restore_shop
from traveler.acts.settings import change_setting
from traveler.errors import NotAllowed, TravelerError
from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.backup import backup
from traveler.record.secrets import Secret
from traveler.record.shop import Shop

PROBE = NewInstrument("probe", "contact thermometer", "0 F", "750 F", "3 F")
Act = Callable[..., Entered]


@pytest.fixture(autouse=True)
def cheap_secrets(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)


@pytest.fixture
def people(tmp_path: Path) -> Iterator[People]:
    """A shop with I1, registered and calibrated by Ines."""
    with Shop.create(tmp_path / "shop.traveler") as shop:
        found = People(shop)
        found.begin()
        given: dict[str, Any] = {"secret": secret(INES)}
        assert register_instrument(shop, found.clock, Person(INES), PROBE, **given).recorded
        assert calibrated(
            shop, found.clock, Person("P3"), "I1", "2026-01-05", "2027-01-05", "C-1", **given
        ).complies
        yield found


ACTS: dict[str, tuple[Act, tuple[Any, ...]]] = {
    "instrument registered": (register_instrument, (NewInstrument("other", "thermocouple"),)),
    "instrument calibrated": (calibrated, ("I1", "2026-03-01", "2027-03-01", "C-2")),
    "instrument found out of tolerance": (found_out, ("I1", "reads 9 F high")),
    "instrument withdrawn": (withdraw, ("I1", "dropped")),
    "lot received": (receive_lot, (NewLot("material", "4130", "Q1", certificate="3.1"),)),
}
VOUCHING = ("instrument registered", "instrument calibrated")


@pytest.mark.parametrize("kind", ACTS)
def test_who_it_was_stands_with_their_secret(people: People, kind: str) -> None:
    act, arguments = ACTS[kind]
    outcome = act(people.shop, people.clock, Person(INES), *arguments, secret=secret(INES))
    assert outcome.recorded
    event = people.told()[-1]
    assert event["kind"] == kind
    assert event["by"] == {"how": "signed", "name": INES, "person": "P3", "roles": ["inspector"]}
    assert set(event["act"]["session"]) == {"os_user", "terminal", "origin"}


@pytest.mark.parametrize("kind", ACTS)
def test_nobody_enters_it_under_another_name(people: People, kind: str) -> None:
    act, arguments = ACTS[kind]
    events = len(people.told())
    with pytest.raises(TravelerError, match="it takes the secret of Ines Okafor"):
        act(people.shop, people.clock, Person(INES), *arguments)
    assert len(people.told()) == events
    wrong = act(people.shop, people.clock, Person(INES), *arguments, secret=secret(WIM))
    stranger = act(people.shop, people.clock, Person("Nobody Known"), *arguments, secret=secret(WIM))
    assert (wrong.recorded, wrong.reasons) == (False, ("wrong secret for Ines Okafor",))
    assert stranger.reasons == ("Nobody Known is not in the register of people",)
    assert [event["kind"] for event in people.told()[events:]] == ["signing refused"] * 2
    assert {refusal["as"] for refusal in people.refused()} == {kind}


@pytest.mark.parametrize("kind", ACTS)
def test_to_vouch_takes_a_role_and_to_doubt_takes_none(people: People, kind: str) -> None:
    act, arguments = ACTS[kind]
    outcome = act(people.shop, people.clock, Person(WIM), *arguments, secret=secret(WIM))
    assert outcome.recorded is (kind not in VOUCHING)
    if not outcome.recorded:
        assert outcome.reasons[0].startswith("Wim Two is registered as welder; ")
        assert outcome.reasons[0].endswith(" takes inspector or engineer or owner")


def test_where_nobody_is_registered_it_is_as_stated(tmp_path: Path) -> None:
    with Shop.create(tmp_path / "shop.traveler") as shop:
        clock = HandClock()
        assert register_instrument(shop, clock, ADA, PROBE).recorded
        assert receive_lot(shop, clock, ADA, NewLot("material", "4130")).recorded
        assert [event.data["by"] for event in shop.events("shop")[1:]] == [
            {"how": "stated", "name": "Ada Lund"}
        ] * 2


# --- A backup in the shop's place ----------------------------------------------------------------------------------


@pytest.fixture
def copy(people: People, tmp_path: Path) -> Path:
    """A backup; the shop's own file is gone."""
    made = tmp_path / "copy.traveler"
    change_setting(people.shop, people.clock, Person(OLGA), "zone", "Asia/Tokyo", secret=secret(OLGA))
    backup(people.shop, made, {"name": OLGA, "how": "stated"}, "2026-03-02T07:00:00+01:00")
    people.shop.close()
    people.shop.path.unlink()
    return made


def test_an_owner_restores_with_the_secret_that_the_backup_has(
    people: People, copy: Path, tmp_path: Path
) -> None:
    target = tmp_path / "shop.traveler"
    restore_shop(copy, target, people.clock, Person("P1"), secret=secret(OLGA))
    with Shop.open(target) as shop:
        event = shop.events("shop")[-1].data
        assert event["kind"] == "shop restored"
        assert event["by"]["how"] == "signed"
        assert event["by"]["person"] == "P1"
        assert event["recorded_at"] == "2026-03-02T15:00:00+09:00"
        assert set(event["act"]) == {"from", "heads", "session"}
        assert event["act"]["heads"]["shop"]["events"] == event["seq"] - 1


@pytest.mark.parametrize(
    ("name", "given", "why"),
    [
        (OLGA, "looks twice 9", "wrong secret for Olga Vance"),
        (WIM, "welder 4711", "takes owner or engineer"),
        ("Nobody Known", "beam 40x40", "Nobody Known is not in the register of people"),
    ],
)
def test_nothing_is_restored_by_anybody_else(
    people: People, copy: Path, tmp_path: Path, name: str, given: str, why: str
) -> None:
    before = copy.read_bytes()
    with pytest.raises(NotAllowed, match=why) as refused:
        restore_shop(copy, tmp_path / "shop.traveler", people.clock, Person(name), secret=Secret(given))
    assert str(refused.value).startswith("nothing was restored: ")
    assert not (tmp_path / "shop.traveler").exists()
    assert copy.read_bytes() == before
    with pytest.raises(TravelerError, match="it takes the secret of Olga Vance"):
        restore_shop(copy, tmp_path / "shop.traveler", people.clock, Person(OLGA))
    assert sorted(path.name for path in tmp_path.iterdir()) == ["copy.traveler"]


def test_who_was_disabled_after_the_backup_may_still_restore_it(
    people: People, copy: Path, tmp_path: Path
) -> None:
    """What the secret proves: that somebody knew it when the backup was made. Later changes went with the file."""
    target = tmp_path / "shop.traveler"
    restore_shop(copy, target, people.clock, Person(OLGA), secret=secret(OLGA))
    with Shop.open(target) as shop:
        people.shop = shop
        people.add("Eva Lindqvist", "owner")
        set_active(shop, people.clock, Person("Eva Lindqvist"), OLGA, "disable", "left",
                   secret=secret("Eva Lindqvist"))  # fmt: skip
        assert register_of(shop).person("P1").disabled
    target.unlink()
    restore_shop(copy, target, people.clock, Person(OLGA), secret=secret(OLGA))


def test_a_backup_without_people_is_restored_as_stated(tmp_path: Path) -> None:
    with Shop.create(tmp_path / "one.traveler") as shop:
        backup(shop, tmp_path / "copy", {"name": "Ada", "how": "stated"}, "2026-03-02T07:00:00+01:00")
    restore_shop(tmp_path / "copy", tmp_path / "two.traveler", HandClock(), ADA)
    with Shop.open(tmp_path / "two.traveler") as shop:
        assert shop.events("shop")[-1].data["by"] == {"how": "stated", "name": "Ada Lund"}
