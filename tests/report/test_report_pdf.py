"""The printed sheets, read back with pypdf: what stands on every sheet, what is drawn, what is refused."""

import io
import re
import subprocess
import sys
from functools import cache
from typing import Any

import pypdf
import pytest
from example import CODE, closed_job, open_job

from traveler.errors import TravelerError
from traveler.report.pdf import export_pdf

# Sizes of paper in points of 1/72 in: ISO 216 A4 210 x 297 mm; ANSI/ASME Y14.1 size A 8.5 x 11 in.
PAPERS = {"a4": (210 / 25.4 * 72, 297 / 25.4 * 72), "letter": (8.5 * 72, 11 * 72)}
NASTY = '#panic("x") *bold* [A36] [/] $x$ `y` @z <w> \\'


@cache
def closed(paper: Any) -> bytes:
    return export_pdf(closed_job(), paper)


@cache
def unfinished(paper: Any) -> bytes:
    return export_pdf(open_job(), paper)


@cache
def pages(raw: bytes) -> tuple[str, ...]:
    return tuple(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(raw)).pages)


def squeezed(raw: bytes) -> str:
    """All words of the sheets without any space, since a line may end anywhere."""
    return "".join("".join(pages(raw)).split())


def with_text(text: str) -> dict[str, Any]:
    job = open_job()
    job["title"] = text
    job["exceptions"].append(text)
    reading = job["steps"][1]["requirements"][0]["readings"][0]
    reading |= {"place": text, "by": {"name": text, "how": "stated"}}
    return job


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("make", [closed, unfinished])
def test_every_sheet_says_what_it_belongs_to(paper: str, make: Any) -> None:
    sheets = pages(make(paper))
    job = open_job() if make is unfinished else closed_job()
    for number, text in enumerate(sheets, 1):
        assert "Traveler H-014, revision 2" in text
        assert job["title"] in text
        assert f"sheet {number} of {len(sheets)}" in text
        assert job["head"] in text
        assert f"{job['events']} events" in text
        assert ("DRAFT: not closed" in text) == (make is unfinished)
        assert ("DRAFT" in text) == (make is unfinished)


@pytest.mark.parametrize(("paper", "size"), PAPERS.items())
def test_sheets_have_the_size_of_their_paper(paper: str, size: tuple[float, float]) -> None:
    for page in pypdf.PdfReader(io.BytesIO(closed(paper))).pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(size, abs=0.01)


def test_both_papers_carry_the_same_words_on_the_same_sheets() -> None:
    assert pages(closed("a4")) == pages(closed("letter"))


@pytest.mark.parametrize("job", [closed_job(), open_job()], ids=["closed", "open"])
def test_every_limit_method_and_reading_is_printed(job: dict[str, Any]) -> None:
    printed = squeezed(export_pdf(job, "a4"))
    for step in job["steps"]:
        signed = [*step["performed"], *([step["accepted"]] if step["accepted"] else [])]
        words = [
            step["title"],
            *step["notes"],
            *(why for why in step["blocked_by"] if " not shown: " not in why),
        ]
        words += [f"{entry['by']['name']} {entry['happened_at'][:10]}" for entry in signed]
        for needed in step["requirements"]:
            words += [
                needed["shown"]["limit"],
                needed["why"],
                needed["verdict_reason"],
                needed["verdict"].upper(),
            ]
            words += [f"{entry['method']}" for entry in needed["basis"]]
            words += [f"[{entry['mark']}]" for entry in needed["basis"]]
            for reading in needed["readings"]:
                words += [reading["shown"], reading["reason"] or "", reading["happened_at"][11:19]]
        for text in [*words, *job["exceptions"], *job["cautions"]]:
            assert "".join(text.split()) in printed
    assert "unchangedsincethiscodewasissued;notthatanentrywastrue" in printed
    assert "nothinghereclaimscompliancewithacodeorstandard" in printed


def test_superseded_reading_is_struck_through() -> None:
    """A stroke is a drawn line: a document without superseded readings has fewer of them."""
    job = closed_job()
    for step in job["steps"]:
        for needed in step["requirements"]:
            for reading in needed["readings"]:
                reading["superseded"] = False

    def strokes(raw: bytes) -> int:
        reader = pypdf.PdfReader(io.BytesIO(raw))
        drawn = [page.get_contents() for page in reader.pages]
        return sum(
            len(re.findall(rb"\bl\s+S\b", content.get_data())) for content in drawn if content is not None
        )

    assert strokes(closed("a4")) > strokes(export_pdf(job, "a4"))
    assert "SUPERSEDED" in squeezed(closed("a4"))


def test_same_record_gives_the_same_bytes_in_another_process() -> None:
    script = (
        "import sys; from example import closed_job; from traveler.report.pdf import export_pdf;"
        "sys.stdout.buffer.write(export_pdf(closed_job(), 'a4'))"
    )
    environment = {"PYTHONPATH": ":".join(filter(None, sys.path)), "PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo"}
    made = subprocess.run([sys.executable, "-c", script], env=environment, capture_output=True, check=True)
    assert made.stdout == closed("a4") == export_pdf(closed_job(), "a4")


def test_date_is_that_of_the_last_event() -> None:
    data = pypdf.PdfReader(io.BytesIO(closed("a4"))).metadata
    assert data is not None
    assert data.creation_date is not None
    assert data.creation_date.isoformat() == "2026-03-14T12:30:05+00:00"


