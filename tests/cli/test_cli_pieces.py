"""Pieces by command: split, scrapped, lost, joined, counted at the closing; what cannot be is said in a sentence."""

import json
from pathlib import Path

import pytest
from cli_kit import SHEET, Commands, refused

BATCH = SHEET.replace("[job]\n", '[job]\nquantity = 3\nserials = ["RU-1", "RU-2", "RU-3"]\n')
FRAME = SHEET.replace("B-101", "F-7") + '\n[[step]]\nnumber = 90\nkind = "assemble"\n'


@pytest.fixture
def batch(traveler: Commands, tmp_path: Path) -> Commands:
    for name, text in (("batch.toml", BATCH), ("frame.toml", FRAME)):
        (tmp_path / name).write_text(text)
        assert traveler("new", tmp_path / name).status in (0, 1)
    return traveler


def test_pieces_go_their_ways(batch: Commands, tmp_path: Path) -> None:
    told = batch("split", "B-101", "--pieces", 1, "--serial", "RU-2", "--as", "B-101-2", "--because", "rush")
    assert (told.status, told.out) == (
        0,
        "job B-101-2: 1 piece (RU-2) split off from B-101, which has "
        "3 in = 2 in process + 0 rejected + 0 lost + 1 split off\n",
    )
    told = batch("pieces", "B-101", "--lost", 1, "--serial", "RU-3", "--because", "not found")
    assert (
        told.out
        == "job B-101: 1 piece (RU-3) lost; 3 in = 1 in process + 0 rejected + 1 lost + 1 split off\n"
    )
    told = batch("join", "F-7", "B-101", "--serial", "RU-1")
    assert told.status == 1
    assert told.out.splitlines() == [
        "step 90: 1 piece (RU-1) of B-101 joined in F-7",
        "  component B-101 is not closed: close it, or take it out",
    ]
    shown = batch("show", "F-7").out
    assert "Component B-101, Wishbone pickup [A36] [/], at step 90: 1 piece (RU-1)" in " ".join(shown.split())
    pieces = batch("show", "B-101", "--json").json["pieces"]
    assert (pieces["here"], pieces["lost"], pieces["used"], pieces["serials"]) == (1, 1, 1, ["RU-1"])
    assert batch("join", "F-7", "B-101", "--take-out", "--because", "the wrong one").status == 0
    for form in ("text", "markdown", "csv", "json"):
        assert batch("export", "B-101-2", "--format", form, "-o", tmp_path / form).status == 0
    assert "split off from job B-101" in (tmp_path / "markdown").read_text()
    assert batch("verify", tmp_path / "json").status == 0
    assert batch("verify", batch.shop).status == 0
    assert batch("list").status == 0


def test_a_packet_of_what_was_split_off_checks_by_itself(batch: Commands, tmp_path: Path) -> None:
    import subprocess
    import sys
    import zipfile

    step = batch("show", "B-101", "--json").json["steps"][0]["number"]
    batch("sign", "B-101", step, "--as", "performed")
    batch("split", "B-101", "--pieces", 1, "--serial", "RU-1", "--as", "B-2", "--because", "rush")
    batch("split", "B-101", "--pieces", 1, "--serial", "RU-2", "--as", "B-3", "--because", "rush")
    packet = tmp_path / "p.zip"
    assert batch("export", "B-2", "--format", "packet", "-o", packet).status == 0
    zipfile.ZipFile(packet).extractall(tmp_path / "out")
    checked = subprocess.run(
        [sys.executable, "-I", tmp_path / "out" / "verify.py"], capture_output=True, text=True, check=False
    )
    assert (checked.returncode, checked.stderr) == (0, ""), checked.stdout


def test_a_label_for_each_serial(batch: Commands, tmp_path: Path) -> None:
    from pypdf import PdfReader

    label = tmp_path / "label.pdf"
    assert batch("paper", "B-101", "--as", "label", "-o", label).status == 0
    text = "".join(page.extract_text() for page in PdfReader(label).pages)
    assert all(f"Serial {serial}" in text for serial in ("RU-1", "RU-2", "RU-3"))


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("pieces", "B-101", "--because", "x"), "--scrap N"),
        (("pieces", "B-101", "--scrap", 1, "--lost", 1, "--because", "x"), "--scrap N"),
        (("pieces", "B-101", "--scrap", 0, "--because", "x"), "0 is no number of pieces"),
        (("split", "B-101", "--pieces", 1, "--as", "B-101", "--because", "x"), "in this shop already"),
        (("split", "B-101", "--pieces", 1, "--as", "a/b", "--because", "x"), "is no number of a job"),
        (("split", "B-101", "--pieces", "x", "--as", "B-2", "--because", "x"), "--pieces"),
        (("join", "F-7", "B-101", "B-101"), "named twice"),
        (("join", "F-7", "B-101", "--take-out"), "--because"),
        (("join", "F-7", "B-101", "--because", "x"), "--take-out"),
        (("join", "F-7", "B-101", "--take-out", "--pieces", 1, "--because", "x"), "leave --pieces"),
        (("join", "F-7", "Z-1"), 'no job "Z-1"'),
    ],
)
def test_bad_input_is_told_in_a_sentence(batch: Commands, arguments: tuple[object, ...], told: str) -> None:
    before = batch("list", "--json").json
    assert told in refused(batch(*arguments))
    assert batch("list", "--json").json == before


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("quantity = 0", "job.quantity: read the number 0; expected how many pieces are made"),
        ('quantity = "5"', 'job.quantity: read "5"'),
        ("quantity = 2.5", "job.quantity: read the number 2.5"),
        ("quantity = true", "job.quantity: read true"),
        (
            'quantity = 2\nserials = ["A"]',
            "job.serials: read 1 serial for 2 pieces; expected as many as the quantity",
        ),
        ('serials = ["A", "B"]', "job.serials: read 2 serials for 1 piece"),
        ('quantity = 2\nserials = ["A", "A"]', 'job.serials[1]: read "A" a second time; expected each once'),
        ('quantity = 2\nserials = ["A", 7]', "job.serials[1]: read the number 7"),
        ('serials = "A"', 'job.serials: read "A"; expected a list of'),
        ("serials = []", "job.serials: read an empty list"),
    ],
)
def test_faults_of_the_sheet_name_their_place(
    traveler: Commands, tmp_path: Path, written: str, told: str
) -> None:
    (tmp_path / "bad.toml").write_text(SHEET.replace("[job]\n", f"[job]\n{written}\n"))
    answer = traveler("plan", tmp_path / "bad.toml")
    assert (answer.status, answer.out) == (2, "")
    assert told in answer.err


def test_a_sheet_of_several_pieces_prints_how_many(traveler: Commands, tmp_path: Path) -> None:
    (tmp_path / "batch.toml").write_text(BATCH)
    plan = json.loads(traveler("plan", tmp_path / "batch.toml", "--json").out)
    assert (plan["quantity"], plan["serials"]) == (3, ["RU-1", "RU-2", "RU-3"])
    assert "Pieces: 3\nSerials: RU-1, RU-2, RU-3" in traveler("plan", tmp_path / "batch.toml").out
