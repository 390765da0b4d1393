"""Bad input: one sentence that names the place and what was expected, status 2, nothing half-written."""

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from cli_kit import SHEET, Commands, refused

posix = pytest.mark.skipif(os.name != "posix", reason="needs POSIX devices")
BAD_SHEETS = {
    "unknown grade": ('grade = "4130"', 'grade = "4131"', "material[0].grade"),
    "unknown key": ('restraint = "medium"', 'restrain = "medium"', "joint[0].restrain"),
    "no unit": ('thickness = "1/4 in" },', 'thickness = "0.25" },', "joint[0].member[0].thickness"),
    "not a length": ('thickness = "1/4 in" },', 'thickness = "300 farad" },', "joint[0].member[0].thickness"),
    "not a number": ('thickness = "1/4 in" },', 'thickness = "NaN in" },', "joint[0].member[0].thickness"),
    "negative": ('thickness = "1/4 in" },', 'thickness = "-1/4 in" },', "joint[0].member[0].thickness"),
    "no metal of that name": ('{ material = "plate"', '{ material = "plat"', "joint[0].member[1].material"),
    "not TOML": ("[job]", "[job", "line 2"),
}


@pytest.mark.parametrize(("good", "bad", "place"), BAD_SHEETS.values(), ids=BAD_SHEETS)
def test_a_bad_sheet_names_the_place(
    traveler: Commands, tmp_path: Path, good: str, bad: str, place: str
) -> None:
    sheet = tmp_path / "bad.toml"
    assert good in SHEET
    sheet.write_text(SHEET.replace(good, bad, 1), encoding="utf-8")
    for command in ("plan", "new"):
        answer = traveler(command, sheet)
        assert (answer.status, answer.out) == (2, "")
        assert any(line.startswith(f"traveler: {place}") for line in answer.err.splitlines()), answer.err
    assert not traveler.shop.exists()


def test_every_fault_has_a_line(traveler: Commands, tmp_path: Path) -> None:
    sheet = tmp_path / "bad.toml"
    step = '[[step]]\nnumber = 10\nkind = "cut"\n'
    text = SHEET.replace('grade = "4130"', 'grade = "nope"').replace('units = "inch"\n', "")
    sheet.write_text(f"{text}\n{step}{step}", encoding="utf-8")
    answer = traveler("plan", sheet)
    assert answer.status == 2
    faults = answer.err.splitlines()
    assert len(faults) == 3
    for place in ("material[0].grade", "job.units", "step[1].number"):
        assert any(fault.startswith(f"traveler: {place}") for fault in faults)


def test_a_sheet_that_cannot_be_read(traveler: Commands, tmp_path: Path) -> None:
    assert "No such file" in refused(traveler("plan", tmp_path / "none.toml"))
    assert "directory" in refused(traveler("plan", tmp_path))
    assert "not UTF-8" in refused(traveler("plan", "-", stdin=b"title = \xff"))
    assert "1 MiB" in refused(traveler("plan", "-", stdin=b"#" * (2 * 1024 * 1024)))
    empty = traveler("plan", "-", stdin=b"")
    assert empty.status == 2
    assert "traveler: job: missing" in empty.err


@posix
def test_a_sheet_without_end_is_not_read_to_its_end(traveler: Commands) -> None:
    assert "1 MiB" in refused(traveler.process("plan", "/dev/zero"))


def test_a_number_already_used(issued: Commands, sheet: Path) -> None:
    before = issued.shop.read_bytes()
    assert "B-101" in refused(issued("new", sheet))
    assert issued.shop.read_bytes() == before


NEEDS_A_SHOP = [
    ("list",),
    ("show", "B-101"),
    ("record", "B-101", 10, "gap", "1 mm"),
    ("supersede", "B-101", 1, "--because", "x"),
    ("retry", "B-101", 30, "preheat temperature", "--because", "x"),
    ("attach", "B-101", 10, __file__, "--as", "photo"),
    ("sign", "B-101", 10, "--as", "performed"),
    ("close", "B-101"),
    ("cancel", "B-101", "--because", "x"),
    ("export", "B-101", "--format", "text", "-o", "-"),
    ("backup", "copy.traveler"),
]


