"""A judged chart on a terminal: every mark where the scale says, nothing by colour alone, no line too wide."""

import unicodedata
from typing import Any

import pytest
from example import closed_job
from hypothesis import given
from hypothesis import strategies as st
from relief_example import chart_object, criterion, met, not_met, open_couple, source_of, stored
from rich.cells import cell_len

from traveler.report.chart_words import criterion_cells
from traveler.report.relief_canvas import ENDS, MARGIN
from traveler.report.relief_chart_text import LEAST_WIDTH, chart_page, plot_lines
from traveler.report.text import show_text, traveler_text

COLUMNS = 80 - MARGIN - ENDS
FORMS = pytest.mark.parametrize("plain", [True, False], ids=["ascii", "braille"])
HOSTILE = [
    "TC[/]1",
    "\x1b[31mTC\x9b2J",
    "試験体の熱電対",
    "\u202eTC4",
    "ערוץ",
    "é\u0301\u0301",
    "{}{x}",
    "",
    "=cmd()",
    "a" * 300,
]


def rows(lines: list[str], plain: bool = True) -> list[str]:
    """The drawing without its axis, filled up to the right."""
    upright = "|" if plain else "│"
    found = [line for line in lines if len(line) >= MARGIN and line[MARGIN - 1] == upright]
    return [line[MARGIN:].ljust(COLUMNS + ENDS) for line in found]


def flat(lines: list[str]) -> str:
    return " ".join(" ".join(lines).split())


def one_couple(pieces: list[list[list[float]]], **drawing: Any) -> dict[str, Any]:
    """A chart of one couple over 6600 s, 100 s a column, with no line across unless it is asked for."""
    blank = {"length_s": 6600.0, "band": [None, None], "threshold": None}
    shown = [{"name": "TC1", "role": "part", "points": pieces}]
    chart = chart_object([criterion("couples", "met")], shown, [])
    chart["drawing"] |= blank | drawing
    return chart


LEVEL = [[[0.0, 100.0], [6600.0, 100.0]]]


def test_a_rise_goes_from_the_lower_left_to_the_upper_right() -> None:
    found = rows(plot_lines(one_couple([[[0.0, 0.0], [6600.0, 660.0]]]), plain=True))
    assert found[0][COLUMNS - 1] == "a"
    assert found[-1][0] == "a"
    assert all(row.count("a") >= 1 for row in found)
    columns = [row.index("a") for row in found]
    assert columns == sorted(columns, reverse=True)


@FORMS
def test_a_gap_stays_empty(plain: bool) -> None:
    """Readings to 2000 s and from 4000 s on: columns 21 to 39 of 100 s each have none."""
    pieces = [[[0.0, 100.0], [2000.0, 100.0]], [[4000.0, 100.0], [6600.0, 100.0]]]
    found = rows(plot_lines(one_couple(pieces), plain), plain)
    assert {row[21:40] for row in found} == {" " * 19}
    assert any(row[0] != " " and row[41] != " " for row in found)


@FORMS
def test_one_hot_reading_shows_at_its_height(plain: bool) -> None:
    pieces = [[[0.0, 100.0], [3290.0, 100.0], [3300.0, 700.0], [3310.0, 100.0], [6600.0, 100.0]]]
    found = rows(plot_lines(one_couple(pieces), plain), plain)
    assert found[0][32:34].strip()


@FORMS
def test_lines_across_stand_at_their_heights_with_their_words(plain: bool) -> None:
    """From 0 to 700 with a twentieth of room on both sides: 770 over 16 rows, the top at 735."""
    chart = one_couple([[[0.0, 0.0], [6600.0, 300.0]]], band=[595.0, 700.0], threshold=425.0)
    found = rows(plot_lines(chart, plain), plain)
    for value, words in ((700, "ceiling 700"), (595, "soak from 595"), (425, "rates count from 425")):
        row = int((735 - value) / (770 / 16))
        assert words in found[row]
        assert found[row].count("-" if plain else "─") > 20
    shade = "." if plain else "░"
    assert [at for at, row in enumerate(found) if row.count(shade) > 20] == [1]  # 662.8, between 595 and 700
    assert f"{shade} soak band" in flat(plot_lines(chart, plain))


