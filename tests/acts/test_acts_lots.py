"""Lots: what a job keeps of the metal and the filler in it, and where a heat went. All numbers are invented."""

import hashlib
from collections.abc import Iterator
from pathlib import Path

import pytest
from acts_kit import ADA, BRAM, sheet
from deciding_kit import EVA, NUMBER, OTHER, Deciding, deciding, deciding_copy, other_job

from traveler.acts.issue import revise
from traveler.acts.lots import NewLot, open_electrodes, receive_lot
from traveler.acts.nonconformance import (
    close_nonconformance,
    decide_disposition,
    open_nonconformance,
    propose,
)
from traveler.acts.readings import NewReading, record_reading, supersede
from traveler.acts.register import Entered
from traveler.acts.where import where_object, where_used
from traveler.errors import BadInput
from traveler.record.verify import verify_shop

ROUTE = ((5, "fit"), (10, "preheat"), (20, "weld"), (30, "hydrogen release"), (40, "inspect"))
HEAT, FILLER = "heat number of tab", "filler lot"
RAW = sheet(route=ROUTE)


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Deciding]:
    yield from deciding_copy(tmp_path / "shop.traveler", RAW, other_job(RAW))


def receive(bench: Deciding, what: str = "material", name: str | None = "4130", **more: str) -> Entered:
    return receive_lot(bench.shop, bench.clock, ADA, NewLot(what, name, **more))


def electrodes(bench: Deciding, **more: str) -> Entered:
    return receive(bench, "filler", "E7018", heat="B-77", **more)


def told(bench: Deciding) -> str:
    return "\n".join(bench.seen()["exceptions"])


def test_a_certificate_is_kept_by_its_digest(bench: Deciding) -> None:
    content = b"%PDF invented certificate"
    entered = NewLot("material", "4130", "Q4471", "3.1", "Bar & Tube", "certificate")
    outcome = receive_lot(bench.shop, bench.clock, ADA, entered, ("Q4471.pdf", content))
    (lot,) = outcome.register.lots
    digest = hashlib.sha256(content).hexdigest()
    assert lot.file == {"sha256": digest, "size": len(content), "name": "Q4471.pdf"}
    assert bench.shop.attachment(digest) == content
    assert (outcome.message, outcome.reasons) == ("lot L1: 4130, heat Q4471 is received", ())
    assert verify_shop(bench.shop.path).faults == ()


def test_a_heat_number_keeps_its_lot_as_it_stood(bench: Deciding) -> None:
    receive(bench, heat="q 4471", certificate="3.1", verified_by="certificate")
    receive(bench, heat="Q4471", certificate="3.1", verified_by="certificate")
    outcome = bench.record(5, HEAT, "Q4471")
    assert outcome.state.readings[-1].lot == {
        "lot": "L2", "what": "material", "name": "4130", "heat": "Q4471", "certificate": "3.1", "sha256": None,
        "supplier": None, "verified_by": "certificate", "remnant_of": None, "others": [], "opening": None,
    }  # fmt: skip
    assert bench.seen()["lots"][0]["readings"] == [1]
    assert "lot L2" not in told(bench)
    # What comes in later takes nothing from it.
    receive(bench, heat="Q4471", certificate="2.1")
    assert bench.seen()["lots"][0]["lot"] == "L2"
    corrected = supersede(bench.shop, bench.clock, BRAM, NUMBER, 1, "Q 4471", "as it is marked")
    assert corrected.state.readings[-1].lot["lot"] == "L1"


@pytest.mark.parametrize(
    ("entered", "said"),
    [
        ({"certificate": "3.1", "verified_by": "spark"},
         "the grade of lot L1 was verified by spark only: the sheet takes a reported composition all the same"),
        ({"certificate": "3.1"}, "the grade of lot L1 was verified by nobody"),
        ({"certificate": "2.1", "verified_by": "certificate"},
         "was verified by a certificate 2.1, which reports nothing of its heat"),
        ({"certificate": "2.2", "verified_by": "analysis"}, "the sheet says certificate 3.1, 2.2 came with lot L1"),
        ({"verified_by": "owner's word"}, "was verified by owner's word only"),
        ({"verified_by": "analysis"}, "the sheet says certificate 3.1, none is on record for lot L1"),
    ],
)  # fmt: skip
def test_a_grade_that_nobody_knows_for_sure_prints(
    bench: Deciding, entered: dict[str, str], said: str
) -> None:
    outcome = receive(bench, heat="Q4471", **entered)
    recorded = bench.record(5, HEAT, "Q4471")
    assert recorded.message == f"reading 1 recorded {HEAT} Q4471: complies"
    assert f"step 5, {HEAT} Q4471: " in told(bench)
    assert said in told(bench)
    doubted = "analysis" not in entered.values()
    assert ("worst composition of the grade" in "".join(outcome.reasons)) is doubted


