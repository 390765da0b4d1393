"""The dossier and the shop paper of real jobs: the demo shop, whose jobs are invented, and one bench."""

import hashlib
import io
import json
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pypdf
import pytest
import square_codes
from acts_kit import ADA, BRAM, Bench, HandClock
from shop_copies import copied

from traveler.acts.look import export, look
from traveler.acts.lots import NewLot, receive_lot
from traveler.acts.packet import packet
from traveler.acts.paper import Wanted, shop_paper
from traveler.acts.readings import attach
from traveler.acts.verify import verify
from traveler.demo.build import build_demo
from traveler.errors import BadInput, TravelerError
from traveler.record.shop import Shop
from traveler.report.packet import unpacked
from traveler.report.requirement_words import limit_words

NOW = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


def build_shop(path: Path) -> None:
    folder = path.parent / "demo-of-paper"
    folder.mkdir(parents=True)
    build_demo(folder, HandClock(NOW))[0].rename(path)


@pytest.fixture
def demo(tmp_path: Path) -> Iterator[Shop]:
    copied(tmp_path / "shop.traveler", build_shop)
    with Shop.open(tmp_path / "shop.traveler", read_only=True) as shop:
        yield shop


def pages(raw: bytes) -> list[str]:
    return [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(raw)).pages]


def squeezed(raw: bytes) -> str:
    return "".join("".join(pages(raw)).split())


