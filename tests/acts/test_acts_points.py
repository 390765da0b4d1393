"""Hold and witness points: work goes on, acceptance waits for the party that is named.

Who waits for whom, and for how long, is invented.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from acts_kit import ADA, BRAM, CLEO, sheet
from deciding_kit import CARL, EVA, NUMBER, Deciding, deciding, refused, with_points
from people_kit import CHEAP, INES, OLGA, SECRETS, WIM, People, secret

from traveler.acts.issue import revise
from traveler.acts.points import attend, notify, release, waive
from traveler.acts.readings import supersede
from traveler.acts.sign import STALE
from traveler.acts.signed_change import Signing
from traveler.errors import BadInput, TravelerError
from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.secrets import Secret
from traveler.record.shop import Shop

HELD = with_points(sheet(), 10, 'hold = ["customer"]')
WITNESSED = with_points(sheet(), 10, 'witness = ["engineer"]', 'notice = "24 h"')
BOTH = with_points(sheet(), 10, 'hold = ["customer", "owner"]', 'witness = ["engineer"]')


def shop_of(path: Path, raw: bytes) -> Iterator[Deciding]:
    yield from deciding(path / "shop.traveler", raw)


@pytest.fixture
def held(tmp_path: Path) -> Iterator[Deciding]:
    yield from shop_of(tmp_path, HELD)


@pytest.fixture
def witnessed(tmp_path: Path) -> Iterator[Deciding]:
    yield from shop_of(tmp_path, WITNESSED)


@pytest.fixture
def both(tmp_path: Path) -> Iterator[Deciding]:
    yield from shop_of(tmp_path, BOTH)


def test_a_hold_lets_work_be_recorded_and_stops_acceptance(held: Deciding) -> None:
    held.preheated()
    held.perform(10)
    assert refused(held.accept(10)) == "hold 1 (customer) is not released"
    # The next step is recorded and signed all the same; it is accepted when this one is.
    held.record(20, "welder", "B. Ortega")
    held.record(20, "filler lot", "lot 7")
    held.run_of_weld()
    held.perform(20)
    assert "step 10 comes first and is not accepted" in held.accept(20).reasons
    assert release(held.signing(CARL), 10).message == "step 10: hold 1 (customer) is released by Carl Kunde"
    assert held.accept(10).recorded
    assert held.accept(20).recorded


def test_a_release_is_about_what_the_step_holds(held: Deciding) -> None:
    held.preheated()
    held.perform(10)
    release(held.signing(CARL), 10)
    supersede(held.shop, held.clock, CLEO, NUMBER, 1, "340 F", "misread")
    assert refused(held.accept(10)) == (
        "hold 1 (customer): the step has changed since it was released; it is to be released again"
    )
    assert release(held.signing(CARL), 10).recorded
    assert held.accept(10).recorded


def test_nobody_releases_a_hold_on_their_own_work(held: Deciding) -> None:
    held.preheated()
    held.perform(10)
    assert "performed this step; another person must settle hold 1" in refused(
        release(held.signing(BRAM), 10)
    )


def test_a_waiver_takes_a_reason_and_prints_as_an_exception(held: Deciding) -> None:
    held.preheated()
    held.perform(10)
    with pytest.raises(BadInput, match="a reason is needed"):
        waive(held.signing(CARL), 10, None, "  ")
    assert waive(held.signing(CARL), 10, 1, "seen on photos").recorded
    assert held.accept(10).recorded
    assert "step 10: hold 1 (customer) was waived by Carl Kunde: seen on photos" in held.seen()["exceptions"]
    # A waiver is not about what the step holds, and stands.
    held.record(10, "preheat temperature", "340 F", place="rib")
    assert held.accept(10).recorded


def test_a_witness_point_lapses_by_the_notice_that_was_written_down(witnessed: Deciding) -> None:
    witnessed.preheated()
    witnessed.perform(10)
    assert "witness 1 (engineer) is not notified and witnessed" in refused(witnessed.accept(10))
    # Told long ago, they say; the notice runs from when that was written.
    outcome = notify(witnessed.signing(BRAM), 10, at="2026-02-20T08:00:00+01:00")
    assert outcome.recorded
    assert outcome.state.points[-1].notice_h == 24
    assert (
        "notified at 2026-03-02T07:00:00+01:00; the notice of 24 h runs until 2026-03-03T07:00:00"
        in refused(witnessed.accept(10))
    )
    witnessed.clock.pass_by(24 * 60 - 1)
    assert not witnessed.accept(10).recorded
    witnessed.clock.pass_by(1)
    assert witnessed.accept(10).recorded
    assert (
        "did not attend; accepted after the notice had run out; the work had begun at 2026-03-02T07:00:00+01:00, "
        "before it had"
    ) in "; ".join(witnessed.seen()["exceptions"])


def test_a_party_told_in_time_that_does_not_come_is_no_more_than_that(witnessed: Deciding) -> None:
    notify(witnessed.signing(BRAM), 10)
    witnessed.clock.pass_by(24 * 60)
    witnessed.preheated()
    witnessed.perform(10)
    assert witnessed.accept(10).recorded
    (said,) = [text for text in witnessed.seen()["exceptions"] if "did not attend" in text]
    assert said.endswith("accepted after the notice had run out")


def test_a_party_that_comes_settles_its_point(witnessed: Deciding) -> None:
    witnessed.preheated()
    notify(witnessed.signing(BRAM), 10)
    assert attend(witnessed.signing(EVA), 10, because="both places").recorded
    witnessed.perform(10)
    assert witnessed.accept(10).recorded
    assert refused(attend(witnessed.signing(EVA), 10)) == "witness 1 (engineer) is attended already"


def test_without_a_notice_a_witness_point_does_not_lapse(both: Deciding) -> None:
    both.preheated()
    both.perform(10)
    release(both.signing(CARL), 10, 1)
    release(both.signing(EVA), 10, 2)
    notify(both.signing(BRAM), 10)
    both.clock.pass_by(365 * 24 * 60)
    assert "it does not lapse" in refused(both.accept(10))


def test_which_point_is_meant_is_said_where_there_are_several(both: Deciding) -> None:
    with pytest.raises(BadInput, match=r"step 10 has several points; say which: hold 1 \(customer\), hold 2"):
        release(both.signing(CARL), 10)
    with pytest.raises(BadInput, match=r"step 10 has no point 4; it has: hold 1"):
        waive(both.signing(CARL), 10, 4, "why not")
    with pytest.raises(BadInput, match="step 20 has no hold or witness point"):
        release(both.signing(CARL), 20)
    with pytest.raises(BadInput, match="job A-101 has no step 11; its steps: 10, 20, 30, 40"):
        release(both.signing(CARL), 11)


def test_a_hold_is_not_notified_and_a_witness_point_not_released(both: Deciding) -> None:
    assert "it is released or waived, and never lapses" in refused(notify(both.signing(BRAM), 10, 1))
    assert "its party attends" in refused(release(both.signing(EVA), 10, 3))


def test_a_release_that_was_shown_something_else_is_stale(held: Deciding) -> None:
    held.preheated()
    shown = held.seen()["steps"][0]["content"]
    held.record(10, "preheat temperature", "340 F", place="rib")
    assert release(held.signing(CARL, shown), 10).reasons == (STALE,)
    assert release(held.signing(CARL, held.seen()["steps"][0]["content"].lower()), 10).recorded


def test_a_hold_that_a_revision_adds_stops_the_step_again(tmp_path: Path) -> None:
    for bench in deciding(tmp_path / "shop.traveler"):
        bench.through_preheat()
        revise(bench.shop, bench.clock, ADA, NUMBER, HELD, "customer asks for it")
        assert not bench.stands(10)
        assert refused(bench.accept(10)) == "hold 1 (customer) is not released"


@pytest.fixture
def people(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[People]:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)
    monkeypatch.setitem(SECRETS, CARL.name, "pays 7 bills")
    with Shop.create(tmp_path / "shop.traveler") as shop:
        found = People(shop)
        found.begin()
        found.add(CARL.name, "customer")
        found.issue(HELD)
        found.preheated()
        found.perform(10)
        yield found


def signing(people: People, by: str, given: Secret | None) -> Signing:
    return Signing(people.shop, people.clock, Person(by), people.number, people.content(10), given)


def test_where_people_have_secrets_the_party_releases_with_its_own(people: People) -> None:
    assert "wrong secret for Carl Kunde" in refused(
        release(signing(people, CARL.name, Secret("guess 12345")), 10)
    )
    with pytest.raises(TravelerError, match="it takes the secret of Carl Kunde"):
        release(signing(people, CARL.name, None), 10)
    assert release(signing(people, CARL.name, secret(CARL.name)), 10).recorded
    by = people.told(f"job {people.number}")[-1]["by"]
    assert by == {"name": "Carl Kunde", "how": "signed", "person": "P4", "roles": ["customer"]}
    assert "session" in people.told(f"job {people.number}")[-1]["act"]
    assert people.accept(10).recorded


@pytest.mark.parametrize(
    ("by", "why"),
    [
        (INES, "hold 1 (customer) is for the customer to settle; Ines Okafor is registered as inspector"),
        (WIM, "Wim Two is registered as welder"),
    ],
)
def test_a_waiver_takes_the_party_and_what_is_refused_is_logged(people: People, by: str, why: str) -> None:
    outcome = waive(signing(people, by, secret(by)), 10, 1, "in a hurry")
    assert why in refused(outcome)
    logged = people.refused()[-1]
    assert (logged["name"], logged["step"], logged["as"]) == (by, 10, "hold or witness point waived")
    assert why in logged["reason"]


@pytest.mark.parametrize(
    "points",
    [(), ('hold = ["owner"]',), ('witness = ["customer"]', 'notice = "1 h"')],
    ids=["left out", "given to another", "made a witness point"],
)
def test_a_revision_does_not_give_up_the_hold_of_another_party(
    people: People, points: tuple[str, ...]
) -> None:
    without = with_points(sheet(), 10, *points)

    def revised() -> tuple[str, ...]:
        return revise(
            people.shop, people.clock, Person(OLGA), people.number, without, "in a hurry", secret=secret(OLGA)
        ).reasons

    kept = "hold 1 (customer) of step 10 is for the customer to waive, not for a revision to leave out"
    assert revised() == (kept,)
    assert kept in people.refused()[-1]["reason"]
    assert waive(signing(people, CARL.name, secret(CARL.name)), 10, 1, "seen on the drawing").recorded
    assert revised() == ()
    assert people.state.revision == 2


def test_a_step_with_another_number_keeps_its_hold(tmp_path: Path) -> None:
    route = ((15, "preheat"), (20, "weld"), (30, "hydrogen release"), (40, "inspect"))
    for bench in deciding(tmp_path / "shop.traveler", HELD):
        moved = with_points(sheet(route=route), 15, 'hold = ["customer"]')
        assert revise(bench.shop, bench.clock, ADA, NUMBER, moved, "room for a step").recorded
        assert not any("left out" in said for said in bench.seen()["exceptions"])


@pytest.mark.parametrize(("notice", "gone"), [("24 h", False), ("2 d", False), ("23 h", True), (None, False)])
def test_a_point_that_a_stated_name_leaves_out_is_said(
    tmp_path: Path, notice: str | None, gone: bool
) -> None:
    lines = ('witness = ["engineer"]', *([f'notice = "{notice}"'] if notice else []))
    for bench in deciding(tmp_path / "shop.traveler", WITNESSED):
        raw = with_points(sheet(), 10, *lines)
        assert revise(bench.shop, bench.clock, ADA, NUMBER, raw, "as agreed").recorded
        said = "witness 1 (engineer) of step 10 was left out by Ada Lund with revision 2: as agreed"
        assert (said in bench.seen()["exceptions"]) is gone
