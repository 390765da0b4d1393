"""Pieces of a batch: they add up, some go on by themselves with what was done, and nothing bad is left behind by it."""

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from acts_kit import ADA, BRAM, CLEO, NUMBER, issued_copy
from batch_kit import SERIALS, Batch, batch_sheet

from traveler.acts import nonconformance as ncr
from traveler.acts.change import load_job
from traveler.acts.instruments import NewInstrument, calibrated, found_out, register_instrument
from traveler.acts.issue import revise
from traveler.acts.look import export, exported_object
from traveler.acts.nonconformance_look import look_at_nonconformances
from traveler.acts.outside import NewReceipt, NewReview, NewSending, receive, review, send
from traveler.acts.pieces import split
from traveler.acts.readings import attach, supersede
from traveler.acts.settling import answer_question
from traveler.acts.split_check import contradictions, history_of, pieces_said
from traveler.acts.verify import verify
from traveler.errors import BadInput, TravelerError
from traveler.job.acceptance import acceptance_stands
from traveler.job.exceptions import exceptions
from traveler.job.state import JobState, Person

CHILD = "A-101B"


@pytest.fixture
def batch(tmp_path: Path) -> Iterator[Batch]:
    for bench in issued_copy(tmp_path / "shop.traveler", batch_sheet(5, SERIALS)):
        yield Batch(bench)


@pytest.fixture
def plain(tmp_path: Path) -> Iterator[Batch]:
    """Five pieces without serials."""
    for bench in issued_copy(tmp_path / "shop.traveler", batch_sheet(5)):
        yield Batch(bench)


def _whole(batch: Batch, tmp_path: Path) -> None:
    """The shop's file and each job's export verify."""
    for number in batch.bench.shop.job_numbers():
        (tmp_path / "one.json").write_bytes(export(batch.bench.shop, number, "json"))
        assert verify(tmp_path / "one.json").faults == ()
    assert verify(batch.bench.shop.path).faults == ()


def test_pieces_that_go_on_have_what_was_done_and_the_others_are_fewer(batch: Batch, tmp_path: Path) -> None:
    batch.bench.through_preheat()
    batch.bench.record(20, "welder", "B. Ortega")
    before = batch.state()
    assert batch.split(CHILD, 2, "S1", "S4").recorded
    child = batch.state(CHILD)
    assert [child.plan.quantity, child.plan.serials] == [2, ("S1", "S4")]
    assert acceptance_stands(child, child.plan.steps[0])
    assert child.accepted[0].content == before.accepted[0].content
    assert [reading.value for reading in child.readings] == ["320", "310", "B. Ortega"]
    assert (batch.balance().here, batch.balance().split_off) == (3, 2)
    told = exported_object(child)
    assert told["pieces"]["came_from"][0]["code"] == before.head
    assert told["steps"][0]["accepted"]["from"] == {"job": NUMBER, "event": 5, "code": before.head}
    assert told["steps"][1]["state"] == "in work"
    _whole(batch, tmp_path)


def test_each_job_goes_its_own_way_after_the_split(plain: Batch, tmp_path: Path) -> None:
    plain.bench.through_preheat()
    plain.split(CHILD, 2)
    plain.at(CHILD).through_weld()
    assert not plain.state().performed_of(20)
    plain.bench.through_weld()
    assert [len(plain.state(job).readings) for job in (NUMBER, CHILD)] == [8, 8]
    _whole(plain, tmp_path)


def test_a_bad_reading_goes_along(plain: Batch) -> None:
    plain.bench.record(10, "preheat temperature", "320 F", place="web")
    plain.bench.record(10, "preheat temperature", "120 F", place="flange")
    plain.split(CHILD, 1)
    child = plain.at(CHILD)
    child.preheated()
    child.perform(10)
    refused = child.accept(10)
    assert not refused.recorded
    assert any("120 °F is below 300 °F" in reason for reason in refused.reasons)


