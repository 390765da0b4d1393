"""The dossier of a closed job that has everything, read back by other people's programs and held against its JSON."""

import hashlib
import io
import json
import re
import shutil
import subprocess
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pypdf
import pytest
import square_codes
import whole_job

from traveler.acts.look import export
from traveler.acts.verify import verify
from traveler.record.shop import Shop

PAPERS = {"a4": (210 / 25.4 * 72, 297 / 25.4 * 72), "letter": (8.5 * 72, 11 * 72)}
FRAME_PT = (180 / 25.4 * 72, 249.4 / 25.4 * 72)
"""What ISO 216 A4 and US Letter have in common, less 15 mm around."""
pytestmark = pytest.mark.slow


@cache
def made() -> dict[str, Any]:
    """Exports of the job by form and paper, twice for A4; the files kept with it."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "shop.traveler"
        for shop in whole_job.whole_job(path):
            number = whole_job.NUMBER
            found: dict[str, Any] = {paper: export(shop, number, "pdf", paper) for paper in ("a4", "letter")}
            found["json"] = export(shop, number, "json")
            named = json.loads(found["json"])["traveler"]["attachments"]
            found["files"] = {entry["sha256"]: shop.attachment(entry["sha256"]) for entry in named}
        with Shop.open(path, read_only=True) as again:
            found["again"] = export(again, whole_job.NUMBER, "pdf", "a4")
        exported = Path(folder) / "traveler.json"
        exported.write_bytes(found["json"])
        found["faults"] = verify(exported).faults
    return found


def traveler() -> dict[str, Any]:
    told: dict[str, Any] = json.loads(made()["json"])["traveler"]
    return told


def reader(paper: str = "a4") -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(made()[paper]))


def by_pypdf(paper: str) -> str:
    return "".join("".join(page.extract_text() for page in reader(paper).pages).split())


def by_poppler(paper: str, *options: str) -> str:
    done = subprocess.run(
        ["pdftotext", *options, "-", "-"], input=made()[paper], capture_output=True, check=True
    )
    return done.stdout.decode()


def squeezed(text: str) -> str:
    return "".join(text.split())


def words() -> list[str]:
    """What must stand on the sheets: limits, readings, places, names, codes, reasons, dispositions, digests."""
    told = traveler()
    found = [told["head"], told["part"], told["decides"], *(told["exceptions"])]
    for step in told["steps"]:
        found += [
            step["title"],
            *(entry["by"]["name"] for entry in step["performed"]),
            step["accepted"]["by"]["name"],
        ]
        for need in step["requirements"]:
            found += [need["quantity"], need["shown"]["limit"], need["why"], need["verdict"].upper()]
            for reading in need["readings"]:
                found += [
                    reading["shown"],
                    reading["place"] or "",
                    reading["reason"] or "",
                    reading["by"]["name"],
                ]
                found += [f"{reading['happened_at'][:10]} {reading['happened_at'][11:19]}"]
    for entry in told["attachments"]:
        found += [entry["name"], entry["sha256"]]
    for entry in told["nonconformances"]:
        found += [entry["what"], entry["proposals"][0]["instruction"]]
    for entry in told["materials"]:
        found += [entry["heat number"], entry["grade"]]
    return [word for word in found if word]


@pytest.mark.parametrize("paper", PAPERS)
def test_all_that_the_record_says_stands_on_the_sheets(paper: str) -> None:
    printed = by_pypdf(paper)
    assert len(words()) > 250
    assert [word for word in words() if squeezed(word) not in printed] == []


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext is not here")
@pytest.mark.parametrize("paper", PAPERS)
def test_another_reader_finds_the_same(paper: str) -> None:
    printed = squeezed(by_poppler(paper, "-raw"))
    assert [word for word in words() if squeezed(word) not in printed] == []


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext is not here")
@pytest.mark.parametrize("paper", PAPERS)
def test_no_word_lies_outside_the_frame_that_both_papers_share(paper: str) -> None:
    width, height = PAPERS[paper]
    left, top = (width - FRAME_PT[0]) / 2, (height - FRAME_PT[1]) / 2
    boxes = re.findall(
        r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>',
        by_poppler(paper, "-bbox"),
    )
    assert len(boxes) > 2000
    # Boxes take the height of the whole font, which reaches beyond the letters by less than 3 pt.
    outside = [
        word
        for x_min, y_min, x_max, y_max, word in boxes
        if float(x_min) < left - 0.5
        or float(x_max) > width - left + 0.5
        or float(y_min) < top - 3
        or float(y_max) > height - top + 3
    ]
    assert outside == []


def test_the_record_and_every_file_are_inside_as_they_are() -> None:
    found = {name: contents[0] for name, contents in reader().attachments.items()}
    assert found.pop("traveler.json") == made()["json"]
    assert {hashlib.sha256(content).hexdigest(): content for content in found.values()} == made()["files"]
    assert made()["faults"] == ()


def test_every_font_of_every_sheet_is_embedded_and_the_markers_are_there() -> None:
    fonts = [
        font.get_object()["/DescendantFonts"][0].get_object()
        for page in reader().pages
        for font in page["/Resources"]["/Font"].values()
    ]
    assert fonts
    assert all("/FontFile2" in font["/FontDescriptor"].get_object() for font in fonts)
    root = reader().trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert root["/OutputIntents"][0]["/S"] == "/GTS_PDFA1"
    for marker in (b"<pdfaid:part>3</", b"<pdfaid:conformance>A</", b"<pdfuaid:part>1</"):
        assert marker in made()["a4"]


def test_the_same_state_gives_the_same_bytes() -> None:
    assert made()["again"] == made()["a4"]


def test_it_says_when_the_part_is_inspected_next() -> None:
    first = squeezed(reader().pages[0].extract_text())
    assert squeezed("WP-4-001: by 2027-03-05; every 6 events, 20 h, 12 months") in first
    assert squeezed("It is no event of this job, and its code does not cover it.") in by_pypdf("a4")
    assert b"WP-4-001" not in made()["json"]


def test_a_superseded_value_and_an_earlier_attempt_stay_visible() -> None:
    printed = by_pypdf("a4")
    for said in ("1425 °F", "superseded by reading 19: typing error: a 1 too many", "284 °F", "attempt 1"):
        assert squeezed(said) in printed


@pytest.mark.skipif(square_codes.RASTER is None, reason="pdftoppm is not here to draw a sheet")
@pytest.mark.parametrize("paper", PAPERS)
def test_the_square_code_is_that_of_the_record(paper: str, tmp_path: Path) -> None:
    told = traveler()
    said = square_codes.read_sheet(made()[paper], len(reader(paper).pages), tmp_path)
    assert said == f"{told['head']}, {told['events']} events"
