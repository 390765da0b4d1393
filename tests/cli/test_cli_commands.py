"""What each command does when it can: statuses 0 and 1, what is printed, what is in the record."""

import hashlib
import json
from pathlib import Path
from typing import Any

import pytest
from cli_kit import SHEET, Commands, refused


def shown(traveler: Commands) -> Any:
    return traveler("show", "B-101", "--json").json


def requirement(traveler: Commands, step: int, quantity: str) -> Any:
    (found,) = (
        requirement
        for entry in shown(traveler)["steps"]
        if entry["number"] == step
        for requirement in entry["requirements"]
        if requirement["quantity"] == quantity
    )
    return found


def test_plan_prints_and_stores_nothing(traveler: Commands, sheet: Path) -> None:
    text = traveler("plan", sheet)
    assert (text.status, text.err) == (0, "")
    assert text.out.startswith("PLAN FOR JOB B-101\nWishbone pickup [A36] [/]\n")
    planned = traveler("plan", "-", "--json", stdin=SHEET.encode()).json
    assert planned["job"] == "B-101"
    assert "readings" not in planned["steps"][0]["requirements"][0]
    assert not traveler.shop.exists()


def test_a_plan_with_conflicts_is_1(traveler: Commands, tmp_path: Path) -> None:
    sheet = tmp_path / "short.toml"
    sheet.write_text(f'{SHEET}\n[[step]]\nnumber = 10\nkind = "cut"\n', encoding="utf-8")
    planned = traveler("plan", sheet, "--json")
    assert planned.status == 1
    assert planned.json["conflicts"]
    issued = traveler("new", sheet)
    assert issued.status == 1
    assert planned.json["conflicts"][0] in issued.out
    assert shown(traveler)["revision"] == 1


def test_new_makes_the_file_and_says_where(traveler: Commands, sheet: Path) -> None:
    answer = traveler("new", sheet, "--by", "Bo Lindgren")
    assert answer.status == 0
    assert answer.out.startswith("job B-101: revision 1 issued, ")
    assert f"shop file: {traveler.shop}" in answer.out
    assert shown(traveler)["revisions"][0]["by"] == {"name": "Bo Lindgren", "how": "stated"}


