"""A packet holds everything of a job, and somebody without this program can check it.

The verifier inside is run as a stranger runs it: ``python -I``, in an empty environment, from the unpacked packet.
"""

import csv
import hashlib
import io
import json
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from acts_kit import BRAM, CLEO, Bench

from traveler.acts.look import export
from traveler.acts.packet import Packet, packet
from traveler.acts.readings import attach, supersede
from traveler.acts.verify import verify
from traveler.errors import BadInput, TravelerError

SPOILT = "../..\\evil/\n=cmd|'/c calc'!A1" + "é" * 200 + ".csv"


@pytest.fixture
def full(bench: Bench) -> Bench:
    bench.record(10, "preheat temperature", "32 F", place='=HYPERLINK("x")', by=CLEO)
    supersede(bench.shop, bench.clock, CLEO, bench.number, 1, "320 F", "-2+3: a figure was left out")
    bench.record(10, "preheat temperature", "310 F", place="| flange | `x` [A36] <b>")
    attach(bench.shop, bench.clock, BRAM, bench.number, 10, SPOILT, b"a,b\n1,2\n", "photo")
    attach(bench.shop, bench.clock, BRAM, bench.number, 10, "edge.jpg", b"invented", "photo")
    bench.perform(10)
    bench.accept(10)
    return bench


@pytest.fixture
def made(full: Bench) -> Packet:
    return packet(full.shop, full.number)


def unpacked(content: bytes, folder: Path) -> Path:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        archive.extractall(folder)
    return folder


def checked(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-I", "verify.py", *arguments],
        cwd=folder,
        env={},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


def manifest_again(folder: Path) -> None:
    """What somebody does who alters a packet and knows its format."""
    names = sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file())
    lines = [
        f"{hashlib.sha256((folder / name).read_bytes()).hexdigest()}  {name}\n"
        for name in names
        if name != "MANIFEST.sha256"
    ]
    (folder / "MANIFEST.sha256").write_text("".join(lines), encoding="utf-8", newline="")


def test_a_stranger_checks_the_unpacked_packet(made: Packet, full: Bench, tmp_path: Path) -> None:
    folder = unpacked(made.content, tmp_path / "p")
    ran = checked(folder)
    assert (ran.returncode, ran.stderr) == (0, "")
    assert made.code in ran.stdout
    head = json.loads(export(full.shop, full.number, "json"))["head"]
    for code in (made.code, head, head.lower().replace("-", " ")):
        assert checked(folder, "--code", code).returncode == 0
    wrong = checked(folder, "--code", "K3QF-AAAA-BBBB-CCCC")
    assert wrong.returncode == 1
    assert "neither of the two" in wrong.stdout