@FORMS
def test_words_of_a_line_that_find_no_room_on_it_stand_below(plain: bool) -> None:
    wave = [[[100.0 * at, 100.0 if at % 2 else 650.0] for at in range(67)]]
    lines = plot_lines(one_couple(wave, threshold=425.0), plain)
    assert "rates count from 425" not in flat(rows(lines, plain))
    assert f"{'--' if plain else '──'} rates count from 425" in flat(lines)


@FORMS
def test_a_failing_place_has_its_number_over_posts_at_both_ends(plain: bool) -> None:
    fault = {
        "criterion": "heating rate",
        "couple": "TC1",
        "from_s": 1050.0,
        "to_s": 2050.0,
        "words": "too fast",
    }
    lines = plot_lines(one_couple(LEVEL, faults=[fault]), plain)
    bar = "-" if plain else "─"
    assert lines[0] == f"    °C {' ' * 10}1{bar * 10}"
    for row in rows(lines, plain):
        if not row[5].strip():
            assert row[10] == row[20] == (":" if plain else "┊")
    assert "1 heating rate, 23:05:30 to 23:22:10: too fast" in flat(lines)


def test_places_over_each_other_have_their_numbers_on_lines_of_their_own() -> None:
    spans = [(1000.0, 3000.0), (1000.0, 3000.0), (2000.0, 4000.0), (5000.0, 5000.0)]
    faults = [
        {"criterion": "spread", "couple": None, "from_s": start, "to_s": end, "words": f"place {at}"}
        for at, (start, end) in enumerate(spans, start=1)
    ]
    heads = plot_lines(one_couple(LEVEL, faults=faults), plain=True)[:2]
    assert heads[0][MARGIN + 10 :].startswith("1,2---")
    assert heads[0][MARGIN + 50] == "4"
    assert heads[1][MARGIN + 20 :].startswith("3---")


def test_a_fourth_place_over_three_shares_the_line_of_the_third() -> None:
    faults = [
        {
            "criterion": "heating rate",
            "couple": None,
            "from_s": start,
            "to_s": start + 2000.0,
            "words": "too fast",
        }
        for start in (1050.0, 1250.0, 1450.0, 1650.0)
    ]
    heads = plot_lines(one_couple(LEVEL, faults=faults), plain=True)[:3]
    assert [line[MARGIN:] for line in heads] == [
        " " * 10 + "1" + "-" * 20,
        " " * 12 + "2" + "-" * 20,
        " " * 14 + "3,4" + "-" * 20,
    ]


@given(
    spans=st.lists(st.tuples(st.integers(0, 6600), st.integers(0, 6600)), min_size=1, max_size=24),
    width=st.integers(LEAST_WIDTH, 120),
)
def test_any_failing_places_have_heads_within_the_width_and_stand_in_the_list(
    spans: list[tuple[int, int]], width: int
) -> None:
    faults = [
        {
            "criterion": "spread",
            "couple": None,
            "from_s": float(min(span)),
            "to_s": float(max(span)),
            "words": f"place {at}",
        }
        for at, span in enumerate(spans, start=1)
    ]
    lines = plot_lines(one_couple(LEVEL, faults=faults), True, width)
    check(lines, width)
    top = next(at for at, line in enumerate(lines) if line[MARGIN - 1 :].startswith("|"))
    assert top <= 3
    assert all(f"place {at}" in flat(lines) for at in range(1, len(spans) + 1))


def test_many_failing_places_are_counted_and_not_drawn_over_everything() -> None:
    faults = [
        {
            "criterion": "spread",
            "couple": None,
            "from_s": at * 60.0,
            "to_s": at * 60.0,
            "words": f"place {at}",
        }
        for at in range(60)
    ]
    lines = plot_lines(one_couple(LEVEL, faults=faults), plain=True)
    assert "36 more failing places not marked" in flat(lines)
    assert sum("place" in line for line in lines) == 25