def test_what_is_open_on_the_parent_holds_the_child_until_it_is_closed_there(plain: Batch) -> None:
    plain.bench.through_preheat()
    plain.open_ncr(step=10)
    plain.split(CHILD, 2)
    held = f"held: nonconformance 1 of {NUMBER} is open: a lap at the toe"
    assert held in plain.blocked(CHILD, 20)
    refused = ncr.propose(plain.signing(CHILD), 1, "use as is", "harmless")
    assert refused.reasons == (
        f"nonconformance 1 came along from {NUMBER}: it is decided there, and follows here",
    )
    plain.conceded()
    assert held not in plain.blocked(CHILD, 20)
    assert plain.state(CHILD).nonconformances[0].status == "closed"


def test_one_that_is_opened_on_the_parent_afterwards_holds_children_and_theirs(plain: Batch) -> None:
    plain.split(CHILD, 3)
    plain.split("A-101C", 1, job=CHILD)
    plain.open_ncr()
    held = f"held: nonconformance 1 of {NUMBER} is open: a lap at the toe"
    for job in (CHILD, "A-101C"):
        assert held in plain.blocked(job, 10)
        assert not plain.state(job).nonconformances
    plain.void_ncr()
    assert held not in (*plain.blocked(CHILD, 10), *plain.blocked("A-101C", 10))


def test_a_childs_own_nonconformance_is_its_own(plain: Batch) -> None:
    plain.split(CHILD, 3)
    plain.open_ncr(CHILD)
    assert not any("held" in reason for reason in plain.blocked(NUMBER, 10))
    plain.conceded(CHILD)
    assert plain.state(CHILD).nonconformances[0].status == "closed"


def test_rework_that_the_parent_approves_is_done_on_the_childs_pieces_too(plain: Batch) -> None:
    plain.bench.through_preheat()
    plain.open_ncr(step=10, quantity="preheat temperature")
    plain.split(CHILD, 2)
    assert ncr.propose(plain.signing(), 1, "rework", "heat it again").recorded
    assert ncr.decide_disposition(plain.signing(by=CLEO), 1, True).recorded
    child = plain.state(CHILD)
    assert child.attempt((10, "preheat temperature", "J1")) == 2
    plain.bench.preheated()
    plain.bench.perform(10)
    assert ncr.reverify(plain.signing(by=CLEO), 1, "read again", True).recorded
    assert ncr.close_nonconformance(plain.signing(by=CLEO), 1).recorded
    reasons = plain.blocked(CHILD, 10)
    assert any("not shown" in reason for reason in reasons)
    assert any("before it was reworked" in reason for reason in reasons)
    plain.at(CHILD).through_preheat()


def test_an_entry_that_came_along_is_corrected_once_and_follows(plain: Batch) -> None:
    shop, clock = plain.bench.shop, plain.bench.clock
    plain.bench.record(10, "preheat temperature", "320 F", place="web")
    plain.split(CHILD, 2)
    plain.at(CHILD).record(10, "preheat temperature", "330 F", place="flange")
    refused = supersede(shop, clock, BRAM, CHILD, 1, "300 F", "a slip")
    assert not refused.recorded
    assert "came along" in refused.reasons[0]
    plain.bench.record(10, "preheat temperature", "311 F", place="flange")
    assert supersede(shop, clock, BRAM, NUMBER, 1, "220 F", "read 220, typed 320").recorded
    assert supersede(shop, clock, BRAM, NUMBER, 3, "210 F", "it was 210").recorded
    child = plain.state(CHILD)
    assert [(r.number, r.value, r.superseded) for r in child.readings] == [
        (1, "320", True), (2, "330", False), (3, "220", True), (4, "210", False),
    ]  # fmt: skip
    assert any("210 °F is below 300 °F" in reason for reason in plain.blocked(CHILD, 10))
    own = supersede(shop, clock, BRAM, CHILD, 2, "331 F", "a slip")
    assert own.recorded


def test_after_the_parent_has_ended_the_child_decides_for_itself(plain: Batch) -> None:
    shop, clock = plain.bench.shop, plain.bench.clock
    plain.bench.record(10, "preheat temperature", "320 F", place="web")
    plain.split(CHILD, 2)
    assert plain.cancel().recorded
    assert supersede(shop, clock, BRAM, CHILD, 1, "321 F", "a slip").recorded


def test_a_parent_that_holds_others_is_not_cancelled(plain: Batch) -> None:
    plain.split(CHILD, 2)
    plain.open_ncr()
    refused = plain.cancel()
    assert refused.reasons == (f"nonconformance 1 holds {CHILD}: close it first",)
    plain.void_ncr()
    assert plain.cancel().recorded
    plain.at(CHILD).through_preheat()


