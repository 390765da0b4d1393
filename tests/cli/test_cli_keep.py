"""Backup, restore, codes noted earlier, and the sentence for a file that is not the one seen last."""

import json
import os
import re
import shutil
import sqlite3
from pathlib import Path

import pytest
from cli_kit import Answer, Commands, refused

CODE = r"[A-Z2-7]{4}(?:-[A-Z2-7]{4}){3}"


def noted(answer: Answer) -> str:
    """The code and the count that a command printed."""
    found = re.search(rf"(\d+ events), code ({CODE})", answer.out)
    assert found, answer
    return f"{found[2]}, {found[1]}"


def shop_events(shop: Path) -> list[dict[str, object]]:
    with sqlite3.connect(shop) as connection:
        rows = connection.execute("SELECT body FROM event WHERE stream = 'shop' ORDER BY seq").fetchall()
    connection.close()
    return [json.loads(body) for (body,) in rows]


def test_a_backup_prints_its_code_and_is_noted(issued: Commands, tmp_path: Path) -> None:
    copy = tmp_path / "copy.traveler"
    made = issued("backup", copy, "--by", "Ana Bell")
    assert made.status == 0
    event = shop_events(issued.shop)[-1]
    assert (event["kind"], event["by"]) == ("backup made", {"how": "stated", "name": "Ana Bell"})
    assert len(shop_events(copy)) == 1
    assert noted(made) == noted(issued("verify", copy))
    assert "further, and unaltered up to there" in issued("verify", issued.shop, "--against", noted(made)).out


def test_a_shop_that_may_only_be_read_can_still_be_copied(
    issued: Commands, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "access", lambda path, mode: mode == os.R_OK)
    made = issued("backup", tmp_path / "copy")
    assert made.status == 0
    assert made.out.endswith("Not noted in the shop's file, which could not be written.\n")
    monkeypatch.undo()
    assert issued("verify", tmp_path / "copy").status == 0
    assert len(shop_events(issued.shop)) == 1


def test_codes_of_jobs_and_of_the_journal_are_looked_for(issued: Commands, tmp_path: Path) -> None:
    paper = issued("export", "B-101", "--format", "text", "-o", "-").out
    line = next(line for line in paper.splitlines() if line.startswith("Record: "))
    journal = noted(issued("verify", issued.shop))
    assert issued("record", "B-101", 20, "gap", "1 mm").status == 0
    target = tmp_path / "out.json"
    assert issued("export", "B-101", "--format", "json", "-o", target).status == 0
    for file, code in ((issued.shop, line), (issued.shop, journal), (target, line), (issued.shop, target)):
        answer = issued("verify", file, "--against", code)
        assert answer.status == 0, answer
        assert answer.out.startswith("unaltered: ")
        assert "the code " in answer.out
    quick = issued("verify", issued.shop, "--chain", "--against", journal)
    assert quick.status == 0
    assert quick.out.startswith("chains unaltered: shop file, 3 events")
    missing = issued("verify", issued.shop, "--against", "AAAA-BBBB-CCCC-DDDD, 7 events")
    assert missing.status == 1
    assert "no event of this file gives the code AAAA-BBBB-CCCC-DDDD, 7 events" in missing.out
    assert "it has 3 events, and 7 were noted" in missing.out
    assert "is no code" in refused(issued("verify", issued.shop, "--against", "AAAA"))


def test_two_copies_that_parted(issued: Commands, tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    shutil.copy(issued.shop, copy)
    assert issued("record", "B-101", 20, "gap", "1 mm").status == 0
    assert issued("verify", issued.shop, "--against", copy).status == 0
    assert issued("verify", copy, "--against", issued.shop).status == 1
    assert issued("record", "B-101", 20, "gap", "1.2 mm", "--shop", copy).status == 0
    parted = issued("verify", issued.shop, "--against", copy)
    assert parted.status == 1
    assert "part after 2 events" in parted.out
    assert parted.out.count("goes on with event 2 of job B-101, reading recorded, ") == 2


def test_an_older_copy_in_its_place_is_said_beside_the_answer(issued: Commands, tmp_path: Path) -> None:
    aside = tmp_path / "aside"
    shutil.copy(issued.shop, aside)
    assert issued("record", "B-101", 20, "gap", "1 mm").status == 0
    assert issued("show", "B-101").err == ""
    aside.replace(issued.shop)
    for arguments in (("list",), ("show", "B-101", "--json"), ("backup", tmp_path / "copy")):
        answer = issued(*arguments)
        assert answer.status == 0
        (said,) = answer.err.splitlines()
        assert said.startswith("traveler: this shop file has 2 events, the one seen here on 20")
    assert issued("show", "B-101", "--json").json["job"] == "B-101"
    recorded = issued("record", "B-101", 20, "gap", "1 mm")
    assert recorded.status == 0
    assert "was an older copy put in its place" in recorded.err or "not the one seen here" in recorded.err


def test_a_restored_shop_is_not_remarked_on(issued: Commands, tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    assert issued("backup", copy).status == 0
    for gap in ("1 mm", "1.5 mm"):
        assert issued("record", "B-101", 20, "gap", gap).status == 0
    issued.shop.rename(tmp_path / "aside")
    assert issued("restore", copy).status == 0
    for arguments in (("list",), ("record", "B-101", 20, "gap", "1 mm"), ("show", "B-101")):
        assert issued(*arguments).err == ""
