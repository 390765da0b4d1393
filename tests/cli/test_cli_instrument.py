"""Instruments by command: registered, calibrated, found out, answered for."""

from datetime import date, timedelta
from pathlib import Path

import pytest
from cli_kit import SHEET, Commands, refused

TODAY = date.today()
LAST_YEAR, NEXT_YEAR = TODAY - timedelta(days=300), TODAY + timedelta(days=65)
PREHEAT = "preheat temperature"


@pytest.fixture
def probe(issued: Commands) -> Commands:
    """A shop with one calibrated contact probe."""
    added = issued(
        "instrument", "add", "contact probe", "--type", "contact thermometer", "--from", "0 F", "--to", "750 F",
        "--uncertainty", "3 F", "--serial", "SN-9",
    )  # fmt: skip
    assert (added.status, added.err) == (0, "")
    assert added.out.startswith("I1 contact probe (contact thermometer) is registered")
    entered = calibrate(issued)
    assert entered == (0, f"I1 contact probe was calibrated on {LAST_YEAR}: good until {NEXT_YEAR}\n")
    return issued


def calibrate(traveler: Commands, due: date = NEXT_YEAR) -> tuple[int, str]:
    answer = traveler(
        "instrument", "calibrated", "sn-9", "--on", LAST_YEAR, "--due", due, "--certificate", "C-77"
    )
    return answer.status, answer.out


def preheat_step(traveler: Commands) -> int:
    steps = traveler("show", "B-101", "--json").json["steps"]
    return int(next(step["number"] for step in steps if step["kind"] == "preheat"))


def test_instruments_are_listed_as_they_stand_today(probe: Commands) -> None:
    (entry,) = probe("instrument", "list", "--json").json
    assert entry == {
        "instrument": "I1", "name": "contact probe", "type": "contact thermometer", "serial": "SN-9",
        "range": {"from": {"value": "0", "unit": "degF"}, "to": {"value": "750", "unit": "degF"}},
        "uncertainty": {"value": "3", "unit": "delta_degF"},
        "calibrated": str(LAST_YEAR), "due": str(NEXT_YEAR), "certificate": "C-77",
        "state": "in calibration", "why": None,
        "shown": {"range": "0 °F (-17.8 °C) to 750 °F (398.9 °C)", "uncertainty": "3 F° (1.7 C°)"},
    }  # fmt: skip
    text = probe("instrument", "list").out
    assert "I1   contact probe, contact thermometer, serial number SN-9: in calibration" in text
    assert f"calibrated {LAST_YEAR}, due {NEXT_YEAR}, certificate C-77" in text


def test_a_shop_without_instruments_says_so(issued: Commands) -> None:
    assert issued("instrument", "list").out.startswith("No instruments are registered")
    assert issued("instrument", "list", "--json").json == []


def test_a_reading_names_its_instrument_and_the_paper_prints_it(probe: Commands) -> None:
    step = preheat_step(probe)
    inside = probe(
        "record", "B-101", step, PREHEAT, "320 F", "--instrument", "Contact Probe", "--place", "web"
    )
    assert inside.status == 0
    near = probe("record", "B-101", step, PREHEAT, "302 F", "--instrument", "I1", "--place", "flange")
    assert (near.status, "conditional" in near.out) == (0, True)
    none = probe("record", "B-101", step, PREHEAT, "320 F", "--place", "rib")
    assert (none.status, "it names no registered instrument" in none.out) == (1, True)
    text = " ".join(probe("export", "B-101", "--format", "text", "-o", "-").out.split())
    assert (
        f"I1 contact probe, contact thermometer: in calibration; calibrated {LAST_YEAR}, due {NEXT_YEAR}"
        ", certificate C-77" in text
    )
    assert f"320 °F (160.0 °C); met; web; I1 contact probe (due {NEXT_YEAR})" in text
    corrected = probe("supersede", "B-101", 3, "--instrument", "I1", "--because", "forgot to name it")
    assert (corrected.status, "within its limit" in corrected.out) == (0, True)