def test_some_pieces_are_scrapped_and_the_others_go_on(batch: Batch, tmp_path: Path) -> None:
    bench = batch.bench
    bench.through_preheat()
    bench.record(20, "interpass temperature", "900 F", place="S3")
    bench.record(20, "arc energy", "1.0 kJ/mm")
    batch.open_ncr(quantity="interpass temperature")
    assert "there is no piece S9" in ncr.propose(batch.signing(), 1, "scrap", "cut up", 1, ["S9"]).reasons[0]
    assert ncr.propose(batch.signing(), 1, "rework", "again", 1, ["S3"]).reasons
    assert ncr.propose(batch.signing(), 1, "scrap", "cut up", 1, ["S3"]).recorded
    alone = ncr.decide_disposition(batch.signing(), 1, True)
    assert "another person must approve it" in alone.reasons[0]
    assert ncr.decide_disposition(batch.signing(by=CLEO), 1, True).recorded
    assert batch.balance().rejected == 1
    assert ncr.close_nonconformance(batch.signing(by=CLEO), 1).recorded
    assert not any("900" in reason for reason in batch.blocked(NUMBER, 20))
    assert batch.state().batch.gone[0].serials == ("S3",)
    _whole(batch, tmp_path)


def test_a_job_closes_when_its_pieces_add_up(plain: Batch) -> None:
    plain.split(CHILD, 2)
    plain.scrap(1)
    plain.bench.through_everything()
    assert "say how many" in plain.close().reasons[0]
    assert plain.close(count=1).reasons == (
        "5 in, 1 counted as accepted, 1 rejected, 0 lost, 2 split off: 1 piece is not accounted for",
    )
    assert "1 piece is too many" in plain.close(count=3).reasons[0]
    assert plain.lose(1).recorded
    assert plain.close(count=1).recorded
    assert plain.balance().words == "5 in = 1 accepted + 1 rejected + 1 lost + 2 split off"


def test_without_a_piece_nothing_is_accepted_or_closed(plain: Batch) -> None:
    plain.bench.preheated()
    plain.bench.perform(10)
    plain.scrap(5)
    assert "no piece is left" in plain.bench.accept(10).reasons[0]
    assert any("cancel the job" in reason for reason in plain.close(count=0).reasons)
    assert plain.cancel().recorded


@pytest.mark.parametrize(
    ("pieces", "serials", "told"),
    [
        (6, (), "5 pieces are there to take"),
        (5, SERIALS, "all 5 pieces would leave"),
        (2, ("S1",), "1 of 2 serials named"),
        (2, ("S1", "S1"), "a serial is named twice"),
        (1, ("S9",), "there is no piece S9"),
    ],
)
def test_more_pieces_than_there_are_do_not_leave(
    batch: Batch, pieces: int, serials: tuple[str, ...], told: str
) -> None:
    refused = batch.split(CHILD, pieces, *serials)
    assert not refused.recorded
    assert any(told in reason for reason in refused.reasons)
    assert not batch.bench.shop.has_job(CHILD)


def test_bad_input_is_told_and_nothing_is_written(batch: Batch) -> None:
    events = batch.bench.shop.count_events()
    with pytest.raises(BadInput, match="0 is no number of pieces"):
        batch.split(CHILD, 0)
    with pytest.raises(BadInput, match="is no number of a job"):
        batch.split("../x", 1, "S1")
    with pytest.raises(TravelerError, match="in this shop already"):
        batch.split(NUMBER, 1, "S1")
    with pytest.raises(BadInput, match="reason"):
        split(batch.signing(), CHILD, 1, ["S1"], " ")
    with pytest.raises(TravelerError, match='no job "Z-9"'):
        batch.split(CHILD, 1, job="Z-9")
    assert batch.bench.shop.count_events() == events