@FORMS
def test_the_soak_lies_on_the_axis_of_time_in_brackets(plain: bool) -> None:
    lines = plot_lines(one_couple(LEVEL, soaks=[[2050.0, 4050.0], [5000.0, 5010.0]]), plain)
    (axis,) = [line for line in lines if line.startswith(f"{' ' * (MARGIN - 1)}{'+' if plain else '└'}")]
    assert axis[MARGIN + 20] == "["
    assert axis[MARGIN + 40] == "]"
    assert " soak " in axis[MARGIN + 20 : MARGIN + 40]
    assert axis[MARGIN + 50] == ("=" if plain else "━")
    assert "[ ] soak" in flat(lines)


def test_when_the_part_went_in_and_out_is_said() -> None:
    lines = plot_lines(one_couple(LEVEL, loaded_s=1000.0, out_s=6000.0), plain=True)
    assert lines[0][MARGIN + 10 :].startswith("in")
    assert lines[0][MARGIN + 60 :].startswith("out")
    assert "in, out: part loaded, taken out" in flat(lines)


def test_a_cell_that_several_couples_share_has_no_letter_of_one() -> None:
    chart = one_couple(LEVEL)
    chart["drawing"]["couples"].append({"name": "TC2", "role": "part", "points": LEVEL})
    chart["drawing"]["couples"].append(
        {"name": "TC3", "role": "part", "points": [[[0.0, 50.0], [6600.0, 50.0]]]}
    )
    lines = plot_lines(chart, plain=True)
    drawn = [row[:COLUMNS] for row in rows(lines) if row.strip()]
    assert drawn == ["*" * COLUMNS, "c" * COLUMNS]
    assert "* several" in lines[-1]


@FORMS
def test_letters_of_couples_stand_at_their_ends(plain: bool) -> None:
    """Three couples end together at 300 degC and the open one stops at 268 min, column 37 of 66 over 460 min."""
    found = rows(plot_lines(open_couple(), plain), plain)
    assert [row[COLUMNS:].strip() for row in found if row[COLUMNS:].strip()] == ["a-c"]
    column = int(268 / 460 * COLUMNS)
    assert [row[column] for row in found if row[column] == "d"] == ["d"]


def test_each_couple_that_stands_alone_has_its_letter_on_the_dots() -> None:
    lines = plot_lines(not_met(), plain=False, window=(9600.0, 12600.0))
    drawn = "".join(row[:COLUMNS] for row in rows(lines, plain=False))
    for letter in "abcd":
        assert (
            drawn.replace("rates count from 425", "")
            .replace("soak from 595", "")
            .replace("ceiling 650", "")
            .count(letter)
            == 1
        )


@FORMS
def test_more_than_twelve_couples_are_an_envelope_and_those_that_fail(plain: bool) -> None:
    lines = plot_lines(open_couple(20), plain)
    assert "a TC20" in flat(lines)
    assert "least and greatest of 19 other couples" in flat(lines)
    assert "TC3" not in flat(lines)


def test_a_closer_look_has_the_times_and_values_of_its_window() -> None:
    lines = plot_lines(not_met(), plain=True, window=(14000.0, 16500.0))
    assert "03:00" in flat(lines[-6:])
    assert "23:00" not in flat(lines)
    figures = [line[: MARGIN - 1].strip() for line in lines]
    assert {"580", "600"} <= set(figures)


def test_a_place_outside_the_window_is_not_drawn_and_stays_in_the_table() -> None:
    page = chart_page(not_met(), plain=True, window=(18000.0, 20000.0))
    assert "TC1 rises 230 C°/h" not in flat(page)
    assert "on the chart: mark 1" in flat(page)


@pytest.mark.parametrize("plain", [True, False])
def test_a_chart_without_two_times_says_so_and_keeps_its_table(plain: bool) -> None:
    for pieces, length in (([[[0.0, 20.0]]], 0.0), ([], 6600.0)):
        page = chart_page(one_couple(pieces, length_s=length), plain)
        assert "No drawing: there are no readings at two times here." in page
        assert "couples" in flat(page)


