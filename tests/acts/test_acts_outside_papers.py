"""The papers of a job part of which a vendor did: the sheets, the text and Markdown say the same of it.

Vendor, findings and papers are invented.
"""

import io
from collections.abc import Iterator
from pathlib import Path

import pytest
from acts_kit import ADA, BRAM, NUMBER, sheet
from deciding_kit import Deciding, deciding_copy, with_points
from pypdf import PdfReader

from traveler.acts.look import export
from traveler.acts.outside import NewReceipt, NewReview, NewSending, receive, review, send
from traveler.acts.readings import attach
from traveler.report.signing_text import step_shown

VENDOR = "Łąka NDT [A36] #panic()"
SAID = (
    f"Sent to {VENDOR}, order B-7: back, its certificate accepted",
    "2 pieces, Link tab, invented, under revision 1 of the traveler with drawing 7 rev C",
    "2 pieces; condition: wrapped; damage: scratched *here*; heat number legible; Bram Ortega",
    "accepted: the report against both parts",
    "accepted by Ada Lund with the remark: technique sheet by mail",
    f"damaged when it came back from {VENDOR}: scratched *here*",
)


@pytest.fixture
def away(tmp_path: Path) -> Iterator[Deciding]:
    given = with_points(
        sheet(), 40, f'outside = {{ vendor = "{VENDOR}", order = "B-7", returns = ["report"] }}'
    )
    for shop in deciding_copy(tmp_path / "shop.traveler", given):
        send(shop.signing(BRAM), 40, NewSending(pieces=2, requirement="drawing 7 rev C"))
        receive(shop.signing(BRAM), 40, NewReceipt("wrapped", "legible", damage="scratched *here*"))
        attach(
            shop.shop, shop.clock, BRAM, NUMBER, 40, "report.txt", b"no indications, invented", "certificate"
        )
        new = NewReview(True, "the report against both parts", because="technique sheet by mail")
        assert review(shop.signing(ADA), 40, new).complies
        yield shop


@pytest.mark.parametrize("form", ["text", "markdown"])
def test_the_text_says_all_of_it(away: Deciding, form: str) -> None:
    text = " ".join(export(away.shop, NUMBER, form, "a4").decode().split())
    said = text.replace("\\", "")
    assert [words for words in SAID if words not in said] == []


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_dossier_has_a_part_of_its_own_for_it(away: Deciding, paper: str) -> None:
    made = export(away.shop, NUMBER, "pdf", paper)
    assert made == export(away.shop, NUMBER, "pdf", paper)
    pages = PdfReader(io.BytesIO(made)).pages
    text = "".join("".join(page.extract_text() for page in pages).split())
    assert "Workdonebyvendors" in text
    assert "STEP40ATAVENDOR" in text.upper()
    assert [words for words in SAID if "".join(words.split()) not in text] == []


@pytest.mark.slow
def test_a_job_without_vendors_has_no_such_part(tmp_path: Path) -> None:
    for shop in deciding_copy(tmp_path / "plain.traveler"):
        pages = PdfReader(io.BytesIO(export(shop.shop, NUMBER, "pdf", "a4"))).pages
        assert "vendor" not in "".join(page.extract_text() for page in pages).casefold()


def test_who_signs_is_shown_what_the_vendor_did_and_sent(away: Deciding) -> None:
    traveler = away.seen()
    step = next(step for step in traveler["steps"] if step["number"] == 40)
    shown = " ".join(step_shown(traveler, step, "performed", "Bram Ortega").split())
    assert f"revision 1, was performed by {VENDOR}:" in shown
    assert "file report.txt, certificate: SHA-256" in shown
    assert "accepted: the report against both parts" in shown
    other = next(step for step in traveler["steps"] if step["number"] == 10)
    plain = " ".join(step_shown(traveler, other, "performed", "Bram Ortega").split())
    assert "revision 1, was performed as written:" in plain
