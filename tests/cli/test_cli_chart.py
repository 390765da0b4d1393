"""``chart``: text, JSON, exit status, what is asked for, bad input."""

import hashlib
import os
import subprocess
import sys
from dataclasses import fields
from pathlib import Path

import pytest
from chart_files import PLAIN, STEEP, clocked, elapsed, written
from cli_kit import ROOT, Answer, Commands, refused
from rich.cells import cell_len

from traveler.chart.model import Told
from traveler.chart.reading.mapping_file import read_mapping
from traveler.chart.times.time_form import MEANINGS
from traveler.cli.chart_options import SAYS
from traveler.record import attachments

RULE = ("--profile", "UCS-56 P-1", "--thickness", "25 mm")
# UCS-56 P-1 in metric at 25 mm: 595 °C for 60 min, 222 C°/h up and 280 C°/h down above 425 °C.


@pytest.fixture
def good(tmp_path: Path) -> Path:
    return written(tmp_path, elapsed())


@pytest.fixture
def steep(tmp_path: Path) -> Path:
    return written(tmp_path, elapsed(STEEP))


@pytest.fixture
def unclear(tmp_path: Path) -> Path:
    return written(tmp_path, clocked())


def chart(traveler: Commands, file: Path | str, *options: object, stdin: bytes = b"") -> Answer:
    return traveler("chart", file, *RULE, *options, stdin=stdin)


def criterion(answer: Answer, name: str) -> dict[str, object]:
    (found,) = [each for each in answer.json["criteria"] if each["criterion"] == name]
    return dict(found)


def test_a_chart_that_complies(traveler: Commands, good: Path) -> None:
    answer = chart(traveler, good)
    assert (answer.status, answer.err) == (0, "")
    assert answer.out.startswith("Chart: relief.csv: MET\n")
    assert "75 min" in answer.out
    assert "no furnace couple" in answer.out
    assert "taken as zero" in answer.out


def test_json_is_the_object_that_others_rely_on(traveler: Commands, good: Path) -> None:
    answer = chart(traveler, good, "--json")
    assert answer.status == 0
    found = answer.json
    assert {"verdict", "criteria", "mapping", "sha256"} <= set(found)
    assert "name" not in found
    assert found["verdict"] == "met"
    assert found["sha256"] == hashlib.sha256(good.read_bytes()).hexdigest()
    for each in found["criteria"]:
        assert {
            *("criterion", "limit", "worst", "unit", "couple", "at"),
            *("margin", "verdict", "source", "mark", "reasons"),
        } <= set(each)
    time = criterion(answer, "soak time")
    assert (time["worst"], time["unit"], time["limit"], time["margin"]) == (75.0, "min", 60.0, 15.0)
    assert time["source"]
    assert time["mark"]
    loading = criterion(answer, "temperature at loading")
    assert (loading["verdict"], loading["decides"]) == ("not shown", False)
    assert found["mapping"]["couples"] == ["TC1", "TC2", "TC3", "TC4"]


def test_a_chart_that_fails_says_where(traveler: Commands, steep: Path) -> None:
    answer = chart(traveler, steep, "--json")
    assert answer.status == 1
    heating = criterion(answer, "heating rate")
    assert (heating["verdict"], heating["worst"], heating["limit"]) == ("not met", 230.0, 222.0)
    assert heating["couple"] in ("TC1", "TC2", "TC3", "TC4")
    assert heating["at"]
    text = chart(traveler, steep)
    assert text.status == 1
    assert "NOT MET" in text.out
    assert "rises 230.0 C°/h" in text.out


def test_a_wider_window_is_stated_and_counts(traveler: Commands, steep: Path) -> None:
    # 149.5 C°/h is the greatest over an hour, and the whole heating is slower (constructed, computed by hand).
    answer = chart(traveler, steep, "--window", "60 min", "--json")
    assert answer.status == 0
    assert answer.json["options"]["window"] == "60 min"


def test_a_couple_that_fails_is_not_shown_and_status_1(traveler: Commands, tmp_path: Path) -> None:
    answer = chart(traveler, written(tmp_path, elapsed(open_from=270)), "--json")
    assert answer.status == 1
    assert answer.json["verdict"] == "not shown"
    assert criterion(answer, "couples")["couple"] == "TC4"


def test_a_spare_takes_its_place(traveler: Commands, tmp_path: Path) -> None:
    text = elapsed(open_from=270).splitlines()
    spared = [f"{text[0]},TC5 (°C)", *(f"{line},{line.split(',')[3]}" for line in text[1:])]
    file = written(tmp_path, "\n".join(spared) + "\n")
    assert chart(traveler, file, "--spare", "TC5=TC4").status == 0


