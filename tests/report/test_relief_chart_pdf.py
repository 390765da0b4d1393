"""Judged charts on the printed sheets: all their words, drawn lines, alternative text, refusals by place."""

import io
import re
from functools import cache
from itertools import pairwise
from typing import Any

import pypdf
import pytest
from example import closed_job
from relief_example import met, not_met, open_couple, source_of, stored

from traveler.errors import TravelerError
from traveler.report.pdf import export_pdf
from traveler.report.relief_sheets import chart_sheet

pytestmark = pytest.mark.slow


def job(*charts: dict[str, Any]) -> dict[str, Any]:
    made = closed_job()
    made["steps"][2]["charts"] = list(charts)
    return made


@cache
def printed(name: str, paper: Any = "a4") -> bytes:
    charts = {
        "none": (),
        "one": (stored(met(1)),),
        "four": (stored(not_met()), stored(met(), 2, name="second.csv")),
        "twelve": (stored(open_couple(12)),),
        "twenty": (stored(open_couple(20)),),
        "back": (stored(not_met(), superseded=True, superseded_by=2, reason="the wrong file"),),
    }
    return export_pdf(job(*charts[name]), paper)


@cache
def squeezed(raw: bytes) -> str:
    reader = pypdf.PdfReader(io.BytesIO(raw))
    return "".join("".join(page.extract_text() for page in reader.pages).split())


def strokes(raw: bytes) -> int:
    """Stroked paths of all sheets."""
    drawn = [page.get_contents() for page in pypdf.PdfReader(io.BytesIO(raw)).pages]
    return sum(len(re.findall(rb"\bS\b", content.get_data())) for content in drawn if content is not None)


def alternatives(raw: bytes) -> list[str]:
    """Alternative texts of the figures, from the tree of tags."""
    found = []

    def walk(node: Any) -> None:
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            for kid in node:
                walk(kid)
        elif isinstance(node, dict):
            if node.get("/S") == "/Figure":
                found.append(str(node.get("/Alt")))
            walk(node.get("/K"))

    walk(pypdf.PdfReader(io.BytesIO(raw)).trailer["/Root"]["/StructTreeRoot"])
    return found


def test_every_word_about_a_chart_is_printed() -> None:
    text = squeezed(printed("four"))
    chart = stored(not_met())
    words = ["Step 50, chart 1 of stress relief: relief.csv", "Step 50, chart 2 of stress relief: second.csv"]
    for judged in chart["criteria"]:
        words += [
            judged["criterion"],
            judged["limit_shown"] or "",
            judged["worst_shown"] or "",
            judged["margin_shown"] or "",
        ]
        words += [*judged["reasons"], *source_of(judged), judged["verdict"].upper()]
        words += [judged["couple"] or ""]
    words += ["heating rate, 01:38:00 to 02:08:00: TC1 rises 230 C°/h", "on the chart: mark 1"]
    words += ["ceiling 650 °C", "soak from 595 °C", "rates count from 425 °C", "03:00", "600", "soak"]
    words += [f"relief.csv, 12345 bytes, SHA-256 {chart['sha256']}", "judge version 1", 'decimal: ","']
    words += ["rates over any 30 min", "uncertainty of a reading not stated, taken as zero", "NOT MET"]
    for said in words:
        assert "".join(said.split()) in text, said


def test_a_chart_stands_after_the_readings_of_its_step_and_before_the_signatures() -> None:
    text = squeezed(printed("four"))
    assert (
        text.index("1.15kJ/mm")
        < text.index("Step50,chart1")
        < text.index("Step50,chart2")
        < text.index("STEP50PERFORMED")
    )


