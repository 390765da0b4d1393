"""``attach --as chart``: a chart becomes the readings of its step, complying or not; unreadable, it leaves no trace."""

import hashlib
from pathlib import Path
from typing import Any

import pytest
from chart_files import PLAIN, STEEP, clocked, elapsed, written
from cli_kit import Answer, Commands, refused

RELIEF = 60
WELD = 40
# The job's stress relief, shop 4130: 1100 to 1150 °F for 60 min, 400 F°/h up and 500 F°/h down above 800 °F.


def attach(traveler: Commands, file: Path | str, *options: object, step: int = RELIEF) -> Answer:
    return traveler("attach", "B-101", step, file, "--as", "chart", *options)


def job(traveler: Commands) -> dict[str, Any]:
    return dict(traveler("show", "B-101", "--json").json)


def step(traveler: Commands, number: int = RELIEF) -> dict[str, Any]:
    (found,) = [each for each in job(traveler)["steps"] if each["number"] == number]
    return dict(found)


def readings(traveler: Commands, quantity: str, number: int = RELIEF) -> list[dict[str, Any]]:
    (found,) = [each for each in step(traveler, number)["requirements"] if each["quantity"] == quantity]
    return list(found["readings"])


def test_a_chart_that_complies_is_the_reading(issued: Commands, tmp_path: Path) -> None:
    file = written(tmp_path, elapsed())
    answer = attach(issued, file)
    assert (answer.status, answer.err) == (0, "")
    assert answer.out.startswith("chart 1 (relief.csv) recorded with step 60: met\n")
    assert "step 60 waits for:" in answer.out
    (reading,) = readings(issued, "heating rate")
    assert (reading["value"], reading["unit"], reading["verdict"]) == ("150", "delta_degC/h", "met")
    (kept,) = step(issued)["charts"]
    assert kept["chart"] == 1
    assert kept["name"] == "relief.csv"
    assert kept["verdict"] == "met"
    assert kept["sha256"] == hashlib.sha256(file.read_bytes()).hexdigest()


def test_a_chart_that_fails_is_recorded_and_status_1(issued: Commands, tmp_path: Path) -> None:
    answer = attach(issued, written(tmp_path, elapsed(STEEP)))
    assert answer.status == 1
    assert "heating rate not met" in answer.out
    assert "rises 230.0 C°/h" in answer.out
    assert readings(issued, "heating rate")[0]["verdict"] == "not met"


def test_a_chart_that_does_not_show_it_is_status_1(issued: Commands, tmp_path: Path) -> None:
    answer = attach(issued, written(tmp_path, elapsed(open_from=270)))
    assert answer.status == 1
    assert "TC4 has no reading" in answer.out


@pytest.mark.parametrize(("rule", "status"), [("simple", 0), ("guard", 1)])
def test_a_conditional_chart_is_enough_under_simple_acceptance_only(
    issued: Commands, tmp_path: Path, rule: str, status: int
) -> None:
    # 610 °C lie 11.1 C° below 1150 °F (621.1 °C): less than a reading may be off (computed by hand).
    answer = attach(issued, written(tmp_path, elapsed()), "--uncertainty", "12 C", "--rule", rule)
    assert (answer.status, step(issued)["charts"][0]["verdict"]) == (status, "conditional")


def test_a_later_chart_does_not_erase_a_failing_one(issued: Commands, tmp_path: Path) -> None:
    attach(issued, written(tmp_path, elapsed(STEEP)))
    answer = attach(issued, written(tmp_path, elapsed(), "second.csv"))
    assert "heating rate not met" in answer.out
    assert [each["verdict"] for each in step(issued)["charts"]] == ["not met", "met"]


def test_a_chart_that_was_read_wrongly_is_taken_back(issued: Commands, tmp_path: Path) -> None:
    file = written(tmp_path, clocked(STEEP))
    assert attach(issued, file, "--date-order", "mdy").status == 1
    because = "the logger writes the day first"
    answer = attach(issued, file, "--date-order", "dmy", "--instead-of", 1, "--because", because)
    assert answer.status == 1
    first, second = step(issued)["charts"]
    assert (first["superseded"], first["superseded_by"], first["reason"]) == (True, 2, because)
    assert (second["superseded"], second["mapping"]["date_order"]) == (False, "dmy")


def test_options_reach_the_chart(issued: Commands, tmp_path: Path) -> None:
    file = written(tmp_path, elapsed(header=PLAIN.replace("TC4 (°C)", "Furnace (°C)")))
    options = (
        "--couples",
        "TC1,TC2,TC3",
        "--furnace",
        "Furnace",
        "--loaded",
        "0:02:00",
        "--window",
        "60 min",
    )
    assert attach(issued, file, *options, "--uncertainty", "1 C").status == 0
    (kept,) = step(issued)["charts"]
    assert kept["options"]["window"] == "60 min"
    assert kept["options"]["loaded"] == "0:02:00"
    assert kept["mapping"]["furnace"] == ["Furnace"]
    assert len(readings(issued, "furnace temperature at loading")) == 1


