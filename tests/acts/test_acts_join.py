"""Pieces of several jobs meet in an assembly, which waits until each of them is ready; never more than there are."""

import json
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from acts_kit import NUMBER, finish, issued_copy, start
from batch_kit import ASSEMBLY_ROUTE, SERIALS, Batch, batch_sheet

from traveler.acts.look import export, exported_object
from traveler.acts.verify import verify
from traveler.acts.where import where_used
from traveler.errors import BadInput, TravelerError
from traveler.report.pieces_words import pieces_lines

FRAME, OTHER, CAR = "F-1", "F-2", "C-1"


@pytest.fixture
def batch(tmp_path: Path) -> Iterator[Batch]:
    """Three tabs, and two frames that they go into."""
    for bench in issued_copy(tmp_path / "shop.traveler", batch_sheet(3)):
        made = Batch(bench)
        for number in (FRAME, OTHER):
            made.issue(number, route=ASSEMBLY_ROUTE)
        yield made


def _waits(batch: Batch, job: str = FRAME, step: int = 50) -> list[str]:
    return [r for r in batch.blocked(job, step) if "component" in r or "held" in r or "pieces of" in r]


def test_an_assembly_waits_for_its_component_to_be_closed(batch: Batch, tmp_path: Path) -> None:
    joined = batch.join(FRAME, NUMBER, 2)
    assert joined.recorded
    assert joined.reasons == (f"component {NUMBER} is not closed: close it, or take it out",)
    assert _waits(batch) == [f"component {NUMBER} is not closed: close it, or take it out"]
    batch.closed(NUMBER, 3)
    assert _waits(batch) == []
    part = exported_object(batch.state(FRAME))["pieces"]["components"][0]
    assert (part["state"], part["code"], part["good"]) == ("closed", batch.state(NUMBER).head, 3)
    assert any("4130 heat Q4471" in line for line in pieces_lines(exported_object(batch.state(FRAME))))
    for number in (NUMBER, FRAME):
        (tmp_path / "one.json").write_bytes(export(batch.bench.shop, number, "json"))
        assert verify(tmp_path / "one.json").faults == ()
    assert verify(batch.bench.shop.path).faults == ()


def test_a_closed_component_goes_into_several_assemblies_up_to_what_it_has(batch: Batch) -> None:
    batch.closed(NUMBER, 3)
    assert batch.join(FRAME, NUMBER, 2).complies
    refused = batch.join(OTHER, NUMBER, 2)
    assert not refused.recorded
    assert "1 piece is there to take" in refused.reasons[0]
    assert batch.join(OTHER, NUMBER, 1).recorded
    assert batch.take_out(FRAME, NUMBER).recorded
    assert batch.state(NUMBER).batch.used == 1
    assert batch.join(FRAME, NUMBER, 1).recorded
    assert "component already" in batch.join(FRAME, NUMBER, 1).reasons[0]


def test_pieces_in_an_assembly_that_turn_out_bad_stop_every_assembly(batch: Batch) -> None:
    batch.join(FRAME, NUMBER, 2)
    batch.join(OTHER, NUMBER, 1)
    assert batch.split("A-101B", 1).reasons  # all are in assemblies
    batch.scrap(1)
    batch.closed(NUMBER, 2)
    for frame in (FRAME, OTHER):
        assert _waits(batch, frame) == [
            f"3 pieces of component {NUMBER} are in assemblies, and it has 2 good ones"
        ]
    batch.take_out(OTHER, NUMBER)
    assert _waits(batch, FRAME) == []


def test_a_hold_goes_through_an_assembly_into_what_that_is_part_of(batch: Batch) -> None:
    batch.issue(CAR, route=ASSEMBLY_ROUTE)
    batch.join(FRAME, NUMBER)
    batch.join(CAR, FRAME)
    batch.open_ncr()
    held = f"held: nonconformance 1 of {NUMBER} is open: a lap at the toe"
    assert held in _waits(batch, FRAME)
    assert held in _waits(batch, CAR)
    assert any(held in reason for reason in batch.close(FRAME).reasons)
    batch.void_ncr()
    assert held not in (*_waits(batch, FRAME), *_waits(batch, CAR))


def test_what_comes_before_a_component_is_joined_is_not_held_by_it(batch: Batch) -> None:
    batch.join(FRAME, NUMBER)
    batch.open_ncr()
    frame = batch.at(FRAME)
    frame.through_preheat()
    assert len(_waits(batch)) == 2
    assert _waits(batch, step=20) == []


def test_a_hold_reaches_an_assembly_that_is_closed_already(batch: Batch) -> None:
    batch.issue(CAR)
    batch.split("A-101B", 1)
    batch.closed("A-101B")
    batch.join(CAR, "A-101B", step=40)
    batch.closed(CAR)
    batch.open_ncr()
    told = exported_object(batch.state(CAR))
    assert told["state"] == "closed"
    assert any("held: nonconformance 1" in line for line in told["exceptions"])


def test_a_component_that_was_split_off_carries_its_parents_hold(batch: Batch) -> None:
    batch.split("A-101B", 1)
    batch.join(FRAME, "A-101B")
    batch.open_ncr()
    assert f"held: nonconformance 1 of {NUMBER} is open: a lap at the toe" in _waits(batch)


