"""One job by commands alone, from the sheet to the verified export, each command a process of its own."""

import json
import sqlite3
from pathlib import Path
from typing import Any

import pytest
from cli_kit import Answer, Commands


def step_of(traveler: Commands, number: int) -> dict[str, Any]:
    steps: list[dict[str, Any]] = traveler("show", "B-101", "--json").json["steps"]
    return next(step for step in steps if step["number"] == number)


def complying(requirement: dict[str, Any]) -> str:
    """A value that complies, just at the limit where there is one."""
    if requirement["type"] != "number":
        return str((requirement["accepts"] or requirement["options"] or ["as noted on the drawing"])[0])
    limit = requirement["limit"]["at_least"] or requirement["limit"]["at_most"]
    return f"{limit['value']} {limit['unit']}" if limit else "1.0 kJ/mm"


def record_all(traveler: Commands, number: int) -> None:
    for requirement in step_of(traveler, number)["requirements"]:
        for place in range(max(1, requirement["evidence"]["readings"]) - len(requirement["readings"])):
            answer = traveler(
                "record",
                "B-101",
                number,
                requirement["quantity"],
                complying(requirement),
                "--place",
                f"P{place}",
            )
            assert answer.status == 0, (requirement["quantity"], answer)


def sign(traveler: Commands, number: int) -> Answer:
    assert traveler("sign", "B-101", number, "--as", "performed", "--by", "Ines Marwood").status == 0
    content = step_of(traveler, number)["content"]
    return traveler("sign", "B-101", number, "--as", "accepted", "--by", "Tomas Ekholm", "--content", content)


@pytest.mark.slow
def test_a_job_from_sheet_to_verified_export(traveler: Commands, sheet: Path, tmp_path: Path) -> None:
    run = traveler.process
    planned = run("plan", sheet)
    assert planned.status == 0
    # 4130 of 1/4 in: 300 F (grade table by thickness, common practice, no published source).
    assert "at least 300 °F (148.9 °C)" in planned.out
    assert not traveler.shop.exists()
    assert run("new", sheet).status == 0
    kinds = {step["kind"]: step["number"] for step in traveler("show", "B-101", "--json").json["steps"]}
    preheat = kinds["preheat"]

    for number in range(10, preheat, 10):
        record_all(traveler, number)
        assert sign(traveler, number).status == 0

    quantity = "preheat temperature"
    cold = run("record", "B-101", preheat, quantity, "280 F", "--place", "bracket")
    assert cold.status == 1
    assert "280 °F is below 300 °F" in cold.out
    blocked = sign(traveler, preheat)
    assert blocked.status == 1
    assert "preheat temperature not met" in blocked.out
    assert run("retry", "B-101", preheat, quantity, "--because", "torch too small").status == 0
    assert run("record", "B-101", preheat, quantity, "315 F", "--place", "bracket").status == 0
    typed = run("record", "B-101", preheat, quantity, "31 F", "--place", "plate", "--at", "2026-03-02T10:00Z")
    assert typed.status == 1
    number = step_of(traveler, preheat)["requirements"][0]["readings"][-1]["reading"]
    mended = run("supersede", "B-101", number, "--value", "310 F", "--because", "a digit was left out")
    assert mended.status == 0, mended

    for number in sorted(kinds.values()):
        if number >= preheat:
            record_all(traveler, number)
            signed = sign(traveler, number)
            assert signed.status == 0, signed
            assert "names as stated" in signed.out
    assert run("close", "B-101", "--by", "Tomas Ekholm").status == 0
    assert traveler("list", "--json").json[0]["state"] == "closed"

    for form, start in (("pdf", b"%PDF-"), ("json", b"{"), ("text", b"TRAVELER B-101")):
        target = tmp_path / f"traveler.{form}"
        assert run("export", "B-101", "--format", form, "-o", target).status == 0
        assert target.read_bytes().startswith(start)
    text = (tmp_path / "traveler.text").read_text(encoding="utf-8")
    assert "DRAFT" not in text
    for said in ("280 °F", "31 °F", "a digit was left out", "Wishbone pickup [A36] [/]"):
        assert said in text
    export = tmp_path / "traveler.json"
    checked = run("verify", export)
    assert checked.status == 0
    assert checked.out.startswith("unaltered: export of job B-101")
    head = json.loads(export.read_text(encoding="utf-8"))["head"]
    assert head in checked.out
    assert head in text

    assert run("verify", traveler.shop).status == 0
    tamper(traveler.shop)
    altered = run("verify", traveler.shop)
    assert altered.status == 1
    assert "event 2 of" in altered.out.splitlines()[1]
    assert "job B-101" in altered.out.splitlines()[1]


def tamper(shop: Path) -> None:
    """Change one byte of the job's second event, as somebody with a database shell can who knows the triggers."""
    connection = sqlite3.connect(shop, isolation_level=None)
    triggers = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    for name, _ in triggers:
        connection.execute(f'DROP TRIGGER "{name}"')
    changed = connection.execute(
        "UPDATE event SET body = replace(body, 'Ines Marwood', 'Ines Marwoof')"
        " WHERE stream = 'job B-101' AND seq = 2 AND instr(body, 'Ines Marwood')"
    ).rowcount
    for _, sql in triggers:
        connection.execute(sql)
    connection.close()
    assert changed == 1


def test_a_tampered_export_names_the_event(issued: Commands, tmp_path: Path) -> None:
    assert issued("record", "B-101", 20, "gap", "1 mm").status == 0
    target = tmp_path / "out.json"
    assert issued("export", "B-101", "--format", "json", "-o", target).status == 0
    content = target.read_text(encoding="utf-8")
    export = json.loads(content)
    export["events"][1] = export["events"][1].replace("1 mm", "2 mm")
    target.write_text(json.dumps(export), encoding="utf-8")
    answer = issued("verify", target)
    assert answer.status == 1
    assert "event 2 of job B-101" in answer.out
