"""Splitting where people have secrets, and charts that came along: who may, and what follows."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from acts_kit import ADA, NUMBER, Bench, issued_copy
from batch_kit import Batch, batch_sheet
from people_kit import CHEAP, INES, OLGA, WIM, People, secret
from relief_charts_kit import RELIEF, logged, new_chart
from relief_charts_kit import sheet as relief_sheet

from traveler.acts.change import Outcome
from traveler.acts.charts import attach_chart
from traveler.acts.pieces import split, take_out_pieces
from traveler.acts.signed_change import Signing
from traveler.acts.verify import verify
from traveler.errors import TravelerError
from traveler.job.acceptance import acceptance_stands
from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.shop import Shop

CHILD = "A-101B"


@pytest.fixture
def people(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[People]:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)
    with Shop.create(tmp_path / "people.traveler") as shop:
        made = People(shop)
        made.begin()
        made.issue(batch_sheet(5))
        yield made


def _split(people: People, by: str, head: str | None = None) -> Outcome:
    signing = Signing(people.shop, people.clock, Person(by), NUMBER, head, secret(by))
    return split(signing, CHILD, 2, (), "rush")


def test_it_is_split_by_who_may_release_with_their_secret(people: People) -> None:
    people.through_preheat()
    for by in (WIM, INES):
        refused = _split(people, by)
        assert not refused.recorded
        assert f"{by} is registered as" in refused.reasons[0]
    assert [entry["as"] for entry in people.refused()] == ["split", "split"]
    with pytest.raises(TravelerError, match="takes the secret of"):
        split(Signing(people.shop, people.clock, Person(OLGA), NUMBER), CHILD, 2, (), "rush")
    assert "stale" in _split(people, OLGA, "AAAA-AAAA-AAAA-AAAA").reasons[0]
    made = _split(people, OLGA, people.state.head)
    assert made.recorded
    assert acceptance_stands(made.state, made.state.plan.steps[0])
    event = people.told(f"job {CHILD}")[0]
    assert (event["by"]["how"], "session" in event["act"]) == ("signed", True)
    assert verify(people.shop.path).faults == ()


def test_anybody_of_the_register_says_that_a_piece_is_lost(people: People) -> None:
    signing = Signing(people.shop, people.clock, Person(WIM), NUMBER, None, secret(WIM))
    assert take_out_pieces(signing, "lost", 1, (), "not found").recorded


def test_who_did_the_work_before_the_split_does_not_accept_it_after(people: People) -> None:
    people.preheated()
    assert people.perform(10, OLGA).recorded
    assert _split(people, OLGA).recorded
    child = People(people.shop, people.clock, CHILD)
    refused = child.accept(10, OLGA)
    assert not refused.recorded
    assert "another person must accept it" in refused.reasons[0]
    assert child.accept(10, INES).recorded


def test_a_chart_that_came_along_is_read_anew_once_and_follows(tmp_path: Path) -> None:
    raw = relief_sheet().replace(b"[job]\n", b"[job]\nquantity = 3\n")
    for bench in issued_copy(tmp_path / "shop.traveler", raw):
        batch = Batch(bench)
        assert _attach(bench).recorded
        batch.split(CHILD, 1)
        batch.split("A-101C", 1)
        child = batch.at(CHILD)
        refused = _attach(child, instead_of=1, because="TC2 was loose")
        assert "came along" in refused.reasons[0]
        assert _attach(bench, instead_of=1, because="read again").recorded
        assert _attach(bench, instead_of=2, because="and again").recorded
        for job in (CHILD, "A-101C"):
            state = batch.state(job)
            assert [(c.number, c.superseded_by) for c in state.charts] == [(1, 2), (2, 3), (3, None)]
            standing = [r.value for r in state.readings if not r.superseded]
            assert standing == [r.value for r in batch.state(NUMBER).readings if not r.superseded]
        assert verify(bench.shop.path).faults == ()


def _attach(bench: Bench, **more: object) -> Outcome:
    return attach_chart(bench.shop, bench.clock, ADA, bench.number, new_chart(logged(), step=RELIEF, **more))