def test_an_assembly_that_is_split_keeps_what_is_in_it(batch: Batch) -> None:
    batch.issue("F-9", 2, route=ASSEMBLY_ROUTE)
    batch.join("F-9", NUMBER, 2)
    batch.split("F-9B", 1, job="F-9")
    assert "went along into F-9B" in batch.take_out("F-9", NUMBER).reasons[0]
    assert "came along" in batch.take_out("F-9B", NUMBER).reasons[0]
    batch.open_ncr()
    batch.void_ncr()
    batch.closed(NUMBER, 3)
    for job in ("F-9", "F-9B"):
        assert _waits(batch, job) == []
    assert verify(batch.bench.shop.path).faults == ()


def test_nothing_is_part_of_itself(batch: Batch) -> None:
    batch.join(FRAME, NUMBER)
    assert "no component of itself" in batch.join(NUMBER, NUMBER, step=10).reasons[0]
    assert f"{FRAME} depends on {NUMBER} itself" in batch.join(NUMBER, FRAME, step=10).reasons
    batch.split("A-101B", 1)
    assert any("depends on" in r for r in batch.join(NUMBER, "A-101B", step=10).reasons)
    assert any("split off from" in r for r in batch.join("A-101B", NUMBER, step=10).reasons)


def test_what_cannot_be_joined_is_told(batch: Batch) -> None:
    with pytest.raises(TravelerError, match='no job "Z-9"'):
        batch.join(FRAME, "Z-9")
    with pytest.raises(BadInput, match="no step of kind assemble"):
        batch.join(NUMBER, FRAME, step=None)
    assert batch.join(FRAME, NUMBER, step=77).reasons == ("there is no step 77",)
    batch.cancel()
    refused = batch.join(FRAME, NUMBER)
    assert refused.reasons == (f"{NUMBER}: the job is cancelled",)
    assert "no component" in batch.take_out(FRAME, NUMBER).reasons[0]


def test_a_cancelled_component_has_to_be_taken_out(batch: Batch) -> None:
    batch.join(FRAME, NUMBER)
    batch.cancel()
    assert _waits(batch) == [f"component {NUMBER} is cancelled: take it out of the assembly"]
    batch.take_out(FRAME, NUMBER)
    assert _waits(batch) == []


def test_the_pieces_in_a_cancelled_assembly_are_free_again_once_taken_out(batch: Batch) -> None:
    batch.join(FRAME, NUMBER, 3)
    batch.cancel(FRAME)
    assert not batch.join(FRAME, OTHER).recorded
    assert not batch.join(OTHER, NUMBER).recorded
    assert batch.take_out(FRAME, NUMBER).recorded
    assert batch.join(OTHER, NUMBER, 3).recorded
    assert verify(batch.bench.shop.path).faults == ()


def test_a_component_that_is_taken_out_after_signing_changes_the_content(batch: Batch) -> None:
    batch.closed(NUMBER, 3)
    batch.join(FRAME, NUMBER)
    batch.at(FRAME).perform(50)
    batch.take_out(FRAME, NUMBER)
    step = next(s for s in exported_object(batch.state(FRAME))["steps"] if s["number"] == 50)
    assert step["performed"][0]["changed"]


def test_serials_are_named_piece_by_piece(tmp_path: Path) -> None:
    for bench in issued_copy(tmp_path / "shop.traveler", batch_sheet(5, SERIALS)):
        batch = Batch(bench)
        batch.issue(FRAME, route=ASSEMBLY_ROUTE)
        assert "name each piece" in batch.join(FRAME, NUMBER, 2).reasons[0]
        assert batch.join(FRAME, NUMBER, 2, "S1", "S2").recorded
        batch.issue(OTHER, route=ASSEMBLY_ROUTE)
        assert "there is no piece S2" in batch.join(OTHER, NUMBER, 1, "S2").reasons[0]


def test_a_heat_is_found_through_children_and_assemblies(batch: Batch) -> None:
    frame = batch_sheet(2, (), "X-1", route=ASSEMBLY_ROUTE).replace(b"Q4471", b"ZZ99")
    from traveler.acts.issue import issue

    assert issue(batch.bench.shop, batch.bench.clock, batch.signing().person, frame).recorded
    batch.split("A-101B", 1)
    batch.join("X-1", "A-101B")
    batch.split("X-1B", 1, job="X-1")
    found = {use.state.plan.number: use.through for use in where_used(batch.bench.shop, "Q4471").jobs}
    assert {NUMBER, "A-101B", "X-1"} <= found.keys()
    assert found["X-1"] == found["X-1B"] == ("A-101B",)
    assert found["A-101B"] == ()


JOINING = """
import sys
import time
from pathlib import Path
from traveler.acts.clock import SystemClock
from traveler.acts.pieces import join
from traveler.acts.signed_change import Signing
from traveler.job.person import Person
from traveler.record.shop import Shop

with Shop.open(Path(sys.argv[1])) as shop:
    while time.time() < float(sys.argv[3]):
        pass
    outcome = join(Signing(shop, SystemClock(), Person("Ada Lund"), sys.argv[2]), "A-101", 1, (), 50)
    print("joined" if outcome.recorded else "refused")
"""


@pytest.mark.slow
def test_of_many_that_take_the_last_piece_at_once_one_gets_it(batch: Batch) -> None:
    batch.scrap(2)
    frames = [f"G-{number}" for number in range(4)]
    for number in frames:
        batch.issue(number, route=ASSEMBLY_ROUTE)
    together = time.time() + 3
    children = [start(JOINING, batch.bench.shop.path, number, together) for number in frames]
    assert sorted(finish(child).strip() for child in children) == ["joined", "refused", "refused", "refused"]
    assert batch.state(NUMBER).batch.used == 1
    assert json.loads(export(batch.bench.shop, NUMBER, "json"))["traveler"]["pieces"]["used"] == 1
    assert verify(batch.bench.shop.path).faults == ()
