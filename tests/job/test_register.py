"""The register of a shop out of its own stream: ids, look-ups, what changed, and odd events refused in words."""

import json
from datetime import date

import pytest
from register_kit import AT, ShopStory

from traveler.errors import BadInput, TravelerError
from traveler.job.person import Person
from traveler.job.register_fold import extend_register, fold_register
from traveler.quantity.show import show


@pytest.fixture
def shop() -> ShopStory:
    story = ShopStory()
    story.tell("shop founded", shop="id")
    story.person("Olga Vance", "owner", "inspector")
    story.person("Wanda Zoë", "welder", p141="2026-01-01", p135="2025-10-31")
    story.person("Wim Two", "welder")
    story.instrument(range=("0 degC", "400 degC"), serial="7712")
    story.instrument("long tape", "tape", None)
    story.lot("A7731")
    story.lot("B22", "filler")
    return story


def test_what_was_told_is_there(shop: ShopStory) -> None:
    shop.tell("setting changed", name="decision rule", value="simple acceptance")
    shop.tell("setting changed", name="decision rule", value="guard band")
    shop.tell("setting changed", name="paper", value="a4")
    shop.tell("backup made", to="jan.traveler", journal={"events": 12, "head": "AAAA"})
    shop.tell("backup made", to="feb.traveler", journal={"events": 40, "head": "BBBB"})
    shop.tell("shop restored", heads={})
    register = shop.register
    assert [(person.id, person.name, person.roles) for person in register.people] == [
        ("P1", "Olga Vance", ("owner", "inspector")),
        ("P2", "Wanda Zoë", ("welder",)),
        ("P3", "Wim Two", ("welder",)),
    ]
    assert register.people[1].last_used("141") == date(2026, 1, 1)
    assert register.people[1].last_used("111") is None
    assert dict(register.settings) == {"decision rule": "guard band", "paper": "a4"}
    assert register.last_backup is not None
    assert (register.last_backup.to, register.last_backup.events) == ("feb.traveler", 40)
    probe = register.instruments[0]
    assert probe.range_to is not None
    assert probe.uncertainty is not None
    assert (show(probe.range_to), show(probe.uncertainty)) == ("400 °C", "3 F°")
    assert (register.lots[0].name, register.lots[1].name) == ("4130", "E8018-B2")
    assert (register.next_person, register.next_instrument, register.next_lot) == ("P4", "I3", "L3")


def test_one_by_one_is_the_same_as_all_at_once_and_through_text(shop: ShopStory) -> None:
    for end in range(len(shop.events)):
        grown = extend_register(fold_register(shop.events[:end]), shop.events[end])
        assert grown == fold_register(shop.events[: end + 1])
    assert fold_register(json.loads(json.dumps(shop.events))) == shop.register


@pytest.mark.parametrize("text", ["P2", "p2", " P2 ", "wanda zoë", "WANDA  ZOE\u0308", "Wan\u200bda Zoë"])
def test_a_person_is_found_by_id_or_by_name_however_typed(shop: ShopStory, text: str) -> None:
    assert shop.register.person(text).id == "P2"


@pytest.mark.parametrize("text", ["I1", "contact probe", "Contact Probe", "7712"])
def test_an_instrument_is_found_by_id_name_or_serial(shop: ShopStory, text: str) -> None:
    assert shop.register.instrument(text).id == "I1"


@pytest.mark.parametrize("text", ["L1", "a7731"])
def test_a_lot_is_found_by_id_or_heat(shop: ShopStory, text: str) -> None:
    assert shop.register.lot(text).id == "L1"


def test_two_of_one_name_are_told_apart_by_id(shop: ShopStory) -> None:
    shop.person("wanda  zoë", "inspector")
    with pytest.raises(BadInput, match=r'person "Wanda Zoë" may be P2 or P4; say which by its id'):
        shop.register.person("Wanda Zoë")
    assert shop.register.person("P4").name == "wanda  zoë"


def test_a_name_that_is_another_persons_id_does_not_take_it(shop: ShopStory) -> None:
    shop.person("P1", "customer")
    assert shop.register.person("P1").name == "Olga Vance"
    assert shop.register.person("P4").name == "P1"