def test_a_couple_without_readings_is_named_as_such() -> None:
    chart = one_couple(LEVEL)
    chart["drawing"]["couples"].append({"name": "TC2", "role": "spare", "points": []})
    assert "b TC2 (spare) (no readings)" in flat(plot_lines(chart, plain=True))


@pytest.mark.parametrize("width", [80, 60])
@pytest.mark.parametrize("chart", [met(), not_met(), open_couple()], ids=["met", "not met", "open"])
def test_every_criterion_stands_in_the_table(chart: dict[str, Any], width: int) -> None:
    page = "".join("".join(chart_page(chart, plain=True, width=width)).split())
    for judged in chart["criteria"]:
        words = [word for cell in criterion_cells(judged) for word in cell.replace(",", "").split()]
        for text in [*words, *judged["reasons"], *source_of(judged)]:
            assert "".join(text.replace("T03:18:00+02:00", " 03:18:00 +02:00").split()) in page


def test_rows_of_the_table_end_with_their_verdict() -> None:
    page = chart_page(not_met(), plain=True)
    head = next(line for line in page if line.startswith("criterion"))
    assert [word for word in head.split("  ") if word][-1].strip() == "verdict"
    rate = next(line for line in page if line.startswith("heating rate"))
    assert " ".join(rate.split()) == "heating rate at most 400 F°/h 230 C°/h (414 F°/h), 7.8 C°/h not met"
    loading = next(line for line in page if "not shown" in line and "800 °F" in line)
    assert loading.startswith("temperature at")


def test_the_page_says_how_the_file_was_read_and_judged() -> None:
    page = flat(chart_page(stored(not_met()), plain=True))
    for words in (
        "Chart 1 of stress relief: relief.csv: NOT MET",
        "relief.csv, 12345 bytes, SHA-256 " + "c0ffee42" * 8,
        'delimiter: ";"; decimal: ","',
        "couples: TC1, TC2, TC3, TC4",
        "rates over any 30 min; soak time is the longest uninterrupted interval",
        "uncertainty of a reading not stated, taken as zero; simple acceptance; loading not marked",
        "judge version 1",
        "The clock went back by an hour at 2026-10-25 03:00:00 +02:00",
        "Soak: 2026-10-25 03:01:00 +02:00 to 2026-10-25 04:19:00 +02:00, 78.0 min",
        "Answers: soak temperature, soak time, heating rate",
        "Entered: Игорь Чернов, 2026-10-25 07:10:00 +01:00 (written 07:12:30)",
    ):
        assert words in page


def test_what_a_cycle_did_and_limits_of_an_earlier_revision_are_said() -> None:
    chart = stored(met(), cycle=[["hardness beside the weld", "287 to 310 HV"]], against_current_limits=False)
    page = flat(chart_page(chart, plain=True))
    assert "Effect: hardness beside the weld: 287 to 310 HV" in page
    assert "Limits: those of an earlier revision, not of this one" in page


def test_options_that_were_given_are_in_the_words() -> None:
    chart = met()
    chart["options"] |= {"uncertainty": "2.8 C° (5 F°)", "soak": "sum", "rule": "guard", "loaded": "0:10:00"}
    page = flat(chart_page(chart, plain=True))
    assert "uncertainty of a reading 2.8 C° (5 F°)" in page
    assert "soak time is the sum of all intervals" in page
    assert "guard band of the uncertainty" in page
    assert "part loaded at 0:10:00" in page


@pytest.mark.parametrize(
    ("instead", "words"),
    [(2, "taken back, chart 2 stands in its place: wrong file"), (None, "taken back: wrong file")],
)
def test_a_chart_taken_back_says_why_and_shows_no_drawing(instead: int | None, words: str) -> None:
    chart = stored(not_met(), superseded=True, superseded_by=instead, reason="wrong file")
    page = chart_page(chart, plain=True)
    assert words in flat(page)
    assert "Judged then: not met (soak temperature met, heating rate not met" in flat(page)
    assert "SHA-256" in flat(page)
    assert not rows(page)
    assert "Soak:" not in flat(page)