@pytest.mark.parametrize("arguments", NEEDS_A_SHOP, ids=lambda arguments: arguments[0])
class TestShopFile:
    def test_missing(self, traveler: Commands, arguments: tuple[object, ...]) -> None:
        assert "does not exist" in refused(traveler(*arguments))
        assert not traveler.shop.exists()

    def test_not_a_shop_file(self, traveler: Commands, arguments: tuple[object, ...]) -> None:
        traveler.shop.write_bytes(b"an ordinary letter\n" * 100)
        assert "not a shop file" in refused(traveler(*arguments))
        assert traveler.shop.read_bytes() == b"an ordinary letter\n" * 100

    def test_a_database_of_another_program(self, traveler: Commands, arguments: tuple[object, ...]) -> None:
        with sqlite3.connect(traveler.shop) as other:
            other.execute("CREATE TABLE letters (text)")
        other.close()
        assert "not a shop file" in refused(traveler(*arguments))

    def test_a_folder(self, traveler: Commands, arguments: tuple[object, ...]) -> None:
        traveler.shop.mkdir()
        assert "folder" in refused(traveler(*arguments))


@pytest.mark.parametrize(
    "arguments",
    [arguments for arguments in NEEDS_A_SHOP if arguments[0] not in ("list", "backup")],
    ids=lambda arguments: arguments[0],
)
def test_no_such_job(issued: Commands, arguments: tuple[object, ...]) -> None:
    others = [argument if argument != "B-101" else "B-102" for argument in arguments]
    sentence = refused(issued(*others))
    assert '"B-102"' in sentence
    assert "B-101" in sentence


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("300", "the unit is missing"),
        ("300 farad", "farad is not a unit of temperature"),
        ("NaN F", "expected a temperature"),
        ("148,9 C", "decimal"),
        ("25 mm", "expected a temperature"),
        ("", "nothing was entered"),
        ("hot", "expected a temperature"),
    ],
)
def test_a_value_that_is_none(issued: Commands, value: str, said: str) -> None:
    assert said in refused(issued("record", "B-101", 30, "preheat temperature", value))
    assert issued("show", "B-101", "--json").json["events"] == 1


@pytest.mark.parametrize(
    "arguments",
    [
        ("record", "B-101", 30, "preheat temperature"),
        ("record", "B-101", "thirty", "preheat temperature", "312 F"),
        ("record", "B-101", 30, "preheat temperature", "312 F", "--plcae", "left"),
        ("record", "B-101", 30, "preheat temperature", "312 F", "--run", "one"),
        ("record", "B-101", 99, "preheat temperature", "312 F"),
        ("record", "B-101", 30, "preheat", "312 F"),
        ("record", "B-101", 30, "preheat temperature", "312 F", "--run", 1),
        ("record", "B-101", 30, "preheat temperature", "312 F", "--joint", "J9"),
        ("record", "B-101", 30, "preheat temperature", "312 F", "--at", "yesterday"),
        ("record", "B-101", 30, "preheat temperature", "312 F", "--at", ""),
        ("record", "B-101", 30, "preheat temperature", "312 F", "--at", "2026-11-25"),
        ("record", "B-101", 30, "preheat temperature", "312 F", "--by", " "),
        ("record", "B-101", 30, "preheat temperature", "312 F", "--by", "A\x1b[31m"),
        ("supersede", "B-101", 7, "--because", "typed wrong"),
        ("supersede", "B-101", 7),
        ("retry", "B-101", 30, "preheat temperature", "--because", "  "),
        ("attach", "B-101", 10, "nowhere.pdf", "--as", "chart"),
        ("attach", "B-101", 10, ".", "--as", "chart"),
        ("attach", "B-101", 10, __file__, "--as", "letter"),
        ("attach", "B-101", 99, __file__, "--as", "chart"),
        ("sign", "B-101", 10),
        ("sign", "B-101", 10, "--as", "accepted", "--runs", 2),
        ("sign", "B-101", 10, "--as", "performed", "--runs", 2),
        ("revise", "B-101", "nowhere.toml", "--because", "thicker plate"),
        ("cancel", "B-101"),
        ("export", "B-101", "--format", "text"),
        ("export", "B-101", "--format", "odt", "-o", "-"),
        ("export", "B-101", "--format", "text", "--paper", "a4", "-o", "-"),
        ("verify", "nowhere.json"),
        ("verify", __file__),
        ("restore", "nowhere.traveler"),
        ("restore", __file__),
        ("weld", "B-101"),
        ("--bogus",),
    ],
    ids=lambda arguments: " ".join(map(str, arguments))[:60],
)
def test_a_command_that_cannot_be_done(issued: Commands, arguments: tuple[object, ...]) -> None:
    before = issued.shop.read_bytes()
    assert refused(issued(*arguments))
    assert issued.shop.read_bytes() == before


def test_sign_and_close_want_a_name(issued: Commands) -> None:
    del issued.environment["TRAVELER_BY"]
    assert "--by" in refused(issued("sign", "B-101", 10, "--as", "performed"))
    assert "--by" in refused(issued("close", "B-101"))


