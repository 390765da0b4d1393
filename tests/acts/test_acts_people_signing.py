"""Signing where people have secrets: who may, what is refused and logged, what a signature keeps."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from acts_kit import ADA, BRAM, Bench, sheet
from people_kit import CHEAP, INES, OLGA, SECRETS, WIM, People, secret

from traveler.acts import signing as signing_module
from traveler.acts.issue import cancel, close, issue, revise
from traveler.acts.people import NewPerson, change_person, register_person, set_active, show_process
from traveler.acts.person_secrets import reset_secret
from traveler.acts.readings import supersede
from traveler.acts.register import register_of
from traveler.acts.sign import accept, perform
from traveler.errors import BadInput, NotAllowed, TravelerError
from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.secrets import Secret
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop

SELF_INSPECTED = sheet().replace(b'units = "inch"', b'units = "inch"\nself_inspection = true')


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)


@pytest.fixture
def people(tmp_path: Path) -> Iterator[People]:
    with Shop.create(tmp_path / "shop.traveler") as shop:
        made = People(shop)
        made.begin()
        made.issue()
        yield made


def test_a_signature_keeps_who_how_and_from_where(people: People, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SSH_CONNECTION", "203.0.113.7 50122 198.51.100.4 22")
    people.preheated()
    assert people.perform(10).message == "step 10 signed as performed by Wim Two"
    assert people.accept(10).message == "step 10 accepted by Ines Okafor"
    performed, accepted = people.told(f"job {people.number}")[-2:]
    assert performed["by"] == {"name": WIM, "how": "signed", "person": "P2", "roles": ["welder"]}
    assert accepted["by"] == {"name": INES, "how": "signed", "person": "P3", "roles": ["inspector"]}
    for event in (performed, accepted):
        assert set(event["act"]["session"]) == {"os_user", "terminal", "origin"}
        assert event["act"]["session"]["origin"] == "203.0.113.7"
    assert people.refused() == []
    assert verify_shop(people.shop.path).ok


@pytest.mark.parametrize(
    "connection", ["", "203.0.113.7", "x 1 y 2", "203.0.113.7 1 198.51.100.4 22 more", "\x1b[31m 1 y 2"]
)
def test_an_origin_that_is_no_address_is_left_out(
    people: People, monkeypatch: pytest.MonkeyPatch, connection: str
) -> None:
    monkeypatch.setenv("SSH_CONNECTION", connection)
    people.perform(10)
    assert people.state.performed[-1].session["origin"] is None


def test_without_registered_people_a_signature_is_as_before(bench: Bench) -> None:
    bench.through_preheat()
    performed, accepted = bench.bodies()[-2:]
    assert performed["by"] == {"name": BRAM.name, "how": "stated"}
    assert set(performed["act"]) == {"step", "meaning", "revision", "content", "runs", "out_of_order"}
    assert set(accepted["act"]) == {"step", "meaning", "revision", "content", "verdicts", "judge"}
    refused = bench.accept(20, by=ADA)
    assert not refused.recorded
    assert [event.data["kind"] for event in bench.shop.events("shop")] == ["shop founded"]


def test_without_a_secret_nothing_is_signed_and_nothing_logged(people: People) -> None:
    people.preheated()
    before = people.state.events
    with pytest.raises(TravelerError, match="it takes the secret of Wim Two to sign this; none was given"):
        perform(people.shop, people.clock, Person(WIM), people.number, 10)
    assert (people.state.events, people.refused()) == (before, [])


def test_what_is_refused_is_said_in_words_and_logged(people: People) -> None:
    people.preheated()
    content = people.content(10)
    people.perform(10)
    events = people.state.events
    tried = [
        people.accept(10, by=WIM),
        people.accept(10, given="not hers 123"),
        people.accept(10, content=content),
        accept(
            people.shop, people.clock, Person("A Visitor"), people.number, 10, secret=Secret("any 123456")
        ),
        people.accept(20),
    ]
    assert [outcome.recorded for outcome in tried] == [False] * 5
    assert people.state.events == events
    logged = [(entry["as"], entry["step"], entry["person"], entry["reason"]) for entry in people.refused()]
    assert logged[:4] == [
        (
            "accepted",
            10,
            "P2",
            "Wim Two performed this step; another person must accept it; "
            "Wim Two is registered as welder; an acceptance takes inspector or engineer or owner",
        ),
        ("accepted", 10, "P3", "wrong secret for Ines Okafor"),
        ("accepted", 10, "P3", "stale: the step has changed since you looked at it; look again"),
        ("accepted", 10, None, "A Visitor is not in the register of people"),
    ]
    assert logged[4][:3] == ("accepted", 20, "P3")
    assert "not yet signed as performed" in logged[4][3]
    assert all(len(entry[3]) <= 500 for entry in logged)
    assert all(entry["job"] == people.number for entry in people.refused())
    assert people.accept(10).complies


def test_what_cannot_be_asked_for_takes_no_try(people: People) -> None:
    for _ in range(8):
        with pytest.raises(BadInput, match="has no step 99"):
            people.accept(99, given="not hers 123")
        with pytest.raises(TravelerError, match="there is no job"):
            accept(people.shop, people.clock, Person(INES), "NO-1", 10, secret=Secret("not hers 123"))
    people.through_preheat()


def test_wrong_secrets_lock_across_connections_and_nobody_else(people: People) -> None:
    people.preheated()
    for number in range(6):
        with Shop.open(people.shop.path) as again:
            answer = perform(
                again, people.clock, Person(WIM), people.number, 10, secret=Secret("not his 123")
            )
        expected = "wrong secret" if number < 5 else "too many wrong secrets"
        assert answer.reasons[0].startswith(f"{expected} for Wim Two")
    assert people.perform(10).reasons == (
        "too many wrong secrets for Wim Two; the next try is admitted at 2026-03-02T07:00:30+01:00",
    )
    assert people.perform(10, by=INES).complies
    people.clock.instant += timedelta(seconds=30)
    assert people.perform(10).complies
    assert [entry["reason"].split(" for")[0] for entry in people.refused()] == (
        ["wrong secret"] * 5 + ["too many wrong secrets"] * 2
    )


def test_the_secret_is_checked_before_the_write_and_asked_again_inside(
    people: People, monkeypatch: pytest.MonkeyPatch
) -> None:
    people.preheated()
    original = Shop.check_secret

    def then(act: Any) -> None:
        """Between the check and the write somebody else does ``act``."""

        def check(shop: Shop, *arguments: Any, **more: Any) -> Any:
            monkeypatch.setattr(Shop, "check_secret", original)
            answer = original(shop, *arguments, **more)
            assert not shop._connection.in_transaction
            with Shop.open(shop.path) as other:
                act(other)
            return answer

        monkeypatch.setattr(Shop, "check_secret", check)

    olga, clock = Person(OLGA), people.clock
    meanwhile = ("Wim Two was changed in the register meanwhile; sign again",)
    new = Secret("beam 50x50")
    then(lambda other: reset_secret(other, clock, olga, secret(OLGA), WIM, new, "lost"))
    assert people.perform(10).reasons == meanwhile
    given = {"given": new.reveal()}
    then(lambda other: change_person(other, clock, olga, WIM, "x", roles=["customer"], secret=secret(OLGA)))
    assert people.perform(10, **given).reasons == meanwhile
    then(lambda other: set_active(other, clock, olga, WIM, "disable", "left", secret=secret(OLGA)))
    assert people.perform(10, **given).reasons == meanwhile
    assert people.state.performed == ()
    assert [entry["reason"] for entry in people.refused()] == [*meanwhile] * 3


def test_a_person_registered_meanwhile_ends_signing_as_stated(bench: Bench) -> None:
    bench.preheated()
    signer = signing_module.signing(
        bench.shop, bench.clock, BRAM, None, signing_module.Meant("performed", bench.number, 10)
    )
    assert isinstance(signer, signing_module.Signer)
    assert not signer.of_register


# --- Four eyes -----------------------------------------------------------------------------------------------------


def test_several_performers_and_none_of_them_accepts(people: People, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(SECRETS, "Eva Lindqvist", "knows metal 3")
    people.add("Eva Lindqvist", "engineer")
    people.preheated()
    signed = people.perform(10, others=["ines okafor", "A Visitor"])
    assert signed.complies
    signature = signed.state.performed[-1]
    assert [(other.name, other.id) for other in signature.others] == [(INES, "P3"), ("A Visitor", None)]
    own = ("Ines Okafor performed this step; another person must accept it",)
    assert people.accept(10).reasons == own
    # By the person and not by what they are called or may do today.
    change_person(
        people.shop, people.clock, Person(OLGA), INES, "married", name="Ines Marwood", roles=["owner", "inspector"],
        secret=secret(OLGA),
    )  # fmt: skip
    again = accept(people.shop, people.clock, Person("Ines Marwood"), people.number, 10, secret=secret(INES))
    assert again.reasons == ("Ines Marwood performed this step; another person must accept it",)
    assert people.accept(10, by="Eva Lindqvist").complies


def test_a_performer_is_named_once(people: People) -> None:
    for others in ([WIM], [INES, "p3"], ["A Visitor", "a  visitor"]):
        with pytest.raises(BadInput, match="is named twice"):
            people.perform(10, others=others)
    assert people.state.performed == ()


def test_further_performers_are_part_of_what_is_accepted(people: People) -> None:
    people.preheated()
    people.perform(10)
    content = people.content(10)
    people.perform(10, others=[OLGA])
    assert people.content(10) != content


def test_who_works_with_others_never_accepts_their_own_work(tmp_path: Path) -> None:
    with Shop.create(tmp_path / "shop.traveler") as shop:
        people = People(shop)
        people.begin()
        people.issue(SELF_INSPECTED)
        people.preheated()
        people.perform(10, by=OLGA)
        assert people.accept(10, by=OLGA).reasons == (
            "self-inspection is for whoever works alone: Ines Okafor (P3) may accept this step",
        )
        set_active(shop, people.clock, Person(OLGA), INES, "disable", "left", secret=secret(OLGA))
        assert people.accept(10, by=OLGA).complies


def test_who_works_alone_may_where_the_sheet_says_so_and_it_prints(tmp_path: Path) -> None:
    for raw, allowed in ((sheet(), False), (SELF_INSPECTED, True)):
        with Shop.create(tmp_path / f"shop-{allowed}.traveler") as shop:
            people = People(shop)
            register_person(shop, people.clock, None, NewPerson(OLGA), new_secret=secret(OLGA))
            people.issue(raw)
            people.preheated()
            people.perform(10, by=OLGA)
            accepted = people.accept(10, by=OLGA)
            assert accepted.recorded is allowed
            if allowed:
                from traveler.acts.look import look

                told = look(shop, people.clock, people.number)["exceptions"]
                assert any("self-inspected" in text for text in told)


# --- Qualification -------------------------------------------------------------------------------------------------


def test_a_weld_keeps_the_qualification_on_its_day(people: People) -> None:
    people.through_preheat()
    people.welded()
    assert people.perform(20).complies
    assert people.state.performed[-1].qualification == {
        "name": WIM,
        "person": "P2",
        "process": "141",
        "on": "2026-03-02",
        "valid": True,
        "until": "2026-07-05",
        "reason": "141 last used on 2026-01-05; good until 2026-07-05",
    }
    assert people.accept(20).complies
    assert people.state.performed[0].qualification is None  # a preheat takes none


def test_a_lapsed_qualification_is_recorded_and_blocks_acceptance(people: People) -> None:
    people.clock.instant += timedelta(days=130)
    people.through_preheat()
    people.welded()
    performed = people.perform(20)
    assert (performed.recorded, performed.complies) == (True, False)
    lapsed = "141 was last used on 2026-01-05: it lapsed after 2026-07-05; a test piece makes it alive again"
    assert performed.reasons == (f"not qualified: {lapsed}",)
    refused = people.accept(20)
    assert refused.reasons == (f"Wim Two was not qualified: {lapsed}",)
    assert people.refused()[-1]["reason"] == refused.reasons[0]
    # What was shown in time and entered late does not undo what was known when it was signed: that is decided by
    # somebody else, as a nonconformance.
    show_process(
        people.shop,
        people.clock,
        Person(INES),
        WIM,
        "141",
        "2026-06-30",
        "test piece 12",
        secret=secret(INES),
    )
    assert people.accept(20).reasons == refused.reasons
    assert people.perform(20).complies
    assert people.accept(20).reasons == refused.reasons


def test_it_is_judged_on_the_day_of_the_weld_and_not_of_the_signature(people: People) -> None:
    """Welded on the last good day, signed when it had lapsed; and the other way round."""
    people.clock.instant += timedelta(days=125)  # 5 July: six months after 5 January
    people.through_preheat()
    people.welded()
    people.clock.instant += timedelta(days=1)
    assert people.perform(20).complies


def test_a_back_dated_weld_is_judged_on_its_own_day(people: People) -> None:
    people.through_preheat()
    people.welded(at="2025-12-31T10:00:00+01:00")
    performed = people.perform(20)
    assert performed.reasons == ("not qualified: Wim Two has never been shown to weld by process 141",)


def test_a_weld_in_another_job_keeps_it_alive(people: People) -> None:
    people.through_preheat()
    people.clock.instant += timedelta(days=60)  # 1 May
    people.welded()
    people.perform(20)
    people.clock.instant += timedelta(days=100)  # 9 August: the test piece alone would have lapsed
    other = People(people.shop, people.clock, "A-102")
    other.issue(sheet().replace(b"A-101", b"A-102"))
    other.through_preheat()
    other.welded()
    assert other.perform(20).complies
    kept = other.state.performed[-1].qualification
    assert (kept["valid"], kept["until"]) == (True, "2026-11-01")


def test_who_is_named_as_welder_is_asked_for_and_not_who_signs(people: People) -> None:
    people.through_preheat()
    people.welded(by="B. Visitor")
    performed = people.perform(20)
    assert performed.reasons == (
        "not qualified: B. Visitor is not in the register of people, so nothing shows it",
    )
    assert people.accept(20).reasons == (
        "B. Visitor was not qualified: B. Visitor is not in the register of people, so nothing shows it",
    )


# --- The job as a whole --------------------------------------------------------------------------------------------


def test_releasing_revising_closing_and_cancelling_are_signatures(people: People) -> None:
    shop, clock, number = people.shop, people.clock, people.number
    olga, ines = Person(OLGA), Person(INES)
    issued = people.told(f"job {number}")[0]
    assert (issued["by"]["how"], set(issued["act"]["session"])) == (
        "signed",
        {"os_user", "terminal", "origin"},
    )
    raw = sheet(title="another title")
    with pytest.raises(TravelerError, match="it takes the secret of Olga Vance"):
        revise(shop, clock, olga, number, raw, "drawing changed")
    by_inspector = revise(shop, clock, ines, number, raw, "drawing changed", secret=secret(INES))
    assert by_inspector.reasons == (
        "Ines Okafor is registered as inspector; releasing a traveler takes engineer or owner",
    )
    assert revise(shop, clock, olga, number, raw, "drawing changed", secret=secret(OLGA)).recorded
    assert people.told(f"job {number}")[-1]["by"]["how"] == "signed"
    closing = close(shop, clock, Person(WIM), number, secret=secret(WIM))
    assert closing.reasons[-1] == (
        "Wim Two is registered as welder; closing a job takes inspector or engineer or owner"
    )
    head = people.state.head
    people.record(10, "preheat temperature", "320 F", place="web")
    stale = cancel(shop, clock, olga, number, "lost", head=head, secret=secret(OLGA))
    assert stale.reasons == ("stale: something was added to the job since you looked at it; look again",)
    head = people.state.head
    assert cancel(shop, clock, olga, number, "lost", head=head.lower(), secret=secret(OLGA)).recorded
    assert people.told(f"job {number}")[-1]["act"]["session"]
    assert [(entry["as"], entry["job"], entry["step"]) for entry in people.refused()] == [
        ("revised", number, None),
        ("closed", number, None),
        ("cancelled", number, None),
    ]


def test_a_traveler_is_not_released_by_just_anybody(people: People) -> None:
    raw = sheet().replace(b"A-101", b"A-102")
    for name, typed, message in (
        (WIM, SECRETS[WIM], "Wim Two is registered as welder; releasing a traveler takes engineer or owner"),
        (OLGA, "not hers 123", "wrong secret for Olga Vance"),
        ("A Visitor", "any 123456", "A Visitor is not in the register of people"),
    ):
        with pytest.raises(NotAllowed, match=f"job A-102 is not released: {message}"):
            issue(people.shop, people.clock, Person(name), raw, secret=Secret(typed))
    assert not people.shop.has_job("A-102")
    assert [entry["as"] for entry in people.refused()] == ["released"] * 3
    # The person who answers for the limits by name may, whatever their role.
    named = raw.replace(b'decides = "welding engineer"', b'decides = "wim two"')
    assert issue(people.shop, people.clock, Person(WIM), named, secret=secret(WIM)).recorded


def test_one_act_folds_the_register_once(people: People, monkeypatch: pytest.MonkeyPatch) -> None:
    from traveler.acts import register as register_module

    register_of(people.shop)
    folded: list[int] = []
    original = register_module.extend_register

    def counted(register: Any, event: Any) -> Any:
        folded.append(event["seq"])
        return original(register, event)

    monkeypatch.setattr(register_module, "extend_register", counted)
    people.record(10, "preheat temperature", "320 F", place="web")
    assert folded == []
    people.perform(10, given="not his 123")
    people.record(10, "preheat temperature", "310 F", place="flange")
    assert len(folded) == 1  # the refusal that came in between


def test_who_welded_is_not_exchanged_behind_the_signature(people: People) -> None:
    """Whether the welder was qualified is asked when the work is signed, of whoever is named then."""
    people.through_preheat()
    people.welded()
    assert people.perform(20, runs=1).complies
    welder = next(reading.number for reading in people.state.readings if reading.key[1] == "welder")
    assert supersede(
        people.shop,
        people.clock,
        Person(INES),
        people.number,
        welder,
        "Otto Nobody",
        "not Wim",
        secret=secret(INES),
    ).recorded
    refused = people.accept(20)
    assert not refused.recorded
    assert (
        "reading 7 (welder) was recorded after the step was signed as performed; sign again"
        in refused.reasons
    )
    assert not people.perform(20, runs=1).complies
    assert any("Otto Nobody" in reason and "not qualified" in reason for reason in people.accept(20).reasons)


def test_a_run_laid_behind_the_signature_is_signed_for_as_well(people: People) -> None:
    people.through_preheat()
    people.welded()
    assert people.perform(20).complies
    people.clock.pass_by(60 * 24 * 200)  # Wim's qualification has lapsed
    people.record(20, "interpass temperature", "330 F")
    people.record(20, "arc energy", "1.0 kJ/mm")
    refused = people.accept(20)
    assert not refused.recorded
    assert (
        "reading 8 (arc energy) was recorded after the step was signed as performed; sign again"
        in refused.reasons
    )
    again = people.perform(20)
    assert again.recorded
    assert any("lapsed" in reason for reason in people.accept(20).reasons)
