"""Lots by command, and where a heat went."""

import hashlib
from pathlib import Path

import pytest
from cli_kit import SHEET, Commands, refused


@pytest.fixture
def stocked(issued: Commands, tmp_path: Path) -> Commands:
    """A shop that received one plate, with its certificate, and one box of rods."""
    (tmp_path / "K-2210.pdf").write_bytes(b"%PDF invented")
    added = issued(
        "lot", "add", "material", "4130", "--heat", "K-2210", "--certificate", "3.1", "--verified-by", "certificate",
        "--supplier", "Bar & Tube", "--file", tmp_path / "K-2210.pdf",
    )  # fmt: skip
    assert (added.status, added.out) == (0, "lot L1: 4130, heat K-2210 is received\n")
    assert issued("lot", "add", "filler", "ER70S-2", "--heat", "R-5").status == 0
    return issued


def weld_step(traveler: Commands) -> int:
    steps = traveler("show", "B-101", "--json").json["steps"]
    return int(next(step["number"] for step in steps if step["kind"] == "weld"))


def test_lots_are_listed_with_their_papers(stocked: Commands) -> None:
    plate, rods = stocked("lot", "list", "--json").json
    digest = hashlib.sha256(b"%PDF invented").hexdigest()
    assert plate["file"] == {"sha256": digest, "size": 13, "name": "K-2210.pdf"}
    assert (plate["doubt"], rods["what"], rods["heat"]) == (None, "filler", "R-5")
    text = stocked("lot", "list").out
    assert "L1   4130, heat K-2210" in text
    assert digest in "".join(text.split())
    assert "verified by certificate" in text


def test_a_spark_test_is_said_to_tell_no_composition(stocked: Commands) -> None:
    added = stocked("lot", "add", "material", "4130", "--heat", "?", "--verified-by", "spark")
    assert added.status == 0
    assert "its grade was verified by spark only: leave the composition out of the sheet" in added.out
    remnant = stocked("lot", "add", "material", "--remnant-of", "K-2210")
    assert remnant.out == "lot L4: 4130, heat K-2210, a remnant of L1 is received\n"


def test_where_did_this_heat_go(stocked: Commands, tmp_path: Path) -> None:
    other = tmp_path / "other.toml"
    other.write_text(SHEET.replace("B-101", "B-102").replace("K-2210", "K-9"), encoding="utf-8")
    stocked("new", other)
    weld = weld_step(stocked)
    for job in ("B-101", "B-102"):
        stocked("record", job, weld, "filler lot", "R-5")
        stocked("record", job, weld, "interpass temperature", "330 F")
        stocked("record", job, weld, "arc energy", "1.0 kJ/mm")
    stocked("record", "B-101", weld, "arc energy", "1.0 kJ/mm")
    metal = stocked("where", "k-2210", "--json")
    assert metal.status == 0
    assert [lot["lot"] for lot in metal.json["lots"]] == ["L1"]
    assert [(job["job"], job["planned"][0]["joints"]) for job in metal.json["jobs"]] == [("B-101", ["J1"])]
    rods = stocked("where", "R-5", "--json").json
    assert [(job["job"], job["recorded"][0]["runs"]) for job in rods["jobs"]] == [
        ("B-101", [1, 2]), ("B-102", [1]),
    ]  # fmt: skip
    text = stocked("where", "R-5").out
    assert "JOB B-102, in process: Wishbone pickup" in text
    assert "filler lot R-5, lot L2: runs 1, 2" in " ".join(text.split())
    assert text.endswith("R-5 is in 2 jobs.\n")


def test_a_heat_that_went_nowhere_is_status_1(stocked: Commands) -> None:
    nowhere = stocked("where", "Z-1")
    assert (nowhere.status, nowhere.out) == (1, "Z-1 is in no job.\n")
    assert stocked("where", "Z-1", "--json").json == {"asked": "Z-1", "lots": [], "jobs": []}


def test_electrodes_are_opened_and_rebaked_once(stocked: Commands) -> None:
    opened = stocked("lot", "opened", "R-5", "--allowed", "4 h", "--at", "2026-03-02T08:00:00+01:00")
    assert opened.out == ("lot L2 ER70S-2 was opened at 2026-03-02T08:00:00+01:00; it may be out for 4 h\n")
    assert stocked("lot", "rebaked", "L2").status == 0
    again = stocked("lot", "rebaked", "L2")
    assert (again.status, "rebaked 2 times, and once is allowed" in again.out) == (1, True)
    assert len(stocked("lot", "list", "--json").json[1]["openings"]) == 3


def test_the_paper_names_the_lots(stocked: Commands) -> None:
    steps = stocked("show", "B-101", "--json").json["steps"]
    wanted = "heat number of bracket"
    step = next(s["number"] for s in steps for r in s["requirements"] if r["quantity"] == wanted)
    stocked("record", "B-101", step, wanted, "K-2210")
    text = stocked("export", "B-101", "--format", "text", "-o", "-").out
    assert "L1: 4130, heat K-2210; certificate 3.1; grade by certificate; reading 1" in " ".join(text.split())


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("lot", "add", "material"), "the grade of the lot is missing"),
        (("lot", "add", "steel", "4130"), "'steel' is not one of 'material', 'filler'"),
        (("lot", "add", "material", "4130", "--file", "missing.pdf"), "missing.pdf cannot be read"),
        (("lot", "opened", "L9"), 'there is no lot "L9" in the register'),
        (("where", " "), "what to look for is missing"),
    ],
)
def test_what_cannot_be_done_says_so(issued: Commands, arguments: tuple[object, ...], said: str) -> None:
    assert said in refused(issued(*arguments))


def test_one_lot_is_shown_with_who_entered_what(stocked: Commands) -> None:
    stocked("lot", "opened", "R-5", "--at", "2026-03-14T08:00Z", "--allowed", "4 h", "--by", "Wim")
    shown = stocked("lot", "show", "L2", "--json").json
    assert (shown["lot"], [entry["what"] for entry in shown["history"]]) == (
        "L2",
        ["received", "opened at 2026-03-14T08:00:00+00:00, may be out 4 h"],
    )
    assert shown["history"][1]["by"]["name"] == "Wim"
    text = " ".join(stocked("lot", "show", "R-5").out.split())
    assert "Wim: opened at 2026-03-14T08:00:00+00:00, may be out 4 h" in text