@pytest.mark.parametrize("name", ["one", "four", "twelve", "twenty"])
def test_each_drawing_has_its_alternative_text(name: str) -> None:
    texts = alternatives(printed(name))
    assert len(texts) == (2 if name == "four" else 1)
    assert all(text.startswith("Temperatures in °C over 22:48:00 to 06:28:00 of TC") for text in texts)
    if name == "four":
        assert "Failing places: heating rate, 01:38:00 to 02:08:00: TC1 rises 230 C°/h." in texts[0]
        assert "Soak: 02:50:00 to 04:05:00. Failing places: none." in texts[1]
    assert b"<pdfaid:part>3</pdfaid:part>" in printed(name)
    assert b"<pdfuaid:part>1</pdfuaid:part>" in printed(name)


def test_each_couple_is_a_line_with_its_own_dashes_and_letter() -> None:
    plot = chart_sheet(met(12))["plot"]
    assert len({curve["dashes"] for curve in plot["curves"]}) == 12
    assert [entry[1:] for entry in plot["legend"]][:2] == [["a", "TC1"], ["b", "TC2"]]
    assert strokes(printed("twelve")) >= strokes(printed("one")) + 11


def test_letters_at_the_ends_of_curves_do_not_touch() -> None:
    """The height of a letter, 6.8 pt, is 0.039 of the drawing's 62 mm; all couples end within 2 degC."""
    heights = sorted(curve["end"][2] for curve in chart_sheet(met(12))["plot"]["curves"])
    assert all(after - before >= 0.039 for before, after in pairwise(heights))
    assert heights[0] >= 0
    assert heights[-1] <= 1


def test_places_on_the_drawing_are_parts_of_its_width_and_height() -> None:
    """Over 27600 s; values from 0 to 650 with a twentieth of room: 32.5 below and above."""
    chart = not_met(1)
    chart["drawing"]["couples"][0]["points"] = [[[0.0, 0.0], [13800.0, 650.0], [27600.0, 325.0]]]
    chart["drawing"] |= {"band": [325.0, 650.0], "threshold": 0.0}
    plot = chart_sheet(chart)["plot"]
    top, bottom = 32.5 / 715, 682.5 / 715
    middle = (682.5 - 325) / 715
    assert plot["curves"][0]["pieces"] == [
        [
            [0.0, pytest.approx(bottom, abs=1e-5)],
            [0.5, pytest.approx(top, abs=1e-5)],
            [1.0, pytest.approx(middle)],
        ]
    ]
    assert plot["band"] == [pytest.approx(top, abs=1e-5), pytest.approx(middle)]
    assert plot["soaks"] == [[pytest.approx(15180 / 27600, abs=1e-5), pytest.approx(19860 / 27600, abs=1e-5)]]
    (mark,) = plot["marks"]
    assert (mark["words"], mark["row"]) == ("1", 0)
    assert mark["from"] == pytest.approx(10200 / 27600, abs=1e-5)
    assert ["23:00", pytest.approx(720 / 27600, abs=1e-5)] in [[words, at] for at, words in plot["x_ticks"]]


def test_a_couple_that_stops_has_its_letter_where_it_stops_and_no_line_after() -> None:
    """The last reading is at 268 of 460 min."""
    last = chart_sheet(open_couple())["plot"]["curves"][-1]
    assert last["end"] is None
    assert last["stops"][0] == pytest.approx(268 / 460, abs=1e-5)
    assert last["pieces"][-1][-1] == last["stops"]


def test_more_than_twelve_couples_are_drawn_as_an_envelope() -> None:
    plot = chart_sheet(open_couple(20))["plot"]
    assert [curve["letter"] for curve in plot["curves"]] == ["a"]
    assert all(plot["envelope"])
    assert "least and greatest of 19 other couples".replace(" ", "") in squeezed(printed("twenty"))


def test_marks_that_overlap_stand_over_each_other() -> None:
    chart = not_met()
    fault = chart["drawing"]["faults"][0]
    chart["drawing"]["faults"] = [
        fault,
        fault | {"from_s": 11000.0},
        fault | {"from_s": 20000.0, "to_s": 21000.0},
    ]
    marks = chart_sheet(chart)["plot"]["marks"]
    assert [(mark["row"], mark["words"]) for mark in marks] == [(0, "1"), (0, "3"), (1, "2")]