@pytest.mark.slow
def test_charts_of_a_step_stand_in_the_text_of_the_traveler_and_by_name_where_the_job_is_shown() -> None:
    job = closed_job()
    before = traveler_text(job)
    job["steps"][2]["charts"] = [stored(not_met()), stored(met(), 2, name="second.csv")]
    text = traveler_text(job)
    assert text.isascii() == before.isascii()
    assert text.index("Reading 14") < text.index("Chart 1 of stress relief") < text.index("Chart 2 of")
    drawn = [
        line
        for line in text.splitlines()
        if line.strip() in {line.strip() for line in plot_lines(not_met(), True, 78)}
    ]
    assert len(drawn) >= 16
    shown = show_text(job)
    assert "  Chart 1 of stress relief: relief.csv: NOT MET" in shown
    assert "  Chart 2 of stress relief: second.csv: MET" in shown
    job["steps"][2]["charts"] = []
    assert traveler_text(job) == before


def hostile(text: str, count: int = 3) -> dict[str, Any]:
    """A chart with one text in every place that a file or a person fills."""
    chart = stored(not_met(count), name=text, reason=text, kind=text, by={"name": text, "how": text})
    for couple in chart["drawing"]["couples"]:
        couple["name"] = text
    chart["drawing"]["faults"] *= 2
    for fault in chart["drawing"]["faults"]:
        fault |= {"couple": text, "words": text}
    for judged in chart["criteria"]:
        judged |= {"couple": text, "reasons": [text]}
    chart["mapping"] = {text: text, "couples": [text, text]}
    chart["options"] = chart["options"] | {text: text, "loaded": text}
    return chart | {"notes": [text], "soaks": [text], "answers": [text], "cycle": [[text, text]]}


def check(lines: list[str], width: int) -> None:
    for line in lines:
        assert cell_len(line) <= width, line
        assert not [char for char in line if unicodedata.category(char) in {"Cc", "Cs", "Zl", "Zp"}]
        assert not [
            char for char in line if unicodedata.category(char) == "Cf" and char not in "\u200c\u200d"
        ]


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("superseded", [True, False])
def test_texts_of_files_and_people_do_no_harm(text: str, superseded: bool) -> None:
    chart = hostile(text) | {"superseded": superseded}
    for plain in (True, False):
        check(chart_page(chart, plain), 80)
    job = closed_job()
    job["steps"][0]["charts"] = [chart]
    check(traveler_text(job).split("\n"), 80)
    check(show_text(job).split("\n"), 80)


@given(
    text=st.text(max_size=60),
    width=st.integers(20, 140),
    height=st.integers(4, 30),
    plain=st.booleans(),
    count=st.sampled_from([1, 4, 13]),
    window=st.none() | st.tuples(st.floats(-100, 30000), st.floats(-100, 30000)),
)
def test_any_page_keeps_to_its_width_and_acts_on_no_terminal(
    text: str, width: int, height: int, plain: bool, count: int, window: tuple[float, float] | None
) -> None:
    chart = hostile(text, count)
    check(chart_page(chart, plain, width, height, window), width)
    drawn = rows(plot_lines(chart, plain, width, height, window), plain)
    if plain and width >= LEAST_WIDTH:
        assert all(row.isascii() for row in drawn[:height])


@given(
    pieces=st.lists(
        st.lists(
            st.tuples(st.integers(0, 6600), st.floats(-1e9, 1e9)),
            min_size=1,
            max_size=8,
            unique_by=lambda p: p[0],
        ),
        max_size=6,
    ),
    plain=st.booleans(),
)
def test_any_course_can_be_drawn(pieces: list[list[tuple[int, float]]], plain: bool) -> None:
    course = [[[float(at), value] for at, value in sorted(piece)] for piece in pieces]
    check(plot_lines(one_couple(course, band=[595.0, 650.0], threshold=425.0), plain), 80)