def test_without_a_composition_on_the_sheet_the_limits_are_for_the_worst(tmp_path: Path) -> None:
    raw = b"\n".join(
        line for line in RAW.split(b"\n") if not line.startswith((b"composition", b"certificate"))
    )
    for bench in deciding(tmp_path / "shop.traveler", raw):
        receive(bench, heat="Q4471", certificate="none", verified_by="spark")
        bench.record(5, HEAT, "Q4471")
        assert "was verified by spark only: limits are for the worst composition of the grade" in told(bench)
        assert "material tab: C 0.33" in told(bench)  # and so the plan says: assumed, grade maximum


def test_another_grade_than_the_sheets_prints(bench: Deciding) -> None:
    receive(bench, "material", "1020", heat="Q4471", certificate="3.1", verified_by="certificate")
    bench.record(5, HEAT, "Q4471")
    assert "lot L1 is 1020, the sheet says 4130" in told(bench)
    receive(bench, "filler", "ER80S-D2", heat="lot 7")
    bench.record(20, FILLER, "lot 7")
    assert "lot L2 is ER80S-D2, the sheet says ER70S-2" in told(bench)


def test_electrodes_that_were_out_too_long_print_with_the_runs_laid_with_them(bench: Deciding) -> None:
    electrodes(bench)
    # Opened at six with four hours; the runs are laid at seven and at eleven.
    opened = open_electrodes(
        bench.shop, bench.clock, ADA, "B-77", at="2026-03-02T06:00:00+01:00", allowed="4 h"
    )
    assert opened.message == "lot L1 E7018 was opened at 2026-03-02T06:00:00+01:00; it may be out for 4 h"
    bench.record(20, FILLER, "B-77")
    bench.run_of_weld()
    assert "laid more than" not in told(bench)
    bench.clock.pass_by(4 * 60)
    bench.run_of_weld()
    assert "run 2 laid more than 4 h after lot L1 was opened (2026-03-02T06:00:00+01:00)" in told(bench)
    open_electrodes(bench.shop, bench.clock, ADA, "L1", rebaked=True, allowed="90 min")
    bench.record(20, FILLER, "B-77")
    bench.run_of_weld()
    assert bench.state().readings[-3].lot["opening"] == {
        "at": "2026-03-02T11:00:00+01:00", "rebaked": True, "hours_allowed": "1.5",
    }  # fmt: skip
    assert "run 3" not in told(bench)


def test_a_second_rebake_is_entered_and_said_to_be_one_too_many(bench: Deciding) -> None:
    electrodes(bench)
    assert open_electrodes(bench.shop, bench.clock, ADA, "L1", rebaked=True).complies
    outcome = open_electrodes(bench.shop, bench.clock, ADA, "L1", rebaked=True)
    assert (outcome.recorded, outcome.complies) == (True, False)
    assert "it was rebaked 2 times, and once is allowed (AWS D1.1" in outcome.reasons[0]


def test_a_remnant_is_what_it_was_cut_from(bench: Deciding) -> None:
    receive(bench, heat="Q4471", certificate="3.1", verified_by="certificate", supplier="Bar & Tube")
    outcome = receive(bench, name=None, remnant_of="Q4471")
    lot = outcome.register.lots[-1]
    assert (lot.id, lot.name, lot.heat, lot.certificate, lot.supplier, lot.verified_by, lot.remnant_of) == (
        "L2", "4130", "Q4471", "3.1", "Bar & Tube", "certificate", "L1",
    )  # fmt: skip
    with pytest.raises(BadInput, match="lot L1 is grade 4130; a remnant of it is not grade 1020"):
        receive(bench, name="1020", remnant_of="L1")
    with pytest.raises(BadInput, match="lot L1 is heat Q4471; a remnant of it is not heat Q4472"):
        receive(bench, heat="Q4472", remnant_of="L1")
    with pytest.raises(BadInput, match="lot L1 is material; a remnant of it is no filler"):
        receive(bench, "filler", remnant_of="L1")
    with pytest.raises(BadInput, match='there is no lot "L9"'):
        receive(bench, remnant_of="L9")