def test_a_revision_keeps_the_pieces_that_left(batch: Batch) -> None:
    batch.split(CHILD, 2, "S1", "S2")
    shop, clock = batch.bench.shop, batch.bench.clock
    fewer = revise(shop, clock, ADA, NUMBER, batch_sheet(2, ("S1", "S2")), "two were enough")
    assert any("2 left the job" in reason for reason in fewer.reasons)
    others = revise(shop, clock, ADA, NUMBER, batch_sheet(5, ("S3", "S4", "S5", "S6", "S7")), "new ones")
    assert any("lacks the serials S1, S2" in reason for reason in others.reasons)
    assert revise(shop, clock, ADA, NUMBER, batch_sheet(6, (*SERIALS, "S6")), "one more").recorded
    assert batch.balance().here == 4


def test_the_child_is_revised_and_made_again_like_any_job(batch: Batch) -> None:
    from traveler.acts.again import compare_with_job, make_again
    from traveler.job.again import Asked

    batch.bench.through_preheat()
    batch.split(CHILD, 2, "S1", "S2")
    again = make_again(batch.bench.shop, CHILD, Asked("A-102"))
    assert "quantity = 2" in again.text
    assert "\nserials" not in again.text
    assert "# serials" in again.text
    assert compare_with_job(batch.bench.shop, CHILD, again.text.encode())["job"] == CHILD
    raw = batch_sheet(2, ("S1", "S2"), CHILD, title="Link tab, a new title")
    assert revise(batch.bench.shop, batch.bench.clock, ADA, CHILD, raw, "the title").recorded
    child = batch.state(CHILD)
    assert child.revision == 2
    assert acceptance_stands(child, child.plan.steps[0])


def test_a_history_that_was_altered_is_found(plain: Batch, tmp_path: Path) -> None:
    plain.bench.through_preheat()
    plain.split(CHILD, 2)
    record = json.loads(export(plain.bench.shop, CHILD, "json"))
    body = json.loads(record["events"][0])
    body["act"]["split_from"]["history"][1]["act"]["value"] = "321"
    from traveler.record.chain import canonical, code, genesis, next_hash

    record["events"][0] = canonical(body)
    link = next_hash(genesis(plain.bench.shop.shop_id, f"job {CHILD}"), record["events"][0])
    record["links"], record["head"] = [link.hex()], code(link)
    (tmp_path / "forged.json").write_text(json.dumps(record))
    faults = verify(tmp_path / "forged.json").faults
    assert any(f"the history of job {NUMBER} gives the code" in fault for fault in faults)


def _probe(batch: Batch) -> str:
    """A contact thermometer, calibrated for a year; its id."""
    shop, clock = batch.bench.shop, batch.bench.clock
    entered = NewInstrument("contact probe", "contact thermometer")
    made = register_instrument(shop, clock, ADA, entered).register.instruments[-1].id
    calibrated(shop, clock, ADA, made, "2026-01-05", "2027-01-05", "C-1")
    return made


def test_an_instrument_found_bad_holds_the_pieces_that_went_on_and_the_answer_frees_them(
    plain: Batch,
) -> None:
    shop, clock, probe = plain.bench.shop, plain.bench.clock, _probe(plain)
    plain.bench.record(10, "preheat temperature", "340 F", place="web", instrument=probe)
    plain.split(CHILD, 2)
    plain.bench.record(10, "preheat temperature", "345 F", place="flange", instrument=probe)
    plain.at(CHILD).record(10, "preheat temperature", "350 F", place="flange", instrument=probe)
    found_out(shop, clock, CLEO, probe, "reads 12 F high")
    held = f"held: readings 1, 2 of {NUMBER} are in question"
    assert held in plain.blocked(CHILD, 10)
    refused = answer_question(plain.signing(CHILD, CLEO), True, "margin enough", [1])
    assert "came along" in refused.reasons[0]
    assert answer_question(plain.signing(by=CLEO), True, "28 F of margin").recorded
    reasons = plain.blocked(CHILD, 10)
    assert not any("held" in reason for reason in reasons)
    assert any(reason.startswith("reading 2 is in question") for reason in reasons)
    assert answer_question(plain.signing(CHILD, CLEO), True, "38 F of margin").recorded
    plain.at(CHILD).perform(10)
    assert plain.at(CHILD).accept(10).recorded


