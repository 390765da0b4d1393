"""``again`` and ``compare`` as they are typed."""

from pathlib import Path

from cli_kit import SHEET, Commands


def test_a_sheet_is_written_filled_in_compared_and_issued(issued: Commands, tmp_path: Path) -> None:
    new = tmp_path / "b-102.toml"
    made = issued("again", "B-101", "--number", "B-102", "-o", new)
    assert (made.status, made.err) == (0, "")
    assert made.out.splitlines()[1:] == ["  material bracket: give heat number, certificate, composition"]
    text = new.read_text(encoding="utf-8")
    assert 'title = "Wishbone pickup [A36] [/]"' in text
    filled = text.replace(
        'condition = "annealed"',
        'condition = "annealed"\nheat_number = "K-3377"\ncertificate = "3.1"\n'
        "composition = { C = 0.33, Si = 0.25, Mn = 0.50, Cr = 0.95, Mo = 0.20 }",
    ).replace("1/4 in", "3/8 in")
    new.write_text(filled, encoding="utf-8")
    compared = issued("compare", "B-101", new)
    assert compared.status == 1
    told = " ".join(compared.out.split())
    assert (
        "preheat temperature: the minimum rises from 300 °F (148.9 °C) to 400 °F (204.4 °C), because the thickness of "
        "member 1 of J1 is 3/8 in, was 1/4 in"
    ) in told
    assert "the carbon of bracket: 0.33 %, was 0.30 %" in told
    as_json = issued("compare", "B-101", new, "--json")
    assert (as_json.status, as_json.json["stricter"]) == (1, True)
    assert {"limit_was", "limit_now", "because", "direction", "says"} <= as_json.json["differences"][0].keys()
    assert issued("new", new).status == 0
    assert issued("show", "B-102", "--json").json["made_from"]["job"] == "B-101"


def test_the_same_sheet_beside_its_job(issued: Commands, sheet: Path) -> None:
    answer = issued("compare", "B-101", sheet)
    assert (answer.status, answer.err) == (0, "")
    assert answer.out.endswith("\nNothing that is asked for differs.\n")
    assert issued("compare", "B-101", "-", stdin=SHEET.encode()).out == answer.out


def test_to_standard_output_goes_the_sheet_alone(issued: Commands) -> None:
    answer = issued("again", "B-101", "--number", "B-102", "-o", "-")
    assert answer.status == 0
    assert answer.out.startswith("# Made again from job B-101")
    assert issued("plan", "-", stdin=answer.out.encode()).status in (0, 1)


def test_nothing_is_replaced_and_nothing_half_written(issued: Commands, tmp_path: Path, sheet: Path) -> None:
    answer = issued("again", "B-101", "--number", "B-102", "-o", sheet)
    assert (answer.status, answer.out) == (2, "")
    assert "exists already; expected the name of a new file" in answer.err
    assert sheet.read_text(encoding="utf-8") == SHEET
    for arguments, told in (
        (("B-9", "--number", "B-102"), 'there is no job "B-9"'),
        (("B-101", "--number", "B-101"), "is in this shop already"),
        (("B-101", "--number", "B/1"), "job.number"),
        (("B-101", "--number", "B-102", "--as-built", "D1"), 'no dimension "D1"'),
        (("B-101", "--number", "B-102", "--same-heat", "[/]"), 'no material or filler "[/]"'),
    ):
        answer = issued("again", *arguments, "-o", tmp_path / "new.toml")
        assert (answer.status, answer.out) == (2, "")
        assert told in answer.err
        assert not (tmp_path / "new.toml").exists()


def test_a_bad_sheet_is_told_with_every_fault(issued: Commands) -> None:
    answer = issued("compare", "B-101", "-", stdin=b"[job]\nnumber = 7\n")
    assert (answer.status, answer.out) == (2, "")
    assert len(answer.err.splitlines()) > 3


def test_two_jobs_beside_each_other(issued: Commands, tmp_path: Path) -> None:
    second = tmp_path / "b-102.toml"
    second.write_text(SHEET.replace("B-101", "B-102").replace("1/4 in", "3/8 in"), encoding="utf-8")
    assert issued("new", second).status == 0
    by_file, by_job = issued("compare", "B-101", second), issued("compare", "B-101", "--with", "B-102")
    assert (by_job.status, by_job.out) == (by_file.status, by_file.out)
    assert by_job.status == 1
    for wrong in ((), (second, "--with", "B-102"), ("--with", "B-101"), ("--with", "Z-9")):
        answer = issued("compare", "B-101", *wrong)
        assert (answer.status, answer.out) == (2, "")
        assert len(answer.err.splitlines()) == 1