def test_the_zip_is_checked_as_it_was_sent(made: Packet, tmp_path: Path) -> None:
    folder = unpacked(made.content, tmp_path / "p")
    (tmp_path / "sent.zip").write_bytes(made.content)
    assert checked(folder, str(tmp_path / "sent.zip")).returncode == 0
    (tmp_path / "cut.zip").write_bytes(made.content[: len(made.content) // 2])
    cut = checked(folder, str(tmp_path / "cut.zip"))
    assert cut.returncode == 2
    assert cut.stderr.count("\n") == 1


def test_the_manifest_is_one_that_other_tools_read(made: Packet, tmp_path: Path) -> None:
    folder = unpacked(made.content, tmp_path / "p")
    ran = subprocess.run(
        ["sha256sum", "--check", "--strict", "MANIFEST.sha256"], cwd=folder, capture_output=True, check=False
    )
    assert ran.returncode == 0


def test_the_same_record_gives_the_same_packet_and_no_event(full: Bench, made: Packet) -> None:
    before = full.bodies()
    full.clock.pass_by(9_000)
    assert packet(full.shop, full.number) == made
    assert full.bodies() == before


def test_names_of_attachments_stay_in_their_folder(made: Packet) -> None:
    with zipfile.ZipFile(io.BytesIO(made.content)) as archive:
        names = archive.namelist()
        spoilt = next(name for name in names if "evil" in name)
        assert archive.read(spoilt) == b"a,b\n1,2\n"
    assert spoilt.count("/") == 2
    assert ".." not in spoilt
    assert "\\" not in spoilt
    assert spoilt.isprintable()
    assert spoilt.endswith(".csv")


@pytest.mark.parametrize(
    "name", ["traveler.pdf", "traveler.txt", "readings.csv", "events.jsonl", "verify.py"]
)
def test_a_changed_file_is_named(made: Packet, tmp_path: Path, name: str) -> None:
    folder = unpacked(made.content, tmp_path / "p")
    # The verifier is what a reader brings along; here it is the one that lies beside the altered file.
    with (folder / name).open("ab") as file:
        file.write(b"\n")
    ran = checked(folder)
    assert ran.returncode == 1
    assert f"ALTERED: {name}" in ran.stdout


def test_a_missing_and_a_foreign_file_are_named(made: Packet, tmp_path: Path) -> None:
    folder = unpacked(made.content, tmp_path / "p")
    (folder / "traveler.txt").unlink()
    (folder / "attachments" / "more.txt").write_text("foreign")
    said = checked(folder).stdout
    assert "traveler.txt is listed in MANIFEST.sha256 and missing" in said
    assert "attachments/more.txt is not listed" in said


def test_an_exchanged_attachment_is_named_though_the_manifest_was_made_again(
    made: Packet, tmp_path: Path
) -> None:
    folder = unpacked(made.content, tmp_path / "p")
    photo = next(folder.rglob("edge.jpg"))
    photo.write_bytes(b"another")
    manifest_again(folder)
    ran = checked(folder)
    assert ran.returncode == 1
    assert "edge.jpg is not the file that event" in ran.stdout


def test_every_printed_limit_reading_and_signature_is_held_against_the_events(
    made: Packet, tmp_path: Path
) -> None:
    """With a manifest made again: each digit of the limits, readings and signatures in turn."""
    folder = unpacked(made.content, tmp_path / "p")
    sys.path.insert(0, str(folder))
    try:
        import importlib

        verifier = importlib.import_module("verify")
    finally:
        sys.path.remove(str(folder))
        sys.modules.pop("verify", None)
    files = verifier.files_of(str(folder))
    found = json.loads(files["traveler.json"])
    events = [json.loads(body) for body in found["events"]]
    job = found["traveler"]
    assert list(verifier.printed_faults(job, events)) == []
    tried = 0
    for step in job["steps"]:
        for requirement in step["requirements"]:
            places = [(requirement["limit"], b) for b in ("at_least", "at_most") if requirement["limit"][b]]
            places = [(limit[bound], "value") for limit, bound in places]
            places += [
                (reading, key)
                for reading in requirement["readings"]
                for key in ("value", "recorded_at", "typed", "place")
                if reading[key]
            ]
            for holder, key in places:
                kept = holder[key]
                for at, char in enumerate(kept):
                    if char.isdigit():
                        holder[key] = kept[:at] + str((int(char) + 1) % 10) + kept[at + 1 :]
                        assert list(verifier.printed_faults(job, events)), (holder, key)
                        tried += 1
                holder[key] = kept
        signed = [*step["performed"], *([step["accepted"]] if step["accepted"] else [])]
        for signature in signed:
            kept = signature["by"]["name"]
            signature["by"]["name"] = f"{kept} "
            assert list(verifier.printed_faults(job, events))
            signature["by"]["name"] = kept
    assert tried > 50
    assert list(verifier.printed_faults(job, events)) == []


def test_a_reading_left_out_of_print_is_missed(made: Packet, tmp_path: Path) -> None:
    folder = unpacked(made.content, tmp_path / "p")
    found = json.loads((folder / "traveler.json").read_text("utf-8"))
    for step in found["traveler"]["steps"]:
        for requirement in step["requirements"]:
            requirement["readings"] = [r for r in requirement["readings"] if r["reading"] != 1]
    (folder / "traveler.json").write_text(json.dumps(found), "utf-8")
    manifest_again(folder)
    ran = checked(folder)
    assert ran.returncode == 1
    assert "reading 1 is not printed" in ran.stdout


def test_an_altered_event_is_named_though_all_else_was_made_again(made: Packet, tmp_path: Path) -> None:
    folder = unpacked(made.content, tmp_path / "p")
    found = json.loads((folder / "traveler.json").read_text("utf-8"))
    found["events"][1] = found["events"][1].replace('"32 F"', '"33 F"')
    (folder / "traveler.json").write_text(json.dumps(found), "utf-8")
    (folder / "events.jsonl").write_text("".join(f"{e}\n" for e in found["events"]), "utf-8", newline="")
    manifest_again(folder)
    ran = checked(folder)
    assert ran.returncode == 1
    assert "event 2 is altered" in ran.stdout


def test_the_table_runs_no_formula_and_has_every_reading(made: Packet, full: Bench, tmp_path: Path) -> None:
    """OWASP, CSV Injection: no cell begins with =, +, -, @, a tab or a line break, but a plain number."""
    folder = unpacked(made.content, tmp_path / "p")
    rows = list(csv.DictReader(io.StringIO((folder / "readings.csv").read_bytes().decode("utf-8-sig"))))
    assert [row["reading"] for row in rows] == ["1", "2", "3"]
    assert rows[0]["place"] == '\'=HYPERLINK("x")'
    assert rows[0]["superseded by"] == "2"
    assert [row["value"] for row in rows] == ["32", "320", "310"]
    assert rows[0]["reason"].startswith("'-2+3")
    for row in rows:
        for cell in row.values():
            assert cell[:1] not in set("=+@\t\r\n")


def test_markup_of_people_is_text_in_markdown(full: Bench) -> None:
    text = export(full.shop, full.number, "markdown").decode()
    assert r"\| flange \| \`x\` \[A36\] \<b\>" in text
    tables = [line for line in text.splitlines() if line.startswith("| preheat temperature")]
    cells = tables[0].replace(r"\|", "").count("|")
    assert cells == 7


def test_what_the_fonts_lack_leaves_the_packet_without_sheets_only_where_asked(full: Bench) -> None:
    full.record(10, "preheat temperature", "310 F", place="in the 試 corner")
    with pytest.raises(TravelerError, match="cannot draw"):
        packet(full.shop, full.number)
    content = packet(full.shop, full.number, sheets=False).content
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert "traveler.pdf" not in archive.namelist()
        assert "試" in archive.read("traveler.txt").decode()


def test_an_unknown_job_has_no_packet(bench: Bench) -> None:
    with pytest.raises(TravelerError, match="no job"):
        packet(bench.shop, "H-999")


def test_verify_takes_a_packet_and_both_of_its_codes(made: Packet, full: Bench, tmp_path: Path) -> None:
    path = tmp_path / "sent.zip"
    path.write_bytes(made.content)
    head = json.loads(export(full.shop, full.number, "json"))["head"]
    for code in (None, made.code, head):
        found = verify(path, code)
        assert (found.faults, found.fits) == ((), True)
    assert made.code in found.what
    assert not verify(path, "K3QF-AAAA-BBBB-CCCC").fits
    (tmp_path / "sent").write_bytes(made.content)
    assert verify(tmp_path / "sent").faults == ()


def test_verify_names_each_file_of_a_packet_that_was_altered(made: Packet, tmp_path: Path) -> None:
    with zipfile.ZipFile(io.BytesIO(made.content)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    for name in parts:
        path = tmp_path / "altered.zip"
        with zipfile.ZipFile(path, "w") as archive:
            for other, content in parts.items():
                archive.writestr(other, content + b" " if other == name else content)
        faults = verify(path).faults
        assert faults, name
        assert name == "MANIFEST.sha256" or any(name in fault for fault in faults)


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04", b"no zip"])
def test_what_is_no_packet_is_refused_in_a_sentence(content: bytes, tmp_path: Path) -> None:
    path = tmp_path / "sent.zip"
    path.write_bytes(content)
    with pytest.raises(BadInput, match="this is no packet: not a zip file"):
        verify(path)


def _again(content: bytes, *, spoilt: bool, locked: bool) -> bytes:
    """The packet compressed by somebody, and then damaged in its middle or said to need a password."""
    compressed = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(content)) as old,
        zipfile.ZipFile(compressed, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            new.writestr(name, old.read(name))
    raw = bytearray(compressed.getvalue())
    if spoilt:
        raw[200:260] = bytes(60)
    if locked:
        for sign, at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
            place = raw.find(sign)
            while place >= 0:
                raw[place + at] |= 1
                place = raw.find(sign, place + 1)
    return bytes(raw)


@pytest.mark.parametrize(("spoilt", "locked"), [(True, False), (False, True)])
def test_a_spoilt_or_a_locked_zip_is_refused_in_a_sentence(
    made: Packet, tmp_path: Path, spoilt: bool, locked: bool
) -> None:
    folder = unpacked(made.content, tmp_path / "p")
    path = tmp_path / "sent.zip"
    path.write_bytes(_again(made.content, spoilt=False, locked=False))
    assert checked(folder, str(path)).returncode == 0
    path.write_bytes(_again(made.content, spoilt=spoilt, locked=locked))
    with pytest.raises(BadInput, match="this is no packet"):
        verify(path)
    ran = checked(folder, str(path))
    assert ran.returncode == 2
    assert ran.stderr.count("\n") == 1
    assert "Traceback" not in ran.stderr