def test_a_logger_left_running_gives_the_readings_at_the_arcs(issued: Commands, tmp_path: Path) -> None:
    # 2.5 C°/min from 20 °C, the couples 4 min behind one another (constructed, computed by hand).
    file = written(tmp_path, elapsed())
    answer = attach(issued, file, "--arc", "1=1:20:00", "--arc", "2=1:30:00", step=WELD)
    assert answer.status == 0
    found = [
        (each["run"], each["value"], each["place"])
        for each in readings(issued, "interpass temperature", WELD)
    ]
    assert found == [(1, "190", "TC4"), (1, "220", "TC1"), (2, "215", "TC4"), (2, "245", "TC1")]


def test_an_arc_on_cold_metal_is_status_1(issued: Commands, tmp_path: Path) -> None:
    answer = attach(issued, written(tmp_path, elapsed()), "--arc", "1=0:30:00", step=WELD)
    assert answer.status == 1
    assert readings(issued, "interpass temperature", WELD)[0]["verdict"] == "not met"


def test_without_an_arc_a_log_of_a_weld_is_only_kept(issued: Commands, tmp_path: Path) -> None:
    answer = attach(issued, written(tmp_path, "whatever\n"), step=WELD)
    assert (answer.status, answer.out.splitlines()[0][:28]) == (0, "relief.csv kept with step 40")
    assert len(job(issued)["attachments"]) == 1


@pytest.mark.parametrize(
    ("text", "options", "told"),
    [
        (clocked(), (), "say it with --date-order dmy or mdy"),
        ("no chart at all\n", (), "row of readings"),
        (f"{PLAIN}\n0,20,20,20,20\n2,30,30,3x0,30\n", (), "line 3, column 4"),
        (elapsed(), ("--couples", "TC9"), "TC9"),
        (elapsed(), ("--window", "2 min"), "expected 5 min to 60 min"),
        (elapsed(), ("--instead-of", "7", "--because", "misread"), "no chart 7"),
        (elapsed(), ("--instead-of", "1"), "a reason is needed (--because)"),
        (elapsed(), ("--because", "misread"), "--instead-of"),
        (elapsed(), ("--arc", "first"), "such as 1=10:02"),
        (elapsed(), ("--arc", "0=1:00:00"), "no run of weld"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, tuple) else "",
)
def test_what_cannot_be_read_leaves_no_trace(
    issued: Commands, tmp_path: Path, text: str, options: tuple[str, ...], told: str
) -> None:
    before = job(issued)
    assert told in refused(attach(issued, written(tmp_path, text), *options))
    after = job(issued)
    assert (after["head"], after["attachments"]) == (before["head"], before["attachments"])


def test_a_time_outside_the_chart_is_no_arc(issued: Commands, tmp_path: Path) -> None:
    file = written(tmp_path, elapsed())
    assert "outside the chart" in refused(attach(issued, file, "--arc", "1=99:00:00", step=WELD))


@pytest.mark.parametrize("role", ["certificate", "photo"])
@pytest.mark.parametrize(
    "options",
    [
        ("--couples", "TC1"),
        ("--spare", "TC2=TC1"),
        ("--mapping", "m.toml"),
        ("--rule", "guard"),
        ("--header-line", "1"),
        ("--arc", "1=10:02"),
        ("--instead-of", "1"),
    ],
    ids=" ".join,
)
def test_options_of_a_chart_belong_to_a_chart(
    issued: Commands, tmp_path: Path, role: str, options: tuple[str, ...]
) -> None:
    file = written(tmp_path, elapsed())
    sentence = refused(issued("attach", "B-101", RELIEF, file, "--as", role, *options))
    assert sentence == f"{options[0]} belongs to --as chart; leave it out"
    assert issued("attach", "B-101", RELIEF, file, "--as", role).status == 0


def test_standard_input_and_the_shop_file_are_not_attached(issued: Commands) -> None:
    assert "cannot be read" in refused(attach(issued, "-"))
    assert "shop's file" in refused(attach(issued, issued.shop))


def test_a_job_that_has_ended_takes_no_chart(issued: Commands, tmp_path: Path) -> None:
    issued("cancel", "B-101", "--because", "the car was sold")
    answer = attach(issued, written(tmp_path, elapsed()))
    assert answer.status == 1
    assert "the job is cancelled" in answer.out


def test_hostile_names_print_safely(issued: Commands, tmp_path: Path) -> None:
    evil = PLAIN.replace("TC1", "\x1b]0;owned\x07TC1").replace("TC2", "\u202eTC2")
    file = written(tmp_path, elapsed(STEEP, header=evil), "re\x1b[31mlief.csv")
    for answer in (
        attach(issued, file),
        attach(issued, written(tmp_path, elapsed(STEEP, header=evil))),
        issued("show", "B-101"),
        issued("show", "B-101", "--json"),
    ):
        assert not set("\x1b\x07\u202e") & set(answer.out + answer.err)