def test_a_sheet_of_another_job_is_no_revision(issued: Commands, tmp_path: Path) -> None:
    other = tmp_path / "other.toml"
    other.write_text(SHEET.replace("B-101", "B-102"), encoding="utf-8")
    assert "B-102" in refused(issued("revise", "B-101", other, "--because", "a mix-up"))


@pytest.mark.parametrize("form", ["text", "json", "pdf"])
def test_export_to_a_full_disk(issued: Commands, form: str) -> None:
    if not Path("/dev/full").exists():
        pytest.skip("this system has no /dev/full")
    assert "No space left" in refused(issued("export", "B-101", "--format", form, "-o", "/dev/full"))


def run_with_small_files(traveler: Commands, *arguments: object) -> tuple[int, str]:
    """Run where no file can grow beyond 16 KiB: the disk is full in the middle of the work."""
    script = (
        "import resource, signal, sys; signal.signal(signal.SIGXFSZ, signal.SIG_IGN); "
        "resource.setrlimit(resource.RLIMIT_FSIZE, (16384, 16384)); "
        "from traveler.cli.main import run; sys.exit(run(sys.argv[1:]))"
    )
    ended = subprocess.run(
        [sys.executable, "-B", "-c", script, *map(str, arguments)],
        capture_output=True,
        env=traveler.outside(),
        text=True,
        timeout=60,
    )
    return ended.returncode, ended.stderr


@pytest.mark.slow
@posix
def test_a_disk_that_fills_up_leaves_nothing_half_written(
    issued: Commands, sheet: Path, tmp_path: Path
) -> None:
    target = tmp_path / "out.pdf"
    target.write_text("what was here before", encoding="utf-8")
    names = sorted(os.listdir(tmp_path))
    status, told = run_with_small_files(issued, "export", "B-101", "--format", "pdf", "-o", target)
    assert status == 2
    assert "cannot be written" in told
    assert target.read_text(encoding="utf-8") == "what was here before"

    status, told = run_with_small_files(issued, "backup", tmp_path / "copy.traveler")
    assert status == 2
    status, told = run_with_small_files(issued, "new", sheet, "--shop", tmp_path / "second.traveler")
    assert status == 2
    assert told.startswith("traveler: ")
    assert "Traceback" not in told
    assert sorted(os.listdir(tmp_path)) == names


@posix
def test_a_folder_that_takes_no_file(traveler: Commands, sheet: Path) -> None:
    if not Path("/proc/self").exists():
        pytest.skip("this system has no /proc")
    assert refused(traveler("new", sheet, "--shop", "/proc/self/fdinfo/shop.traveler"))
    assert refused(traveler("new", sheet, "--shop", "/proc/nobody/shop.traveler"))


@pytest.mark.skipif(
    os.name != "posix" or os.geteuid() == 0, reason="an administrator may write into a read-only folder"
)
def test_a_read_only_folder(issued: Commands, sheet: Path, tmp_path: Path) -> None:
    folder = tmp_path / "shut"
    folder.mkdir(mode=0o555)
    assert refused(issued("new", sheet, "--shop", folder / "shop.traveler"))
    assert refused(issued("export", "B-101", "--format", "text", "-o", folder / "out.txt"))
    assert list(folder.iterdir()) == []


def test_an_export_never_replaces_the_shop_file(issued: Commands, tmp_path: Path) -> None:
    other_name = tmp_path / "link"
    other_name.symlink_to(issued.shop)
    before = issued.shop.read_bytes()
    for name in (issued.shop, other_name):
        assert "shop's file" in refused(issued("export", "B-101", "--format", "text", "-o", name))
    assert issued.shop.read_bytes() == before


def test_the_shop_file_cannot_be_attached_to_itself(issued: Commands) -> None:
    assert "shop's file" in refused(issued("attach", "B-101", 10, issued.shop, "--as", "photo"))


def test_a_pdf_names_a_character_that_it_cannot_draw(traveler: Commands, tmp_path: Path) -> None:
    sheet = tmp_path / "script.toml"
    # U+12000, a cuneiform sign: in no font that comes with the program.
    sheet.write_text(SHEET.replace("[A36] [/]", "\U00012000"), encoding="utf-8")
    assert traveler("new", sheet).status == 0
    target = tmp_path / "out.pdf"
    assert "U+12000" in refused(traveler("export", "B-101", "--format", "pdf", "-o", target))
    assert not target.exists()
    assert "\U00012000" in traveler("show", "B-101").out