def test_file_declares_pdf_a_and_embeds_its_fonts() -> None:
    reader = pypdf.PdfReader(io.BytesIO(closed("a4")))
    assert b"<pdfaid:part>3</pdfaid:part>" in closed("a4")
    fonts = reader.pages[0]["/Resources"]["/Font"]
    names = {font.get_object()["/BaseFont"] for font in fonts.values()}
    assert names
    assert all("+DejaVuSans" in name for name in names)


@pytest.mark.slow
@pytest.mark.parametrize(
    "text",
    [
        NASTY,
        "Łukasz Ő å",
        "Ελληνικά Ωμέγα",
        "Кириллица",
        "e\u0301 ≤ ≥ − °",
        "\x1b[31m \x9b \u202e \x00",
        '"\\',
    ],
)
def test_text_of_people_is_printed_as_it_is(text: str) -> None:
    expected = re.sub("[\x00\x1b\x9b\u202e]", lambda found: ascii(found[0])[1:-1], text)
    printed = squeezed(export_pdf(with_text(text), "letter"))
    assert printed.count("".join(expected.split())) >= 4


@pytest.mark.slow
@pytest.mark.parametrize(("letter", "advance_em"), [("W", 0.88), ("Ж", 0.88), ("Ω", 0.68), ("/", 0.30)])
@pytest.mark.parametrize("place", ["title", "name"])
def test_200_signs_without_a_space_stay_in_their_place(letter: str, advance_em: float, place: str) -> None:
    """Advances are those of DejaVu Sans Condensed, rounded down; a sheet has 180 mm, behind a value there are 103."""
    job = closed_job()
    if place == "title":
        job["title"], room_mm, size_pt, count = letter * 200, 180, 8.6, 600
    else:
        job["steps"][2]["requirements"][0]["readings"][1]["by"]["name"] = letter * 200
        room_mm, size_pt, count = 103, 7.4, 200
    text = "\n".join(pages(export_pdf(job, "a4")))
    runs = [len(run) for run in re.findall(f"{re.escape(letter)}{{3,}}", text)]
    assert max(runs) <= room_mm / 25.4 * 72 / (size_pt * advance_em)
    assert text.count(letter) >= count


def test_title_too_long_for_the_head_stands_whole_on_the_first_sheet() -> None:
    title = " ".join(f"word{number}" for number in range(100))
    first, second = pages(export_pdf(open_job() | {"title": title}, "a4"))[:2]
    assert title in " ".join(first.split())
    assert "word20" in second
    assert "word99" not in second


@pytest.mark.parametrize(("sign", "named"), [("試", "U+8A66 試"), ("🔥", "U+1F525 🔥"), ("ก", "U+0E01 ก")])
def test_sign_that_no_font_draws_is_refused_by_name_and_place(sign: str, named: str) -> None:
    job = closed_job()
    job["steps"][1]["requirements"][0]["readings"][1]["place"] = f"plate {sign}"
    with pytest.raises(TravelerError) as refused:
        export_pdf(job, "a4")
    message = str(refused.value)
    assert f"cannot draw {named} in steps 40, readings 6" in message
    assert f'"plate {sign}; contact thermometer CT-2"' in message
    assert "\n" not in message


def test_job_without_readings_signatures_or_exceptions_prints() -> None:
    job = open_job() | {"exceptions": [], "fillers": [], "joints": [], "attachments": [], "cautions": []}
    for step in job["steps"]:
        step |= {"performed": [], "accepted": None, "requirements": [], "notes": [], "joints": []}
    assert "notsigned" in squeezed(export_pdf(job, "a4"))


@pytest.mark.slow
def test_words_beyond_one_sheet_run_on_instead_of_being_cut() -> None:
    job = open_job()
    needed = job["steps"][1]["requirements"][0]
    needed["basis"][0]["reasons"] = [f"reason{number}" for number in range(900)]
    needed["readings"][1]["reason"] = " ".join(f"because{number}" for number in range(2500))
    job["steps"][0]["accepted"]["meaning"] = " ".join(f"meaning{number}" for number in range(1500))
    printed = squeezed(export_pdf(job, "a4"))
    for words in ("reason899", "because2499", "meaning1499"):
        assert words in printed


def test_reading_the_module_does_not_load_the_typesetter() -> None:
    script = "import sys, traveler.report.pdf, traveler.report.text; sys.exit('typst' in sys.modules)"
    environment = {"PYTHONPATH": ":".join(filter(None, sys.path))}
    assert subprocess.run([sys.executable, "-c", script], env=environment, check=False).returncode == 0


def test_licence_of_the_fonts_lies_beside_them() -> None:
    from importlib.resources import files

    fonts = files("traveler.report") / "data" / "fonts"
    licence = (fonts / "LICENSE-DejaVu.txt").read_text()
    named = [entry.name for entry in fonts.iterdir() if entry.name.endswith(".ttf")]
    assert named
    assert all(name in licence for name in named)
    assert "Permission is hereby granted" in licence


def test_acceptance_that_fell_is_told_beside_its_signature() -> None:
    job = open_job()
    job["steps"][0]["accepted"]["stands"] = False
    assert "Thisacceptancedoesnotstand" in squeezed(export_pdf(job, "a4"))


@pytest.mark.parametrize("title", ["", " two  spaces ", "\n"])
def test_odd_spaces_do_no_harm(title: str) -> None:
    job = open_job() | {"title": title}
    job["steps"][0]["title"] = title
    assert "sheet 1 of" in pages(export_pdf(job, "a4"))[0]


def test_code_of_the_record_stands_on_the_last_sheet() -> None:
    assert f"{CODE} stands for the 31 events of job H-014" in " ".join(pages(closed("a4"))[-1].split())