def test_an_answer_that_a_reading_does_not_stand_follows(plain: Batch) -> None:
    shop, clock, probe = plain.bench.shop, plain.bench.clock, _probe(plain)
    plain.bench.record(10, "preheat temperature", "340 F", place="web", instrument=probe)
    plain.bench.record(10, "preheat temperature", "345 F", place="flange", instrument=probe)
    plain.bench.perform(10)
    assert plain.bench.accept(10).recorded
    plain.split(CHILD, 2)
    found_out(shop, clock, CLEO, probe, "reads 60 F high")
    assert answer_question(plain.signing(by=CLEO), False, "the tip was loose").recorded
    for job in (NUMBER, CHILD):
        state = plain.state(job)
        assert not acceptance_stands(state, state.plan.steps[0])
        assert any("does not stand" in reason or "not shown" in reason for reason in plain.blocked(job, 10))


def test_a_job_of_one_piece_says_nothing_of_pieces(tmp_path: Path) -> None:
    for bench in issued_copy(tmp_path / "shop.traveler"):
        told = exported_object(load_job(bench.shop, NUMBER))
        assert not {"pieces", "quantity", "serials"} & told.keys()
        issue = bench.bodies()[0]["act"]
        assert not {"quantity", "serials"} & issue["plan"].keys()


def test_a_shop_whose_jobs_do_not_agree_is_found(plain: Batch) -> None:
    plain.bench.through_preheat()
    plain.split(CHILD, 2)
    parent, child = plain.state(), plain.state(CHILD)

    def found(*states: JobState) -> list[str]:
        said = {state.plan.number: pieces_said(state) for state in states}
        return [entry.sentence for entry in contradictions({job: own for job, own in said.items() if own})]

    assert found(parent, child) == []
    assert "which does not say so" in found(child)[0]
    fewer = replace(parent, batch=replace(parent.batch, gone=(replace(parent.batch.gone[0], pieces=1),)))
    assert "1 piece went to A-101B, which says 2" in found(fewer, child)[0]


def test_a_history_has_the_link_of_the_last_event_that_it_holds(plain: Batch) -> None:
    plain.bench.through_preheat()
    plain.split(CHILD, 2)
    shop = plain.bench.shop
    last = shop.events(f"job {NUMBER}")[-2]
    history = history_of(shop.events(f"job {CHILD}")[0].data["act"], shop.shop_id)
    assert history == (NUMBER, last.seq, last.hash, "")
    assert history_of(shop.events(f"job {NUMBER}")[0].data["act"], shop.shop_id) is None


def test_the_list_of_the_shop_names_each_nonconformance_once(plain: Batch) -> None:
    plain.open_ncr()
    plain.split(CHILD, 2)
    plain.bench.clock.pass_by(1)
    plain.open_ncr(CHILD)
    found = look_at_nonconformances(plain.bench.shop)
    assert [(entry["job"], entry["nonconformance"]) for entry in found] == [(CHILD, 2), (NUMBER, 1)]


def test_nothing_is_split_while_it_is_at_a_vendor_who_has_all_of_it(batch: Batch) -> None:
    last = batch.state().plan.steps[-1].number
    sent = send(batch.signing(by=BRAM), last, NewSending("Alder Plating, invented"))
    assert sent.state.sendings[-1].pieces == 5
    refused = batch.split(CHILD, 2, "S1", "S4")
    assert not refused.recorded
    assert f"step {last} is at Alder Plating, invented: receive it first" in refused.reasons[0]
    assert receive(batch.signing(by=BRAM), last, NewReceipt("clean", "legible")).recorded
    assert batch.split(CHILD, 2, "S1", "S4").recorded
    assert [len(batch.state(job).sendings[-1].receipts) for job in (NUMBER, CHILD)] == [1, 1]


PAPERS = '{ vendor = "Alder Heat", returns = ["hardness report"] }'


@pytest.fixture
def at_alder(tmp_path: Path) -> Iterator[Batch]:
    """Five pieces of which the sheet gives the hydrogen release to a vendor."""
    raw = batch_sheet(5).replace(b"number = 30\n", f"number = 30\noutside = {PAPERS}\n".encode())
    for bench in issued_copy(tmp_path / "shop.traveler", raw):
        yield Batch(bench)


def _back(batch: Batch, pieces: int | None = None) -> None:
    receive(batch.signing(), 30, NewReceipt("clean", "legible", pieces=pieces))