def test_more_marks_over_each_other_than_there_are_rows_share_one() -> None:
    chart = not_met()
    fault = chart["drawing"]["faults"][0]
    chart["drawing"]["faults"] = [fault | {"from_s": 10200.0 + 60 * at} for at in range(7)]
    marks = chart_sheet(chart)["plot"]["marks"]
    assert [(mark["row"], mark["words"]) for mark in marks] == [
        (0, "1"),
        (1, "2"),
        (2, "3"),
        (3, "4"),
        (4, "5,6,7"),
    ]


def test_a_chart_taken_back_is_struck_through_and_not_drawn() -> None:
    text = squeezed(printed("back"))
    assert "takenback,chart2standsinitsplace:thewrongfile" in text
    assert "Judgedthen:notmet(soaktemperaturemet,heatingratenotmet" in text
    assert "c0ffee42" * 8 in text
    assert "SUPERSEDED" in text
    assert "CHARTCRITERION" not in text
    assert alternatives(printed("back")) == []
    assert strokes(printed("back")) > strokes(printed("none"))


@pytest.mark.parametrize("name", ["one", "twelve", "back"])
def test_both_papers_carry_the_same_words_on_the_same_sheets(name: str) -> None:
    sheets = [
        [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(printed(name, paper))).pages]
        for paper in ("a4", "letter")
    ]
    assert sheets[0] == sheets[1]


def test_a_job_without_charts_prints_as_before() -> None:
    assert printed("none") == export_pdf(closed_job(), "a4")
    assert printed("one") == export_pdf(job(stored(met(1))), "a4")


def test_a_chart_with_nothing_to_draw_says_so() -> None:
    chart = stored(met(1))
    chart["drawing"]["couples"][0]["points"] = []
    text = squeezed(export_pdf(job(chart), "a4"))
    assert "Nodrawing:therearenoreadingsattwotimes." in text
    assert "soaktemperature" in text
    alone = stored(met(1))
    alone["drawing"]["couples"][0]["points"] = [[[0.0, 20.0]], [[9000.0, 30.0]]]
    assert len(alternatives(export_pdf(job(alone), "a4"))) == 1


@pytest.mark.parametrize(
    "text",
    [
        '#panic("x") *bold* [A36] [/] $x$ `y` @z <w> \\',
        "Ελληνικά Кириллица",
        "\x1b[31m \x9b \u202e \x00",
        "W" * 200,
    ],
)
def test_texts_of_files_and_people_are_printed_as_they_are(text: str) -> None:
    chart = stored(not_met(2), name=text, reason=text)
    chart["drawing"]["couples"][0]["name"] = chart["drawing"]["faults"][0]["words"] = text
    chart["criteria"][1] |= {"couple": text, "reasons": [text]}
    chart |= {"mapping": {text: [text, text]}, "notes": [text]}
    expected = re.sub("[\x00\x1b\x9b\u202e]", lambda found: ascii(found[0])[1:-1], text)
    shown = squeezed(export_pdf(job(chart, chart | {"chart": 2, "superseded": True}), "letter"))
    assert shown.count("".join(expected.split())) >= 10


@pytest.mark.parametrize(
    ("place", "named"),
    [("couple", "charts 1, plot, legend"), ("note", "charts 1, facts"), ("file", "charts 1, title")],
)
def test_a_sign_that_no_font_draws_is_refused_by_name_and_place(place: str, named: str) -> None:
    chart = stored(met(2))
    if place == "couple":
        chart["drawing"]["couples"][1]["name"] = "TC 試"
        chart["mapping"] = {}
    elif place == "note":
        chart["notes"] = ["試"]
    else:
        chart["name"] = "試.csv"
    with pytest.raises(TravelerError) as refused:
        export_pdf(job(chart), "a4")
    assert f"cannot draw U+8A66 試 in steps 50, {named}" in str(refused.value)