def test_where_a_heat_went_is_found_over_all_jobs(bench: Deciding) -> None:
    receive(bench, heat="Q4471", certificate="3.1", verified_by="certificate")
    receive(bench, name=None, remnant_of="L1")
    bench.record(5, HEAT, "Q4471")
    record_reading(bench.shop, bench.clock, BRAM, OTHER, NewReading(5, HEAT, "no mark left"))
    found = where_object(where_used(bench.shop, "q4471"))
    assert [lot["lot"] for lot in found["lots"]] == ["L1", "L2"]
    first, second = found["jobs"]
    assert (first["job"], second["job"]) == (NUMBER, OTHER)
    assert first["planned"] == [
        {"what": "material", "id": "tab", "name": "4130", "joints": ["J1"], "steps": [5, 10, 20, 30, 40],
         "revision": 1}
    ]  # fmt: skip
    assert [(r["step"], r["reading"], r["value"], r["lot"]) for r in first["recorded"]] == [
        (5, 1, "Q4471", "L2")
    ]
    assert second["recorded"] == []


def test_where_a_filler_lot_went_is_told_run_by_run(bench: Deciding) -> None:
    electrodes(bench)
    bench.record(20, FILLER, "B-77")
    bench.run_of_weld()
    bench.run_of_weld()
    bench.record(20, FILLER, "B-78")
    bench.run_of_weld()
    record_reading(bench.shop, bench.clock, BRAM, OTHER, NewReading(20, FILLER, "b-77"))
    first, second = where_object(where_used(bench.shop, "B-77"))["jobs"]
    assert [(r["joint"], r["runs"]) for r in first["recorded"]] == [("J1", [1, 2])]
    assert [(r["joint"], r["runs"]) for r in second["recorded"]] == [("J1", [])]
    (other,) = where_object(where_used(bench.shop, "B-78"))["jobs"]
    assert [(r["runs"], r["lot"]) for r in other["recorded"]] == [([3], None)]


def test_a_lot_by_its_id_leaves_out_what_is_known_to_be_of_another(bench: Deciding) -> None:
    receive(bench, heat="Q4471", certificate="3.1")
    bench.record(5, HEAT, "Q4471")
    receive(bench, heat="Q4471", certificate="3.1")
    record_reading(bench.shop, bench.clock, BRAM, OTHER, NewReading(5, HEAT, "Q4471"))
    jobs = where_object(where_used(bench.shop, "L2"))["jobs"]
    assert [(job["job"], len(job["recorded"])) for job in jobs] == [(NUMBER, 0), (OTHER, 1)]


def test_what_a_sheet_said_once_is_found_and_said_to_be_over(bench: Deciding) -> None:
    revise(bench.shop, bench.clock, ADA, NUMBER, RAW.replace(b"Q4471", b"Q4999"), "another plate")
    (job, _) = where_object(where_used(bench.shop, "Q4471"))["jobs"]
    assert (job["job"], job["revision"], job["planned"][0]["revision"]) == (NUMBER, 2, 1)


def test_a_reading_taken_back_is_found_too_and_marked(bench: Deciding) -> None:
    bench.record(20, FILLER, "B-99")
    supersede(bench.shop, bench.clock, BRAM, NUMBER, 1, None, "another package")
    (job,) = where_object(where_used(bench.shop, "B-99"))["jobs"]
    assert job["recorded"][0]["superseded"]


@pytest.mark.parametrize("text", ["Q\u200b4471", "\uff31\uff14\uff14\uff17\uff11", "  q4471 "])
def test_it_is_found_however_it_was_typed(tmp_path: Path, text: str) -> None:
    for bench in deciding(tmp_path / "shop.traveler", RAW.replace(b"Q4471", b"Q4999")):
        bench.record(5, HEAT, text)
        for asked in ("Q4471", text):
            (job,) = where_object(where_used(bench.shop, asked))["jobs"]
            assert [r["value"] for r in job["recorded"]] == [text.strip()]


def test_what_is_nowhere_is_in_no_job(bench: Deciding) -> None:
    assert where_used(bench.shop, "Z-1").jobs == ()
    with pytest.raises(BadInput, match="what to look for is missing"):
        where_used(bench.shop, " ")