def test_shop_is_named_before_or_after_the_command(traveler: Commands, sheet: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.traveler"
    assert traveler("--shop", other, "new", sheet).status == 0
    assert not traveler.shop.exists()
    assert traveler("list", "--shop", other).out == traveler("--shop", other, "list").out
    # The nearer one counts.
    assert traveler("--shop", tmp_path / "none", "list", "--shop", other).status == 0


@pytest.mark.slow
def test_without_a_name_the_shop_lies_in_the_data_folder(
    traveler: Commands, sheet: Path, tmp_path: Path
) -> None:
    traveler.environment = {"TRAVELER_BY": "Bo Lindgren", "TRAVELER_SHOP": "", "HOME": str(tmp_path)}
    traveler.environment |= {"XDG_DATA_HOME": str(tmp_path / "data"), "LOCALAPPDATA": str(tmp_path / "data")}
    assert traveler.process("new", sheet).status == 0
    assert len(list(tmp_path.rglob("shop.traveler"))) == 1


def test_the_login_name_stands_where_nobody_is_named(traveler: Commands, sheet: Path) -> None:
    del traveler.environment["TRAVELER_BY"]
    traveler.environment |= {"LOGNAME": "welder2"}
    assert traveler("new", sheet).status == 0
    assert shown(traveler)["revisions"][0]["by"]["name"] == "welder2"


def test_list(issued: Commands) -> None:
    (row,) = issued("list", "--json").json
    assert set(row) == {
        *("number", "title", "state", "step", "blocked_by", "last_event_at"),
        *("part", "needs", "due", "due_at", "nonconformances", "in_question", "last_by", "last_deed"),
    }
    assert (row["number"], row["title"]) == ("B-101", "Wishbone pickup [A36] [/]")
    assert row["step"].startswith("10 ")
    assert len(row["blocked_by"]) == 1
    text = issued("list")
    assert text.status == 0
    assert text.out.startswith("B-101")


def test_a_reading_at_the_limit_and_one_unit_below(issued: Commands) -> None:
    good = issued(
        "record", "B-101", 30, "preheat temperature", "300 F", "--place", "bracket", "--instrument", "TC-4"
    )
    assert good.status == 0
    assert good.out.startswith("reading 1 recorded preheat temperature 300 F: within its limit")
    assert "2 readings needed, 1 taken" in good.out
    bad = issued("record", "B-101", 30, "preheat temperature", "299 F", "--place", "plate")
    assert bad.status == 1
    assert "299 °F is below 300 °F" in bad.out
    assert "step 30 waits for:" in bad.out
    first = requirement(issued, 30, "preheat temperature")["readings"][0]
    assert (first["place"], first["instrument"], first["by"]["name"]) == ("bracket", "TC-4", "Ines Marwood")


@pytest.mark.parametrize(
    "arguments",
    [
        ("-20 F",),
        ("-20F",),
        ("-.5 C",),
        ("--place", "-3", "-20 F"),
        ("--place=-3", "-20 F"),
        ("-20 F", "--place", "-3"),
        ("--", "-20 F"),
    ],
    ids=" ".join,
)
def test_a_value_may_begin_with_a_minus_sign(issued: Commands, arguments: tuple[str, ...]) -> None:
    answer = issued("record", "B-101", 20, "metal temperature", *arguments)
    assert answer.status == 1, answer
    (reading,) = requirement(issued, 20, "metal temperature")["readings"]
    assert reading["value"].startswith("-")
    assert reading["place"] == ("-3" if any("place" in argument for argument in arguments) else None)


def test_a_corrected_value_may_begin_with_a_minus_sign(issued: Commands) -> None:
    assert issued("record", "B-101", 20, "metal temperature", "75 F").status == 0
    assert issued("supersede", "B-101", 1, "--value", "-2 C", "--because", "sign left out").status == 1
    old, new = requirement(issued, 20, "metal temperature")["readings"]
    assert (old["superseded_by"], old["reason"]) == (2, "sign left out")
    assert (new["value"], new["unit"]) == ("-2", "degC")


def test_an_entry_is_taken_back(issued: Commands) -> None:
    assert issued("record", "B-101", 20, "gap", "5 mm").status == 1
    answer = issued("supersede", "B-101", 1, "--because", "another job's piece")
    assert (answer.status, answer.out.splitlines()[0]) == (0, "reading 1 is taken back")
    assert requirement(issued, 20, "gap")["readings"][0]["superseded"] is True


def test_retry_is_refused_where_nothing_was_cold(issued: Commands) -> None:
    assert issued("record", "B-101", 30, "preheat temperature", "310 F", "--place", "a").status == 0
    answer = issued("retry", "B-101", 30, "preheat temperature", "--because", "to be sure")
    assert answer.status == 1
    assert "no standing reading is too cold" in answer.out


def test_a_reading_of_another_time(issued: Commands) -> None:
    assert issued("record", "B-101", 20, "gap", "1 mm", "--at", "2026-03-02T10:00+01:00").status == 0
    (reading,) = requirement(issued, 20, "gap")["readings"]
    assert reading["happened_at"] == "2026-03-02T10:00:00+01:00"


def test_attach_keeps_the_bytes(issued: Commands, tmp_path: Path) -> None:
    content = bytes(range(256)) * 10_000  # more than one block
    file = tmp_path / "logger chart.csv"
    file.write_bytes(content)
    answer = issued("attach", "B-101", 30, file, "--as", "chart")
    assert answer.status == 0
    (kept,) = shown(issued)["attachments"]
    assert kept["sha256"] == hashlib.sha256(content).hexdigest()
    assert (kept["name"], kept["as"], kept["size"]) == ("logger chart.csv", "chart", len(content))


def test_a_signature_over_changed_content_is_stale(issued: Commands) -> None:
    digest = shown(issued)["steps"][1]["content"]
    assert issued("record", "B-101", 20, "gap", "1 mm").status == 0
    for role in ("performed", "accepted"):
        answer = issued("sign", "B-101", 20, "--as", role, "--content", digest)
        assert answer.status == 1
        assert "stale" in answer.out
    assert shown(issued)["steps"][1]["performed"] == []


def test_acceptance_is_refused_with_every_reason(issued: Commands) -> None:
    answer = issued("sign", "B-101", 30, "--as", "accepted", "--by", "Tomas Ekholm")
    assert answer.status == 1
    reasons = answer.out.splitlines()[1:]
    assert any("preheat temperature not shown" in reason for reason in reasons)
    assert any("not yet signed as performed" in reason for reason in reasons)
    assert any("step 10 comes first" in reason for reason in reasons)


def test_who_performed_does_not_accept(issued: Commands) -> None:
    step = shown(issued)["steps"][0]
    for asked in step["requirements"]:
        assert issued("record", "B-101", 10, asked["quantity"], asked["accepts"][0]).status == 0
    assert issued("sign", "B-101", 10, "--as", "performed", "--by", "Bo Lindgren").status == 0
    refusal = issued("sign", "B-101", 10, "--as", "accepted", "--by", "BO LINDGREN")
    assert refusal.status == 1
    assert "another person must accept it" in refusal.out
    assert issued("sign", "B-101", 10, "--as", "accepted", "--by", "Tomas Ekholm").status == 0


def test_out_of_order_is_recorded_and_1(issued: Commands) -> None:
    answer = issued("sign", "B-101", 20, "--as", "performed")
    assert answer.status == 1
    assert "out of order" in answer.out
    assert len(shown(issued)["steps"][1]["performed"]) == 1


def test_revise(issued: Commands, tmp_path: Path) -> None:
    thicker = tmp_path / "thicker.toml"
    thicker.write_text(
        SHEET.replace('thickness = "1/4 in" },', 'thickness = "3/8 in" },', 1), encoding="utf-8"
    )
    answer = issued("revise", "B-101", thicker, "--because", "the bracket is thicker")
    assert (answer.status, answer.out) == (0, "job B-101: revision 2 issued\n")
    # 4130 from 3/8 in: 400 F (grade table by thickness, common practice, no published source).
    limit = requirement(issued, 30, "preheat temperature")["limit"]["at_least"]
    assert limit == {"value": "400", "unit": "degF"}


def test_close_is_refused_and_cancel_ends_the_job(issued: Commands) -> None:
    refusal = issued("close", "B-101")
    assert refusal.status == 1
    assert "step 10 cut is not accepted" in refusal.out
    assert issued("cancel", "B-101", "--because", "the car was sold").status == 0
    assert shown(issued)["state"] == "cancelled"
    late = issued("record", "B-101", 20, "gap", "1 mm")
    assert late.status == 1
    assert "the job is cancelled" in late.out


def test_an_open_job_exports_as_draft(issued: Commands, tmp_path: Path) -> None:
    answer = issued("export", "B-101", "--format", "text", "-o", "-")
    assert answer.status == 0
    assert "DRAFT" in answer.out
    target = tmp_path / "out.json"
    target.write_text("an older export", encoding="utf-8")
    assert issued("export", "B-101", "--format", "json", "-o", target).status == 0
    export = json.loads(target.read_text(encoding="utf-8"))
    assert export["format"] == "traveler/1"
    assert issued("verify", target).status == 0


@pytest.mark.slow
@pytest.mark.parametrize(
    ("paper", "points"), [("a4", (595, 842)), ("letter", (612, 792)), (None, (612, 792))]
)
def test_the_paper_of_the_pdf(
    issued: Commands, tmp_path: Path, paper: str | None, points: tuple[int, int]
) -> None:
    # ISO 216 A4 is 210 mm by 297 mm, US Letter 8.5 in by 11 in; a point is 1/72 in. A job in inches: letter.
    pypdf = pytest.importorskip("pypdf")
    target = tmp_path / "out.pdf"
    arguments = ["--paper", paper] if paper else []
    assert issued("export", "B-101", "--format", "pdf", *arguments, "-o", target).status == 0
    box = pypdf.PdfReader(target).pages[0].mediabox
    assert (round(box.width), round(box.height)) == points


def test_backup_and_restore(issued: Commands, tmp_path: Path) -> None:
    copy, back = tmp_path / "copy.traveler", tmp_path / "new folder" / "back.traveler"
    before = issued("verify", issued.shop).out
    assert issued("backup", copy).status == 0
    assert issued("verify", copy).out == before
    assert "exists already" in refused(issued("backup", copy))
    assert "exists already" in refused(issued("restore", copy))
    assert issued("restore", copy, "--shop", back).status == 0
    assert issued("show", "B-101", "--shop", back).out == issued("show", "B-101").out
    assert issued("verify", back).status == 0


def test_what_was_typed_never_acts_on_the_terminal(issued: Commands) -> None:
    evil = "\x1b]0;owned\x07\x9b31m"
    for text in (evil, "\x9b31m"):
        assert not set("\x1b\x07\x9b") & set(refused(issued("cancel", "B-101", "--because", text)))
    backwards = "\u202edlrow"
    assert issued("cancel", "B-101", "--because", backwards).status == 0
    for arguments in (
        ("show", "B-101", "--json"),
        ("show", "B-101"),
        ("list",),
        ("export", "B-101", "--format", "text", "-o", "-"),
    ):
        answer = issued(*arguments)
        assert answer.status == 0
        assert "\u202e" not in answer.out
    assert shown(issued)["cancelled"]["because"] == backwards
    assert "\\u202edlrow" in issued("export", "B-101", "--format", "text", "-o", "-").out
    assert "\x1b" not in refused(issued("show", evil))


def test_names_show_verbatim(traveler: Commands, sheet: Path) -> None:
    name = "Ægir [A36] [/] 山田 " + "x" * 180
    assert traveler("new", sheet, "--by", name).status == 0
    assert shown(traveler)["revisions"][0]["by"]["name"] == name
    printed = traveler("export", "B-101", "--format", "text", "-o", "-").out
    assert "Ægir [A36] [/] 山田" in printed
    assert printed.count("x") >= 180


def test_accents_typed_as_separate_characters_find_their_job(traveler: Commands, tmp_path: Path) -> None:
    sheet = tmp_path / "accent.toml"
    sheet.write_text(SHEET.replace("B-101", "É-1"), encoding="utf-8")
    assert traveler("new", sheet).status == 0
    assert traveler("show", "E\u0301-1").status == 0