def _reviewed(batch: Batch, number: int) -> None:
    paper = f"invented report {number}".encode()
    attach(
        batch.bench.shop, batch.bench.clock, BRAM, NUMBER, 30, f"report {number}.txt", paper, "certificate"
    )
    assert review(batch.signing(by=CLEO), 30, NewReview(True, "report against the order")).recorded


def test_pieces_that_are_still_at_a_vendor_are_not_counted_back_in_two_jobs(at_alder: Batch) -> None:
    assert send(at_alder.signing(), 30, NewSending()).recorded
    _back(at_alder, 3)
    partly = "step 30 is partly at Alder Heat, 3 of 5 pieces are back from Alder Heat"
    assert at_alder.split(CHILD, 2).reasons[0].startswith(partly)
    _back(at_alder)
    assert at_alder.split(CHILD, 2).recorded


def test_pieces_that_a_vendor_lost_hold_no_split_once_that_is_settled(at_alder: Batch) -> None:
    assert send(at_alder.signing(), 30, NewSending()).recorded
    _back(at_alder, 4)
    assert at_alder.open_ncr(step=30, quantity="outside work").recorded
    at_alder.conceded()
    assert at_alder.split(CHILD, 2).recorded


def test_all_pieces_go_where_the_sheet_gives_the_step(at_alder: Batch) -> None:
    assert send(at_alder.signing(), 30, NewSending(pieces=2)).recorded
    _back(at_alder)
    _reviewed(at_alder, 1)
    few = "2 of 5 pieces went to Alder Heat"
    assert at_alder.blocked(NUMBER, 30)[0].startswith(f"{few}, and the sheet gives all of them there")
    assert at_alder.split(CHILD, 3).reasons[0].startswith(f"step 30: {few}")
    assert f"step 30: {few}" in list(exceptions(at_alder.state()))
    assert send(at_alder.signing(), 30, NewSending(pieces=3)).recorded
    _back(at_alder)
    _reviewed(at_alder, 2)
    assert not any("pieces went" in reason for reason in at_alder.blocked(NUMBER, 30))
    assert at_alder.split(CHILD, 3).recorded


def test_no_more_pieces_are_sent_than_there_are(at_alder: Batch) -> None:
    at_alder.scrap(1)
    with pytest.raises(BadInput, match="5 pieces are not there to be sent; the job has 4"):
        send(at_alder.signing(), 30, NewSending(pieces=5))
    assert at_alder.state().sendings == ()


@pytest.mark.parametrize("ended_first", [True, False])
def test_a_question_on_a_cancelled_job_is_answered_and_frees_what_it_holds(
    plain: Batch, ended_first: bool
) -> None:
    shop, clock, probe = plain.bench.shop, plain.bench.clock, _probe(plain)
    plain.bench.record(10, "preheat temperature", "340 F", place="web", instrument=probe)
    plain.split(CHILD, 2)
    if ended_first:
        assert plain.cancel().recorded
    found_out(shop, clock, CLEO, probe, "reads 12 F high")
    if not ended_first:
        assert plain.cancel().recorded
    held = f"held: reading 1 of {NUMBER} is in question"
    assert held in plain.blocked(CHILD, 10)
    assert answer_question(plain.signing(by=CLEO), True, "28 F of margin").recorded
    assert not any("held" in reason or "in question" in reason for reason in plain.blocked(CHILD, 10))
    assert verify(shop.path).faults == ()


@pytest.mark.parametrize("number", ["a-101", "\uff21-101", "A-10\uff11"])
def test_no_second_job_reads_on_paper_as_the_first(plain: Batch, number: str) -> None:
    said = f'job "{NUMBER}" is in this shop already; give the sheet another number'
    with pytest.raises(TravelerError, match=said):
        plain.split(number, 2)
    with pytest.raises(TravelerError, match=said):
        plain.issue(number)
    assert plain.bench.shop.job_numbers() == [NUMBER]