@pytest.mark.parametrize(
    ("entered", "said"),
    [
        (NewLot("gas", "argon"), '"gas" is no kind of lot'),
        (NewLot("material"), "the grade of the lot is missing"),
        (NewLot("filler"), "the classification of the lot is missing"),
        (NewLot("material", "4130", certificate="3.1B"), '"3.1B" is no type of EN 10204'),
        (NewLot("material", "4130", verified_by="file"), "expected one of: certificate, analysis, spark"),
        (NewLot("material", "4130", certificate="none", verified_by="certificate"), "where there is none"),
    ],
)
def test_what_cannot_be_received_says_so(bench: Deciding, entered: NewLot, said: str) -> None:
    with pytest.raises(BadInput, match=said):
        receive_lot(bench.shop, bench.clock, ADA, entered)
    assert len(bench.shop.events("shop")) == 1


def test_only_filler_is_opened_and_not_in_the_future(bench: Deciding) -> None:
    receive(bench, heat="Q4471")
    electrodes(bench)
    with pytest.raises(BadInput, match="lot L1 is 4130, no filler"):
        open_electrodes(bench.shop, bench.clock, ADA, "Q4471")
    with pytest.raises(BadInput, match="is still to come"):
        open_electrodes(bench.shop, bench.clock, ADA, "L2", at="2026-03-02T08:00:00+01:00")
    with pytest.raises(BadInput, match="is no time that something may be out"):
        open_electrodes(bench.shop, bench.clock, ADA, "L2", allowed="0 h")


def conceded(bench: Deciding, step: int, quantity: str) -> None:
    opened = open_nonconformance(bench.signing(BRAM), step, "as the record says", quantity)
    number = opened.state.nonconformances[-1].number
    propose(bench.signing(ADA), number, "use as is", "calculated for what it is")
    decide_disposition(bench.signing(EVA), number, True)
    assert close_nonconformance(bench.signing(EVA), number).recorded


@pytest.mark.parametrize(
    ("name", "entered", "said"),
    [
        ("1020", {"certificate": "3.1", "verified_by": "certificate"}, "lot L1 is 1020, the sheet says 4130"),
        ("4130", {"certificate": "3.1", "verified_by": "spark"},
         "the grade of lot L1 was verified by spark only: the sheet takes a reported composition all the same"),
    ],
)  # fmt: skip
def test_metal_that_the_limits_are_not_for_is_accepted_by_a_disposition_only(
    bench: Deciding, name: str, entered: dict[str, str], said: str
) -> None:
    receive(bench, "material", name, heat="Q4471", **entered)
    bench.record(5, HEAT, "Q4471")
    assert f"reading 1, {HEAT}: {said}; that takes a nonconformance" in bench.blocked(5)
    conceded(bench, 5, HEAT)
    assert said not in " ".join(bench.blocked(5))
    assert said in told(bench)


def test_metal_of_which_the_worst_is_assumed_needs_nobody(tmp_path: Path) -> None:
    raw = b"\n".join(
        line for line in RAW.split(b"\n") if not line.startswith((b"composition", b"certificate"))
    )
    for bench in deciding(tmp_path / "shop.traveler", raw):
        receive(bench, heat="Q4471", certificate="none", verified_by="spark")
        bench.record(5, HEAT, "Q4471")
        assert "nonconformance" not in " ".join(bench.blocked(5))


def test_runs_with_electrodes_that_were_out_too_long_are_accepted_by_a_disposition_only(
    bench: Deciding,
) -> None:
    receive(bench, "filler", "ER70S-2", heat="B-77")
    open_electrodes(bench.shop, bench.clock, ADA, "L1", at="2026-03-02T02:00:00+01:00", allowed="4 h")
    bench.record(20, FILLER, "B-77")
    bench.run_of_weld()
    late = "run 1 laid more than 4 h after lot L1 was opened"
    assert late in " ".join(bench.blocked(20))
    conceded(bench, 20, FILLER)
    assert late not in " ".join(bench.blocked(20))
    # What is laid after that was decided is not covered by it.
    bench.run_of_weld()
    assert "run 2 laid more than 4 h after" in " ".join(bench.blocked(20))


def test_electrodes_rebaked_twice_are_said_in_the_job_and_block(bench: Deciding) -> None:
    receive(bench, "filler", "ER70S-2", heat="B-77")
    for _ in range(2):
        open_electrodes(bench.shop, bench.clock, ADA, "L1", rebaked=True, allowed="4 h")
    bench.record(20, FILLER, "B-77")
    assert "rebaked" not in " ".join(bench.blocked(20))
    bench.run_of_weld()
    said = "run 1 laid with lot L1, rebaked 2 times, and once is allowed (AWS D1.1"
    assert said in told(bench)
    assert said in " ".join(bench.blocked(20))
