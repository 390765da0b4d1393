"""Bad sheets: every fault with its place, what was read and what was expected, all in one go."""

from pathlib import Path

import pytest

from traveler.errors import BadInput, BadSheet
from traveler.job.sheet_reader import decode_sheet, read_sheet
from traveler.library.load import load_library

SHEETS = Path(__file__).parents[2] / "fixtures" / "sheets"
BAD = sorted((SHEETS / "bad").glob("*.toml"))
EXPECTED = "# expected: "


def faults_of(text: str) -> tuple[str, ...]:
    with pytest.raises(BadSheet) as caught:
        read_sheet(text, load_library())
    return caught.value.faults


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_each_fault_is_told_once_and_no_other(path: Path) -> None:
    text = decode_sheet(path.read_bytes())
    expected = [line.removeprefix(EXPECTED) for line in text.splitlines() if line.startswith(EXPECTED)]
    faults = faults_of(text)
    missing = [words for words in expected if not any(words in fault for fault in faults)]
    assert not missing, faults
    assert len(faults) == len(expected), faults
    assert all(fault.isprintable() and len(fault) < 500 for fault in faults)


ALL_AT_ONCE = """
[job]
number = "A/1"
units = "imperial"
decides = "x"
[[material]]
id = "plate"
grade = "nonesuch"
condition = "soft"
composition = { C = 0.31, Xx = 1 }
[[filler]]
id = "rod"
classification = "nonesuch"
hydrogen = "low"
[[joint]]
id = "J1"
type = "seam"
process = "TIG"
filler = "rod"
arc_energy = "lots"
member = [ { material = "plate", form = "plate", thickness = "1/4" } ]
[[dimension]]
id = "D1"
title = "hole"
nominal = 112
tolerance = "0.5 mm"
[[step]]
number = 0
kind = "weld"
joint = "J9"
[shop]
"""


def test_all_faults_come_at_once_one_a_line() -> None:
    faults = faults_of(ALL_AT_ONCE)
    assert [fault.split(": ")[0] for fault in faults] == [
        "job.number",
        "job.title",
        "job.units",
        "material[0].grade",
        "material[0].condition",
        "material[0].composition.Xx",
        "filler[0].classification",
        "filler[0].hydrogen",
        "joint[0].type",
        "joint[0].process",
        "joint[0].arc_energy",
        "joint[0].member[0].thickness",
        "dimension[0].nominal",
        "step[0].number",
        "step[0].joint",
        "shop",
    ]
    assert str(BadSheet(faults)).splitlines() == list(faults)


def test_an_unknown_grade_is_answered_with_its_neighbours() -> None:
    text = (SHEETS / "bad" / "grade-unknown.toml").read_text(encoding="utf-8")
    (fault,) = faults_of(text)
    assert f"one of {len({steel.name for steel in load_library().steels.values()})} known grades" in fault
    assert '"4130"' in fault


def test_an_unknown_profile_is_answered_with_all_of_them() -> None:
    text = (SHEETS / "bad" / "profile-unknown.toml").read_text(encoding="utf-8")
    (fault,) = faults_of(text)
    assert all(f'"{name}"' in fault for name in load_library().profiles)


def test_a_fault_of_toml_names_line_and_column() -> None:
    (fault,) = faults_of('[job]\nnumber = "B-1"\nthickness = 1/4 in\n')
    assert fault.startswith('line 3, column 14: read "thickness = 1/4 in"; expected TOML')


def test_toml_that_ends_too_soon_names_the_end() -> None:
    (fault,) = faults_of("[job]\nnumber")
    assert fault.startswith('line 2, column 7: read "number"; expected TOML')


@pytest.mark.parametrize("part", ["a", "'a'", '"a" ', "a \t"])
@pytest.mark.parametrize("line", ["[{}]", "{} = 1", "x = {{ {} = 1 }}"])
def test_a_key_of_endless_parts_is_refused_before_it_takes_minutes(part: str, line: str) -> None:
    (fault,) = faults_of(line.format(".".join([part] * 100_000)))
    assert fault == "job sheet: read a key of hundreds of parts; expected a few, such as job.number"


def test_lone_surrogates_are_refused() -> None:
    (fault,) = faults_of('[job]\ntitle = "a" # \ud800')
    assert fault == r'job sheet: read "\ud800" at character 20; expected Unicode text'


class TestDecoding:
    def test_a_byte_order_mark_is_tolerated(self) -> None:
        assert decode_sheet(b"\xef\xbb\xbf[job]\n") == "[job]\n"

    def test_text_is_put_into_one_form_of_unicode(self) -> None:
        assert decode_sheet("Tra\u0308ger".encode()) == "Tr\u00e4ger"

    def test_another_encoding_is_refused(self) -> None:
        with pytest.raises(BadInput, match="byte 0xE4 at position 2, which is not UTF-8"):
            decode_sheet("Träger".encode("latin-1"))

    def test_utf_16_is_refused(self) -> None:
        with pytest.raises(BadInput, match="byte 0xFF at position 0, which is not UTF-8"):
            decode_sheet("[job]".encode("utf-16"))

    def test_a_sheet_over_one_mebibyte_is_refused(self) -> None:
        largest = b"#" * (1024 * 1024)
        assert len(decode_sheet(largest)) == len(largest)
        with pytest.raises(BadInput, match="read 1048577 bytes; expected a sheet of at most 1 MiB"):
            decode_sheet(largest + b"#")
        with pytest.raises(BadSheet, match="read 1048577 bytes; expected a sheet of at most 1 MiB"):
            read_sheet("#" * (1024 * 1024 + 1), load_library())