def told(shop: Shop, job: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(export(shop, job, "json"))["traveler"]
    return found


@pytest.mark.slow
@pytest.mark.parametrize("job", ["DEMO-1", "DEMO-6"])
def test_the_dossier_carries_the_record_and_it_verifies(demo: Shop, job: str, tmp_path: Path) -> None:
    raw = export(demo, job, "pdf", "a4")
    assert export(demo, job, "pdf", "a4") == raw
    attached = pypdf.PdfReader(io.BytesIO(raw)).attachments
    record = attached["traveler.json"][0]
    assert record == export(demo, job, "json")
    (tmp_path / "traveler.json").write_bytes(record)
    assert verify(tmp_path / "traveler.json").faults == ()
    assert hashlib.sha256(record).hexdigest() in squeezed(raw)
    digests = {hashlib.sha256(contents[0]).hexdigest() for contents in attached.values()}
    assert {entry["sha256"] for entry in told(demo, job)["attachments"]} <= digests


@pytest.mark.slow
def test_the_dossier_says_what_the_record_says_on_both_papers(demo: Shop) -> None:
    a4, letter = (export(demo, "DEMO-1", "pdf", paper) for paper in ("a4", "letter"))
    assert pages(a4) == pages(letter)
    printed = squeezed(a4)
    traveler = told(demo, "DEMO-1")
    for material in traveler["materials"]:
        assert f"heat{material['heat number']};readonthemetal:{material['heat number']}" in printed
    for row in ("1NellFettle(demo)DEMO-L31", "2NellFettle(demo)DEMO-L31"):
        assert row in printed
    # 1.381 in at the fit, 1.384 in at the inspection.
    assert "+0.003in(0.1mm)" in printed
    for words in traveler["cautions"]:
        assert "".join(words.split()) in printed


def test_a_file_too_large_for_the_pdf_is_listed(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("traveler.acts.kept_files.MOST_BYTES", 10)
    attach(bench.shop, bench.clock, BRAM, bench.number, 10, "large.txt", b"invented, too long", "photo")
    attach(bench.shop, bench.clock, BRAM, bench.number, 10, "small.txt", b"invented", "photo")
    raw = export(bench.shop, bench.number, "pdf", "a4")
    assert set(pypdf.PdfReader(io.BytesIO(raw)).attachments) == {"traveler.json", "1-small.txt"}
    assert "notinthisPDF;apacketofthejobhasit" in squeezed(raw)


def test_the_certificate_of_a_lot_that_a_reading_names_goes_along(bench: Bench, tmp_path: Path) -> None:
    entered = NewLot("filler", "ER70S-2", "R-5", certificate="3.1")
    receive_lot(bench.shop, bench.clock, ADA, entered, ("rod.pdf", b"invented certificate"))
    bench.record(20, "filler lot", "R-5")
    raw = export(bench.shop, bench.number, "pdf", "a4")
    attached = pypdf.PdfReader(io.BytesIO(raw)).attachments
    assert attached["1-certificate of lot L1"] == [b"invented certificate"]
    printed = squeezed(raw)
    assert "certificateoflotL1:inthisPDFas1-certificateoflotL1" in printed
    digest = hashlib.sha256(b"invented certificate").hexdigest()
    assert digest in printed
    sent = packet(bench.shop, bench.number, sheets=False).content
    assert unpacked(sent)[f"attachments/{digest}/certificate of lot L1"] == b"invented certificate"
    (tmp_path / "sent.zip").write_bytes(sent)
    assert verify(tmp_path / "sent.zip").faults == ()


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_blank_traveler_asks_for_all_that_its_job_asks_for(demo: Shop, paper: Any) -> None:
    raw = shop_paper(demo, HandClock(), "DEMO-6", Wanted("blank", paper))
    assert shop_paper(demo, HandClock(NOW), "DEMO-6", Wanted("blank", paper)) == raw
    printed = squeezed(raw)
    traveler = told(demo, "DEMO-6")
    for step in traveler["steps"]:
        for asked in step["requirements"]:
            for words in (asked["quantity"], limit_words(asked)):
                assert "".join(words.split()) in printed
    assert "Steps30,40,50,60:Steelat300°C(570°F)lookscold" in printed
    for number, text in enumerate(pages(raw), 1):
        assert "Blank traveler DEMO-6, revision 1" in text
        assert "typed in later as late entries" in text
        assert traveler["head"] in text
        assert f"sheet {number} of {len(pages(raw))}" in text


def test_a_blank_traveler_of_one_step_has_a_line_for_each_reading(bench: Bench) -> None:
    raw = shop_paper(bench.shop, bench.clock, bench.number, Wanted("blank", "a4", (10,)))
    (text,) = pages(raw)
    assert "preheat temperature" in text
    assert "interpass temperature" not in text
    assert "at least 300 °F (148.9 °C)" in " ".join(text.split())
    with pytest.raises(BadInput, match="--step 15: job A-101 has the steps 10, 20, 30, 40"):
        shop_paper(bench.shop, bench.clock, bench.number, Wanted("blank", "a4", (15,)))


def test_what_was_written_on_it_prints_as_a_late_entry_with_both_times(bench: Bench) -> None:
    bench.record(10, "preheat temperature", "312 F", place="plate", at="2026-03-02T05:00+01:00")
    (entry,) = look(bench.shop, bench.clock, bench.number)["steps"][0]["requirements"][0]["readings"]
    assert entry["late"]
    printed = squeezed(export(bench.shop, bench.number, "pdf", "a4"))
    assert "2026-03-0205:00:00+01:00(written07:00:00)" in printed
    assert "lateentry" in printed
    assert "step10,reading1isalateentry" in printed


def test_a_tag_has_blanks_or_what_was_measured(bench: Bench) -> None:
    blank = squeezed(shop_paper(bench.shop, bench.clock, bench.number, Wanted("tag", "a4")))
    assert "HOTMETALLOOKSCOLD" in blank
    assert "JobA-101" in blank
    assert "°F(" not in blank.replace("300°C(570°F)", "")
    filled = Wanted("tag", "a4", temperature="450 F", time="2026-03-02T06:40+01:00")
    said = squeezed(shop_paper(bench.shop, bench.clock, bench.number, filled))
    assert "450°F(232.2°C)" in said
    assert "2026-03-0206:40:00+01:00" in said


@pytest.mark.parametrize(
    ("temperature", "time", "said"),
    [("450", None, "--temperature: 450"), ("-500 C", None, "--temperature"), ("450 F", "noon", "noon")],
)
def test_a_tag_refuses_what_is_no_temperature_or_time(
    bench: Bench, temperature: str, time: str | None, said: str
) -> None:
    with pytest.raises(BadInput, match=said):
        shop_paper(
            bench.shop, bench.clock, bench.number, Wanted("tag", "a4", temperature=temperature, time=time)
        )


def test_a_label_has_part_job_and_code(bench: Bench, tmp_path: Path) -> None:
    raw = shop_paper(bench.shop, bench.clock, bench.number, Wanted("label", "letter"))
    head = told(bench.shop, bench.number)["head"]
    printed = squeezed(raw)
    for words in ("Part:", "JobA-101,revision1", "SERIAL", head, "1event"):
        assert words in printed
    if square_codes.RASTER:
        assert square_codes.read_sheet(raw, 1, tmp_path) == f"{head}, 1 event"
    assert b"<pdfaid:part>3</pdfaid:part>" in raw


@pytest.mark.parametrize("kind", ["blank", "tag", "label"])
def test_shop_paper_writes_no_event_and_needs_its_job(bench: Bench, kind: Any) -> None:
    before = bench.bodies()
    shop_paper(bench.shop, bench.clock, bench.number, Wanted(kind))
    assert bench.bodies() == before
    with pytest.raises(TravelerError, match="no job"):
        shop_paper(bench.shop, bench.clock, "H-999", Wanted(kind))
