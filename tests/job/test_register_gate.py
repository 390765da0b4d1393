"""Who may do what to the register: a pure question, asked for each act and each kind of person. Names are invented."""

from collections.abc import Iterable

import pytest
from register_kit import ShopStory

from traveler.job.person import Person
from traveler.job.register_gate import (
    ChangePerson,
    ChangeSetting,
    RegisterAct,
    RegisterPerson,
    SetActive,
    SetSecret,
    ShowProcess,
    may_register,
    name_taken,
    secrets_in_use,
)

PEOPLE = ("P1", "P2", "P3", "P4", "P5")  # owner, welder, inspector, engineer, customer


@pytest.fixture
def shop() -> ShopStory:
    story = ShopStory()
    story.person("Olga Vance", "owner")
    story.person("Wim Two", "welder")
    story.person("Ines Okafor", "inspector")
    story.person("Eva Lindqvist", "engineer")
    story.person("Carl Kunde", "customer")
    for number in PEOPLE:
        story.tell("secret set", person=number, by_whom="own", commitment="ab" * 32)
    return story


def granted(shop: ShopStory, act: RegisterAct, how: str = "signed") -> set[str]:
    """The people who may do it."""
    register = shop.register
    return {entry.id for entry in register.people if may_register(act, register, entry.acting(how)).granted}


@pytest.mark.parametrize(
    ("act", "who"),
    [
        (RegisterPerson("Nia New"), {"P1"}),
        (RegisterPerson("Nia New", with_secret=True), {"P1"}),
        (ChangePerson("P2", name="Wim Vance"), {"P1"}),
        (ChangePerson("P2", roles=("owner",)), {"P1"}),
        (SetActive("P2", "disable"), {"P1"}),
        (SetActive("P2", "enable"), set()),
        (ShowProcess("P2"), {"P1", "P3", "P4"}),
        (ShowProcess("P3"), {"P1", "P4"}),
        (SetSecret("P2", "own"), {"P2"}),
        (SetSecret("P2", "reset"), {"P1", "P4"}),
        (SetSecret("P1", "reset"), {"P4"}),
        (SetSecret("P4", "reset"), {"P1"}),
        (SetSecret("P1", "recovery"), set()),
        (ChangeSetting(), {"P1"}),
    ],
)
def test_who_may(shop: ShopStory, act: RegisterAct, who: set[str]) -> None:
    assert granted(shop, act) == who
    # As soon as anybody has a secret, a name alone does nothing.
    assert granted(shop, act, "stated") == set()
    assert not may_register(act, shop.register, Person("Nobody")).granted


def test_an_owner_with_a_code_recovers_without_signing(shop: ShopStory) -> None:
    shop.tell("recovery code issued", person="P1", commitment="cd" * 32)
    assert granted(shop, SetSecret("P1", "recovery"), "stated") == {"P1"}
    shop.changed("P4", roles=["owner"])
    shop.changed("P1", roles=["welder"])
    assert granted(shop, SetSecret("P1", "recovery"), "stated") == set()


def test_whoever_was_disabled_may_do_nothing(shop: ShopStory) -> None:
    shop.changed("P4", roles=["owner"])
    shop.tell("person disabled", person="P1", because="left")
    assert granted(shop, RegisterPerson("Nia New")) == {"P4"}
    assert granted(shop, SetSecret("P1", "own")) == set()
    assert granted(shop, SetSecret("P1", "reset")) == set()
    assert granted(shop, SetActive("P1", "enable")) == {"P4"}


def acts_on(person: str) -> Iterable[RegisterAct]:
    yield ChangePerson(person, name="Another Name")
    yield ChangePerson(person, roles=("welder",))
    yield SetActive(person, "disable")
    yield ShowProcess(person)
    yield SetSecret(person, "own")
    yield SetSecret(person, "reset")
    yield SetSecret(person, "recovery")


def test_an_empty_register_admits_its_first_person_and_settings() -> None:
    empty = ShopStory().register
    anybody = Person("Anybody")
    assert may_register(RegisterPerson("Olga Vance"), empty, anybody).granted
    assert may_register(ChangeSetting(), empty, anybody).granted
    assert [may_register(act, empty, anybody).reasons for act in acts_on("P1")] == [
        ("nobody is registered yet",)
    ] * 7


def test_before_anybody_has_a_secret_a_stated_name_will_do() -> None:
    story = ShopStory()
    story.person("Olga Vance", "owner")
    story.person("Wim Two", "welder")
    assert not secrets_in_use(story.register)
    assert granted(story, RegisterPerson("Nia New"), "stated") == {"P1"}
    assert granted(story, SetSecret("P1", "own"), "stated") == {"P1"}
    assert granted(story, SetSecret("P2", "own"), "stated") == set()
    assert granted(story, SetSecret("P2", "reset"), "stated") == set()


def test_the_shop_never_loses_its_last_owner_who_can_act(shop: ShopStory) -> None:
    leaving = (SetActive("P1", "disable"), ChangePerson("P1", roles=("welder",)))
    assert [granted(shop, act) for act in leaving] == [set(), set()]
    shop.changed("P3", roles=["owner", "inspector"])
    assert [granted(shop, act) for act in leaving] == [{"P1", "P3"}] * 2
    shop.tell("person disabled", person="P3", because="left")
    assert [granted(shop, act) for act in leaving] == [set(), set()]
    story = ShopStory()
    story.person("Olga Vance", "owner")
    story.tell("secret set", person="P1", by_whom="own", commitment="ab" * 32)
    story.person("Nia New", "owner")
    assert granted(story, SetActive("P1", "disable")) == set()
    assert granted(story, SetActive("P2", "disable")) == {"P1", "P2"}


@pytest.mark.parametrize(
    ("name", "own", "words"),
    [
        ("OLGA  vance", None, "P1 is called Olga Vance already; give a name that tells the two apart"),
        ("Olga Vance", "P1", ""),
        ("Ol\u200bga Vance", "P2", "P1 is called Olga Vance already; give a name that tells the two apart"),
        ("p7", None, '"p7" reads like an id of the register; expected a name'),
        ("P. Seven", None, ""),
    ],
)
def test_names_that_would_be_mistaken(shop: ShopStory, name: str, own: str | None, words: str) -> None:
    assert name_taken(shop.register, name, own) == words