def test_a_revision_adds_no_piece_to_what_is_signed(batch: Batch) -> None:
    """A piece that was never welded would be accepted with the others."""
    shop, clock = batch.bench.shop, batch.bench.clock
    batch.bench.through_preheat()
    batch.split(CHILD, 2, "S1", "S2")
    more = revise(shop, clock, ADA, NUMBER, batch_sheet(6, (*SERIALS, "S6")), "one more")
    assert more.reasons == ("step 10 is signed for 5 pieces: others are a job of their own",)
    more = revise(shop, clock, ADA, CHILD, batch_sheet(3, ("S1", "S2", "S6"), CHILD), "one more")
    assert more.reasons == ("step 10 is signed for 2 pieces: others are a job of their own",)
    fewer = revise(shop, clock, ADA, NUMBER, batch_sheet(4, SERIALS[:4]), "one was never cut")
    assert fewer.recorded
    assert batch.balance().here == 2
    said = "revision 3 has the serials S9 where S4 stood"
    assert said not in list(exceptions(batch.state()))
    others = batch_sheet(4, ("S1", "S2", "S3", "S9"))
    assert revise(shop, clock, ADA, NUMBER, others, "read wrongly").recorded
    assert said in list(exceptions(batch.state()))


def _given_up(batch: Batch, pieces: int | None) -> None:
    assert ncr.propose(batch.signing(), 1, "scrap", "the bad one", pieces=pieces).recorded
    assert ncr.decide_disposition(batch.signing(by=CLEO), 1, True).recorded
    assert ncr.close_nonconformance(batch.signing(by=CLEO), 1).recorded


def test_a_piece_that_came_back_bad_is_given_up_and_the_others_go_on(at_alder: Batch) -> None:
    assert send(at_alder.signing(), 30, NewSending()).recorded
    receive(at_alder.signing(), 30, NewReceipt("one is bent", "legible", damage="bent"))
    bent = "damaged when it came back from Alder Heat: bent"
    at_alder.open_ncr(step=30, quantity="outside work")
    assert any(reason.startswith(bent) for reason in at_alder.blocked(NUMBER, 30))
    _given_up(at_alder, 1)
    blocked = at_alder.blocked(NUMBER, 30)
    assert not any(reason.startswith(bent) for reason in blocked)
    assert "certificate of Alder Heat not reviewed" in blocked
    assert f"step 30: {bent}; settled by nonconformance 1" in list(exceptions(at_alder.state()))


def test_a_certificate_that_was_refused_is_not_settled_by_giving_a_piece_up(at_alder: Batch) -> None:
    assert send(at_alder.signing(), 30, NewSending()).recorded
    _back(at_alder)
    refusal = NewReview(False, "report against the order", because="another heat number")
    assert review(at_alder.signing(by=CLEO), 30, refusal).recorded
    at_alder.open_ncr(step=30, quantity="outside work")
    _given_up(at_alder, 1)
    assert any("certificate of Alder Heat not accepted" in reason for reason in at_alder.blocked(NUMBER, 30))


def test_what_became_of_the_parent_is_said_of_the_child(plain: Batch) -> None:
    plain.split(CHILD, 2)
    plain.open_ncr()
    _given_up(plain, None)
    assert f"job {NUMBER} is scrapped since" in list(exceptions(plain.state(CHILD)))


def test_who_reworked_the_childs_pieces_and_looks_at_it_in_the_parent_is_said(plain: Batch) -> None:
    walt = Person("Walt Rio")  # invented
    plain.bench.through_preheat()
    plain.bench.run_of_weld()
    plain.bench.perform(20)
    plain.open_ncr()
    plain.split(CHILD, 2)
    assert ncr.propose(plain.signing(), 1, "rework", "grind out and weld again").recorded
    assert ncr.decide_disposition(plain.signing(by=CLEO), 1, True).recorded
    for job, welder in ((NUMBER, BRAM), (CHILD, walt)):
        plain.at(job).record(20, "arc energy", "1.0 kJ/mm", by=welder)
        assert plain.at(job).perform(20, by=welder, runs=1).recorded
    assert ncr.reverify(plain.signing(by=walt), 1, "the root, by eye", True).recorded
    own = "nonconformance 1 was re-verified by Walt Rio about their own work: Walt Rio performed this step"
    assert own in list(exceptions(plain.state(CHILD)))
    assert not any("own work" in said for said in exceptions(plain.state()))
    assert ncr.close_nonconformance(plain.signing(by=CLEO), 1).recorded
    assert not any("closed by Cleo Nakamura about" in said for said in exceptions(plain.state(CHILD)))
    assert verify(plain.bench.shop.path).faults == ()
