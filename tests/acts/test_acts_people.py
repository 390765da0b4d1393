"""The register of people by its acts: who comes in, what may be changed and by whom, what every event says."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from people_kit import CHEAP, INES, OLGA, SECRETS, WIM, People, secret

from traveler.acts.change import load_job
from traveler.acts.people import NewPerson, change_person, register_person, set_active, show_process
from traveler.acts.people_look import look_at_people, look_at_person
from traveler.acts.register import register_of
from traveler.acts.settings import change_setting
from traveler.errors import BadInput, TravelerError
from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.secrets import Secret
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)


@pytest.fixture
def people(tmp_path: Path) -> Iterator[People]:
    with Shop.create(tmp_path / "shop.traveler") as shop:
        made = People(shop)
        made.begin()
        yield made


def test_the_first_is_an_owner_with_a_recovery_code_and_registers_the_others(tmp_path: Path) -> None:
    with Shop.create(tmp_path / "shop.traveler") as shop:
        people = People(shop)
        first = people.begin()
        assert (first.recorded, first.person) == (True, "P1")
        assert first.recovery_code is not None
        assert [(p.id, p.name, p.roles) for p in register_of(shop).people] == [
            ("P1", OLGA, ("owner", "inspector")),
            ("P2", WIM, ("welder",)),
            ("P3", INES, ("inspector",)),
        ]
        kinds = [(event["kind"], event["act"].get("person"), event["by"]) for event in people.told()[1:]]
        olga = {"name": OLGA, "how": "signed", "person": "P1", "roles": ["owner", "inspector"]}
        assert kinds == [
            ("person registered", "P1", {"name": OLGA, "how": "stated"}),
            ("secret set", "P1", {**olga, "how": "stated"}),
            ("recovery code issued", "P1", {**olga, "how": "stated"}),
            ("person registered", "P2", olga),
            ("secret set", "P2", olga),
            ("person registered", "P3", olga),
            ("secret set", "P3", olga),
        ]
        assert verify_shop(shop.path).ok
        text = "".join(event.body for event in shop.events("shop"))
        for word in (*SECRETS.values(), first.recovery_code.reveal()):
            assert word not in text
            assert word.encode() not in shop.path.read_bytes()


def test_a_person_without_a_role_is_not_registered_beside_others(people: People) -> None:
    with pytest.raises(BadInput, match="give one role or more"):
        people.add("Eva Lindqvist")
    with pytest.raises(BadInput, match="it must be said who registers"):
        register_person(people.shop, people.clock, None, NewPerson("Eva Lindqvist", ["engineer"]))


@pytest.mark.parametrize(
    ("entered", "message"),
    [
        (NewPerson("  "), "the person's name is missing"),
        (NewPerson("x" * 101), "has 101 characters"),
        (NewPerson("\u202eWim"), "the character U[+]202E cannot be seen"),
        (NewPerson("Wim\x1b[31m"), "the character U[+]001B cannot be recorded"),
        (NewPerson("..."), "is no name"),
        (NewPerson("Eva", ["boss"]), '"boss" is no role; expected some of: owner, welder'),
        (NewPerson("Eva", [], {"999": "2026-01-01"}), '"999" is no welding process; expected one of: '),
        (NewPerson("Eva", [], {"141": "01.02.2026"}), '"01.02.2026" is no day'),
        (NewPerson("Eva", [], {"141": "2026-03-03"}), "2026-03-03, which is still to come"),
    ],
)
def test_what_cannot_be_a_person(people: People, entered: NewPerson, message: str) -> None:
    with pytest.raises(BadInput, match=message):
        register_person(people.shop, people.clock, Person(OLGA), entered, secret=secret(OLGA))


def test_names_of_several_scripts_are_kept_as_they_are(
    people: People, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = "Łukasz 試 ग\u200dक #panic()"
    monkeypatch.setitem(SECRETS, name, "a secret 77")
    made = people.add(name, "welder")
    assert register_of(people.shop).people[-1].name == name
    assert made.person == "P4"


@pytest.mark.parametrize(
    ("name", "reason"),
    [
        ("wim  TWO", "P2 is called Wim Two already; give a name that tells the two apart"),
        ("P2", '"P2" reads like an id of the register; expected a name'),
        ("Wim One", "P2 Wim Two was called Wim One before; give a name that tells the two apart"),
    ],
)
def test_a_name_that_would_be_mistaken_for_somebody_elses(
    people: People, monkeypatch: pytest.MonkeyPatch, name: str, reason: str
) -> None:
    for other in ("Wim One", WIM):
        change_person(
            people.shop, people.clock, Person(OLGA), "P2", "typed wrong", name=other, secret=secret(OLGA)
        )
    monkeypatch.setitem(SECRETS, name, "a secret 77")
    assert people.add(name, "welder").reasons == (reason,)
    assert len(register_of(people.shop).people) == 3


def test_only_an_owner_registers_and_changes(people: People) -> None:
    wim, ines = Person(WIM), Person("P3")
    shop, clock = people.shop, people.clock
    tried = [
        register_person(shop, clock, wim, NewPerson("Eva", ["owner"]), secret=secret(WIM)),
        change_person(shop, clock, ines, "P2", "why not", roles=["owner"], secret=secret(INES)),
        set_active(shop, clock, ines, "P1", "disable", "why not", secret=secret(INES)),
        change_setting(shop, clock, ines, "paper", "a4", secret=secret(INES)),
    ]
    assert [outcome.recorded for outcome in tried] == [False] * 4
    assert tried[0].reasons == ("Wim Two is registered as welder; registering a person takes owner",)
    assert [refused["person"] for refused in people.refused()] == ["P2", "P3", "P3", "P3"]


def test_everything_takes_the_secret_of_who_does_it(people: People) -> None:
    shop, clock = people.shop, people.clock
    with pytest.raises(TravelerError, match="it takes the secret of Olga Vance to sign this; none was given"):
        register_person(shop, clock, Person(OLGA), NewPerson("Eva", ["owner"]))
    wrong = change_person(
        shop, clock, Person(OLGA), "P2", "why not", roles=["owner"], secret=Secret("not hers 1")
    )
    assert wrong.reasons == ("wrong secret for Olga Vance",)
    assert register_of(shop).person("P2").roles == ("welder",)


def test_the_last_owner_stays_one(people: People) -> None:
    shop, clock, olga = people.shop, people.clock, Person(OLGA)
    only = ("Olga Vance is the only owner; make somebody else an owner first",)
    given = {"secret": secret(OLGA)}
    assert set_active(shop, clock, olga, "P1", "disable", "leaves", **given).reasons == only
    assert change_person(shop, clock, olga, "P1", "leaves", roles=["welder"], **given).reasons == only
    # A second owner who has no secret could never sign, and nobody could set one for them.
    register_person(shop, clock, olga, NewPerson("Eva Lindqvist", ["owner"]), **given)
    assert set_active(shop, clock, olga, "P1", "disable", "leaves", **given).reasons == (
        "Olga Vance is the only owner with a secret; set one for Eva Lindqvist (P4) first",
    )
    assert change_person(shop, clock, olga, "P3", "takes over", roles=["owner"], **given).recorded
    assert set_active(shop, clock, olga, "P1", "disable", "leaves", **given).recorded
    by_ines = set_active(shop, clock, Person(INES), "P1", "enable", "came back", secret=secret(INES))
    assert by_ines.message == "P1 Olga Vance is enabled"


def test_a_disabled_person_signs_nothing_and_keeps_their_name_on_old_records(people: People) -> None:
    people.issue()
    people.through_preheat()
    olga, given = Person(OLGA), {"secret": secret(OLGA)}
    assert set_active(people.shop, people.clock, olga, WIM, "disable", "left the shop", **given).recorded
    again = set_active(people.shop, people.clock, olga, WIM, "disable", "left the shop", **given)
    assert again.reasons == ("Wim Two is disabled already",)
    refused = people.perform(20)
    assert (refused.recorded, refused.reasons) == (False, ("Wim Two is disabled",))
    assert people.refused()[-1]["reason"] == "Wim Two is disabled"
    (signature,) = load_job(people.shop, people.number).performed
    assert (signature.by.name, signature.by.id, signature.by.how) == (WIM, "P2", "signed")
    assert load_job(people.shop, people.number).accepted_of(10) is not None
    found = look_at_person(people.shop, people.clock, "P2")
    assert (found["disabled"], found["name"]) == (True, WIM)
    assert [entry["what"] for entry in found["history"]] == ["registered", "secret set (reset)", "disabled"]
    assert found["history"][2]["because"] == "left the shop"


def test_a_new_name_and_new_roles_count_from_now_on(people: People) -> None:
    people.issue()
    people.through_preheat()
    given = {"secret": secret(OLGA)}
    change_person(
        people.shop, people.clock, Person(OLGA), WIM, "married", name="Wim Vance", roles=["welder", "inspector"],
        **given,
    )  # fmt: skip
    with pytest.raises(BadInput, match="is that already"):
        change_person(people.shop, people.clock, Person(OLGA), "P2", "again", name="Wim Vance", **given)
    people.record(20, "filler lot", "lot 7", by="wim vance")
    people.record(20, "welder", "somebody", by=WIM)
    by = [event["by"] for event in people.told(f"job {people.number}")]
    assert by[1] == {"name": WIM, "how": "stated", "person": "P2", "roles": ["welder"]}
    assert by[-2] == {"name": "Wim Vance", "how": "stated", "person": "P2", "roles": ["welder", "inspector"]}
    # The old name is no longer anybody's: it is recorded as stated.
    assert by[-1] == {"name": WIM, "how": "stated"}


def test_every_event_names_the_person_by_id_and_an_unknown_name_records_as_stated(people: People) -> None:
    people.issue()
    people.record(10, "preheat temperature", "320 F", by="p2", place="web")
    people.record(10, "preheat temperature", "310 F", by="A Visitor", place="flange")
    issued, first, second = (event["by"] for event in people.told(f"job {people.number}"))
    assert issued == {"name": OLGA, "how": "signed", "person": "P1", "roles": ["owner", "inspector"]}
    assert first == {"name": WIM, "how": "stated", "person": "P2", "roles": ["welder"]}
    assert second == {"name": "A Visitor", "how": "stated"}


def test_what_a_welder_showed_is_entered_by_somebody_else(people: People) -> None:
    shop, clock = people.shop, people.clock
    entered = ("141", "2026-02-28", "test piece 12")
    ines = show_process(shop, clock, Person(INES), WIM, *entered, secret=secret(INES))
    assert ines.message == "P2 Wim Two was shown to weld by process 141 on 2026-02-28"
    assert show_process(shop, clock, Person(WIM), WIM, *entered, secret=secret(WIM)).reasons == (
        "Wim Two is registered as welder; entering what a welder showed takes inspector or engineer or owner",
        "nobody vouches for their own welding; Olga Vance (P1) or Ines Okafor (P3) may",
    )
    assert show_process(shop, clock, Person(OLGA), OLGA, *entered, secret=secret(OLGA)).reasons == (
        "nobody vouches for their own welding; Ines Okafor (P3) may",
    )
    found = {entry["person"]: entry["processes"] for entry in look_at_people(shop, clock)}
    assert [(p["process"], p["valid"], p["until"]) for p in found["P2"]] == [("141", True, "2026-08-28")]
    assert found["P3"] == []


def test_who_works_alone_enters_it_themselves(tmp_path: Path) -> None:
    with Shop.create(tmp_path / "shop.traveler") as shop:
        people = People(shop)
        register_person(shop, people.clock, None, NewPerson(OLGA), new_secret=secret(OLGA))
        entered = ("141", "2026-02-28", "test piece 12")
        assert show_process(shop, people.clock, Person(OLGA), OLGA, *entered, secret=secret(OLGA)).recorded


@pytest.mark.parametrize(
    ("name", "value", "kept"),
    [
        ("Shop  Name", " Vance & Two ", "Vance & Two"),
        ("zone", "Europe/Berlin", "Europe/Berlin"),
        ("paper", "Letter", "letter"),
        ("decision rule", "guard band", "guard band"),
        ("idle lock", "10 minutes", "10 min"),
        ("idle lock", "Never", "never"),
        ("backup reminder", "7 d", "7 days"),
    ],
)
def test_settings_are_kept_in_one_form(people: People, name: str, value: str, kept: str) -> None:
    done = change_setting(people.shop, people.clock, Person(OLGA), name, value, secret=secret(OLGA))
    assert done.recorded
    assert list(register_of(people.shop).settings.values()) == [kept]


@pytest.mark.parametrize(
    ("name", "value", "message"),
    [
        ("colour", "blue", '"colour" is no setting; expected one of: shop name, zone'),
        ("zone", "Berlin", '"Berlin" is no time zone of this machine'),
        ("zone", "../../etc/passwd", "is no time zone"),
        ("paper", "a3", '"a3" is none of: a4, letter'),
        ("decision rule", "hope", '"hope" is none of: simple acceptance'),
        ("idle lock", "0 min", '"0 min" is none; expected 1 to 1440 min, or never'),
        ("idle lock", "1441 min", "expected 1 to 1440 min"),
        ("backup reminder", "weekly", "expected 1 to 366 days, or never"),
        ("shop name", "", "shop name is missing"),
        ("shop name", "x" * 101, "101 characters are too many"),
    ],
)
def test_settings_that_cannot_be(people: People, name: str, value: str, message: str) -> None:
    with pytest.raises(BadInput, match=message):
        change_setting(people.shop, people.clock, Person(OLGA), name, value, secret=secret(OLGA))


def test_the_shops_decision_rule_counts_where_the_sheet_names_none(people: People) -> None:
    change_setting(
        people.shop, people.clock, Person(OLGA), "decision rule", "guard band", secret=secret(OLGA)
    )
    assert people.issue().state.decision_rule == "guard band"


def test_a_shop_without_people_is_anybodys(tmp_path: Path) -> None:
    with Shop.create(tmp_path / "shop.traveler") as shop:
        people = People(shop)
        assert change_setting(shop, people.clock, Person("Anybody"), "paper", "a4").recorded
        with pytest.raises(BadInput, match="it has: none yet"):
            set_active(shop, people.clock, Person("Anybody"), "P1", "disable", "left")
        assert [event["by"] for event in people.told()[1:]] == [{"name": "Anybody", "how": "stated"}]