@pytest.mark.parametrize(("rule", "status"), [((), 0), (("--rule", "simple"), 0), (("--rule", "guard"), 1)])
def test_conditional_is_enough_under_simple_acceptance_only(
    traveler: Commands, good: Path, rule: tuple[str, ...], status: int
) -> None:
    # With every reading 5.6 C° off the soak lasts 70.52 min (constructed, computed by hand); 30 mm ask for 72 min.
    answer = traveler(
        *("chart", good, "--profile", "UCS-56 P-1", "--thickness", "30 mm", "--uncertainty", "5.6 C"),
        *rule,
        "--json",
    )
    assert (answer.json["verdict"], answer.status) == ("conditional", status)


def test_the_furnace_couple_shows_the_loading(traveler: Commands, tmp_path: Path) -> None:
    lines = elapsed().splitlines()
    text = "\n".join([f"{lines[0]},Furnace (°C)", *(f"{line},431" for line in lines[1:])]) + "\n"
    file = written(tmp_path, text)
    answer = chart(traveler, file, "--furnace", "Furnace", "--loaded", "0:02:00", "--json")
    # 431 °C against a furnace of 425 °C at most when the part goes in.
    assert (answer.status, criterion(answer, "temperature at loading")["verdict"]) == (1, "not met")


def test_a_ceiling_is_held_against_every_couple(traveler: Commands, good: Path) -> None:
    assert chart(traveler, good, "--ceiling", "610 C").status == 0
    answer = chart(traveler, good, "--ceiling", "609.9 C", "--json")
    assert (answer.status, criterion(answer, "highest temperature")["verdict"]) == (1, "not met")


def test_units_choose_the_printed_limit(traveler: Commands, good: Path) -> None:
    limits = [
        criterion(chart(traveler, good, "--units", units, "--json"), "soak temperature")["limit_shown"]
        for units in ("inch", "metric")
    ]
    assert str(limits[0]).startswith("1100 °F")
    assert str(limits[1]).startswith("595 °C")


def test_the_uncertainty_may_be_the_class_of_the_couple(traveler: Commands, good: Path) -> None:
    # Class 2 at 650 °C: 0.0075 x 650 = 4.875 C°, reader 1.5 C°, both rectangular: 2 sqrt((4.875² + 1.5²)/3) = 5.89 C°
    # (IEC 60584-1 as suppliers quote it, computed by hand), rounded up to a tenth.
    answer = chart(traveler, good, "--ceiling", "650 C", "--uncertainty", "K class 2, reader 1.5 C", "--json")
    assert answer.json["options"]["uncertainty"].startswith("5.9 C°")


def test_a_hand_read_chart_is_conditional_at_best(traveler: Commands, good: Path) -> None:
    assert chart(traveler, good, "--method", "hand-read", "--json").json["verdict"] == "conditional"


def test_no_line_is_wider_than_80_columns(traveler: Commands, steep: Path) -> None:
    assert [line for line in chart(traveler, steep).out.splitlines() if cell_len(line) > 80] == []


def test_standard_input_is_a_chart_too(traveler: Commands, good: Path) -> None:
    answer = chart(traveler, "-", "--json", stdin=good.read_bytes())
    assert (answer.status, answer.json) == (0, chart(traveler, good, "--json").json)


def test_nothing_is_stored(traveler: Commands, good: Path) -> None:
    assert chart(traveler, good).status == 0
    assert not traveler.shop.exists()


def test_what_the_file_leaves_open_is_one_sentence_with_its_option(traveler: Commands, unclear: Path) -> None:
    sentence = refused(chart(traveler, unclear))
    assert "03/04/2026" in sentence
    assert sentence.endswith("say it with --date-order dmy or mdy, or in a mapping file")
    assert chart(traveler, unclear, "--date-order", "dmy").status == 0


def test_marks_stand_in_quotes(traveler: Commands, tmp_path: Path) -> None:
    file = written(tmp_path, "Time (min);TC1 (°F);TC2 (°F)\n0;1.100;1.100\n2;1.150;1.150\n")
    assert "say it with --decimal '.' or ',', or in a mapping file" in refused(chart(traveler, file))


@pytest.mark.parametrize(
    ("header", "option"),
    [
        ("Time,TC1,TC2,TC3,TC4", "--unit C or F"),
        ("Time,TC1 (°C),TC2 (°C),TC3 (°C),Damper", "--couples and their names with commas between"),
    ],
)
def test_each_question_names_its_option(traveler: Commands, tmp_path: Path, header: str, option: str) -> None:
    file = written(tmp_path, clocked(header=header, form="%Y-%m-%d %H:%M"))
    assert f"say it with {option}" in refused(chart(traveler, file))


