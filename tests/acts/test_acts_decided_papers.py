"""What the papers of a job say of people, instruments, lots, points, nonconformances and questions.

Everything is invented. The PDF is read back by another library; its words are compared without regard to lines.
"""

import io
import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from acts_kit import ADA, BRAM, CLEO, sheet
from deciding_kit import CARL, EVA, NUMBER, Deciding, deciding, deciding_copy, with_points
from people_kit import CHEAP, People
from pypdf import PdfReader

from traveler.acts.instruments import found_out
from traveler.acts.look import export
from traveler.acts.lots import NewLot, receive_lot
from traveler.acts.nonconformance import (
    close_nonconformance,
    decide_disposition,
    open_nonconformance,
    propose,
)
from traveler.acts.points import release, waive
from traveler.acts.settling import answer_question, set_not_applicable
from traveler.acts.verify import verify
from traveler.record import secrets
from traveler.record.shop import Shop

PREHEAT = "preheat temperature"
NASTY = "Łukasz Ő #panic() *bold* ẞ"


@pytest.fixture
def decided(tmp_path: Path) -> Iterator[Deciding]:
    """A job in which something of each kind was decided."""
    raw = with_points(sheet(), 10, 'hold = ["customer", "owner"]')
    for bench in deciding_copy(tmp_path / "shop.traveler", raw):
        probe = bench.probe(uncertainty="3 F")
        receive_lot(bench.shop, bench.clock, ADA, NewLot("filler", "ER70S-2", "R-5"))
        bench.read_preheat(probe, "285 F", "302 F", "320 F")
        open_nonconformance(bench.signing(BRAM), 10, NASTY, PREHEAT)
        propose(bench.signing(ADA), 1, "use as is", "one place")
        decide_disposition(bench.signing(EVA), 1, True, "calculated")
        close_nonconformance(bench.signing(CLEO), 1)
        bench.record(20, "filler lot", "R-5")
        set_not_applicable(bench.signing(EVA), 40, "crack test", None, "no load on it")
        found_out(bench.shop, bench.clock, ADA, probe, "reads 9 F high")
        answer_question(bench.signing(CLEO), True, "11 F left", [3])
        release(bench.signing(CARL), 10, 1)
        waive(bench.signing(EVA), 10, 2, "seen on photos")
        yield bench


SAID = (
    "Hold 1 (customer)",
    "released by Carl Kunde, 2026-03-02 07:00:00 +01:00: I looked at what this step holds",
    "because seen on photos",
    "Nonconformance 1, step 10, preheat temperature, reading 1: closed, use as is",
    f"Found: {NASTY}; Bram Ortega",
    "Proposed: use as is, one place; Ada Lund",
    "Approved: I approve to use it as is, because calculated; Eva Lindqvist",
    "Closed: what was approved is done; Cleo Nakamura",
    "Readings 1, 2, 3: I1 was found out of tolerance, reads 9 F high",
    "Answered for reading 3: to stand, 11 F left; Cleo Nakamura",
    "Not answered yet: readings 1, 2",
    "ot applicable: no load on it; Eva Lindqvist",
    "let stand by nonconformance 1",
    "I1 contact probe (due 2027-01-05)",
    "not evaluable: I1 was found out of tolerance (reads 9 F high) and nobody answered for it",
)


def plain(text: str) -> str:
    return " ".join(text.split()).casefold()


def test_the_text_says_all_of_it(decided: Deciding) -> None:
    text = plain(export(decided.shop, NUMBER, "text").decode())
    assert [words for words in SAID if plain(words) not in text] == []
    assert (
        plain("I1 contact probe, contact thermometer: in calibration; calibrated 2026-01-05, due 2027-01-05")
        in text
    )
    assert plain("L1: ER70S-2, batch R-5; certificate not stated; reading 4") in text


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_sheets_say_all_of_it(decided: Deciding, paper: str) -> None:
    pages = PdfReader(io.BytesIO(export(decided.shop, NUMBER, "pdf", paper))).pages
    # Cells are broken where they end, so words are compared without any spaces.
    text = "".join("".join(page.extract_text() for page in pages).split()).casefold()
    assert [words for words in SAID if "".join(words.split()).casefold() not in text] == []
    for row in ("I1contactprobecontactthermometerincalibration", "L1ER70S-2R-5notstatednotverified"):
        assert row.casefold() in text


def test_the_export_verifies_with_all_of_it(decided: Deciding, tmp_path: Path) -> None:
    path = tmp_path / "job.json"
    raw = export(decided.shop, NUMBER, "json")
    path.write_bytes(raw)
    assert verify(path).faults == ()
    assert raw == export(decided.shop, NUMBER, "json")
    told = json.loads(raw)
    told["traveler"]["nonconformances"][0]["proposals"][0]["decision"]["approved"] = False
    path.write_text(json.dumps(told), encoding="utf-8")
    assert verify(path).faults == (
        "traveler.nonconformances[0].proposals[0].decision.approved is printed as false; the events say true",
    )


def test_an_older_acceptance_keeps_its_digest_where_nothing_was_decided(tmp_path: Path) -> None:
    """A shop that registers its first instrument changes nothing about what was accepted before."""
    for bench in deciding(tmp_path / "shop.traveler"):
        bench.through_preheat()
        then = bench.seen()["steps"][0]["content"]
        bench.probe()
        receive_lot(bench.shop, bench.clock, ADA, NewLot("filler", "ER70S-2", "R-5"))
        assert bench.seen()["steps"][0]["content"] == then
        assert bench.stands(10)


def test_registered_people_stand_on_the_papers_with_their_roles(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)
    with Shop.create(tmp_path / "shop.traveler") as shop:
        people = People(shop)
        people.begin()
        people.issue()
        people.through_preheat()
        text = plain(export(shop, NUMBER, "text").decode())
        pages = PdfReader(io.BytesIO(export(shop, NUMBER, "pdf", "a4"))).pages
        sheets = "".join("".join(page.extract_text() for page in pages).split())
    assert "people p1, olga vance, owner, inspector p2, wim two, welder p3, ines okafor, inspector" in text
    assert "performed: wim two (p2, signed), " in text
    assert "accepted: ines okafor (p3, signed), " in text
    assert "P2WimTwowelder" in sheets
    assert "InesOkafor(P3,signed)" in sheets
