"""Every digit of an export, altered by one, is found: by this program, and by the verifier of a packet.

A few at random in the quick run, all of a small job's in the slow one, and many of a large job's.
"""

import contextlib
import io
import json
import random
import re
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
import whole_job
from acts_kit import CLEO, Bench

from traveler.acts.look import export
from traveler.acts.packet import packet
from traveler.acts.readings import supersede
from traveler.acts.verify import verify
from traveler.errors import TravelerError

SEED = 4130
# What the verifier does for each file, without a new process for each: it stands alone, with an empty path of modules.
_STAND_ALONE = """
import json, runpy, sys
verifier = runpy.run_path("verify.py")
files = verifier["files_of"](".")
whole = files["traveler.json"]
for line in sys.stdin:
    at, digit = line.split()
    files["traveler.json"] = whole[: int(at)] + digit.encode() + whole[int(at) + 1 :]
    try:
        faults = verifier["faults_of"](files)[0]
    except verifier["NoPacket"] as refused:
        faults = [str(refused)]
    print(json.dumps(faults[:3]), flush=True)
"""


@pytest.fixture
def small(bench: Bench) -> Bench:
    bench.record(10, "preheat temperature", "32 F", place="plate", by=CLEO)
    supersede(bench.shop, bench.clock, CLEO, bench.number, 1, "320 F", "a figure was left out")
    bench.record(10, "preheat temperature", "310 F", place="flange")
    bench.perform(10)
    bench.accept(10)
    return bench


def digits(raw: bytes) -> list[tuple[int, str]]:
    """Where each digit stands, and the next one in its place."""
    return [(found.start(), str((int(found[0]) + 1) % 10)) for found in re.finditer(rb"[0-9]", raw)]


def some(raw: bytes, count: int) -> list[tuple[int, str]]:
    return random.Random(SEED).sample(digits(raw), count)


def not_found(raw: bytes, altered: list[tuple[int, str]], file: Path) -> Iterator[str]:
    """The surroundings of each alteration that the program does not find; what is no export any more is refused."""
    for at, digit in altered:
        file.write_bytes(raw[:at] + digit.encode() + raw[at + 1 :])
        with contextlib.suppress(TravelerError):
            if not verify(file).faults:
                yield f"{at}: {raw[at - 40 : at + 20]!r}"


def test_a_digit_altered_anywhere_is_found(small: Bench, tmp_path: Path) -> None:
    raw = export(small.shop, small.number, "json")
    file = tmp_path / "traveler.json"
    file.write_bytes(raw)
    assert verify(file).faults == ()
    assert list(not_found(raw, some(raw, 60), file)) == []


@pytest.mark.slow
def test_every_digit_altered_in_turn_is_found(small: Bench, tmp_path: Path) -> None:
    raw = export(small.shop, small.number, "json")
    assert list(not_found(raw, digits(raw), tmp_path / "traveler.json")) == []


@pytest.mark.slow
def test_digits_of_a_job_with_everything_are_found(tmp_path: Path) -> None:
    for shop in whole_job.whole_job(tmp_path / "shop.traveler"):
        raw = export(shop, whole_job.NUMBER, "json")
    assert list(not_found(raw, some(raw, 300), tmp_path / "traveler.json")) == []


def unpacked(small: Bench, folder: Path) -> bytes:
    with zipfile.ZipFile(io.BytesIO(packet(small.shop, small.number, sheets=False).content)) as archive:
        archive.extractall(folder)
    return (folder / "traveler.json").read_bytes()


def told_alone(folder: Path, altered: list[tuple[int, str]]) -> list[list[str]]:
    """What the packet's own verifier says to each alteration, run by ``python -I`` in an empty environment."""
    lines = "".join(f"{at} {digit}\n" for at, digit in altered)
    done = subprocess.run(
        [sys.executable, "-I", "-c", _STAND_ALONE],
        cwd=folder,
        env={},
        input=lines,
        capture_output=True,
        text=True,
        check=True,
    )
    return [json.loads(line) for line in done.stdout.splitlines()]


@pytest.mark.parametrize("count", [60, pytest.param(None, marks=pytest.mark.slow)], ids=["some", "all"])
def test_the_verifier_of_a_packet_finds_each_digit(small: Bench, tmp_path: Path, count: int | None) -> None:
    raw = unpacked(small, tmp_path / "packet")
    altered = digits(raw) if count is None else some(raw, count)
    told = told_alone(tmp_path / "packet", altered)
    assert len(told) == len(altered)
    assert [at for (at, _), faults in zip(altered, told, strict=True) if not faults] == []


def test_the_verifier_says_nothing_of_what_is_unaltered(small: Bench, tmp_path: Path) -> None:
    raw = unpacked(small, tmp_path / "packet")
    at = digits(raw)[7][0]
    assert told_alone(tmp_path / "packet", [(at, chr(raw[at]))]) == [[]]