def test_options_settle_what_is_open(traveler: Commands, tmp_path: Path) -> None:
    file = written(tmp_path, clocked(header="Stamp;TC1;TC2;TC3;Damper".replace(";", ",")))
    answer = chart(
        traveler,
        file,
        "--unit",
        "c",
        "--date-order",
        "mdy",
        "--couples",
        "TC1, TC2",
        "--couples",
        "TC3",
        "--json",
    )
    assert answer.status == 0
    mapping = answer.json["mapping"]
    assert (mapping["unit"], mapping["date_order"]) == ("degC", "mdy")
    assert mapping["couples"] == ["TC1", "TC2", "TC3"]


def test_a_mapping_file_settles_it_and_options_beside_it_win(
    traveler: Commands, unclear: Path, tmp_path: Path
) -> None:
    mapping = tmp_path / "mapping.toml"
    mapping.write_text('date_order = "mdy"\nzone = "Europe/Berlin"\n', encoding="utf-8")
    found = chart(traveler, unclear, "--mapping", mapping, "--json").json
    assert found["drawing"]["started_at"] == "2026-03-04T08:00:00+01:00"
    found = chart(traveler, unclear, "--mapping", mapping, "--date-order", "dmy", "--json").json
    assert found["drawing"]["started_at"] == "2026-04-03T08:00:00+02:00"


def test_what_was_decided_can_be_kept_and_given_again(
    traveler: Commands, unclear: Path, tmp_path: Path
) -> None:
    kept = tmp_path / "kept.toml"
    options = ("--date-order", "dmy", "--couples", "TC1,TC2,TC3", "--furnace", "TC4")
    first = chart(traveler, unclear, *options, "--save-mapping", kept, "--json")
    again = chart(traveler, unclear, "--mapping", kept, "--json")
    assert first.status == 0
    assert again.json["mapping"] == first.json["mapping"]
    assert again.json["criteria"] == first.json["criteria"]


def test_the_chart_is_never_overwritten_by_its_mapping(traveler: Commands, good: Path) -> None:
    before = good.read_bytes()
    assert "--save-mapping" in refused(chart(traveler, good, "--save-mapping", good))
    assert good.read_bytes() == before


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (("--profile", "UCS-56 P-99"), "expected one of"),
        (("--thickness", "25"), "the unit is missing"),
        (("--thickness", "0 mm"), "not above zero"),
        (("--window", "2 min"), "expected 5 min to 60 min"),
        (("--window", "30"), "expected a time"),
        (("--uncertainty", "40 C"), "nothing of the soak band"),
        (("--uncertainty", "-1 C"), "below zero"),
        (("--uncertainty", "X class 9"), "K class 2, reader 1.5 C"),
        (("--max-gap", "0 min"), "not above zero"),
        (("--ceiling", "600"), "expected a temperature"),
        (("--loaded", "99:00:00"), "outside the chart"),
        (("--couples", "TC9"), "TC9"),
        (("--couples", "TC1,,TC2"), "empty"),
        (("--spare", "TC4"), "such as TC5=TC1"),
        (("--spare", "TC4=TC9"), "TC9"),
        (("--unit", "K"), "--unit"),
        (("--rule", "strict"), "--rule"),
        (("--method", "guess"), "--method"),
        (("--header-line", "x"), "--header-line"),
        (("--time", "Hour"), "Hour"),
        (("--time-form", "fortnights"), "form of time"),
        (("--zone", "Mars/Base"), "zone"),
        (("--delimiter", "#"), "delimiter"),
        (("--mapping", "nowhere.toml"), "nowhere.toml"),
        (("--mapping", "."), "cannot be read"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, tuple) else "",
)
def test_bad_options(traveler: Commands, good: Path, options: tuple[str, ...], told: str) -> None:
    # The ceiling of a band that an uncertainty can leave nothing of.
    ceiling = ("--ceiling", "650 C") if "--uncertainty" in options else ()
    assert told in refused(chart(traveler, good, *ceiling, *options))