def test_a_gauge_found_out_is_one_command_over_all_jobs(probe: Commands, tmp_path: Path) -> None:
    other = tmp_path / "other.toml"
    other.write_text(SHEET.replace("B-101", "B-102"), encoding="utf-8")
    probe("new", other)
    step = preheat_step(probe)
    for job, value in (("B-101", "320 F"), ("B-101", "330 F"), ("B-102", "310 F")):
        probe("record", job, step, PREHEAT, value, "--instrument", "I1", "--place", value)
    before = probe("instrument", "questions", "I1")
    assert (before.status, " ".join(before.out.split())) == (
        0,
        f"I1 contact probe, last good on {LAST_YEAR}. What it read since would be in question: "
        "job B-101: readings 1, 2 job B-102: reading 1",
    )
    assert probe("instrument", "questions", "I1", "--json").json == {
        "instrument": "I1 contact probe", "since": str(LAST_YEAR),
        "jobs": [{"job": "B-101", "readings": [1, 2]}, {"job": "B-102", "readings": [1]}],
    }  # fmt: skip
    assert "in question" not in probe("show", "B-102").out
    earlier = LAST_YEAR - timedelta(days=30)
    assert f"last good on {earlier}" in probe("instrument", "questions", "I1", "--since", earlier).out
    assert "still to come" in refused(
        probe("instrument", "questions", "I1", "--on", TODAY + timedelta(days=1))
    )
    out = probe("instrument", "out", "I1", "--finding", "reads 12 F high")
    assert (out.status, out.out.splitlines()) == (
        0,
        [
            f"I1 contact probe found out of tolerance, last good on {LAST_YEAR}: 3 readings in 2 jobs in question",
            "  job B-101: readings 1, 2",
            "  job B-102: reading 1",
        ],
    )  # fmt: skip
    assert "reading 1 is in question" in probe("show", "B-102").out
    (entry,) = probe("instrument", "list", "--json").json
    assert (entry["state"], entry["why"]) == (
        "overdue",
        f"found out of tolerance on {TODAY}: reads 12 F high",
    )
    part = probe(
        "instrument",
        "answer",
        "B-101",
        "stands",
        "--reading",
        2,
        "--because",
        "18 F of margin",
        "--by",
        "Ines",
    )
    assert (part.status, part.out.splitlines()[1]) == (0, "  still to be answered: 1")
    rest = probe("instrument", "answer", "B-101", "does not stand", "--because", "too near", "--by", "Ines")
    assert (rest.status, rest.out) == (0, "job B-101: reading 1 does not stand, says Ines\n")
    shown = " ".join(probe("show", "B-101").out.split())
    assert "READINGS IN QUESTION" in shown
    assert "Answered for reading 2: to stand, 18 F of margin; Ines" in shown
    again = probe("instrument", "answer", "B-102", "stands", "--reading", 9, "--because", "x", "--by", "Ines")
    assert "job B-102 has no reading 9" in refused(again)


def test_a_withdrawn_instrument_is_withdrawn_once(probe: Commands) -> None:
    assert probe("instrument", "withdraw", "contact probe", "--because", "dropped").status == 0
    again = probe("instrument", "withdraw", "I1", "--because", "dropped")
    assert (again.status, "I1 contact probe is withdrawn: dropped" in again.out) == (1, True)
    assert calibrate(probe)[0] == 1


def test_a_lapsed_calibration_is_entered_with_status_1(probe: Commands) -> None:
    status, said = calibrate(probe, TODAY - timedelta(days=1))
    assert (status, "it is overdue" in said) == (1, True)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("add", "probe", "--type", "thermometer"), "'thermometer' is not one of 'contact thermometer'"),
        (("calibrated", "I7", "--on", "2026-01-05", "--due", "2027-01-05", "--certificate", "C"),
         'there is no instrument "I7" in the register; it has: none yet'),
        (("add", "probe", "--type", "caliper", "--uncertainty", "0.02"), "uncertainty: 0.02: the unit is missing"),
        (("answer", "B-101", "stands", "--because", "x", "--by", "Ines"), "no reading of job B-101 waits"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_says_so(issued: Commands, arguments: tuple[object, ...], said: str) -> None:
    assert said in refused(issued("instrument", *arguments))


def test_one_instrument_is_shown_with_who_entered_what(probe: Commands) -> None:
    probe("instrument", "out", "I1", "--finding", "reads 12 F [high]", "--by", "Ines")
    probe("instrument", "withdraw", "I1", "--because", "beyond repair", "--by", "Ines")
    shown = probe("instrument", "show", "sn-9", "--json").json
    assert shown["state"] == "withdrawn"
    assert [(entry["what"], entry["because"]) for entry in shown["history"]] == [
        ("registered as contact probe, contact thermometer", None),
        (f"calibrated on {LAST_YEAR}, due {NEXT_YEAR}, certificate C-77", None),
        (f"found out of tolerance on {TODAY}: reads 12 F [high]; last good on {LAST_YEAR}", None),
        ("withdrawn", "beyond repair"),
    ]
    assert [entry["by"]["name"] for entry in shown["history"]][2:] == ["Ines", "Ines"]
    text = " ".join(probe("instrument", "show", "I1").out.split())
    assert "I1 contact probe, contact thermometer, serial number SN-9: withdrawn" in text
    assert "Ines: withdrawn: beyond repair" in text
    assert 'there is no instrument "I9"' in refused(probe("instrument", "show", "I9"))