def test_who_is_not_there_is_said_with_who_is(shop: ShopStory) -> None:
    with pytest.raises(BadInput, match='no person "Nobody" in the register; it has: P1 Olga Vance, P2 Wanda'):
        shop.register.person("Nobody")
    with pytest.raises(BadInput, match="it has: none yet"):
        ShopStory().register.instrument("probe")


def test_a_person_keeps_id_and_former_names_through_every_change(shop: ShopStory) -> None:
    shop.changed("P2", name="Wanda Vance")
    shop.changed("P2", roles=["welder", "inspector"])
    shop.tell("person disabled", person="P2", because="left")
    shop.tell("secret set", person="P2", by_whom="own", commitment="ab" * 32)
    shop.tell("recovery code issued", person="P2", commitment="cd" * 32)
    wanda = shop.register.person("wanda vance")
    assert (wanda.id, wanda.disabled, wanda.former_names) == ("P2", True, ("Wanda Zoë",))
    assert (wanda.commitment, wanda.recovery_commitment) == ("ab" * 32, "cd" * 32)
    assert [change.what for change in wanda.changes] == [
        "registered",
        "name changed from Wanda Zoë to Wanda Vance",
        "roles changed from welder to welder, inspector",
        "disabled",
        "secret set (own)",
        "recovery code issued",
    ]
    assert wanda.changes[1].because == "married"
    with pytest.raises(BadInput, match="no person"):
        shop.register.person("Wanda Zoë")
    shop.tell("person enabled", person="P2", because="came back")
    assert not shop.register.person("P2").disabled
    assert shop.register.next_person == "P4"


def test_a_person_is_the_same_under_another_name_or_role(shop: ShopStory) -> None:
    before = shop.register.person("P2").acting("signed")
    shop.changed("P2", name="Wanda Vance", roles=["inspector"])
    after = shop.register.person("P2").acting("signed")
    assert before.is_same_as(after)
    assert after.is_same_as(Person("wanda zoë"))  # as stated before there was a register
    assert not before.is_same_as(shop.register.person("P3").acting("signed"))
    namesake = Person("Wanda Vance", "signed", "P9", ("inspector",))
    assert not after.is_same_as(namesake)


def test_refused_signatures_are_kept(shop: ShopStory) -> None:
    refused = {"job": "H-1", "step": 40, "as": "accepted", "person": "P3", "name": "Wim Two"}
    shop.tell("signing refused", reason="wrong secret", **refused)
    (kept,) = shop.register.refused
    assert (kept.person, kept.meant, kept.reason) == ("P3", "accepted", "wrong secret")


def test_electrodes_are_opened_and_rebaked(shop: ShopStory) -> None:
    shop.tell("electrode opened", lot="L2", hours_allowed=4, at=AT)
    shop.tell("electrode rebaked", lot="L2", hours_allowed=None, at=AT)
    assert [(o.rebaked, o.hours_allowed) for o in shop.register.lot("L2").openings] == [
        (False, 4),
        (True, None),
    ]


@pytest.mark.parametrize(
    ("kind", "act", "message"),
    [
        ("person registered", {"person": "P7", "name": "x", "roles": [], "processes": {}}, "P7 where P4 comes next"),
        ("person registered", {"person": "P1", "name": "x", "roles": [], "processes": {}}, "P1 where P4 comes next"),
        ("person disabled", {"person": "P9", "because": "x"}, "P9, which nobody registered"),
        ("instrument withdrawn", {"instrument": "I9", "because": "x"}, "I9, which nobody registered"),
        ("instrument calibrated",
         {"instrument": "I1", "on": "2026-01-01", "due": "2027-01-01", "certificate": "c",
          "uncertainty": {"value": "3", "unit": "degF"}}, "a temperature and not a difference"),
        ("lot received", {"lot": "L1"}, "lot L1 where L3 comes next"),
        ("reading recorded", {}, '"reading recorded" cannot stand here'),
        ("person  registered", {}, "cannot stand here"),
    ],
)  # fmt: skip
def test_odd_events_are_refused_in_words(
    shop: ShopStory, kind: str, act: dict[str, object], message: str
) -> None:
    shop.tell(kind)
    shop.events[-1]["act"] = act
    with pytest.raises(TravelerError, match=message):
        _ = shop.register