@pytest.mark.parametrize("left_out", ["--profile", "--thickness"])
def test_profile_and_thickness_are_never_guessed(traveler: Commands, good: Path, left_out: str) -> None:
    rest = [word for word in RULE if word != left_out and RULE[RULE.index(word) - 1] != left_out]
    assert left_out in refused(traveler("chart", good, *rest))


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "empty"),
        (b"%PDF-1.7\n", "PDF"),
        (b"PK\x03\x04....", "spreadsheet"),
        (b"no chart at all\n", "row of readings"),
        ((PLAIN + "\n0,20,20,20,20\n").encode(), "two at least"),
        ((PLAIN + "\n0,20,20,20,20\n2,30,30,30,3x0\n4,40,40,40,40\n").encode(), "line 3, column 5"),
        ((PLAIN + "\n0,20,20,20,20\n4,30,30,30,30\n2,40,40,40,40\n").encode(), "line 4"),
    ],
    ids=["nothing", "PDF", "spreadsheet", "words", "one row", "no number", "backward"],
)
def test_a_file_that_cannot_be_read_names_the_place(
    traveler: Commands, tmp_path: Path, content: bytes, told: str
) -> None:
    file = tmp_path / "bad.csv"
    file.write_bytes(content)
    assert told in refused(chart(traveler, file))
    assert told in refused(chart(traveler, "-", stdin=content))


def test_a_missing_file_and_a_folder(traveler: Commands, tmp_path: Path) -> None:
    assert "cannot be read" in refused(chart(traveler, tmp_path / "none.csv"))
    assert "folder" in refused(chart(traveler, tmp_path))


def test_too_large_a_file_is_a_sentence(
    traveler: Commands, good: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(attachments, "LARGEST_BYTES", 1024)
    assert "larger than" in refused(chart(traveler, good))
    assert "standard input is larger than" in refused(chart(traveler, "-", stdin=good.read_bytes()))


def test_names_of_columns_never_act_on_the_terminal(traveler: Commands, tmp_path: Path) -> None:
    evil = "Time (min),\x1b]0;owned\x07TC1 (°C),\u202eTC2 (°C),\x9b31mTC3 (°C),TC4 (°C)"
    file = written(tmp_path, elapsed(STEEP, header=evil))
    for options in ((), ("--json",), ("--couples", "\x1b[31mTC9")):
        answer = chart(traveler, file, *options)
        assert not set("\x1b\x07\x9b\u202e") & set(answer.out + answer.err), options
    assert any(
        name.startswith("\u202e") for name in chart(traveler, file, "--json").json["mapping"]["couples"]
    )


def test_a_question_about_a_hostile_name_is_safe_too(traveler: Commands, tmp_path: Path) -> None:
    file = written(tmp_path, elapsed(header=PLAIN.replace("TC4 (°C)", "\x1b[31mDamper")))
    assert "\x1b" not in refused(chart(traveler, file))


@pytest.mark.slow
def test_ascii_where_it_is_asked_for(traveler: Commands, steep: Path) -> None:
    drawn = traveler.process("chart", steep, *RULE, environment={"PYTHONIOENCODING": "utf-8"})
    plain = traveler.process("chart", steep, *RULE, environment={"TRAVELER_ASCII": "1"})
    other = traveler.process("chart", steep, *RULE, environment={"PYTHONIOENCODING": "latin-1"})
    assert (drawn.status, plain.status, other.status) == (1, 1, 1)
    assert plain.out.isascii()
    assert plain.out == other.out
    assert not drawn.out.isascii()
    assert "rises 230.0 C deg/h" in plain.out


@pytest.mark.skipif(sys.platform == "win32", reason="pipes of this kind are POSIX")
def test_a_reader_that_stops_early_changes_no_status(traveler: Commands, steep: Path) -> None:
    reading_end, writing_end = os.pipe()
    os.close(reading_end)
    ended = subprocess.run(
        [sys.executable, "-m", "traveler", "chart", str(steep), *RULE],
        stdout=writing_end,
        stderr=subprocess.PIPE,
        env=traveler.outside(),
        timeout=60,
    )
    os.close(writing_end)
    assert (ended.returncode, ended.stderr) == (1, b"")


def test_the_mapping_file_in_the_document_is_one() -> None:
    page = (ROOT / "docs" / "commands.md").read_text(encoding="utf-8")
    told = read_mapping(page.split("```toml\n")[1].split("```")[0].encode())
    assert (told.unit, told.time, told.spares) == ("degC", ("Date", "Time"), {"TC5": "TC1"})


def test_every_form_of_time_stands_in_the_document() -> None:
    page = (ROOT / "docs" / "commands.md").read_text(encoding="utf-8")
    (row,) = [line for line in page.splitlines() if line.startswith("| `--time-form")]
    for form in MEANINGS:
        unit = form.removeprefix("elapsed ")
        assert f"`{form}`" in row or f"`{unit}`" in row, form


def test_every_question_has_an_option() -> None:
    """What the reader may ask is a field that an option says."""
    assert {field.name for field in fields(Told)} == set(SAYS)
